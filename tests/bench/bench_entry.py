"""What an entry costs the processor, next to what cannot be spared of it: the plain updates of a covariance.

Processor time and not time that passes: a disk that waits is no work. The bar: an entry within 18 ms of processor where
200 plain dense updates take 4 ms, so within five times those.
"""

from __future__ import annotations

import itertools
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from borewright.shop import acts
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import SIZE
from borewright.web.answers import Pages
from borewright.web.pictures import large_strips, strip_of
from borewright.web.records import Records
from borewright.web.sight import Sight
from tests.soak.__main__ import FIRST_MM, GIVEN, LEFT_BY_PUSH_OFF_MM

UPDATES = 200
ROUNDS = 40

BEFORE: tuple[dict[str, object], ...] = (
    {"event": "set", "diameter": f"{FIRST_MM:.3f}"},
    {"event": "seated"},
    {"event": "passed"},
    {"event": "read", "as_read": f"{FIRST_MM - LEFT_BY_PUSH_OFF_MM:.3f}"},
)
READ: dict[str, object] = {"event": "read", "as_read": f"{FIRST_MM - LEFT_BY_PUSH_OFF_MM + 0.001:.3f}"}

processor = pytest.mark.benchmark(
    group="an entry, its advice and its strips against 200 plain dense updates; processor time",
    timer=time.process_time,
)


class Shop:
    """A record of its own, and bores that wait for the reading after which the next move is advised."""

    def __init__(self, data: Path) -> None:
        self.records = Records(data, demo=False)
        self.sight = Sight(self.records, Pages())
        self.keys = itertools.count()

    def waiting(self) -> str:
        bore = str(acts.open_bore(self.records.shop, GIVEN)["bore"])
        for entry in BEFORE:
            self.enter(bore, entry)
        return bore

    def enter(self, bore: str, entry: dict[str, object]) -> str:
        """Do what the server does for an entry: record it, advise, render the part of the page that shows it."""
        saw = self.records.stand(bore).numbers
        acts.record(self.records.shop, bore, entry, key=str(next(self.keys)), saw=saw, on_advice=True)
        return self.sight.part(bore, self.records.stand(bore), None)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    made = Shop(tmp_path)
    yield made
    made.records.close()


@processor
def bench_entry(benchmark: BenchmarkFixture, shop: Shop) -> None:
    shown = benchmark.pedantic(shop.enter, setup=lambda: ((shop.waiting(), READ), {}), rounds=ROUNDS)
    assert "data-figure" in shown


@processor
def bench_advice(benchmark: BenchmarkFixture) -> None:
    bore = told()
    advice = benchmark.pedantic(bore.advise, rounds=ROUNDS)
    assert advice["action"] == "move_and_cut"


@processor
def bench_strips(benchmark: BenchmarkFixture) -> None:
    bore = told()
    strip = strip_of(bore, "mm", bore.advise(), ())
    assert len(benchmark.pedantic(large_strips, args=(strip,), rounds=ROUNDS)) == 3


@processor
def bench_plain_dense_updates(benchmark: BenchmarkFixture) -> None:
    def update() -> float:
        covariance, carry, row = np.eye(SIZE), np.eye(SIZE), np.ones(SIZE)
        for _ in range(UPDATES):
            covariance = carry @ covariance @ carry.T + 1e-6 * np.eye(SIZE)
            spread = covariance @ row
            covariance = covariance - np.outer(spread, spread) / (row @ spread + 1.0)
        return float(covariance[0, 0])

    assert benchmark.pedantic(update, rounds=ROUNDS) < 1.0


def told() -> Bore:
    """A bore that waits for its next move."""
    bore = Bore.start(GIVEN)
    for entry in (*BEFORE, READ):
        bore.record(entry)
    return bore
