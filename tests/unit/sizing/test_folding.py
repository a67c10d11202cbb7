"""The belief folded over events: the state the work is in, and what each event does to what is believed."""

from __future__ import annotations

import math

import pytest

from borewright.sizing.gaussian import State
from borewright.sizing.measuring import UNKNOWN_MASTER, gauge_set, reading_row
from tests.unit.sizing.plain import Entry, bore, expected_reading_mm, mm, read, readings, setting, temperature

PASS: Entry = {"event": "passed"}
TRIAL: Entry = {"event": "passed", "depth": "trial"}
SET, SEATED = setting(39.72)


@pytest.mark.parametrize(
    ("entries", "state"),
    [
        ((), "to set"),
        ((SET,), "set"),
        ((SET, SEATED), "set"),
        ((SET, SEATED, {"event": "moved", "lines": "5"}), "moved, not cut"),
        ((SET, SEATED, PASS), "cut, not measured"),
        ((SET, SEATED, PASS, read(39.70)), "measured"),
        ((SET, SEATED, PASS, read(39.70), {"event": "moved", "lines": "5"}), "moved, not cut"),
        ((SET, SEATED, PASS, read(39.70), {"event": "quarantined", "reason": "doubt"}), "quarantined"),
    ],
)
def test_the_state_the_work_is_in(entries: tuple[Entry, ...], state: str) -> None:
    assert bore(*entries).state == state


def test_a_set_diameter_counts_its_seat_once() -> None:
    """Bench 4, seat 4; the seating that follows the setting is the one that it counts already."""
    set_, seated = bore(SET), bore(SET, SEATED)
    assert set_.belief.tool_sd_mm == pytest.approx(math.hypot(0.004, 0.004), rel=1e-9)
    assert seated.belief.tool_sd_mm == set_.belief.tool_sd_mm
    again = bore(SET, SEATED, SEATED)
    assert again.belief.tool_sd_mm == pytest.approx(math.hypot(0.004, 0.004, 0.004), rel=1e-9)


@pytest.mark.parametrize("between", [PASS, {"event": "moved", "lines": "0"}])
def test_what_was_cut_or_moved_was_in_the_spindle_already(between: Entry) -> None:
    """A seating after it takes the tool out and in, also where the first seating was never entered."""
    worked = bore(SET, between)
    before = worked.belief.tool_sd_mm
    worked.record(SEATED)
    assert worked.belief.tool_sd_mm == pytest.approx(math.hypot(before, 0.004), rel=1e-6)


def test_each_setting_has_the_same_bench() -> None:
    """What the bench errs by is one number: set again, only the seat is another."""
    once, again = bore(SET), bore(SET, SEATED, SET)
    assert again.belief.now.covariance[State.UNLOCKED, State.BENCH] == pytest.approx(0.004**2, rel=1e-9)
    assert again.belief.tool_sd_mm == pytest.approx(once.belief.tool_sd_mm, rel=1e-9)


def test_a_change_of_edge_widens_the_tool_and_push_off_a_little() -> None:
    worked = bore(SET, SEATED, PASS, *readings([39.7, 39.7]))
    tool, push_off = worked.belief.tool_sd_mm, worked.belief.now.sd(State.PUSH_OFF)
    worked.record({"event": "edge_changed"})
    assert worked.belief.tool_sd_mm == pytest.approx(math.hypot(tool, 0.018), rel=1e-6)
    # Of push-off 5 in 100 are open again: asinh(P/a) is nearly a logarithm there.
    assert worked.belief.now.sd(State.PUSH_OFF) == pytest.approx(math.hypot(push_off, 0.05), rel=1e-2)


def test_the_edge_wears_a_little_in_each_pass() -> None:
    before, after = bore(SET, SEATED), bore(SET, SEATED, PASS)
    assert before.belief.tool_mm - after.belief.tool_mm == pytest.approx(0.00015, abs=1e-9)


def test_a_trial_cut_leaves_the_hole_and_teaches_push_off() -> None:
    worked = bore(SET, SEATED, TRIAL)
    hole, push_off = worked.belief.hole_mm, worked.belief.now.sd(State.PUSH_OFF)
    assert hole == bore().belief.hole_mm
    assert worked.belief.now.at(State.TRIAL) == pytest.approx(39.697, abs=0.002)
    for entry in readings([39.69, 39.691]):
        worked.record(entry)
    assert worked.belief.now.sd(State.PUSH_OFF) < 0.9 * push_off
    assert worked.belief.hole_mm == pytest.approx(hole, abs=0.004)
    assert worked.belief.passes == 0
    assert worked.belief.history[-1].trial


