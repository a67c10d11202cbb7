"""Advice in the adjuster's own terms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, cast

import pytest

from borewright.gauging.conformity import Rule
from borewright.quantity.length import Unit
from borewright.sizing.choice import Chosen, choose
from borewright.sizing.costs import Costs
from borewright.sizing.words import WHY, cautions_of, place_of, say_turn, say_within, steps_of, turn_of
from tests.unit.sizing.plain import DIAL, DIRECT, OFFSET, bore, readings, setting

RADIUS = {**DIRECT, "on": "radius"}
INCH: Mapping[str, Any] = {"kind": "dial", "line": "0.0001 in", "on": "diameter", "lines_per_turn": 50, "split": 2}


def moved(change_mm: float, adjuster: Mapping[str, object]) -> tuple[Chosen, Any]:
    """A choice to move by a change, and the model it is for."""
    worked = bore(*setting(39.72), {"event": "passed"}, *readings([39.7, 39.7]), adjuster=adjuster)
    chosen = choose(worked.belief, worked.model, Costs(), Rule("proof"))
    assert chosen.step is not None
    return replace(chosen, step=replace(chosen.step, change_mm=change_mm)), worked.model


@pytest.mark.parametrize(
    ("change", "adjuster", "said"),
    [
        (0.140, {**DIAL, "lines_per_turn": None}, "Open 70 lines"),
        (0.002, DIAL, "Open 1 line"),
        (0.200, DIAL, "Open 1 turn"),
        (0.402, DIAL, "Open 2 turns and 1 line"),
        (-0.006, DIAL, "Close 3 lines"),
        (0.00254 * 9.5, INCH, "Open 9.5 lines"),
        (0.140, DIRECT, "Open to +0.140 mm on the readout"),
        (0.140, RADIUS, "Open to +0.070 mm on the readout"),
        (-0.021, OFFSET, "Enter -0.021 mm at the control"),
    ],
)
def test_a_move_in_one_breath(change: float, adjuster: Mapping[str, object], said: str) -> None:
    adjuster = {name: value for name, value in adjuster.items() if value is not None}
    chosen, model = moved(change, adjuster)
    assert say_turn(turn_of(chosen, model, "mm", 0.0, 0.033), model.adjuster) == said


@pytest.mark.parametrize(
    ("change", "adjuster", "unit", "shown", "lines"),
    [
        (0.020, {"kind": "dial", "line": "0.002 mm", "on": "diameter", "split": 3}, "mm", "+0.0200000 mm", "+10"),
        (0.022 - 0.002 / 3, {"kind": "dial", "line": "0.002 mm", "on": "diameter", "split": 3}, "mm", None, "+10.667"),
        (0.0254, {"kind": "offset", "step": "0.0001 in", "on": "diameter"}, "mm", "+0.02540 mm", None),
        (0.0127, {"kind": "offset", "step": "0.0001 in", "on": "radius"}, "in", "+0.0005 in", None),
        (0.140, DIRECT, "mm", "+0.140 mm", None),
        (0.0005, {"kind": "direct", "step": "0.0005 mm", "on": "diameter"}, "mm", "+0.0005 mm", None),
    ],
)
def test_a_change_is_shown_as_finely_as_it_can_be_made(
    change: float,
    adjuster: Mapping[str, object],
    unit: Unit,
    shown: str | None,
    lines: str | None,
) -> None:
    chosen, model = moved(change, adjuster)
    turn = turn_of(chosen, model, unit, 0.0, 0.033)
    assert shown is None or turn.change == shown
    assert turn.lines == lines


def test_closing_goes_past_the_backlash_and_comes_up_again() -> None:
    chosen, model = moved(-0.006, DIAL)
    turn = turn_of(chosen, model, "mm", 0.0, 0.033)
    assert turn.direction == "close"
    assert turn.lines == "-3"
    assert turn.back_lines == 20
    steps = steps_of(chosen, turn, model, "")
    assert "Close 20 lines, past the backlash." in steps
    assert "Open 17 lines: that takes it up." in steps


def test_opening_needs_no_way_back() -> None:
    chosen, model = moved(0.006, DIAL)
    turn = turn_of(chosen, model, "mm", 0.0, 0.033)
    assert turn.back_lines == 0
    assert not any("past the backlash." in step for step in steps_of(chosen, turn, model, ""))


def test_a_readout_is_turned_short_of_what_the_lock_will_add() -> None:
    chosen, model = moved(0.140, DIRECT)
    turn = turn_of(chosen, model, "mm", 0.003, 0.033)
    assert (turn.locked, turn.unlocked) == ("+0.140 mm", "+0.137 mm")
    chosen, model = moved(0.140, RADIUS)
    turn = turn_of(chosen, model, "mm", 0.004, 0.033)
    assert (turn.change, turn.locked, turn.unlocked) == ("+0.140 mm", "+0.070 mm", "+0.068 mm")


@pytest.mark.parametrize(
    ("within_mm", "step", "within", "said"),
    [
        (0.0, "0.001 mm", "0.000 mm", "exactly"),
        (0.0005, "0.001 mm", "0.000 mm", "exactly"),
        (0.001, "0.0010 mm", "0.001 mm", "or up to 0.001 mm off"),
        (0.0025, "0.001 mm", "0.002 mm", "or up to 0.002 mm off"),
    ],
)
def test_how_far_off_a_readout_may_be_is_said_as_it_can_show_it(
    within_mm: float, step: str, within: str, said: str
) -> None:
    chosen, model = moved(0.140, {**DIRECT, "step": step})
    turn = turn_of(replace(chosen, within_mm=within_mm), model, "mm", 0.003, 0.033)
    assert turn.within == within
    assert say_within(within) == said
    assert f"it should then read +0.140 mm, {said}." in steps_of(chosen, turn, model, "")[-2]


def place_after(readings_mm: list[float]) -> tuple[str | None, str, str]:
    worked = bore(*setting(39.72), {"event": "passed"}, *readings(readings_mm))
    advice = worked.advise()
    return cast("str | None", advice.get("place")), str(advice["say"]), str(advice["why"])


def test_a_doubted_reading_is_taken_at_the_same_place_and_a_good_one_across() -> None:
    assert place_after([39.700])[:2] == ("across", "Measure again, a quarter round.")
    where, say, why = place_after([39.700, 39.735])
    assert (where, say) == ("same", "Measure again at the same place.")
    assert why == WHY["surprise"]
    assert "same place" in why
    assert place_after([])[0] is None


def test_further_readings_go_to_another_depth() -> None:
    worked = bore(*setting(39.72), {"event": "passed"}, *readings([39.7, 39.7]))
    chosen = choose(worked.belief, worked.model, Costs(), Rule("proof"))
    sure = replace(chosen, action="measure", ground="make sure")
    assert place_of(sure, worked.belief) == "depth"
    assert place_of(replace(sure, ground="temperature"), worked.belief) is None
    assert place_of(replace(sure, action="release"), worked.belief) is None
    assert "deeper or shallower" in steps_of(sure, None, worked.model, "", "depth")[-1]


def test_an_offset_is_entered_where_the_control_drives_the_slide() -> None:
    chosen, model = moved(0.140, OFFSET)
    turn = turn_of(chosen, model, "mm", 0.0, 0.033)
    assert turn.unlocked is None
    assert any("elsewhere an offset moves no tip" in step for step in steps_of(chosen, turn, model, ""))


def test_every_advice_with_a_hand_at_the_tool_says_to_stop_the_spindle() -> None:
    chosen, model = moved(0.140, DIAL)
    assert "Stop the spindle" in cautions_of(chosen, model)[0]
    assert any("length" in caution for caution in cautions_of(chosen, model))
    done = replace(chosen, action="release")
    assert cautions_of(done, model) == []


def test_every_sentence_ends() -> None:
    assert all(words.endswith(".") for words in WHY.values())
    assert len(set(WHY.values())) == len(WHY)
