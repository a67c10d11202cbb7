"""Growth with warmth of steel and aluminium, and a warm part on a master that is less warm."""

from __future__ import annotations

from borewright.cutting.heat import growth
from borewright.materials.expansion import expansion_of
from tests.published.case import Case, Source, check, each_case


def warm_aluminium_on_steel() -> float:
    """Ours: an aluminium part of 60 mm at 27 °C, measured against a steel master at 23 °C."""
    part, master = expansion_of("aluminium").per_kelvin, expansion_of("steel").per_kelvin
    return growth(60.0, part, 27.0, master, 23.0) * 1e3


SOURCE = Source(
    "swyt1994",
    "Measurements at other temperatures than 20 °C",
    (
        Case(
            "Growth of aluminium", lambda: round(expansion_of("aluminium").per_kelvin * 1e6, 9), 23.1, unit="µm/(m K)"
        ),
        Case("Growth of steel", lambda: round(expansion_of("steel").per_kelvin * 1e6, 9), 11.5, unit="µm/(m K)"),
        Case(
            "60 mm aluminium at 27 °C on steel at 23 °C",
            warm_aluminium_on_steel,
            7.632,
            0.0005,
            "µm",
            standing="recomputed",
        ),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
