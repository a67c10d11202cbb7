"""How long a bore of 200 events takes to fold, against plain dense updates of a covariance of the same size."""

from __future__ import annotations

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from borewright import Bore
from borewright.record.stream import Event
from borewright.sizing.gaussian import SIZE

EVENTS = 200


def two_hundred_events() -> list[Event]:
    """Return a bore's life, much longer than any real one: passes, readings, temperatures, moves and notes."""
    bore = Bore.start(
        {
            "callout": "40 ±0.008",
            "unit": "mm",
            "hole": {"size": "39.402", "within": "0.016"},
            "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter", "lines_per_turn": 50},
            "gauge": {"step": "0.001", "scatter": "0.0012", "bias": "0.001"},
            "push_off": "0.020",
        }
    )
    bore.record({"event": "set", "diameter": "39.426"})
    count = 3
    while count < EVENTS:
        size = f"{bore.belief.hole_mm:.3f}"
        for entry in (
            {"event": "passed"},
            {"event": "read", "as_read": size},
            {"event": "read", "as_read": size},
            {"event": "temperature", "of": "part", "celsius": "20.5"},
            {"event": "moved", "lines": "+8"},
            {"event": "noted", "text": "chips cleared, film wiped"},
        )[: EVENTS - count]:
            bore.record(entry)
            count += 1
    return [*bore.events("bore"), *bore.events("tool"), *bore.events("gauge")]


@pytest.mark.benchmark(group="belief: cold replay of 200 events against 200 plain dense updates")
def bench_cold_replay(benchmark: BenchmarkFixture) -> None:
    events = two_hundred_events()
    assert len(events) == EVENTS
    bore = benchmark(Bore.from_events, events)
    assert bore.belief.history


@pytest.mark.benchmark(group="belief: cold replay of 200 events against 200 plain dense updates")
def bench_plain_dense_updates(benchmark: BenchmarkFixture) -> None:
    def update() -> float:
        covariance, carry, row = np.eye(SIZE), np.eye(SIZE), np.ones(SIZE)
        for _ in range(EVENTS):
            covariance = carry @ covariance @ carry.T + 1e-6 * np.eye(SIZE)
            spread = covariance @ row
            covariance = covariance - np.outer(spread, spread) / (row @ spread + 1.0)
        return float(covariance[0, 0])

    assert benchmark(update) < 1.0
