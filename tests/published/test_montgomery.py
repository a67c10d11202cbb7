"""Piston rings, forty samples of five: limits from the first twenty-five, and the samples that leave them."""

from __future__ import annotations

import math

import pytest

from borewright.running.capability import capability
from borewright.running.charts import Limits, sample_limits
from tests.published.case import Case, Source, check, each_case
from tests.published.test_ehandbook import table


def samples() -> list[list[float]]:
    """The samples, in order."""
    found: dict[int, list[float]] = {}
    for row in table("piston_rings.csv"):
        found.setdefault(int(row["sample"]), []).append(float(row["diameter_mm"]))
    return [found[number] for number in sorted(found)]


RINGS = samples()
FIRST: Limits = sample_limits(RINGS[:25])
MEAN_RANGE = sum(max(sample) - min(sample) for sample in RINGS[:25]) / 25.0
OUT = FIRST.outside([sum(sample) / 5.0 for sample in RINGS])
ROUNDED = "The book multiplies by 0.577 and divides by 2.326, both rounded; ours by 0.576819 and 2.325929."

SOURCE = Source(
    "montgomery1991",
    "Montgomery, piston rings",
    (
        Case("Grand mean", lambda: FIRST.middle, 74.001176, 5e-7, "mm", "pp. 206-213", "recomputed"),
        Case("Mean range", lambda: MEAN_RANGE, 0.02276, 5e-6, "mm", "pp. 206-213", "recomputed"),
        Case("Lower limit", lambda: FIRST.lower, 73.98804, 5e-6, "mm", "pp. 206-213", "recomputed", ROUNDED),
        Case("Upper limit", lambda: FIRST.upper, 74.01431, 5e-6, "mm", "pp. 206-213", "recomputed", ROUNDED),
        Case(
            "Samples out",
            lambda: ", ".join(str(each + 1) for each in OUT),
            "37, 38, 39",
            0.0,
            "",
            "pp. 206-213",
            "recomputed",
        ),
        Case(
            "Capability for ±0.05 mm",
            lambda: capability(FIRST.middle, FIRST.sd, (73.95, 74.05), 125).cp,
            1.7033,
            5e-5,
            "",
            "pp. 206-213",
            "recomputed",
            ROUNDED,
        ),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)


def test_the_disagreements_are_no_more_than_the_rounded_constants() -> None:
    assert FIRST.middle + 0.577 * MEAN_RANGE == pytest.approx(74.01431, abs=5e-6)
    assert FIRST.middle - 0.577 * MEAN_RANGE == pytest.approx(73.98804, abs=5e-6)
    cp = 0.1 / (6.0 * MEAN_RANGE / 2.326)
    assert cp == pytest.approx(1.7033, abs=5e-5)
    assert 3.0 * FIRST.sd / math.sqrt(5.0) / MEAN_RANGE == pytest.approx(0.576819, abs=5e-7)
