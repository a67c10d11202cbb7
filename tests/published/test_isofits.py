"""An independent table of ISO 286 hole classes from 3 to 400 mm: every class it has, in each of its twenty steps.

Where it differs, its own neighbours show that it errs: a class has one width in one step, and one lower deviation for
all grades of a letter.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import isofits

from borewright.callout.iso286 import hole_deviations_um
from tests.published.case import Case, Source, check, each_case

TABLE: dict[str, list[str]] = isofits.hole_data
STEPS = tuple(zip(TABLE["over"], TABLE["inc."], strict=True))
CLASSES = tuple(name for name in TABLE if name not in {"over", "inc."})
ERRORS = {
    ("K6", "6", "10"): "It has a width other than IT6, which is 9 in this step; K6 of 6 to 10 is +2/-7.",
    ("E7", "315", "355"): "It has a width other than IT7, which is 57 in this step; E7 is +182/+125.",
    ("E7", "355", "400"): "It has a width other than IT7, which is 57 in this step; E7 is +182/+125.",
}


def ours(name: str, upto: str) -> str:
    """Upper and lower deviation of a class at the end of a step, µm."""
    letter, grade = name.rstrip("0123456789"), name.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    lower, upper = hole_deviations_um(Decimal(upto), letter, grade)
    return f"{float(upper):g}/{float(lower):g}"


def theirs(name: str, upto: str) -> str:
    """The same from the package."""
    upper, lower = isofits.isotol("hole", float(upto), name, "both")
    return f"{upper:g}/{lower:g}"


def whole_class(name: str) -> Case:
    """One case for all steps of a class in which no error of the package is known."""
    ends = [upto for over, upto in STEPS if (name, over, upto) not in ERRORS]
    return Case(
        f"{name}, {len(ends)} steps",
        lambda: " ".join(ours(name, upto) for upto in ends),
        " ".join(theirs(name, upto) for upto in ends),
        unit="µm",
        place="hole_data",
    )


def known_error(name: str, over: str, upto: str, why: str) -> Case:
    """One case for a cell in which the package errs."""
    value: Callable[[], str] = lambda: ours(name, upto)  # noqa: E731  # a name for the type
    return Case(
        f"{name} over {over} to {upto}", value, theirs(name, upto), unit="µm", place="hole_data", disagreement=why
    )


SOURCE = Source(
    "isofits",
    "isofits 1.0, an independent table of ISO 286 deviations",
    (
        *(whole_class(name) for name in CLASSES),
        *(known_error(*cell, why) for cell, why in ERRORS.items()),
    ),
)


@each_case(SOURCE)
def test_as_tabled(case: Case) -> None:
    check(case)


def test_every_cell_is_compared() -> None:
    assert len(CLASSES) * len(STEPS) == 740
    assert sum(len(str(case.theirs).split()) for case in SOURCE.cases) == 740


def test_its_errors_contradict_its_own_table() -> None:
    widths = {name: {upto: width(theirs(name, upto)) for _, upto in STEPS} for name in CLASSES}
    for name, _, upto in ERRORS:
        same_grade = [other for other in CLASSES if other != name and other.lstrip("ABCEFGHJKMNPRS") == name[-1]]
        assert len({widths[other][upto] for other in same_grade}) == 1
        assert widths[name][upto] != widths[same_grade[0]][upto]


def width(text: str) -> float:
    """Upper less lower deviation of a text such as 9/0."""
    upper, lower = text.split("/")
    return float(upper) - float(lower)
