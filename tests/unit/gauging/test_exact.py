"""Sums of squares and lines that lose no digit."""

from __future__ import annotations

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from borewright.errors import EntryError
from borewright.gauging.exact import exact, one_way, scatter_alike, straight_line

VALUES = st.lists(st.floats(-100.0, 100.0).map(lambda x: round(x, 3)), min_size=3, max_size=8)


@given(st.lists(VALUES, min_size=2, max_size=5))
def test_one_way_is_that_of_a_general_library(groups: list[list[float]]) -> None:
    ours = one_way(groups)
    if ours.within < 1e-3 or ours.between < 1e-3:
        return
    theirs = stats.f_oneway(*groups)
    assert ours.f == pytest.approx(float(theirs.statistic), rel=1e-7)
    assert ours.chance == pytest.approx(float(theirs.pvalue), rel=1e-6, abs=1e-12)


def test_a_reading_keeps_its_last_digit_on_whatever_it_sits() -> None:
    small = [[Decimal("0.4"), Decimal("0.3")], [Decimal("0.5"), Decimal("0.7")]]
    large = [[each + 1_000_000_000_000 for each in group] for group in small]
    assert one_way(small) == one_way(large)


def test_nothing_within_is_infinitely_apart() -> None:
    found = one_way([[1.0, 1.0], [2.0, 2.0]])
    assert math.isinf(found.f)
    assert found.chance == 0.0
    assert found.within_sd == 0.0


def test_a_line_is_that_of_a_general_library() -> None:
    rng = np.random.default_rng(1)
    points = [(float(x), float(y)) for x, y in rng.normal(0.0, 1.0, (20, 2))]
    ours, theirs = straight_line(points), stats.linregress([x for x, _ in points], [y for _, y in points])
    assert ours.slope == pytest.approx(float(theirs.slope), rel=1e-12)
    assert ours.start == pytest.approx(float(theirs.intercept), rel=1e-12)
    assert straight_line([(0.0, 1.0), (1.0, 3.0)]).residual_sd == 0.0


def test_bartlett_is_that_of_a_general_library() -> None:
    rng = np.random.default_rng(1)
    groups = [list(map(float, rng.normal(0.0, s, 7))) for s in (1.0, 1.5, 2.0)]
    theirs = stats.bartlett(*groups)
    assert scatter_alike(groups).statistic == pytest.approx(float(theirs.statistic), rel=1e-9)
    assert scatter_alike(groups).chance == pytest.approx(float(theirs.pvalue), rel=1e-9)


def test_too_little_is_refused() -> None:
    for groups in ([[1.0, 2.0]], [[1.0], [2.0]], [[1.0, 2.0], []]):
        with pytest.raises(EntryError, match="Two groups"):
            one_way(groups)
    with pytest.raises(EntryError, match="two places"):
        straight_line([(1.0, 2.0), (1.0, 3.0)])
    with pytest.raises(EntryError, match="readings that differ"):
        scatter_alike([[1.0, 1.0], [1.0, 2.0]])
    with pytest.raises(EntryError, match="Two groups"):
        scatter_alike([[1.0, 2.0]])
    with pytest.raises(EntryError, match="no number"):
        exact(math.nan)
