"""The soak clock, and what waiting is worth."""

from __future__ import annotations

import math

import pytest

from borewright.errors import EntryError
from borewright.gauging.soak import Waiting, soak_clock


def test_the_clock_goes_through_both_temperatures() -> None:
    clock = soak_clock(30.0, 26.0, 10.0, 20.0, 0.05)
    assert clock.minutes == pytest.approx(10.0 / math.log(10.0 / 6.0))
    assert clock.after(0.0)[0] == 26.0
    assert clock.after(-10.0)[0] == pytest.approx(30.0)
    assert clock.until(6.0) == 0.0
    assert clock.after(clock.until(0.5))[0] == pytest.approx(20.5)


def test_its_doubt_is_that_of_the_three_temperatures() -> None:
    u, step = 0.05, 1e-4
    clock = soak_clock(30.0, 26.0, 10.0, 20.0, u)
    slopes = [
        (math.log(soak_clock(30.0 + a, 26.0 + b, 10.0, 20.0 + c, u).minutes) - math.log(clock.minutes)) / step
        for a, b, c in ((step, 0, 0), (0, step, 0), (0, 0, step))
    ]
    assert clock.u_ln == pytest.approx(u * math.hypot(*slopes), rel=1e-3)


@pytest.mark.parametrize(
    ("first", "second", "minutes", "says"),
    [
        (30.0, 26.0, 0.0, "some minutes"),
        (26.0, 30.0, 5.0, "come nearer"),
        (26.0, 19.0, 5.0, "not past it"),
        (-26.0, 24.0, 5.0, "not past it"),
        (24.0, 23.9, 5.0, "too near to each other"),
    ],
)
def test_what_no_part_does_is_refused(first: float, second: float, minutes: float, says: str) -> None:
    with pytest.raises(EntryError, match=says):
        soak_clock(first, second, minutes, 20.0)
    with pytest.raises(EntryError, match="never quite"):
        soak_clock(30.0, 26.0, 10.0, 20.0).until(0.0)


def test_waiting_buys_certainty() -> None:
    clock = soak_clock(34.0, 29.0, 8.0, 20.0, 0.3)
    waiting = Waiting(120.0025, 0.0012, 120.0, 120.022, 23.1e-6, 0.8e-6, 0.4)
    lines = waiting.table(clock, (0.0, 15.0, 60.0, 120.0))
    widths = [line.u_mm for line in lines]
    assert widths == sorted(widths, reverse=True)
    assert lines[0].proves == 0.0
    assert lines[-1].proves > 0.5
    assert lines[-1].u_mm < 0.0015
    assert [line.minutes for line in lines] == [0.0, 15.0, 60.0, 120.0]


def test_waiting_shows_nothing_where_the_gauge_cannot() -> None:
    clock = soak_clock(34.0, 29.0, 8.0, 20.0, 0.3)
    waiting = Waiting(120.004, 0.01, 120.0, 120.022, 23.1e-6, 0.8e-6, 0.4)
    assert waiting.table(clock, (60.0,))[0].proves == 0.0
