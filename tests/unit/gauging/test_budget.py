"""Budgets: what causes come to together."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.errors import EntryError
from borewright.gauging.budget import Budget, Cause, Pair, pooled, scatter_of


def test_rows_sum_to_the_whole() -> None:
    budget = Budget(50.0, (Cause("a", 0.003), Cause("b", 2.0, 0.002, "K"), Cause("c", 0.0)), (Pair("a", "b", 0.6),))
    rows = budget.rows()
    assert [row.name for row in rows] == ["b", "a × b", "a"]
    assert math.fsum(row.share for row in rows) == pytest.approx(1.0)
    assert budget.first_order_mm == pytest.approx(0.005)
    assert budget.u_mm == pytest.approx(math.hypot(0.005, 0.0036))


def test_degrees_of_freedom_are_between_the_fewest_and_all() -> None:
    alike = Budget(1.0, (Cause("a", 1.0, dof=4), Cause("b", 1.0, dof=4)))
    assert alike.dof == pytest.approx(8.0)
    one = Budget(1.0, (Cause("a", 1.0, dof=4), Cause("b", 1e-9, dof=1)))
    assert one.dof == pytest.approx(4.0)
    assert math.isinf(Budget(1.0, (Cause("a", 1.0),)).dof)


def test_factor_is_that_of_students_t_on_whole_degrees() -> None:
    budget = Budget(1.0, (Cause("a", 1.0, dof=16.7),), confidence=0.99)
    assert budget.factor == pytest.approx(2.9208, abs=5e-5)
    assert Budget(1.0, (Cause("a", 1.0),)).factor == pytest.approx(1.95996, abs=5e-6)
    assert budget.expanded_mm == budget.factor * budget.u_mm


def test_one_name_one_cause() -> None:
    with pytest.raises(EntryError, match="once"):
        Budget(1.0, (Cause("a", 1.0), Cause("a", 2.0)))


@pytest.mark.parametrize("u", [-1.0, math.nan, math.inf])
def test_an_uncertainty_is_a_number_of_nothing_or_more(u: float) -> None:
    with pytest.raises(EntryError, match="0 or larger"):
        Cause("a", u)


def test_degrees_of_freedom_and_confidence_are_checked() -> None:
    with pytest.raises(EntryError, match="Degrees of freedom"):
        Cause("a", 1.0, dof=0.0)
    with pytest.raises(EntryError, match="confidence"):
        Budget(1.0, (), confidence=1.0)


@given(st.lists(st.tuples(st.floats(0.0, 1.0), st.floats(1.0, 50.0)), min_size=1, max_size=6))
def test_a_pooled_scatter_lies_between_its_own(scatters: list[tuple[float, float]]) -> None:
    s, dof = pooled(scatters)
    assert min(x for x, _ in scatters) - 1e-12 <= s <= max(x for x, _ in scatters) + 1e-12
    assert dof == pytest.approx(math.fsum(d for _, d in scatters))


def test_a_scatter_known_for_good_is_not_moved_by_few() -> None:
    assert pooled([(1.0, math.inf), (3.0, 4.0)]) == (1.0, math.inf)
    with pytest.raises(EntryError):
        pooled([])


def test_scatter_of_readings() -> None:
    assert scatter_of([1.0, 2.0, 3.0]) == (1.0, 2.0)
    with pytest.raises(EntryError, match="at least two"):
        scatter_of([1.0])
