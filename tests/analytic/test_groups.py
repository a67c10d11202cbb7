"""Groups within groups: against one whole normal model solved at once, and against closed forms."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.random import default_rng

from borewright.learning.groups import Group, fitted, pooled
from borewright.sizing.gaussian import Matrix, Vector

D = 3
PARENTS = (-1, 0, 0, 1, 1, 2, 3, 3, 4, 5)
LEVELS = (0, 1, 1, 2, 2, 2, 3, 3, 3, 3)


def some_groups() -> tuple[list[Group], Matrix]:
    """A tree of four levels with evidence that says of each leaf but two of three parts, and part of a level sure."""
    draws = default_rng(4)
    groups = []
    for parent, level in zip(PARENTS, LEVELS, strict=True):
        if level < 3:
            groups.append(Group(parent, level))
            continue
        rows = draws.normal(size=(2, D))
        groups.append(Group(parent, level, rows.T @ rows, draws.normal(size=2) @ rows))
    variances = draws.uniform(0.3, 2.0, (4, D))
    variances[2, 1] = 0.0
    return groups, variances


def solved_at_once(groups: list[Group], variances: Matrix) -> tuple[Vector, Matrix]:
    """Solve for all deviations at once, in the form that has them as unknowns: ``C = (I + Q L)^-1 Q``."""
    n = len(groups)
    ways = np.zeros((n * D, n * D))
    information, linear = np.zeros((n * D, n * D)), np.zeros(n * D)
    for place, group in enumerate(groups):
        here = slice(place * D, place * D + D)
        step = place
        while step >= 0:
            ways[here, step * D : step * D + D] = np.eye(D)
            step = groups[step].parent
        if group.information is not None and group.linear is not None:
            information[here, here], linear[here] = group.information, group.linear
    q = np.diag(np.concatenate([variances[group.level] for group in groups]))
    deviations = np.linalg.inv(np.eye(n * D) + q @ ways.T @ information @ ways) @ q
    return ways @ deviations @ ways.T @ linear, ways @ deviations @ ways.T


def test_two_sweeps_give_what_one_large_solution_gives() -> None:
    groups, variances = some_groups()
    found = pooled(groups, variances)
    mean, covariance = solved_at_once(groups, variances)
    for place in range(len(groups)):
        here = slice(place * D, place * D + D)
        np.testing.assert_allclose(found.means[place], mean[here], rtol=0, atol=1e-10)
        np.testing.assert_allclose(found.covariances[place], covariance[here, here], rtol=0, atol=1e-10)


def test_a_variance_is_fitted_where_its_own_expectation_is() -> None:
    """The fixed point: ``V (w + n) = w V0 + sum E[e^2]``, with the deviations' moments from the large solution."""
    groups, start = some_groups()
    fit = fitted(groups, start, weight=4.0, rounds=4000, still=1e-12)
    mean, covariance = solved_at_once(groups, fit)
    for level in (2, 3):
        squares = np.zeros(D)
        members = [place for place, group in enumerate(groups) if group.level == level]
        for place in members:
            up = groups[place].parent
            turn = np.zeros((D, len(groups) * D))
            turn[:, place * D : place * D + D], turn[:, up * D : up * D + D] = np.eye(D), -np.eye(D)
            squares += (turn @ mean) ** 2 + np.diag(turn @ covariance @ turn.T)
        wanted = (4.0 * start[level] + squares) / (4.0 + len(members))
        open_ = start[level] > 0.0
        np.testing.assert_allclose(fit[level][open_], wanted[open_], rtol=1e-6)
    assert fit[2, 1] == 0.0
    np.testing.assert_array_equal(fit[:2], start[:2])


def test_a_balanced_series_has_the_variance_of_the_textbook() -> None:
    """Equal groups with one known error variance: restricted maximum likelihood is ``s^2 - v``.

    Source: [dempster1977], as a closed form: the likelihood depends on V + v alone.
    """
    values, error = default_rng(8).normal(0.0, 1.5, 12), 0.4
    groups = [Group(-1, 0), *(Group(0, 1, np.array([[1 / error]]), np.array([v / error])) for v in values)]
    fit = fitted(groups, np.array([[1e8], [1.0]]), weight=0.0, rounds=5000, still=1e-12)
    assert fit[1, 0] == pytest.approx(values.var(ddof=1) - error, rel=1e-5)


def test_without_evidence_a_variance_stays_as_it_was_believed() -> None:
    groups = [Group(-1, 0), *(Group(0, 1) for _ in range(5))]
    start = np.array([[2.0, 0.0], [3.0, 1.0]])
    np.testing.assert_allclose(fitted(groups, start), start)
    found = pooled(groups, start)
    np.testing.assert_allclose(found.covariances[1], np.diag([5.0, 1.0]))
