"""What a line of an unproved dial is worth: a mixture from the first move until a reading has shown it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.meanings import DIAMETER, HALF, INCHES, MILLIMETRES, RADIUS, TWICE, meanings
from borewright.sizing.priors import TURNED, UNMADE
from borewright.sizing.supposing import parts
from borewright.sizing.unentered import NOT_CUT_SHARE
from borewright.sizing.unentered import UNMADE as UNMADE_MOVE
from tests.unit.sizing.plain import DIRECT, OFFSET, bore, expected_reading_mm, read, setting

INCH_DIAL: Mapping[str, object] = {"kind": "dial", "line": "0.0001 in", "on": "diameter"}
UNKNOWN: Mapping[str, object] = {"kind": "dial", "line": "0.002 mm", "on": "not known"}


def moved(lines: str = "50", **changed: object) -> Bore:
    """A first pass was cut and read twice; the dial was moved and the second pass cut."""
    worked = bore(*setting(39.72), {"event": "passed"}, **changed)
    hole = round(expected_reading_mm(worked), 3)
    for entry in (read(hole), read(hole), {"event": "moved", "lines": lines}, {"event": "passed"}):
        worked.record(entry)
    return worked


def test_what_a_line_is_mistaken_for_follows_from_what_was_told() -> None:
    told = {what: (odds, factor) for what, odds, factor in meanings(bore().model)}
    assert set(told) == {RADIUS, HALF, INCHES, MILLIMETRES}
    assert sum(odds for odds, _ in told.values()) == pytest.approx(0.02)
    assert told[RADIUS][1] * told[HALF][1] == 1.0
    assert told[INCHES][0] > told[MILLIMETRES][0]
    inch = {what: (odds, factor) for what, odds, factor in meanings(bore(adjuster=INCH_DIAL).model)}
    assert inch[MILLIMETRES][0] > inch[INCHES][0]
    assert inch[MILLIMETRES][1] == pytest.approx(1.0 / 25.4)
    unknown = {what: odds for what, odds, _ in meanings(bore(adjuster=UNKNOWN).model)}
    assert unknown[DIAMETER] > 0.45
    assert unknown[TWICE] < 0.02


@pytest.mark.parametrize("start", [{"adjuster": DIRECT}, {"adjuster": OFFSET}, {"tool": {"proved": True}}])
def test_a_readout_an_offset_and_a_proved_dial_mean_what_they_say(start: Mapping[str, Any]) -> None:
    assert meanings(bore(**start).model) == ()


def test_from_the_first_move_on_each_worth_stands_beside_the_told_one() -> None:
    worked = moved()
    tools = {each.supposed: each.tool_mm for _, each in parts(worked.belief)}
    told = tools[()]
    assert tools[RADIUS,] - told == pytest.approx(0.1, abs=0.001)
    assert tools[HALF,] - told == pytest.approx(-0.05, abs=0.001)
    assert tools[INCHES,] - told == pytest.approx(2.44, abs=0.01)
    assert worked.belief.share == pytest.approx(0.98 * (1.0 - NOT_CUT_SHARE - UNMADE), abs=1.5e-3)


def test_a_reading_as_expected_leaves_the_told_worth_alone() -> None:
    worked = moved()
    worked.record(read(round(expected_reading_mm(worked), 3)))
    assert worked.belief.others == ()
    assert worked.belief.supposed == ()
    assert worked.belief.doubts == ()
    worked.record({"event": "moved", "lines": "5"})
    assert {each.supposed for _, each in parts(worked.belief)} == {(), (UNMADE_MOVE,)}


@pytest.mark.parametrize(("factor", "what"), [(2.0, RADIUS), (0.5, HALF)])
def test_a_move_that_goes_another_way_shows_what_a_line_is_worth(factor: float, what: object) -> None:
    worked = moved()
    before = worked.belief.tool_mm
    other = next(each for _, each in parts(worked.belief) if what in each.supposed)
    shown = round(other.hole_mm + expected_reading_mm(worked) - worked.belief.hole_mm, 3)
    worked.record(read(shown))
    assert worked.belief.supposed == (what,)
    assert worked.belief.doubts[0].cause == what.words  # type: ignore[attr-defined]
    worked.record(read(shown))
    assert worked.belief.tool_mm - before == pytest.approx(0.1 * (factor - 1.0), abs=0.004)
    assert 1.0 + worked.belief.now.at(State.GAIN) == pytest.approx(factor, rel=0.02)
    assert worked.belief.share > 0.9
    # The next lines are reckoned at what they were shown to be worth.
    tool = worked.belief.tool_mm
    worked.record({"event": "moved", "lines": "10"})
    assert worked.belief.tool_mm - tool == pytest.approx(0.02 * factor, abs=0.0015)


def test_a_move_that_did_next_to_nothing_was_not_made_or_is_of_another_unit() -> None:
    """Which of both, a second move tells; until then none goes further than the figures as told allow."""
    worked = moved()
    other = next(each for _, each in parts(worked.belief) if MILLIMETRES in each.supposed)
    for _ in range(2):
        worked.record(read(round(other.hole_mm, 3)))
    odds = {each.supposed[0]: share for share, each in parts(worked.belief)}
    assert odds[UNMADE_MOVE] > odds[MILLIMETRES] > 0.01
    assert UNMADE_MOVE.words in [doubt.cause for doubt in worked.belief.doubts]
    move: Any = worked.advise()["move"]
    assert 0.002 * float(move["lines"]) < worked.model.upper_mm - worked.belief.tool_mm
    worked.record({"event": "moved", "lines": move["lines"]})
    worked.record({"event": "passed"})
    slight = next(each for _, each in parts(worked.belief) if each.supposed == (MILLIMETRES,))
    for _ in range(2):
        worked.record(read(round(slight.hole_mm, 3)))
    assert MILLIMETRES in worked.belief.supposed
    assert 1.0 + worked.belief.now.at(State.GAIN) == pytest.approx(1 / 25.4, rel=0.02)


def test_a_dial_of_which_nobody_knows_is_settled_by_its_first_move() -> None:
    """Told as the radius; where it is the diameter the move goes half as far, and that is no surprise."""
    worked = moved("25", adjuster=UNKNOWN)
    assert 0.4 < worked.belief.share < 0.6
    diameter = next(each for _, each in parts(worked.belief) if DIAMETER in each.supposed)
    worked.record(read(round(diameter.hole_mm, 3)))
    assert worked.belief.supposed == (DIAMETER,)
    assert worked.belief.share > 0.999
    assert not worked.belief.unsettled


def test_a_proof_settles_it_before_any_move() -> None:
    worked = bore(*setting(39.72), {"event": "proved", "line": "0.002 mm", "within": "0.00002 mm"})
    worked.record({"event": "moved", "lines": "10"})
    assert {each.supposed for _, each in parts(worked.belief)} == {(), (UNMADE_MOVE,)}


def test_the_odds_of_a_first_move_count_every_worth() -> None:
    """Opened by half of what is left, twice as far stays in; inches would not."""
    worked = bore(*setting(39.72), {"event": "passed"})
    hole = round(expected_reading_mm(worked), 3)
    for _ in range(2):
        worked.record(read(hole))
    worked.record({"event": "moved", "lines": "70"})
    said: Any = worked.advise()
    assert said["odds"]["oversize"] >= 0.0009
    sure = bore(*setting(39.72), {"event": "passed"}, tool={"bench": "0.004 mm", "seat": "0.004 mm", "proved": True})
    for entry in (read(hole), read(hole), {"event": "moved", "lines": "70"}):
        sure.record(entry)
    assert sure.advise()["odds"]["oversize"] == pytest.approx(0.5 * TURNED, rel=0.1)  # type: ignore[index]


def test_lines_in_advice_follow_what_a_line_was_shown_to_be_worth() -> None:
    worked = moved("50")
    radius = next(each for _, each in parts(worked.belief) if RADIUS in each.supposed)
    for _ in range(2):
        worked.record(read(round(radius.hole_mm, 3)))
    said: Any = worked.advise()
    assert said["action"] == "move_and_cut"
    aim = float(said["aims"][0].split()[0])
    assert float(said["move"]["lines"]) * 0.004 == pytest.approx(aim - radius.hole_mm, abs=0.01)