def test_readings_begin_anew_with_each_pass() -> None:
    worked = bore(SET, SEATED, PASS, *readings([39.7, 39.7]), {"event": "moved", "lines": "40"})
    assert len(worked.belief.readings) == 2
    worked.record(PASS)
    assert not worked.belief.readings


def test_a_setting_of_the_gauge_parts_the_readings() -> None:
    worked = bore(SET, SEATED, PASS, read(39.7), {"event": "set_on", "size": "40 mm"}, read(39.701))
    assert [reading.gauge_number for reading in worked.belief.readings] == [0, 1]
    one, other = bore(SET, SEATED, PASS, *readings([39.7, 39.701])), worked
    assert other.belief.now.sd(State.HOLE) < one.belief.now.sd(State.HOLE)


def test_readings_of_a_setting_before_are_counted_once() -> None:
    """Two readings on each of two settings: by the normal equations of all four, and not of six."""
    told = {"tool": {"proved": True}}
    start = bore(*setting(39.72), {"event": "passed"}, **told)
    model, row, now = start.model, reading_row(start.model), start.belief.now
    shown = round(expected_reading_mm(start), 3)
    both = ({"event": "set_on", "size": "40 mm"}, read(shown + 0.001), read(shown + 0.001))
    worked = bore(*setting(39.72), {"event": "passed"}, read(shown), read(shown), *both, **told)
    variance = model.reading_variance(worked.belief.gauge_scatter_mm)
    for _ in range(2):
        now = now.measured(row, shown, variance)[0]
    now = gauge_set(now, model, UNKNOWN_MASTER)
    for _ in range(2):
        now = now.measured(row, shown + 0.001, variance)[0]
    assert worked.belief.hole_mm == pytest.approx(now.at(State.HOLE), abs=2e-5)
    assert worked.belief.now.sd(State.HOLE) == pytest.approx(now.sd(State.HOLE), rel=0.01)


def test_a_study_says_how_much_a_reading_scatters() -> None:
    worked = bore({"event": "studied", "scatter": "0.003 mm"})
    assert worked.belief.gauge_scatter_mm == 0.003
    sharp, blunt = (
        bore(SET, SEATED, PASS, {"event": "studied", "scatter": scatter}, read(39.7)).belief.now.sd(State.HOLE)
        for scatter in ("0.0005 mm", "0.005 mm")
    )
    assert sharp < blunt


def test_the_parts_warmth_for_a_release_is_the_thermometers_word() -> None:
    worked = bore(SET, SEATED, PASS)
    assert worked.belief.warmth(worked.model).above_20 == 0.0
    assert worked.belief.warmth(worked.model).sd == pytest.approx(1.0)
    worked.record(temperature(22.0, "cut"))
    assert worked.belief.warmth(worked.model).above_20 == pytest.approx(2.0)
    assert worked.belief.warmth(worked.model).sd == pytest.approx(math.hypot(0.4, 0.4))
    worked.record(temperature(21.5))
    assert worked.belief.warmth(worked.model).above_20 == pytest.approx(1.5)
    assert worked.belief.warmth(worked.model).sd == pytest.approx(0.4)
    worked.record(temperature(30.0, "cut"))
    assert worked.belief.warmth(worked.model).above_20 == pytest.approx(1.5)


def test_a_thermometer_errs_alike_in_part_each_time() -> None:
    """Half of its variance is one error that stays: looking twice narrows the other half alone."""
    often = bore(*[temperature(21.0)] * 200)
    assert often.belief.now.sd(State.WARMTH) == pytest.approx(0.4 * math.sqrt(0.5), rel=0.06)


def test_a_pass_is_kept_as_it_was_expected() -> None:
    worked = bore(SET, SEATED)
    tool = worked.belief.tool_mm
    worked.record(PASS)
    record = worked.belief.history[-1]
    assert record.tool_mm == tool
    assert record.depth_mm == pytest.approx(0.32, abs=1e-6)
    assert record.expected_mm == pytest.approx(tool - record.push_off_mm, abs=1e-9)
    assert record.expected_sd_mm == pytest.approx(worked.belief.now.sd(State.HOLE))
    assert not record.rubbed
    assert worked.record(PASS)["warnings"]
    assert worked.belief.history[-1].rubbed


def test_a_reading_is_of_the_hole_the_gauge_and_the_warmth() -> None:
    worked = bore(SET, SEATED, PASS, temperature(23.0))
    shown = round(expected_reading_mm(worked), 3)
    assert shown - worked.belief.hole_mm > 0.0008
    worked.record(read(shown))
    assert worked.belief.hole_mm == pytest.approx(shown - 0.0012, abs=0.0009)
    assert mm(worked.belief.readings[0].as_read_mm) == mm(shown)
