"""Groups within groups: a normal model in which each group deviates from the one it belongs to.

    x_root ~ N(0, Q_0),    x_group = x_parent + e,    e ~ N(0, Q_level)

with evidence about some groups. For known variances what is believed of every group follows exactly, by one sweep from
the innermost groups outward, and one back. The variances follow from the evidence by expectation and maximisation, each
held by a weak prior of its own: scaled inverse chi-squared, worth a few groups.

Source: [dempster1977] for expectation and maximisation.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from borewright.sizing.gaussian import Matrix, Vector

PRIOR_GROUPS: Final = 4.0
"""How many groups the prior of a variance is worth. Chosen: four say little once ten are known."""

FEWEST: Final = 3
"""Groups below which a level's variance is left as it was believed."""


@dataclass(frozen=True, slots=True)
class Group:
    """One group.

    Args:
        parent: the place of the group it belongs to in the list; -1 for the first, which holds all others.
        level: the place of its level; groups of one level deviate alike.
        information: evidence about it, shape (d, d), or None.
        linear: the evidence's linear part, shape (d,), or None.
    """

    parent: int
    level: int
    information: Matrix | None = None
    linear: Vector | None = None


@dataclass(frozen=True, slots=True)
class Pooled:
    """What is believed of every group.

    Args:
        means: shape (n, d).
        covariances: shape (n, d, d).
        before_means: what all evidence from outside a group says of it, shape (n, d).
        before_covariances: its covariance, shape (n, d, d).
    """

    means: Matrix
    covariances: Matrix
    before_means: Matrix
    before_covariances: Matrix


def pooled(groups: Sequence[Group], variances: Matrix) -> Pooled:
    """Pool the evidence for known variances.

    Args:
        groups: each after the one it belongs to.
        variances: of the deviations of each level, shape (levels, d).

    Returns:
        What is believed of every group.
    """
    d, identity = variances.shape[1], np.eye(variances.shape[1])
    information, linear = _own(groups, d)
    up_information, up_linear = np.zeros_like(information), np.zeros_like(linear)
    for place in range(len(groups) - 1, 0, -1):
        group = groups[place]
        spread = np.linalg.inv(identity + information[place] * variances[group.level])
        up_information[place], up_linear[place] = spread @ information[place], spread @ linear[place]
        information[group.parent] += up_information[place]
        linear[group.parent] += up_linear[place]
    before_means, before = np.zeros_like(linear), np.zeros_like(information)
    before[0] = np.diag(variances[groups[0].level])
    for place, group in enumerate(groups[1:], 1):
        others = information[group.parent] - up_information[place]
        told = linear[group.parent] - up_linear[place]
        mean, covariance = _told(before_means[group.parent], before[group.parent], others, told)
        before_means[place], before[place] = mean, covariance + np.diag(variances[group.level])
    means, covariances = _told(before_means, before, information, linear)
    return Pooled(means, covariances, before_means, before)


def fitted(
    groups: Sequence[Group],
    variances: Matrix,
    weight: float = PRIOR_GROUPS,
    rounds: int = 25,
    still: float = 0.01,
) -> Matrix:
    """Fit the variances of the levels to the evidence.

    ``V = (w V_0 + sum E[e^2]) / (w + n)``, repeated; with ``w = 0`` and a first group that is open wide this is
    restricted maximum likelihood.

    Args:
        groups: each after the one it belongs to.
        variances: those believed before, shape (levels, d); the first level's stays, and so does a variance of 0.
        weight: how many groups those are worth.
        rounds: how often at most.
        still: share by which no variance may change in a round for it to be the last.

    Returns:
        The variances, shape (levels, d).
    """
    members: dict[int, list[int]] = {}
    for place, group in enumerate(groups[1:], 1):
        members.setdefault(group.level, []).append(place)
    several = {level: places for level, places in members.items() if len(places) >= FEWEST}
    now = variances.copy()
    for _ in range(rounds if several else 0):
        found, before = pooled(groups, now), now.copy()
        for level, places in several.items():
            squares = _deviations_squared(found, places, now[level]).sum(axis=0)
            now[level] = (weight * variances[level] + squares) / (weight + len(places))
        if np.all(np.abs(now - before) <= still * before):
            break
    return now


def _own(groups: Sequence[Group], d: int) -> tuple[Matrix, Vector]:
    information, linear = np.zeros((len(groups), d, d)), np.zeros((len(groups), d))
    for place, group in enumerate(groups):
        if group.information is not None and group.linear is not None:
            information[place], linear[place] = group.information, group.linear
    return information, linear


def _told(mean: Vector, covariance: Matrix, information: Matrix, linear: Vector) -> tuple[Vector, Matrix]:
    """Take evidence into beliefs, one or a stack, that may be sure of some parts: ``C' = (I + C L)^-1 C``."""
    shrink = np.linalg.inv(np.eye(mean.shape[-1]) + covariance @ information)
    narrowed = shrink @ covariance
    told = (shrink @ (mean[..., None] + covariance @ linear[..., None]))[..., 0]
    return told, 0.5 * (narrowed + narrowed.swapaxes(-1, -2))


def _deviations_squared(found: Pooled, places: Sequence[int], variance: Vector) -> Matrix:
    """Return the expected squares of some groups' deviations from those they belong to, shape (n, d)."""
    chosen = list(places)
    before, after = found.before_covariances[chosen], found.covariances[chosen]
    gain = variance[:, None] * np.linalg.pinv(before, hermitian=True)
    mean = np.einsum("nij,nj->ni", gain, found.means[chosen] - found.before_means[chosen])
    spread = variance + np.einsum("nij,njk,nik->ni", gain, after - before, gain)
    squares: Matrix = np.where(variance > 0.0, mean**2 + spread, 0.0)
    return squares
