"""Adjusting, against runs and holes that are drawn."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.running.adjusting import dead_band_run, squared_cost_aim


def test_the_aim_is_where_nothing_near_costs_less() -> None:
    z = np.random.default_rng(6).normal(0.0, 1.0, 400_000)

    def squared_cost(bias: float) -> float:
        off = bias + z
        return float((np.where(off > 0.0, 5.0, 1.0) * off**2).mean())

    bias = squared_cost_aim(5.0)
    assert squared_cost(bias) < min(squared_cost(bias - 0.1), squared_cost(bias + 0.1))


def test_nothing_dear_aims_at_the_middle() -> None:
    assert squared_cost_aim(1.0) == pytest.approx(0.0, abs=1e-12)


def test_a_walk_leaves_its_band_as_drawn_walks_do() -> None:
    rng = np.random.default_rng(7)
    lengths = []
    for _ in range(4000):
        at, steps = 0.0, 0
        while abs(at) <= 2.0:
            at += float(rng.normal())
            steps += 1
        lengths.append(steps)
    assert dead_band_run(2.0) == pytest.approx(float(np.mean(lengths)), rel=0.04)
    assert dead_band_run(2.0, nodes=60) == pytest.approx(dead_band_run(2.0, nodes=30), rel=1e-9)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(EntryError, match="larger than 0"):
        squared_cost_aim(0.0)
    with pytest.raises(EntryError, match="larger than 0"):
        dead_band_run(0.0)
