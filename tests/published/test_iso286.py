"""ISO 286-1:2010, deviations of holes as printed tables have them."""

from __future__ import annotations

from collections.abc import Callable

from borewright.callout import parse_callout
from tests.published.case import Case, Source, Standing, check, each_case


def upper_um(written: str) -> Callable[[], float]:
    """Ours: the upper limit less the nominal size, µm."""
    return lambda: deviation_um(written, upper=True)


def lower_um(written: str) -> Callable[[], float]:
    """Ours: the lower limit less the nominal size, µm."""
    return lambda: deviation_um(written, upper=False)


def deviation_um(written: str, *, upper: bool) -> float:
    """One limit of a metric class less its nominal size, µm."""
    callout = parse_callout(written, "mm")
    assert callout.nominal is not None
    limit = callout.upper if upper else callout.lower
    return float((limit.exact_mm - callout.nominal.exact_mm) * 1000)


def both(written: str, upper: float, lower: float, standing: Standing = "read") -> tuple[Case, Case]:
    """The two cases of one class."""
    return (
        Case(f"{written}, upper deviation", upper_um(written), upper, unit="µm", standing=standing),
        Case(f"{written}, lower deviation", lower_um(written), lower, unit="µm", standing=standing),
    )


SOURCE = Source(
    "iso286-1-2010",
    "ISO 286-1:2010, deviations of holes, through printed tables",
    (
        *both("25 G6", 20, 7),
        *both("70 H7", 30, 0),
        *both("40 JS6", 8, -8),
        *both("50 K7", 7, -18),
        *both("30 N7", -7, -28),
        *both("60 P7", -21, -51),
        *both("100 F8", 90, 36),
        *both("80 H6", 19, 0),
        *both("52 J6", 13, -6),
        *both("45 K6", 3, -13),
        *both("72 N6", -14, -33),
        *both("62 K7", 9, -21),
        *both("70 S7", -48, -78, "exact"),
        *both("280 M6", -9, -41),
        Case("30 H7, upper deviation, at the end of its step", upper_um("30 H7"), 21, unit="µm"),
        Case("30.001 H7, upper deviation, in the next step", upper_um("30.001 H7"), 25, unit="µm"),
        Case("IT6 of 450, which the formula for i would make 38.88", upper_um("450 H6"), 40, unit="µm"),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
