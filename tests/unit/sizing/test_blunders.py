"""Readings that do not fit: named, ranked, with a check, and neither averaged in nor thrown away."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from borewright.sizing.blunders import Reading, most_likely, weigh
from borewright.sizing.bore import Bore
from borewright.sizing.causes import Surprise, tool_causes
from borewright.sizing.gaussian import State
from borewright.sizing.why_read import why_it_reads
from tests.unit.sizing.plain import DIAL, DIRECT, Entry, bore, expected_reading_mm, read, setting, with_values

TURN = "The needle was a whole turn away."
TEN = "Ten steps of the gauge misread."
DIGIT = "One digit was written wrong."
SENSE = "The needle's sense was taken the wrong way."
LINE = "A line of the dial was missed or counted twice."
CHANCE = "Nothing is wrong: an unlikely but ordinary result."


def passed(*entries: Entry, **changed: object) -> Bore:
    """A first pass was cut and read twice, so that push-off is known."""
    worked = bore(*setting(39.72), {"event": "passed"}, **changed)
    hole = round(expected_reading_mm(worked), 3)
    for entry in (read(hole), read(hole), *entries):
        worked.record(entry)
    return worked


def second_pass(lines: str = "70") -> Bore:
    return passed({"event": "moved", "lines": lines}, {"event": "passed"})


def causes(worked: Bore) -> dict[str, float]:
    return {doubt.cause: doubt.odds for doubt in worked.belief.doubts}


@pytest.mark.parametrize("off_um", [-4, 0, 3])
def test_an_ordinary_reading_raises_no_question(off_um: int) -> None:
    worked = second_pass()
    worked.record(read(round(expected_reading_mm(worked) + off_um / 1000, 3)))
    assert worked.belief.doubts == ()
    assert [reading.doubt for reading in worked.belief.readings] == [0.0]


@pytest.mark.parametrize(
    ("off_um", "cause"),
    [(200, TURN), (-200, TURN), (100, TURN), (10, TEN), (-10, TEN), (40, DIGIT), (-700, DIGIT), (2000, DIGIT)],
)
def test_a_slip_beside_good_readings_is_named_first(off_um: int, cause: str) -> None:
    worked = second_pass()
    good = round(expected_reading_mm(worked), 3)
    for value in (good, good, round(good + off_um / 1000, 3)):
        worked.record(read(value))
    first = worked.belief.doubts[0]
    assert first.cause == cause
    assert first.odds > 0.5
    assert first.reading == worked.events()[-1].number
    assert first.check
    assert worked.belief.readings[-1].doubt > 0.9
    assert worked.belief.hole_mm == pytest.approx(good, abs=0.001)


def test_a_needle_taken_the_wrong_way_is_named_first() -> None:
    """It reads as far over the ring as the hole is under it."""
    worked = passed()
    good = 39.697
    worked.record(read(good))
    worked.record(read(2.0 * 40.0 - good))
    assert worked.belief.doubts[0].cause == SENSE


def test_a_first_reading_alone_leaves_slip_and_fault_open() -> None:
    """15 µm off may be a slip or a moved tool: both are named, the belief is wide, and it does not jump."""
    worked = second_pass()
    expected, sd = worked.belief.hole_mm, worked.belief.now.sd(State.HOLE)
    worked.record(read(round(expected + 0.015, 3)))
    named = causes(worked)
    assert len(named) >= 3
    assert sum(named.values()) == pytest.approx(1.0, abs=0.06)
    assert list(named.values()) == sorted(named.values(), reverse=True)
    assert expected < worked.belief.hole_mm < expected + 0.015
    assert worked.belief.now.sd(State.HOLE) > sd
    assert worked.belief.unsettled


def test_a_second_reading_that_agrees_with_the_expected_settles_a_slip() -> None:
    worked = second_pass()
    good = round(expected_reading_mm(worked), 3)
    worked.record(read(good + 0.2))
    worked.record(read(good))
    assert not worked.belief.unsettled
    assert worked.belief.hole_mm == pytest.approx(good, abs=0.0015)
    assert [reading.doubt > 0.5 for reading in worked.belief.readings] == [True, False]


def test_a_second_reading_that_agrees_with_the_first_settles_a_fault() -> None:
    worked = second_pass()
    good = round(expected_reading_mm(worked), 3)
    tool = worked.belief.tool_mm
    worked.record(read(good + 0.015))
    worked.record(read(good + 0.015))
    assert not worked.belief.unsettled
    assert worked.belief.hole_mm == pytest.approx(good + 0.015, abs=0.0015)
    assert worked.belief.tool_mm == pytest.approx(tool + 0.015, abs=0.003)


def test_a_missed_line_is_named() -> None:
    coarse = {**DIAL, "line": "0.02 mm"}
    worked = passed({"event": "moved", "lines": "7"}, {"event": "passed"}, adjuster=coarse)
    off = round(expected_reading_mm(worked) - 0.0185, 3)
    for _ in range(2):
        worked.record(read(off))
    assert causes(worked)[LINE] > 0.3
    assert worked.belief.tool_mm == pytest.approx(39.72 + 0.14 - 0.019, abs=0.006)


def test_a_radius_taken_for_a_diameter_is_named_by_what_was_said() -> None:
    """A dial said to speak of the diameter can only turn out to speak of the radius; and the other way round."""
    for on, cause, factor in (
        ("diameter", "The figures speak of the radius, not the diameter.", 1.0),
        ("radius", "The figures speak of the diameter, not the radius.", -0.5),
    ):
        dial = {"kind": "dial", "line": "0.002 mm", "on": on}
        change = 0.12 if on == "diameter" else 0.24
        worked = passed({"event": "moved", "lines": "60"}, {"event": "passed"}, adjuster=dial)
        shift = factor * change * 0.96
        for _ in range(2):
            worked.record(
                read(round(expected_reading_mm(worked) + shift, 3))
                if not worked.belief.readings
                else read(worked.belief.readings[0].as_read_mm)
            )
        assert cause in causes(worked), on
        assert not any("speak of" in other and other != cause for other in causes(worked))


def test_no_cause_is_named_twice() -> None:
    worked = second_pass()
    worked.record(read(round(expected_reading_mm(worked) + 0.012, 3)))
    named = [doubt.cause for doubt in worked.belief.doubts]
    assert len(named) == len(set(named))


def test_a_hole_that_is_not_what_was_told_moves_no_tool() -> None:
    worked = bore(*setting(39.72))
    tool, sd = worked.belief.tool_mm, worked.belief.tool_sd_mm
    for _ in range(2):
        worked.record({"event": "hole_checked", "as_read": "39.4400 mm"})
    assert worked.belief.doubts[0].cause == "The hole is not what was told."
    assert worked.belief.hole_mm == pytest.approx(39.44, abs=0.0015)
    assert worked.belief.tool_mm == pytest.approx(tool, abs=1e-9)
    assert worked.belief.tool_sd_mm == pytest.approx(sd, rel=1e-9)


def test_only_a_dial_has_lines_to_miss() -> None:
    worked = bore(*setting(39.72), {"event": "passed"}, adjuster=DIRECT)
    hole = round(expected_reading_mm(worked), 3)
    move = {"event": "moved", "shown_locked": "0.1400 mm"}
    for entry in (read(hole), read(hole), move, {"event": "passed"}):
        worked.record(entry)
    off = round(expected_reading_mm(worked) + 0.025, 3)
    for _ in range(2):
        worked.record(read(off))
    named = causes(worked)
    assert named
    assert LINE not in named
    assert "The backlash was not taken up." not in named


def test_what_three_readings_leave_of_two_slips() -> None:
    worked = second_pass()
    good = round(expected_reading_mm(worked), 3)
    for off in (0.2, 0.0, -0.1, 0.001):
        worked.record(read(round(good + off, 3)))
    assert [reading.doubt > 0.5 for reading in worked.belief.readings] == [True, False, True, False]
    assert worked.belief.hole_mm == pytest.approx(good, abs=0.0015)


def test_two_slips_are_found_among_many_readings() -> None:
    worked = second_pass()
    good = round(expected_reading_mm(worked), 3)
    for place in range(14):
        worked.record(read(round(good + {3: 0.2, 9: -0.1}.get(place, 0.001 * (place % 2)), 3)))
    assert [place for place, reading in enumerate(worked.belief.readings) if reading.doubt > 0.5] == [3, 9]
    assert worked.belief.hole_mm == pytest.approx(good, abs=0.0015)


def test_a_surprise_names_lock_edge_temperature_clamps_and_ring_apart_each_with_its_check() -> None:
    """Three times 13 µm large: nothing but the readings tells these apart, so each is named with what would."""
    worked = second_pass()
    off = round(expected_reading_mm(worked) + 0.013, 3)
    for _ in range(3):
        worked.record(read(off))
    found = why_it_reads(worked.belief, worked.model)
    checks = {one.cause: one.check for one in found}
    assert len(set(checks.values())) >= 4
    everything = tool_causes(surprise_of(worked, 0.004))
    named = {cause.words: cause.check for cause in everything}
    for cause, word in (
        ("Tightening the tool lock moved the tip.", "indicator"),
        ("The tool lock was left open.", "tight"),
        ("A built-up edge cut large.", "glass"),
        ("The part was warm.", "temperature"),
        ("The clamps press the part out of shape.", "clamps"),
        ("The gauge is off its setting.", "ring"),
    ):
        assert word in named[cause]
    assert "The hole is not round or not straight there." not in named


def surprise_of(worked: Bore, off_mm: float) -> Surprise:
    return Surprise(worked.model, worked.belief.circumstances, worked.belief.hole_mm, off_mm, 0.002)


def test_form_is_a_cause_where_a_place_was_told() -> None:
    worked = second_pass()
    placed = replace(surprise_of(worked, 0.006), before=replace(worked.belief.circumstances, placed=True))
    assert "The hole is not round or not straight there." in [cause.words for cause in tool_causes(placed)]


def test_a_bore_from_before_is_told_of_edge_and_part_as_it_was() -> None:
    worked = second_pass()
    older = replace(surprise_of(worked, 0.004), model=with_values(worked.model, built_up=0.0))
    words = [cause.words for cause in tool_causes(older)]
    assert "A built-up edge cut large, or the edge chipped." in words
    assert "The tool lock was left open." not in words


@pytest.mark.parametrize(
    "start",
    [
        {},
        {"push_off": {"guess": "0.06 mm", "at": "0.25 mm", "factor": "2"}},
        {"push_off": {"guess": "0.002 mm", "at": "0.25 mm", "factor": "1.5"}},
        {"tool": {"bench": "0.02 mm", "seat": "0.01 mm"}},
    ],
)
@pytest.mark.parametrize("depth", ["full", "trial"])
def test_how_likely_a_first_reading_can_be_is_bounded(start: dict[str, Any], depth: str) -> None:
    worked = bore(*setting(39.72), {"event": "passed", "depth": depth}, **start)
    belief, expected = worked.belief, expected_reading_mm(worked)
    before = replace(belief.circumstances, trial=depth == "trial")
    for tenth in range(-120, 121, 4):
        reading = Reading(9, expected + 0.0005 * (tenth / 10.0) ** 3, 0)
        evidence = weigh(belief.now, worked.model, [reading], before).log_evidence
        assert evidence <= most_likely(belief.now, worked.model, reading, before)
