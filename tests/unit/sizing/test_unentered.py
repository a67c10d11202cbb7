"""What was done and not entered: held beside what was, with its odds, and asked about."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.supposing import parts
from borewright.sizing.unentered import (
    LAND_MISSED,
    MOVE_MISSING,
    NOT_CUT,
    PASS_MISSING,
    PASS_SHARE,
    TURN_LESS,
    TURN_MORE,
    UNMADE,
)
from tests.unit.sizing.plain import bore, expected_reading_mm, read, setting

PROVED = {"bench": "0.004 mm", "seat": "0.004 mm", "proved": True}


def read_twice(*entries: object) -> Bore:
    worked = bore(*setting(39.72), {"event": "passed"}, tool=PROVED)
    hole = round(expected_reading_mm(worked), 3)
    for entry in (read(hole), read(hole), *entries):
        worked.record(entry)  # type: ignore[arg-type]
    return worked


def test_a_reading_of_the_hole_as_it_was_says_that_nothing_was_cut() -> None:
    worked = read_twice({"event": "moved", "lines": "60"})
    worked.record(read(round(worked.belief.hole_mm, 3)))
    assert worked.state == "moved, not cut"
    assert {each.supposed for _, each in parts(worked.belief)} == {(), (UNMADE,), (TURN_MORE,), (TURN_LESS,)}
    assert worked.belief.doubts == ()


def test_a_reading_that_only_a_pass_explains_takes_it_as_cut_and_says_so() -> None:
    worked = read_twice({"event": "moved", "lines": "60"})
    hole = worked.belief.hole_mm
    said = worked.record(read(round(hole + 0.115, 3)))
    assert worked.belief.supposed == (PASS_MISSING,)
    assert not worked.belief.as_told
    assert worked.state == "measured"
    assert worked.belief.passes == 2
    assert worked.belief.hole_mm == pytest.approx(hole + 0.115, abs=0.003)
    assert worked.belief.doubts[0].cause == PASS_MISSING.words
    assert worked.belief.doubts[0].odds > 0.95
    assert PASS_MISSING.words in " ".join(said["warnings"])  # type: ignore[arg-type]
    assert worked.advise()["action"] != "cut"


def test_a_move_too_small_to_tell_stays_open_and_is_asked_about() -> None:
    worked = read_twice({"event": "moved", "lines": "3"})
    said = worked.record(read(round(worked.belief.hole_mm + 0.005, 3)))
    assert worked.belief.as_told
    fits = f"This reading fits what was told. What may be otherwise: {PASS_MISSING.words}"
    assert fits in " ".join(said["warnings"])  # type: ignore[arg-type]
    odds = {each.supposed: share for share, each in parts(worked.belief)}
    assert 0.03 < odds[PASS_MISSING,] < 0.97
    assert PASS_MISSING.words in [doubt.cause for doubt in worked.belief.doubts]
    assert worked.belief.unsettled
    assert sum(odds.values()) == pytest.approx(1.0)
    assert PASS_SHARE < 0.5


def test_a_pass_after_a_pass_may_have_been_moved_for() -> None:
    """Cut again without a move entered, the hole came to the middle: the move was made and not entered."""
    worked = read_twice({"event": "passed"})
    assert [each.supposed for _, each in parts(worked.belief)] == [(), (MOVE_MISSING,)]
    assert worked.belief.share == pytest.approx(0.99)
    worked.record(read(39.98))
    worked.record(read(39.98))
    assert worked.belief.supposed == (MOVE_MISSING,)
    assert worked.belief.doubts[0].cause == MOVE_MISSING.words
    assert worked.belief.hole_mm == pytest.approx(39.98, abs=0.002)
    assert worked.belief.tool_mm == pytest.approx(40.0, abs=0.02)


def test_a_spring_pass_is_a_spring_pass() -> None:
    worked = read_twice({"event": "passed"})
    worked.record(read(round(worked.belief.hole_mm, 3)))
    assert worked.belief.supposed == ()
    assert worked.belief.others == ()
    assert worked.belief.doubts == ()


def test_after_a_trial_cut_nothing_need_be_moved() -> None:
    worked = bore(*setting(39.9), {"event": "passed", "depth": "trial"}, read(39.88), {"event": "passed"})
    assert worked.belief.others == ()


def test_a_pass_after_which_the_hole_reads_as_before_was_likely_not_cut() -> None:
    worked = read_twice({"event": "moved", "lines": "60"}, {"event": "passed"})
    before, moved_to = worked.belief.history[-2].expected_mm, worked.belief.tool_mm
    worked.record(read(round(before, 3)))
    worked.record(read(round(before, 3)))
    assert worked.belief.supposed == (NOT_CUT,)
    assert worked.belief.doubts[0].cause == NOT_CUT.words
    assert worked.state == "moved, not cut"
    assert worked.belief.tool_mm == pytest.approx(moved_to, abs=0.002)


def test_a_land_that_reads_as_the_hole_did_sends_nobody_on_to_open_the_tool_by_as_much_again() -> None:
    """A trial of 0.026 mm that left no land: if the tool went all the way, as much again would lose the bore."""
    worked = bore(
        {"event": "set", "diameter": "33.370"},
        {"event": "seated"},
        {"event": "passed"},
        read(33.359),
        read(33.359),
        {"event": "moved", "lines": "+13"},
        {"event": "passed", "depth": "trial"},
        callout="33.4 H7",
        hole={"size": "33.28", "within": "0.04"},
        push_off="0.02",
    )
    for _ in range(3):
        worked.record(read(33.359))
    assert worked.belief.doubts[0].cause == LAND_MISSED.words
    advice = worked.advise()
    assert advice["action"] == "cut"
    assert "move" not in advice


def test_after_what_was_read_as_expected_nothing_is_supposed_to_be_uncut() -> None:
    worked = read_twice({"event": "moved", "lines": "60"}, {"event": "passed"})
    assert NOT_CUT in {what for _, each in parts(worked.belief) for what in each.supposed}
    worked.record(read(round(expected_reading_mm(worked), 3)))
    assert worked.belief.others == ()


def test_a_move_that_was_not_made_sends_nobody_on_to_open_the_tool_many_times_too_far() -> None:
    """A land that shows the tool where it stood: no line is worth a twenty-fifth of what was told of it for that."""
    worked = bore(
        {"event": "set", "diameter": "1.4931"},
        {"event": "seated"},
        {"event": "passed"},
        {"event": "read", "as_read": "1.4915"},
        {"event": "read", "as_read": "1.4916"},
        {"event": "moved", "lines": "+3.5"},
        {"event": "passed", "depth": "trial"},
        {"event": "read", "as_read": "1.4927"},
        {"event": "read", "as_read": "1.4926"},
        callout="1.4995-1.5005 in",
        unit="in",
        hole={"size": "1.4810", "within": "0.0006"},
        adjuster={"kind": "dial", "line": "0.0005", "on": "radius", "lines_per_turn": 20, "split": 2},
        gauge={"step": "0.0001", "scatter": "0.00005", "bias": "0.00005"},
        push_off={"guess": "0.0013", "at": "0.01", "factor": "1.49"},
        temperature=None,
        tool=None,
    )
    assert worked.belief.supposed == (UNMADE,)
    assert worked.belief.doubts[0].cause == UNMADE.words
    advice: Any = worked.advise()
    assert worked.belief.tool_mm + 0.0254 * float(advice["move"]["lines"]) < worked.model.upper_mm


def test_a_turn_too_much_is_found_by_what_it_did() -> None:
    worked = read_twice({"event": "moved", "lines": "60"}, {"event": "passed", "depth": "trial"})
    away = next(each for _, each in parts(worked.belief) if each.supposed == (TURN_MORE,))
    for _ in range(2):
        worked.record(read(round(away.now.at(State.TRIAL), 3)))
    assert worked.belief.supposed == (TURN_MORE,)
    assert worked.advise()["move"]["direction"] == "close"  # type: ignore[index]


def test_a_turn_is_not_miscounted_where_less_than_half_of_one_was_turned() -> None:
    worked = read_twice({"event": "moved", "lines": "40"})
    assert {each.supposed for _, each in parts(worked.belief)} == {(), (UNMADE,)}
