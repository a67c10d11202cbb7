"""How many of several holes may be lost: by errors of their own, and together by one that they have in common."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from borewright.gauging.conformity import normal_cdf, normal_quantile
from borewright.sizing.gaussian import Matrix, Vector

REACH: Final = 8.0
"""So many standard deviations either way the error in common is followed."""

POINTS: Final = 161
"""At so many values of it."""

MOST_SHARED: Final = 0.99
"""No more of a variance than this is taken to be in common: the sum over the common error then is smooth."""

LEAST_ODDS: Final = 1e-12
ROUNDS: Final = 30


@dataclass(frozen=True, slots=True)
class Losses:
    """How many of several holes are lost.

    Args:
        expected: how many, on average.
        any: probability that one or more are.
        several: probability that two or more are.
    """

    expected: float
    any: float
    several: float


def losses(odds: Sequence[float], covariance: Matrix) -> Losses:
    """Count the holes that may be lost, with the errors that they have in common.

    Each error is split into one in common and one of its own, ``e_i = l_i f + u_i``, so that the covariances are met as
    closely as one factor can; given ``f`` the holes are independent, ``p_i(f) = Phi((l_i f - z_i) / sqrt(1 - l_i^2))``,
    and the count follows by a sum over ``f``. Exact where all correlations come from one common error.

    Args:
        odds: probability of each hole to be lost.
        covariance: of their errors, shape (holes, holes).

    Returns:
        The counts.
    """
    bounded = [min(max(one, LEAST_ODDS), 1.0 - LEAST_ODDS) for one in odds]
    edges = [normal_quantile(1.0 - one) for one in bounded]
    shared = in_common(covariance)
    kept = [math.sqrt(1.0 - share * share) for share in shared.tolist()]
    terms = list(zip(shared.tolist(), edges, kept, strict=True))
    step = 2.0 * REACH / (POINTS - 1)
    none = one = 0.0
    for index in range(POINTS):
        f = -REACH + index * step
        weight = step * math.exp(-0.5 * f * f) / math.sqrt(2.0 * math.pi)
        none_now, one_now = _none_and_one([normal_cdf((share * f - edge) / own) for share, edge, own in terms])
        none, one = none + weight * none_now, one + weight * one_now
    return Losses(math.fsum(odds), min(max(1.0 - none, 0.0), 1.0), min(max(1.0 - none - one, 0.0), 1.0))


def in_common(covariance: Matrix) -> Vector:
    """Find how much each of several errors has of the one error in common, as principal factor analysis does.

    The diagonal of the correlations is replaced by what is in common, ``h_i = l_i^2``, and the loadings
    ``l = sqrt(lambda) v`` are taken from its largest eigenvalue, until they no longer change.

    Args:
        covariance: of the errors, shape (holes, holes).

    Returns:
        The loadings, shape (holes,), each between -1 and 1; nothing in common where there is but one hole.
    """
    count = len(covariance)
    if count < 2:
        return np.zeros(count)
    sd = np.sqrt(np.maximum(np.diag(covariance), 1e-18))
    correlation = covariance / sd[:, None] / sd[None, :]
    if count == 2:
        both = float(np.clip(correlation[0, 1], -MOST_SHARED, MOST_SHARED))
        return np.array([math.sqrt(abs(both)), math.copysign(math.sqrt(abs(both)), both)])
    away = np.abs(correlation - np.diag(np.diag(correlation)))
    shares, loadings = away.max(axis=1), np.zeros(count)
    for _ in range(ROUNDS):
        reduced = correlation.copy()
        np.fill_diagonal(reduced, np.minimum(shares, MOST_SHARED))
        values, vectors = np.linalg.eigh(reduced)
        loadings = vectors[:, -1] * math.sqrt(max(float(values[-1]), 0.0))
        before, shares = shares, np.minimum(loadings**2, MOST_SHARED)
        if float(np.abs(shares - before).max()) < 1e-6:
            break
    most = math.sqrt(MOST_SHARED)
    return np.clip(loadings, -most, most)


def _none_and_one(odds: Sequence[float]) -> tuple[float, float]:
    """Return the probability that none, and that exactly one, of independent holes is lost."""
    none, one = 1.0, 0.0
    for each in odds:
        none, one = none * (1.0 - each), one * (1.0 - each) + none * each
    return none, one
