"""What is written down of a reading, and the four ways it goes wrong."""

from __future__ import annotations

from collections import Counter

import numpy as np

from borewright.rehearsal.gauge import BLUNDERS, Entry, written_down
from tests.unit.rehearsal.four_sigma import assert_mean

MASTER = 60_000
COUNTS = 59_873


def blundered(times: int) -> list[Entry]:
    return [written_down(COUNTS, MASTER, 1.0, np.random.default_rng(seed)) for seed in range(times)]


def test_what_is_read_right_is_written_down_as_it_is() -> None:
    for seed in range(100):
        assert written_down(COUNTS, MASTER, 0.0, np.random.default_rng(seed)) == Entry(COUNTS)


def test_each_blunder_happens_as_often_as_the_others() -> None:
    counted = Counter(entry.blunder for entry in blundered(2000))
    assert set(counted) == set(BLUNDERS)
    assert min(counted.values()) > 500 - 4 * (2000 * 0.25 * 0.75) ** 0.5


def test_each_blunder_is_what_it_is_called() -> None:
    off: dict[str, set[int]] = {blunder: set() for blunder in BLUNDERS}
    for entry in blundered(2000):
        off[entry.blunder].add(entry.counts - COUNTS)
    assert off["a turn"] == {-200, 200}
    assert off["ten lines"] == {-10, 10}
    assert off["sign"] == {2 * (MASTER - COUNTS)}
    for change in off["one digit"]:
        assert change != 0
        wrong = str(COUNTS + change)
        assert len(wrong) == len(str(COUNTS))
        assert sum(a != b for a, b in zip(wrong, str(COUNTS), strict=True)) == 1
    assert len(off["one digit"]) == 4 * 9


def test_a_reading_draws_as_much_blundered_as_not() -> None:
    after = []
    for misread in (0.0, 1.0):
        draws = np.random.default_rng(5)
        written_down(COUNTS, MASTER, misread, draws)
        after.append(draws.random())
    assert after[0] == after[1]


def test_readings_go_wrong_as_often_as_said() -> None:
    draws = np.random.default_rng(21)
    entries = [written_down(COUNTS, MASTER, 0.004, draws) for _ in range(40_000)]
    assert_mean((float(bool(entry.blunder)) for entry in entries), 0.004, sharp=0.0015)
