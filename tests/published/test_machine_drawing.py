"""Machine Drawing, chapter 15: the worked delta rule, and what its table leaves empty."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from borewright.callout.iso286 import hole_deviations_um
from borewright.callout.iso286_tables import DELTA_UM, STEPS_MM
from borewright.errors import NotHeldError
from tests.published.case import Case, Source, check, each_case
from tests.published.test_iso286 import upper_um


def delta_um() -> float:
    """Ours: what the delta rule adds for grade 7 over 18 to 30 mm."""
    value = DELTA_UM["7"][STEPS_MM.index(Decimal(30))]
    assert value is not None
    return float(value)


def held(size_mm: str, letter: str, grade: str) -> Callable[[], str]:
    """Ours: whether a class has a value."""

    def answer() -> str:
        try:
            hole_deviations_um(Decimal(size_mm), letter, grade)
        except NotHeldError:
            return "empty"
        return "held"

    return answer


SOURCE = Source(
    "machine-drawing",
    "Machine Drawing, 3rd edition, chapter 15",
    (
        Case("P7 over 18 to 30, delta", delta_um, 8, unit="µm", place="p. 221"),
        Case("P7 over 18 to 30, upper deviation", upper_um("25 P7"), -14, unit="µm", place="p. 221"),
        Case("M6 over 250 to 315, upper deviation", upper_um("300 M6"), -9, unit="µm", place="Table 15.3, p. 219"),
        Case("K above grade 8, 160 to 180", held("170", "K", "9"), "empty", place="Table 15.3, p. 219"),
        Case(
            "N above grade 8, 160 to 180, upper deviation", upper_um("170 N9"), 0, unit="µm", place="Table 15.3, p. 219"
        ),
        Case("A up to 1 mm, grade 9", held("1", "A", "9"), "empty", place="Table 15.3, p. 219"),
        Case("B up to 1 mm, grade 9", held("1", "B", "9"), "empty", place="Table 15.3, p. 219"),
        Case(
            "JS7 of 100 where the odd IT may be replaced by the even value below, upper deviation",
            upper_um("100 JS7"),
            17,
            unit="µm",
            place="Table 15.3, p. 219",
            standing="recomputed",
            disagreement="The book allows the even value below an odd IT for JS7 to JS11; here JS is ±IT/2 exactly.",
        ),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
