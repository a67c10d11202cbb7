"""The classic gauge study of ten parts, three people and three trials, by ranges and by analysis of variance."""

from __future__ import annotations

import math
from functools import cache, partial

import pytest

from borewright.gauging.study import Study
from borewright.gauging.study_range import by_range
from borewright.gauging.study_variance import analyse, by_variance
from tests.published.case import Case, Source, check, each_case

READINGS = """
A .29 -.56 1.34 .47 -.80 .02 .59 -.31 2.26 -1.36
A .41 -.68 1.17 .50 -.92 -.11 .75 -.20 1.99 -1.25
A .64 -.58 1.27 .64 -.84 -.21 .66 -.17 2.01 -1.31
B .08 -.47 1.19 .01 -.56 -.20 .47 -.63 1.80 -1.68
B .25 -1.22 .94 1.03 -1.20 .22 .55 .08 2.12 -1.62
B .07 -.68 1.34 .20 -1.28 .06 .83 -.34 2.19 -1.50
C .04 -1.38 .88 .14 -1.46 -.29 .02 -.46 1.77 -1.49
C -.11 -1.13 1.09 .20 -1.07 -.67 .01 -.56 1.45 -1.77
C -.15 -.96 .67 .11 -1.45 -.49 .21 -.49 1.87 -2.16
"""


@cache
def study() -> Study:
    """The study's table."""
    rows = []
    for line in READINGS.split("\n"):
        if line:
            who, *readings = line.split()
            rows += [(str(part), who, float(reading)) for part, reading in enumerate(readings, 1)]
    return Study.from_rows(rows)


RANGES, SQUARES, VARIANCE = by_range(study()), analyse(study()), by_variance(study())

ROUNDED = "The printed one multiplies by 0.3146, a rounded 1/d2*; ours by 1/3.179056 = 0.314559."

SOURCE = Source(
    "study-10-3-3",
    "A classic gauge study, ten parts, three people, three trials",
    (
        Case(
            "Parts",
            lambda: RANGES.parts_mm,
            1.1046,
            tolerance=0.00005,
            place="average and range",
            standing="recomputed",
            disagreement=ROUNDED,
        ),
        Case(
            "Total",
            lambda: RANGES.total_mm,
            1.1461,
            tolerance=0.00005,
            place="average and range",
            standing="recomputed",
            disagreement=ROUNDED,
        ),
        *(
            Case(name, partial(float, ours), theirs, tolerance=tolerance, place=place, standing="recomputed")
            for name, ours, theirs, tolerance, place in (
                ("Repeatability", RANGES.repeatability_mm, 0.2019, 0.00005, "average and range"),
                ("Reproducibility", RANGES.reproducibility_mm, 0.2297, 0.00005, "average and range"),
                ("Both", RANGES.gauge_mm, 0.3058, 0.00005, "average and range"),
                ("Gauge over total, %", RANGES.of_total * 100.0, 26.68, 0.005, "average and range"),
                ("Distinct categories", float(RANGES.categories), 5.0, 0.0, "average and range"),
                ("People, sum of squares", SQUARES.people.squares, 3.16726, 0.000005, "analysis of variance"),
                ("People, degrees of freedom", float(SQUARES.people.dof), 2.0, 0.0, "analysis of variance"),
                ("Parts, sum of squares", SQUARES.parts.squares, 88.36193, 0.000005, "analysis of variance"),
                ("Parts, degrees of freedom", float(SQUARES.parts.dof), 9.0, 0.0, "analysis of variance"),
                ("Interaction, sum of squares", SQUARES.interaction.squares, 0.35898, 0.000005, "analysis of variance"),
                ("Interaction, degrees of freedom", float(SQUARES.interaction.dof), 18.0, 0.0, "analysis of variance"),
                ("Repeat, sum of squares", SQUARES.repeat.squares, 2.75893, 0.000005, "analysis of variance"),
                ("Repeat, degrees of freedom", float(SQUARES.repeat.dof), 60.0, 0.0, "analysis of variance"),
                ("Both, interaction left out", VARIANCE.gauge_mm, 0.30237, 0.000005, "analysis of variance"),
                ("Gauge over total by variance, %", VARIANCE.of_total * 100.0, 27.86, 0.005, "analysis of variance"),
            )
        ),
    ),
)


def test_the_disagreement_is_no_more_than_the_rounded_constant() -> None:
    parts = RANGES.parts_mm * 3.1790558 * 0.3146
    assert parts == pytest.approx(1.1046, abs=0.00005)
    assert math.hypot(RANGES.gauge_mm, parts) == pytest.approx(1.1461, abs=0.00005)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
