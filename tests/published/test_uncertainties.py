"""A second independent library of uncertainty: every budget's size and first-order uncertainty."""

from __future__ import annotations

from functools import cache

from uncertainties import UFloat, ufloat

from tests.published.budgets import BUDGETS, by_equation
from tests.published.case import Case, Source, check, each_case


@cache
def theirs(name: str) -> tuple[float, float]:
    """Return size and uncertainty that the library finds from the equation and its causes."""
    comparison = BUDGETS[name]
    size: UFloat = by_equation(comparison, {cause.name: ufloat(0.0, cause.u) for cause in comparison.budget().causes})
    return float(size.nominal_value), float(size.std_dev)


def cases(name: str) -> list[Case]:
    """Both cases of one budget; uncertainty to 0.1 %."""
    size, u = theirs(name)
    return [
        Case(
            f"{name}, size",
            lambda: BUDGETS[name].budget().size_mm,
            size,
            tolerance=1e-9,
            unit="mm",
            standing="recomputed",
        ),
        Case(
            f"{name}, u",
            lambda: BUDGETS[name].budget().first_order_mm * 1000.0,
            u * 1000.0,
            tolerance=float(f"{u:.0e}"),
            unit="µm",
            standing="recomputed",
        ),
    ]


SOURCE = Source(
    "uncertainties",
    "uncertainties, a general library of uncertainty",
    tuple(case for name in BUDGETS for case in cases(name)),
)


@each_case(SOURCE)
def test_as_computed(case: Case) -> None:
    check(case)
