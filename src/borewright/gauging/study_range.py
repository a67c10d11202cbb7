"""A gauge study by averages and ranges, as it is done with pencil and paper."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray

from borewright.gauging.study import Found, Study, interval_of_sd

MANY_RANGES = 15
"""Above so many ranges their mean is divided by d2 and no longer by d2*. Source: common practice, no source."""


@cache
def range_constants(count: int) -> tuple[float, float]:
    """Return mean and standard deviation of the range of readings from a normal distribution with unit scatter.

    ``P(R <= r) = n integral f(x) [F(x + r) - F(x)]^(n-1) dx``, ``d2 = integral P(R > r) dr`` and
    ``d2^2 + d3^2 = 2 integral r P(R > r) dr``.

    Args:
        count: how many readings n, two or more.

    Returns:
        d2 and d3.

    Source: the distribution of a range, from memory; the tests hold it against drawn ranges and a closed form.
    """
    nodes, weights = np.polynomial.legendre.leggauss(80)
    r, dr = 7.0 * (nodes + 1.0), 7.0 * weights
    x = np.linspace(-8.5, 8.5, 341)
    dx = float(x[1] - x[0])
    density = np.exp(-0.5 * x * x) / math.sqrt(2.0 * math.pi)
    between = _below(x[None, :] + r[:, None]) - _below(x)[None, :]
    more = 1.0 - count * (density * between ** (count - 1)).sum(axis=1) * dx
    d2 = float((dr * more).sum())
    return d2, math.sqrt(2.0 * float((dr * r * more).sum()) - d2 * d2)


def _below(z: NDArray[np.float64]) -> NDArray[np.float64]:
    return 0.5 * np.asarray(np.vectorize(math.erfc)(-z / math.sqrt(2.0)), dtype=np.float64)


def mean_range_factor(count: int, groups: int) -> float:
    """Return what a mean range is divided by to give a standard deviation.

    Args:
        count: readings in each range.
        groups: how many ranges.

    Returns:
        ``d2* = sqrt(d2^2 + d3^2 / groups)``, or d2 above fifteen groups.
    """
    d2, d3 = range_constants(count)
    return d2 if groups > MANY_RANGES else math.sqrt(d2 * d2 + d3 * d3 / groups)


def range_dof(count: int, groups: int) -> float:
    """Return degrees of freedom of a standard deviation by mean range.

    ``1/(2 cv^2)`` with ``cv = d3/(d2 sqrt(groups))``.

    Args:
        count: readings in each range.
        groups: how many ranges.

    Returns:
        The degrees of freedom, those of a chi that scatters as much.
    """
    d2, d3 = range_constants(count)
    return groups * (d2 / d3) ** 2 / 2.0


def by_range(study: Study) -> Found:
    """Find the parts of a study's scatter by averages and ranges.

    ``EV = Rbar/d2(trials)``, ``AV^2 = (X_diff/d2*(people))^2 - EV^2/(parts trials)``, ``PV = R_p/d2*(parts)``.

    Args:
        study: the study.

    Returns:
        What was found.

    Source: common practice, no source; d2 and d2* from their definition. The interval is that of a standard deviation
    with degrees of freedom combined as in [gum] G.4.1.
    """
    table = study.readings_mm
    parts, people, trials = table.shape
    repeat = float(np.ptp(table, axis=2).mean()) / mean_range_factor(trials, parts * people)
    between = float(np.ptp(table.mean(axis=(0, 2)))) / mean_range_factor(people, 1)
    left = between**2 - repeat**2 / (parts * trials)
    reproduce = math.sqrt(max(left, 0.0))
    of_parts = float(np.ptp(table.mean(axis=(1, 2)))) / mean_range_factor(parts, 1)
    gauge = math.hypot(repeat, reproduce)
    repeat_dof, people_dof = range_dof(trials, parts * people), range_dof(people, 1)
    spread = repeat**4 / repeat_dof + reproduce**4 / people_dof
    dof = gauge**4 / spread if spread > 0.0 else repeat_dof
    return Found(
        "average and range",
        repeat,
        reproduce,
        gauge,
        of_parts,
        repeat_dof,
        interval_of_sd(gauge, dof),
        interval_of_sd(repeat, repeat_dof),
        floored=("reproducibility",) if left < 0.0 else (),
        notes=("Ranges cannot see that people take different parts differently.",),
    )
