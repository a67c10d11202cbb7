"""A thin wall springs when its clamps are let go: the hole out of them is another, and what was seen of it is kept."""

from __future__ import annotations

import math
from typing import Any

import pytest

from borewright.errors import OutOfTurnError
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.judging import IN_CLAMPS
from borewright.sizing.words import CLAMP
from tests.unit.sizing.plain import Entry, bore, expected_reading_mm, read, setting

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


def finished(*entries: Entry) -> Bore:
    worked = bore(*setting(40.02), {"event": "passed"}, **THIN)
    for entry in (*(read(40.0) for _ in range(4)), *entries):
        worked.record(entry)
    return worked


def test_no_bore_is_released_on_what_was_read_in_clamps_that_may_change_it() -> None:
    worked = finished()
    advice: Any = worked.advise()
    assert advice["release"]["verdict"] == "not shown"
    assert advice["release"]["not_shown_for"] == IN_CLAMPS
    assert (advice["action"], advice["measure"]["state"]) == ("measure", "free")
    assert advice["say"] == "Let the clamps go, then measure."
    shown = {name: advice["release"][name] for name in ("probability", "rule", "size", "expanded")}
    with pytest.raises(OutOfTurnError, match="measure it free"):
        worked.record({"event": "released", "verdict": "in", **shown})


def test_out_of_the_clamps_only_what_was_read_free_counts() -> None:
    free = finished({"event": "unclamped"})
    assert "release" not in free.advise()
    assert free.advise()["action"] == "measure"
    for entry in (read(40.004), read(40.004)):
        free.record(entry)
    advice: Any = free.advise()
    assert advice["release"]["as_read"] == ["40.0040 mm", "40.0040 mm"]


def test_a_part_out_of_its_clamps_is_clamped_again_before_it_is_cut() -> None:
    worked = bore(*setting(39.9), {"event": "passed"}, *(read(39.88) for _ in range(2)), {"event": "unclamped"}, **THIN)
    for _ in range(2):
        worked.record(read(39.88))
    advice: Any = worked.advise()
    assert advice["action"] in {"cut", "move_and_cut"}
    assert advice["steps"][0] == CLAMP
    worked.record({"event": "clamped"})
    again: Any = worked.advise()
    assert CLAMP not in again["steps"]


def test_a_stiff_part_is_released_in_its_clamps() -> None:
    worked = bore(*setting(40.02), {"event": "passed"}, *(read(40.0) for _ in range(4)))
    assert worked.advise()["action"] == "release"
