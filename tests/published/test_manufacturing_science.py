"""A worked example of orthogonal cutting by the circle of forces."""

from __future__ import annotations

from borewright.cutting.force import circle_forces
from tests.published.case import Case, Source, check, each_case

ROUNDED = "The printed answer carries angles rounded to a degree; the formulas give 429.04 N and 127.62 N."


def forces() -> tuple[float, float]:
    """Ours: rake 10°, chip 0.2 mm by 2 mm, friction 0.5, shear strength 400 N/mm²."""
    return circle_forces(10.0, 0.2, 2.0, 0.5, 400.0)


SOURCE = Source(
    "ghosh-mallik",
    "Manufacturing Science, orthogonal cutting",
    (
        Case("Cutting force", lambda: forces()[0], 420, 0.5, "N", "example 4.3", disagreement=ROUNDED),
        Case("Thrust", lambda: forces()[1], 125, 0.5, "N", "example 4.3", disagreement=ROUNDED),
        Case("Cutting force, unrounded", lambda: forces()[0], 429.04, 0.005, "N", "example 4.3", "recomputed"),
        Case("Thrust, unrounded", lambda: forces()[1], 127.62, 0.005, "N", "example 4.3", "recomputed"),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
