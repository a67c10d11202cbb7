"""Machinery's Handbook, 31st edition: inch holes of ANSI B4.1-1967, and cells that BS 4500:1969 leaves empty."""

from __future__ import annotations

from collections.abc import Callable

from borewright.callout import parse_callout
from tests.published.case import Case, Source, check, each_case
from tests.published.test_iso286 import upper_um
from tests.published.test_machine_drawing import held

TABLE_8A = {  # a size of each step, and the upper deviations of H5, H6, H7 and H8, thousandths of an inch
    "0.12": (0.2, 0.25, 0.4, 0.6),
    "0.24": (0.2, 0.3, 0.5, 0.7),
    "0.40": (0.25, 0.4, 0.6, 0.9),
    "0.71": (0.3, 0.4, 0.7, 1.0),
    "1.19": (0.4, 0.5, 0.8, 1.2),
    "1.97": (0.4, 0.6, 1.0, 1.6),
    "3.15": (0.5, 0.7, 1.2, 1.8),
    "4.73": (0.6, 0.9, 1.4, 2.2),
    "7.09": (0.7, 1.0, 1.6, 2.5),
    "9.85": (0.8, 1.2, 1.8, 2.8),
}


def upper_thou(written: str) -> Callable[[], float]:
    """Ours: the upper limit less the nominal size, thousandths of an inch."""

    def thou() -> float:
        callout = parse_callout(written, "in")
        assert callout.nominal is not None
        return float((callout.upper - callout.nominal).value * 1000)

    return thou


def limits(written: str) -> Callable[[], str]:
    """Ours: both limits as text."""

    def text() -> str:
        callout = parse_callout(written)
        return f"{callout.lower.value}-{callout.upper.value}"

    return text


SOURCE = Source(
    "machinerys-handbook-31",
    "Machinery's Handbook, 31st edition, ANSI B4.1-1967 and BS 4500:1969",
    (
        *(
            Case(
                f"{size} in {grade}, upper limit",
                upper_thou(f"{size} {grade}"),
                value,
                unit="0.001 in",
                place="Table 8a",
            )
            for size, values in TABLE_8A.items()
            for grade, value in zip(("H5", "H6", "H7", "H8"), values, strict=True)
        ),
        Case("1.191 in H7, in the next step", upper_thou("1.191 H7"), 1.0, unit="0.001 in", place="Table 8a"),
        Case("1.5 in RC3, limits of the hole", limits("1.5 RC3"), "1.5000-1.5010", unit="in", place="Table 8a"),
        Case("K above grade 8, 3 to 6", held("6", "K", "9"), "empty", place="Table 6a"),
        Case("K9 up to 3, upper deviation", upper_um("3 K9"), 0, unit="µm", place="Table 6a"),
        Case("M9 of 6 to 10, upper deviation", upper_um("10 M9"), -6, unit="µm", place="Table 6a"),
        Case("N above grade 8 up to 1 mm", held("1", "N", "9"), "empty", place="Table 6a"),
        Case("A up to 1 mm", held("1", "A", "7"), "empty", place="Table 6a"),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
