"""Monte Carlo: the same model drawn, and when it stands still."""

from __future__ import annotations

import math

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.gauging.budget import SHAPES, Cause
from borewright.gauging.comparison import Comparison
from borewright.gauging.draws import draw_cause, draw_size, tolerance
from tests.published.budgets import BUDGETS


@pytest.mark.parametrize("shape", SHAPES)
def test_each_shape_has_its_standard_uncertainty(shape: str) -> None:
    cause = Cause("a", 2.0, shape=shape)  # type: ignore[arg-type]  # one of the shapes
    draws = draw_cause(cause, np.random.default_rng(3), 400_000)
    assert draws.mean() == pytest.approx(0.0, abs=0.02)
    assert draws.std() == pytest.approx(2.0, rel=0.005)


def test_few_degrees_of_freedom_widen() -> None:
    rng = np.random.default_rng(3)
    t = draw_cause(Cause("a", 1.0, dof=6.0), rng, 400_000)
    assert t.std() == pytest.approx(math.sqrt(6.0 / 4.0), rel=0.01)
    loose = draw_cause(Cause("a", 1.0, shape="uniform", dof=2.0), rng, 400_000)
    half = math.sqrt(3.0)
    give = half / math.sqrt(4.0)
    assert np.abs(loose).max() <= half + give
    assert np.abs(loose).max() > half
    assert loose.std() == pytest.approx(math.sqrt(1.0 + give**2 / 9.0), rel=0.005)


FEW = {"gauge block", "two-point inside micrometer"}
"""Budgets that rest on two degrees of freedom: there the closed form is too narrow."""


@pytest.mark.parametrize("name", sorted(FEW))
def test_budget_that_rests_on_two_degrees_of_freedom_is_too_narrow(name: str) -> None:
    drawn = draw_size(BUDGETS[name], np.random.default_rng(5), most=400_000)
    assert drawn.u_mm > 1.02 * BUDGETS[name].budget().u_mm


@pytest.mark.parametrize("name", [name for name in BUDGETS if name not in FEW])
def test_budget_in_closed_form_agrees_where_the_model_is_nearly_straight(name: str) -> None:
    comparison = BUDGETS[name]
    drawn = draw_size(comparison, np.random.default_rng(5), most=400_000, digits=1)
    budget = comparison.budget()
    assert drawn.mean_mm == pytest.approx(budget.size_mm, abs=0.02 * budget.u_mm)
    assert drawn.settled
    half = 0.5 * (drawn.high_mm - drawn.low_mm)
    assert half == pytest.approx(budget.expanded_mm, rel=0.12)


def test_the_same_seed_gives_the_same_draws() -> None:
    comparison = BUDGETS["bore on a ring"]
    first, second = (draw_size(comparison, np.random.default_rng(9), digits=1) for _ in range(2))
    assert first == second


def test_it_stops_when_it_stands_still_and_says_when_it_does_not() -> None:
    comparison = BUDGETS["bore on a ring"]
    loose = draw_size(comparison, np.random.default_rng(9), digits=1)
    assert loose.settled
    assert loose.draws < 1_000_000
    tight = draw_size(comparison, np.random.default_rng(9), most=200_000, digits=4)
    assert not tight.settled
    assert tight.draws == 200_000


def test_settled_figures_are_as_settled_as_they_say() -> None:
    comparison = Comparison(master_mm=50.0, u_master_mm=0.0012)
    means = [
        draw_size(comparison, np.random.default_rng(seed), most=200_000, all_of_them=True).mean_mm for seed in range(30)
    ]
    assert float(np.std(means)) == pytest.approx(0.0012 / math.sqrt(200_000), rel=0.4)


def test_tolerance_is_half_a_unit_of_the_last_digit() -> None:
    assert tolerance(36.0, 2) == 0.5
    assert tolerance(0.00087, 2) == pytest.approx(0.000005)
    with pytest.raises(EntryError, match="nothing to draw"):
        tolerance(0.0, 2)


def test_too_few_draws_are_refused() -> None:
    with pytest.raises(EntryError, match="too few"):
        draw_size(BUDGETS["bore on a ring"], np.random.default_rng(1), most=1000)
