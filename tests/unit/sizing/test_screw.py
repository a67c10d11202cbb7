"""The screw and its play, followed against a slide that is pushed about."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.sizing.gaussian import State
from borewright.sizing.screw import TAKEN_UP
from tests.unit.sizing.plain import DIRECT, Entry, bore, setting

BACKLASH = 0.015


class Slide:
    """A tip on a screw: opening, the flank pushes it; closing, it follows a backlash behind."""

    def __init__(self) -> None:
        self.flank = self.tip = 0.0

    def turn(self, change: float, *, take_up: bool) -> None:
        """Turn, and where the play is taken up, back off and come up to the same graduation by opening."""
        self.flank += change
        self.tip = self.flank if take_up else min(max(self.tip, self.flank), self.flank + BACKLASH)


MOVES = st.lists(
    st.tuples(st.integers(-30, 30), st.sampled_from([True, False, None])).map(lambda m: (m[0] / 1000.0, m[1])),
    max_size=12,
)


@given(MOVES)
def test_the_play_is_that_of_a_slide(moves: list[tuple[float, bool | None]]) -> None:
    slide, play, tip = Slide(), TAKEN_UP, 0.0
    for change, take_up in moves:
        after = play.after(change, BACKLASH, take_up=take_up)
        tip += change + after.off_mm(BACKLASH) - play.off_mm(BACKLASH)
        play = after
        slide.turn(change, take_up=bool(take_up) or (change < 0.0 and take_up is None))
        assert tip == pytest.approx(slide.tip, abs=1e-12)
        assert play.off_mm(BACKLASH) == pytest.approx(slide.tip - slide.flank, abs=1e-12)
        assert (play.side == "opening") == (slide.tip - slide.flank < 1e-9)


@pytest.mark.parametrize(
    ("moves", "moved"),
    [
        ([{"lines": "10"}], 0.020),
        ([{"lines": "-10"}], -0.020),
        ([{"lines": "-10", "take_up": False}], -0.005),
        ([{"lines": "-5", "take_up": False}], 0.0),
        ([{"lines": "-10", "take_up": False}, {"lines": "10"}], 0.0),
        ([{"lines": "-5", "take_up": False}, {"lines": "10"}], 0.010),
        ([{"lines": "-10", "take_up": False}, {"lines": "5"}], -0.005),
        ([{"lines": "-10", "take_up": False}, {"lines": "-10", "take_up": True}], -0.040),
        ([{"lines": "-10", "take_up": False}, {"lines": "10", "take_up": True}], 0.0),
    ],
)
def test_the_tip_comes_to_where_the_screw_takes_it(moves: list[Entry], moved: float) -> None:
    """With 15 µm of backlash, ten lines of 2 µm closed without take-up move the tip by 5 µm, five not at all."""
    start = bore(*setting(39.72))
    tool = start.belief.tool_mm
    for move in moves:
        start.record({"event": "moved", **move})
    assert start.belief.tool_mm - tool == pytest.approx(moved, abs=1e-9)


def test_a_move_through_the_backlash_is_as_unsure_as_the_backlash() -> None:
    straight, through = bore(*setting(39.72)), bore(*setting(39.72))
    straight.record({"event": "moved", "lines": "-10"})
    through.record({"event": "moved", "lines": "-10", "take_up": False})
    added = through.belief.tool_sd_mm**2 - straight.belief.tool_sd_mm**2
    assert added == pytest.approx(0.006**2, rel=1e-6)
    assert through.belief.side == "closing"
    assert straight.belief.side == "opening"


def test_closed_and_opened_again_the_backlash_cancels() -> None:
    there_and_back = bore(*setting(39.72), {"event": "moved", "lines": "-10", "take_up": False})
    there_and_back.record({"event": "moved", "lines": "+10"})
    assert there_and_back.belief.now.covariance[State.UNLOCKED, State.BACKLASH] == pytest.approx(0.0, abs=1e-15)
    assert there_and_back.belief.side == "opening"


def test_a_readout_does_not_mind_the_play() -> None:
    for take_up in (True, False, None):
        move = {"event": "moved", "shown_locked": "-0.0200 mm", "shown_unlocked": "-0.0200 mm"}
        worked = bore(*setting(39.72), move if take_up is None else {**move, "take_up": take_up}, adjuster=DIRECT)
        assert worked.belief.tool_mm == pytest.approx(39.70, abs=0.0002)
        assert (worked.belief.side == "closing") == (take_up is False)


def test_a_dial_on_the_radius_moves_twice_what_it_says() -> None:
    dial = {"kind": "dial", "line": "0.002 mm", "on": "radius"}
    worked = bore(*setting(39.72), {"event": "moved", "lines": "10"}, adjuster=dial)
    assert worked.belief.tool_mm == pytest.approx(39.76, abs=1e-9)


def test_a_readout_on_the_radius_shows_half() -> None:
    readout = {"kind": "direct", "step": "0.001 mm", "on": "radius"}
    move = {"event": "moved", "shown_locked": "0.0200 mm"}
    assert bore(*setting(39.72), move, adjuster=readout).belief.tool_mm == pytest.approx(39.76, abs=1e-9)
    told = {"event": "moved", "change": "0.0200 mm"}
    assert bore(*setting(39.72), told, adjuster=readout).belief.tool_mm == pytest.approx(39.74, abs=1e-9)


def test_a_proof_is_believed() -> None:
    proof = {
        "event": "proved",
        "line": "0.0021 mm",
        "within": "0.00002 mm",
        "backlash": "0.01 mm",
        "lock_shift": "0.002",
    }
    now = bore(proof).belief.now
    assert now.at(State.GAIN) == pytest.approx(0.05)
    assert now.sd(State.GAIN) == pytest.approx(0.01)
    assert now.at(State.BACKLASH) == 0.01
    assert now.at(State.LOCK_MEAN) == pytest.approx(0.002, abs=0.0001)
    assert now.at(State.LOCK) == pytest.approx(0.002, abs=0.0001)


def test_moves_under_one_eye_of_a_readout_do_not_add_up_their_errors() -> None:
    """Moved in three steps and read after each, the tip is known as well as moved in one."""
    once, thrice = (bore(*setting(39.72), adjuster=DIRECT) for _ in range(2))
    once.record({"event": "moved", "shown_locked": "+0.150 mm"})
    for shown in ("+0.160 mm", "-0.020 mm", "+0.010 mm"):
        thrice.record({"event": "moved", "shown_locked": shown})
    assert thrice.belief.tool_mm == pytest.approx(once.belief.tool_mm, abs=1e-12)
    assert thrice.belief.tool_sd_mm == pytest.approx(once.belief.tool_sd_mm, rel=1e-9)
    apart = bore(*setting(39.72), adjuster=DIRECT)
    for shown in ("+0.160 mm", "-0.020 mm", "+0.010 mm"):
        apart.record({"event": "moved", "shown_locked": shown})
        apart.record({"event": "hole_checked", "as_read": "39.400 mm"})
    assert apart.belief.tool_sd_mm > once.belief.tool_sd_mm


def test_what_they_showed_of_the_lock_is_kept() -> None:
    worked = bore(*setting(39.72), adjuster=DIRECT)
    for unlocked, locked in (("+0.100 mm", "+0.103 mm"), ("-0.003 mm", "-0.000 mm"), ("-0.003 mm", "-0.000 mm")):
        worked.record({"event": "moved", "shown_unlocked": unlocked, "shown_locked": locked})
    assert worked.belief.now.at(State.LOCK_MEAN) > 0.0020
    assert worked.belief.now.sd(State.LOCK_MEAN) < 0.0012
