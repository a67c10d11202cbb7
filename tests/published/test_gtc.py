"""An independent library of uncertainty: every budget's size, first-order uncertainty and degrees of freedom."""

from __future__ import annotations

from functools import cache

import GTC

from borewright.gauging.budget import Budget
from borewright.gauging.comparison import Comparison
from tests.published.budgets import BUDGETS, by_equation
from tests.published.case import Case, Source, check, each_case


@cache
def theirs(name: str) -> tuple[float, float, float]:
    """Return size, uncertainty and degrees of freedom that the library finds from the equation and its causes."""
    comparison = BUDGETS[name]
    inputs = {cause.name: GTC.ureal(0.0, cause.u, cause.dof) for cause in comparison.budget().causes}
    size = by_equation(comparison, inputs)
    return float(GTC.value(size)), float(GTC.uncertainty(size)), float(GTC.dof(size))


def ours(comparison: Comparison) -> Budget:
    """Return our budget without the second order, which the library does not have."""
    whole = comparison.budget()
    return Budget(whole.size_mm, whole.causes, (), whole.confidence)


def cases(name: str) -> list[Case]:
    """The three cases of one budget; uncertainty and degrees of freedom to 0.1 %."""
    size, u, dof = theirs(name)
    found = [
        Case(
            f"{name}, size", lambda: ours(BUDGETS[name]).size_mm, size, tolerance=1e-9, unit="mm", standing="recomputed"
        ),
        Case(
            f"{name}, u",
            lambda: ours(BUDGETS[name]).u_mm * 1000.0,
            u * 1000.0,
            tolerance=float(f"{u:.0e}"),
            unit="µm",
            standing="recomputed",
        ),
    ]
    if dof < 1e6:
        found.append(
            Case(
                f"{name}, degrees of freedom",
                lambda: ours(BUDGETS[name]).dof,
                dof,
                tolerance=float(f"{dof * 0.001:.0e}"),
                standing="recomputed",
            )
        )
    return found


SOURCE = Source("gtc", "GTC, a general library of uncertainty", tuple(case for name in BUDGETS for case in cases(name)))


@each_case(SOURCE)
def test_as_computed(case: Case) -> None:
    check(case)
