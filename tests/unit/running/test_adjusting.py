"""Adjusting, against runs and holes that are drawn."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.running.adjusting import (
    dead_band_run,
    harmonic_gains,
    known_gains,
    mean_squared_deviation,
    recut_aim,
    recut_cost,
    squared_cost_aim,
    step_cost_aim,
)


def test_a_run_deviates_as_drawn_runs_do() -> None:
    rng, gains = np.random.default_rng(5), harmonic_gains(8)
    offset, squares = np.full(40_000, 2.0), 0.0
    for gain in gains:
        seen = offset + rng.normal(0.0, 1.0, len(offset))
        squares += float((seen**2).mean()) / len(gains)
        offset = offset - gain * seen
    assert mean_squared_deviation(2.0, 1.0, gains) == pytest.approx(squares, rel=0.02)


def test_a_known_width_shrinks_the_gains_and_an_unknown_one_does_not() -> None:
    assert known_gains(4, 1e6, 1.0) == pytest.approx(harmonic_gains(4))
    assert known_gains(4, 0.5, 1.0) < harmonic_gains(4)


def test_aims_are_where_nothing_near_costs_less() -> None:
    z = np.random.default_rng(6).normal(0.0, 1.0, 400_000)

    def step_cost(aim: float) -> float:
        cut = aim + 5.0 * z
        return float(10.0 * (cut > 30.0).mean() + (cut < 0.0).mean())

    def squared_cost(bias: float) -> float:
        off = bias + z
        return float((np.where(off > 0.0, 5.0, 1.0) * off**2).mean())

    best = step_cost_aim(30.0, 5.0, 10.0)
    assert step_cost(best) < min(step_cost(best - 2.0), step_cost(best + 2.0))
    bias = squared_cost_aim(5.0)
    assert squared_cost(bias) < min(squared_cost(bias - 0.1), squared_cost(bias + 0.1))
    aim, cost = recut_aim(30.0, 8.0, 1.0, 50.0)
    assert cost < min(recut_cost(aim - 0.5, 30.0, 8.0, 1.0, 50.0), recut_cost(aim + 0.5, 30.0, 8.0, 1.0, 50.0))


def test_nothing_dear_aims_at_the_middle() -> None:
    assert step_cost_aim(30.0, 5.0, 1.0) == 15.0
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
        step_cost_aim(0.0, 1.0, 1.0)
    with pytest.raises(EntryError, match="larger than 0"):
        squared_cost_aim(0.0)
    with pytest.raises(EntryError, match="larger than 0"):
        dead_band_run(0.0)
    with pytest.raises(EntryError, match="needs no rule"):
        known_gains(3, 0.0, 1.0)
