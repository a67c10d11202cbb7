"""Random effects of thirteen published trials: the variance between them by restricted maximum likelihood.

The trials have nothing to do with bores; they are the common example of groups whose means differ more than their own
uncertainties say.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from borewright.learning.groups import Group, fitted, pooled
from tests.published.case import Case, Source, check, each_case

TRIALS = (
    (4, 119, 11, 128),
    (6, 300, 29, 274),
    (3, 228, 11, 209),
    (62, 13536, 248, 12619),
    (33, 5036, 47, 5761),
    (180, 1361, 372, 1079),
    (8, 2537, 10, 619),
    (505, 87886, 499, 87892),
    (29, 7470, 45, 7232),
    (17, 1699, 65, 1600),
    (186, 50448, 141, 27197),
    (5, 2493, 3, 2338),
    (27, 16886, 29, 17825),
)
"""Ill and well with the vaccine, ill and well without."""

OPEN = 1e6
"""Variance of a mean of which nothing is known beforehand."""


@cache
def between() -> tuple[float, float, float]:
    """Ours: the variance between trials, their common mean, and its standard error."""
    groups = [Group(-1, 0)]
    for ill, well, ill_without, well_without in TRIALS:
        ratio = math.log(ill / (ill + well)) - math.log(ill_without / (ill_without + well_without))
        variance = 1 / ill - 1 / (ill + well) + 1 / ill_without - 1 / (ill_without + well_without)
        groups.append(Group(0, 1, np.array([[1.0 / variance]]), np.array([ratio / variance])))
    start = np.array([[OPEN], [1.0]])
    fit = fitted(groups, start, weight=0.0, rounds=2000, still=1e-9)
    mean = pooled(groups, fit)
    return float(fit[1, 0]), float(mean.means[0, 0]), math.sqrt(float(mean.covariances[0, 0, 0]))


SOURCE = Source(
    "viechtbauer2010",
    "Viechtbauer (2010), random effects of thirteen trials",
    (
        Case("Variance between trials", lambda: between()[0], 0.3132, tolerance=5e-5, place="example of the package"),
        Case("Mean logarithm of the risk ratio", lambda: between()[1], -0.7145, tolerance=5e-5, place="the same"),
        Case("Its standard error", lambda: between()[2], 0.1798, tolerance=5e-5, place="the same"),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
