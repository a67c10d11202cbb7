"""A thin wall springs when its clamps are let go: the hole out of them is another, and what was seen of it is kept."""

from __future__ import annotations

import math
from typing import Any

import pytest

from borewright.sizing.gaussian import State
from tests.unit.sizing.plain import bore, expected_reading_mm, read, setting

CUT = (*setting(39.92), {"event": "passed"})
THIN: dict[str, Any] = {"clamps": "0.005 mm"}


def test_out_of_its_clamps_a_thin_wall_is_wider_known() -> None:
    worked = bore(*CUT, **THIN)
    sd, oval = worked.belief.now.sd(State.HOLE), worked.belief.now.sd(State.OVAL_0)
    worked.record({"event": "unclamped"})
    assert worked.belief.now.sd(State.HOLE) == pytest.approx(math.hypot(sd, 0.005))
    assert worked.belief.now.sd(State.OVAL_0) == pytest.approx(math.hypot(oval, 0.005 * math.sqrt(0.5)))


def test_a_stiff_part_does_not_mind() -> None:
    worked = bore(*CUT)
    before = worked.belief.now
    worked.record({"event": "unclamped"})
    assert worked.belief.now is before
    assert not worked.belief.clamped


def test_what_it_springs_is_read_out_of_the_clamps_and_kept() -> None:
    worked = bore(*CUT, **THIN)
    held = round(expected_reading_mm(worked), 3)
    for entry in (read(held), read(held), {"event": "unclamped"}, read(held - 0.006), read(held - 0.006)):
        worked.record(entry)
    assert worked.belief.now.at(State.SPRING) == pytest.approx(-0.006, abs=0.0012)
    assert worked.belief.now.sd(State.SPRING) < 0.002
    worked.record({"event": "clamped"})
    assert worked.belief.hole_mm == pytest.approx(held, abs=0.0012)
    # Clamped twice is clamped.
    now = worked.belief.now
    worked.record({"event": "clamped"})
    assert worked.belief.now is now


def test_odds_are_of_the_hole_out_of_its_clamps() -> None:
    """Held, the hole lies 4 µm under the limit and is known well; out of the clamps it may be over."""
    odds = []
    for told in ({}, THIN):
        worked = bore(*setting(40.02), {"event": "passed"}, **told)
        off = 40.004 - expected_reading_mm(worked)
        for _ in range(6):
            worked.record(read(round(40.004, 3)))
        said: Any = worked.advise()
        odds.append(said["odds"]["oversize"])
        assert abs(off) < 0.03
    assert odds[1] > odds[0] + 0.05
