"""Intervals, against what they promise and against values worked out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.random import default_rng

from borewright.rehearsal.intervals import Figure, between, ratio, resampled, share


def test_a_share_of_nothing_and_of_everything_keeps_an_interval() -> None:
    """Wilson's ends where nothing was hit are 0 and z^2/(n + z^2)."""
    none, every = share(0, 100), share(100, 100)
    square = 1.959964**2
    assert (none.value, none.low, every.high) == (0.0, 0.0, 1.0)
    assert none.high == pytest.approx(square / (100 + square))
    assert every.low == pytest.approx(100 / (100 + square))


@pytest.mark.parametrize("true", [0.02, 0.3])
def test_a_share_lies_in_its_interval_95_times_in_100(true: float) -> None:
    hits = default_rng(1).binomial(300, true, 4000)
    held = np.mean([share(int(each), 300).low <= true <= share(int(each), 300).high for each in hits])
    assert held == pytest.approx(0.95, abs=0.02)


def test_resampled_means_scatter_as_means_do_and_keep_rows_together() -> None:
    draws = default_rng(2)
    column = draws.standard_normal(500)
    drawn = resampled(np.column_stack([column, 2.0 * column]), draws)
    assert drawn[:, 0].std() == pytest.approx(column.std() / math.sqrt(500), rel=0.08)
    np.testing.assert_allclose(drawn[:, 1], 2.0 * drawn[:, 0], rtol=1e-12)


def test_a_ratio_is_bounded_only_where_its_denominator_is_above_nothing() -> None:
    drawn = np.linspace(1.0, 3.0, 2001)
    bounded = ratio(1.0, 2.0, 0.5 * drawn, drawn)
    assert [bounded.value, bounded.low, bounded.high] == pytest.approx([0.5] * 3)
    assert ratio(1.0, 2.0, drawn, drawn - 1.5) == Figure(0.5, -math.inf, math.inf)
    assert math.isnan(ratio(1.0, -2.0, drawn, drawn).value)


def test_figures_are_plain_and_come_back() -> None:
    figure = between(2.0, np.linspace(0.0, 4.0, 401))
    assert figure.plain() == {"value": 2.0, "low": 0.1, "high": 3.9}
    assert Figure.read(figure.plain()) == figure
    open_ended = Figure(1.0, -math.inf, math.inf)
    assert open_ended.plain() == {"value": 1.0, "low": None, "high": None}
    assert Figure.read(open_ended.plain()) == open_ended
