"""Distributions for degrees of freedom that need not be whole, held against a general library."""

from __future__ import annotations

import math

import pytest
from scipy import stats

from borewright.errors import EntryError
from borewright.gauging.quantiles import (
    chi_squared_cdf,
    chi_squared_quantile,
    f_cdf,
    student_cdf,
    student_quantile,
)

DOFS = (0.7, 1.0, 2.0, 2.5, 5.0, 16.7, 60.0, 1234.5)
SHARES = (0.001, 0.025, 0.3, 0.5, 0.8, 0.975, 0.995, 0.9999)


@pytest.mark.parametrize("dof", DOFS)
@pytest.mark.parametrize("share", SHARES)
def test_student(share: float, dof: float) -> None:
    assert student_quantile(share, dof) == pytest.approx(float(stats.t.ppf(share, dof)), rel=1e-9, abs=1e-12)
    assert student_cdf(student_quantile(share, dof), dof) == pytest.approx(share, rel=1e-9)


def test_student_without_end_is_normal() -> None:
    assert student_quantile(0.975, math.inf) == pytest.approx(1.959963984540054, rel=1e-12)
    assert student_cdf(1.0, math.inf) == pytest.approx(0.8413447460685429, rel=1e-12)


@pytest.mark.parametrize("dof", DOFS)
@pytest.mark.parametrize("share", SHARES)
def test_chi_squared(share: float, dof: float) -> None:
    found = chi_squared_quantile(share, dof)
    assert found == pytest.approx(float(stats.chi2.ppf(share, dof)), rel=1e-8)
    assert chi_squared_cdf(found, dof) == pytest.approx(share, rel=1e-9)


@pytest.mark.parametrize(
    ("x", "above", "below"), [(1.18, 4.0, 20.0), (0.2, 1.0, 46.0), (21.0, 8.0, 180.0), (0.0, 2.0, 9.0)]
)
def test_f(x: float, above: float, below: float) -> None:
    assert f_cdf(x, above, below) == pytest.approx(float(stats.f.cdf(x, above, below)), rel=1e-11, abs=1e-15)


@pytest.mark.parametrize("quantile", [student_quantile, chi_squared_quantile])
def test_degrees_of_freedom_are_needed(quantile: type) -> None:
    with pytest.raises(EntryError, match="larger than 0"):
        quantile(0.9, 0.0)
