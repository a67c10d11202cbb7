"""How long the engine takes to think, alone on the machine; a part of `make bench`.

The bars, on two cores: one update of the belief within 2 ms; advice with its full look-ahead within 50 ms, 95 times in
100; plans side by side within 500 ms; 1,000 advised rehearsed bores within 60 s; 100,000 of equal passes within 10 s.
Beside each time stands what it is in plain updates of a dense covariance of the same size, taken in the same run.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Mapping
from functools import partial
from typing import Final

import numpy as np

from borewright.cli.spread import spread
from borewright.rehearsal.advised import follow, start_of
from borewright.rehearsal.compare import ADVICE, PRACTICE, Task, size_all, tasks_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import SIZE

SEEDS: Final = range(1, 6)
ADVISED, PLAIN = 1_000, 100_000
MOST_LOOKS: Final = 60
UPDATES: Final = 2_000


def main() -> None:
    """Play bores of every kind, time what the engine does on the way, then whole bores on all processors."""
    plain_s = dense_update()
    print(f"\na plain update of a dense covariance of {SIZE} states: {1e6 * plain_s:.1f} µs")
    times: dict[str, list[float]] = {"an entry of a reading": [], "advice": [], "plans side by side": []}
    for kind in KINDS.values():
        for seed in SEEDS:
            play(Truth.draw(kind, seed), times)
    for what, taken in times.items():
        print(f"  {told(taken, plain_s)}  {what}")
    print("  the bars are 2 ms, a p95 of 50 ms, and 500 ms")
    workers = os.cpu_count() or 1
    for policy, bores in ((ADVICE, ADVISED), (PRACTICE, PLAIN)):
        tasks = list(tasks_of(tuple(KINDS), bores // len(KINDS), 1, (policy,)))
        all_s = timed(partial(_size, tasks, workers))
        print(f"  {all_s:8.1f} s  {len(tasks)} bores, {policy}, {workers} processes")
    print("  the bars are 60 s and 10 s")


def _size(tasks: list[Task], workers: int) -> int:
    return sum(1 for _ in spread(size_all, tasks, workers))


def play(truth: Truth, times: Mapping[str, list[float]]) -> None:
    """Size a rehearsed bore by the advice, timing each entry of a reading, each advice and each comparison.

    Args:
        truth: the machine.
        times: where the seconds go.
    """
    bore = Bore.start(start_of(truth.told()))
    for _ in range(MOST_LOOKS):
        begun = time.perf_counter()
        advice = bore.advise()
        times["advice"].append(time.perf_counter() - begun)
        if advice["action"] in {"release", "quarantine"}:
            return
        if advice["action"] in {"set", "move_and_cut"}:
            times["plans side by side"].append(timed(bore.plans))
        for entry in follow(truth, advice):
            taken = timed(partial(bore.record, entry))
            if entry["event"] == "read":
                times["an entry of a reading"].append(taken)


def dense_update() -> float:
    """Time one plain update: carry a covariance, add noise, take in a reading.

    Returns:
        Seconds each.
    """
    carry, row = np.eye(SIZE), np.ones(SIZE)

    def update() -> None:
        covariance = np.eye(SIZE)
        for _ in range(UPDATES):
            covariance = carry @ covariance @ carry.T + 1e-6 * np.eye(SIZE)
            spread_ = covariance @ row
            covariance = covariance - np.outer(spread_, spread_) / (row @ spread_ + 1.0)

    return min(timed(update) for _ in range(5)) / UPDATES


def timed(act: Callable[[], object]) -> float:
    """Time an act.

    Args:
        act: the act.

    Returns:
        Seconds.
    """
    begun = time.perf_counter()
    act()
    return time.perf_counter() - begun


def told(times_s: list[float], plain_s: float) -> str:
    """Say how long something took.

    Args:
        times_s: each time, s.
        plain_s: a plain update, s.

    Returns:
        How many, median, 95th in 100, longest, and the median in plain updates.
    """
    ordered = sorted(times_s)
    p50, p95 = (ordered[min(int(share * len(ordered)), len(ordered) - 1)] for share in (0.5, 0.95))
    shown = f"p50 {1e3 * p50:7.2f} ms   p95 {1e3 * p95:7.2f} ms   max {1e3 * ordered[-1]:7.2f} ms"
    return f"{len(ordered):>5}   {shown}   {p50 / plain_s:6.0f} plain updates"


if __name__ == "__main__":
    main()
