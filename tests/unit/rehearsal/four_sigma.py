"""Means of drawn numbers against what they should be, within four of their own standard errors."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np


def assert_mean(values: Iterable[float], expected: float, *, sharp: float = math.inf) -> None:
    """Check a mean, and that the check is sharp enough to have failed.

    Args:
        values: what was drawn, independent.
        expected: the mean it should have.
        sharp: what four standard errors must stay below, so that a wrong mean further off than this fails.
    """
    drawn = np.asarray(list(values), dtype=float)
    four = 4.0 * float(drawn.std(ddof=1)) / math.sqrt(drawn.size)
    assert four < sharp, f"{drawn.size} draws only tell {four:g}"
    assert abs(float(drawn.mean()) - expected) <= four, f"{drawn.mean():g} is not {expected:g} within {four:g}"


def assert_normal(values: Iterable[float], sd: float) -> None:
    """Check that draws have mean nothing and a standard deviation, sharp to a tenth of the variance.

    Args:
        values: what was drawn, independent.
        sd: the standard deviation they should have.
    """
    standard = [value / sd for value in values]
    assert_mean(standard, 0.0, sharp=0.1)
    assert_mean((value * value for value in standard), 1.0, sharp=0.2)


def assert_even(values: Iterable[float], ends: tuple[float, float]) -> None:
    """Check that draws are even between two ends.

    Args:
        values: what was drawn, independent.
        ends: the two ends.
    """
    low, high = ends
    unit = [(value - low) / (high - low) for value in values]
    assert min(unit) >= 0.0
    assert max(unit) <= 1.0
    assert min(unit) < 0.01
    assert max(unit) > 0.99
    assert_mean(unit, 0.5, sharp=0.03)
    assert_mean((value * value for value in unit), 1.0 / 3.0, sharp=0.03)
