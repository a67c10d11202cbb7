"""Letting a part stand: what it does to its warmth and to the evidence, and when it is advised."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from borewright.gauging.conformity import Rule
from borewright.gauging.soak import left_after
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.proving import ways_on
from borewright.sizing.waiting import ROOM_SD, TAU_LOG_SD, TAU_MINUTES, WAIT_MINUTES, waited
from tests.unit.door.sessions import SESSIONS, WARM

HOT = SESSIONS["too warm to be shown in, left to stand"].entries
READ_HOT = HOT[:7]


def worked(*entries: Any, **changed: object) -> Bore:  # noqa: ANN401  # entries as anybody makes them
    bore = Bore.start({**WARM, **changed})
    for entry in entries:
        bore.record(entry)
    return bore


@pytest.mark.parametrize("minutes", [0.0, 10.0, 60.0])
def test_what_is_left_of_a_warmth_against_drawn_time_constants(minutes: float) -> None:
    """First order against 400,000 time constants, drawn a fifth as wide, where it must hold."""
    narrow = 0.2
    draws = np.random.default_rng(5).standard_normal(400_000)
    drawn = np.exp(-minutes / (TAU_MINUTES * np.exp(narrow * TAU_LOG_SD * draws)))
    left, sd = left_after(minutes, TAU_MINUTES, TAU_LOG_SD)
    assert left == pytest.approx(float(drawn.mean()), abs=0.003)
    assert narrow * sd == pytest.approx(float(drawn.std()), rel=0.03, abs=1e-9)


def test_a_part_that_stood_is_nearer_to_its_room_and_less_is_known_of_it_until_it_is_taken() -> None:
    bore = worked(*READ_HOT)
    hot = bore.belief
    stood = waited(hot, bore.model, WAIT_MINUTES)
    left, left_sd = left_after(WAIT_MINUTES, TAU_MINUTES, TAU_LOG_SD)
    assert stood.part_told[0] == pytest.approx(left * hot.part_told[0])
    off = math.hypot(left * hot.part_told[1], (1.0 - left) * ROOM_SD, left_sd * math.hypot(*hot.part_told))
    assert stood.part_told[1] == pytest.approx(off)
    assert stood.now.at(State.WARMTH) == pytest.approx(left * hot.now.at(State.WARMTH))
    assert stood.now.sd(State.WARMTH) > hot.now.sd(State.WARMTH)
    assert stood.hole_mm == hot.hole_mm
    assert stood.now.sd(State.HOLE) == hot.now.sd(State.HOLE)
    assert stood.readings == ()


def test_a_part_comes_to_its_room_and_not_to_20_degrees() -> None:
    bore = worked(*READ_HOT, {"event": "temperature", "of": "room", "celsius": "26"})
    stood = waited(bore.belief, bore.model, 1000.0)
    assert stood.part_told[0] == pytest.approx(6.0, abs=0.01)
    assert stood.now.at(State.WARMTH) == pytest.approx(6.0, abs=0.01)
    assert stood.part_told[1] == pytest.approx(bore.model.priors.thermometer.width, rel=0.01)


def test_standing_for_no_time_leaves_the_warmth() -> None:
    bore = worked(*READ_HOT)
    hot = bore.belief
    assert waited(hot, bore.model, 0.0).part_told == pytest.approx(hot.part_told)
    assert waited(hot, bore.model, 0.0).now.covariance == pytest.approx(hot.now.covariance)


def test_a_part_whose_coefficient_keeps_it_from_being_shown_in_is_let_stand() -> None:
    bore = worked(*READ_HOT)
    advice: Any = bore.advise()
    assert advice["release"]["verdict"] == "not shown"
    assert (advice["action"], advice["wait"]) == ("wait", {"minutes": "60"})
    assert advice["say"] == "Let the part stand for 60 minutes, then measure again."
    bore.record({"event": "waited", "minutes": "60"})
    after: Any = bore.advise()
    assert (after["action"], "temperature" in after["say"]) == ("measure", True)
    bore.record({"event": "temperature", "of": "part", "celsius": "24.5"})
    assert str(bore.advise()["why"]).startswith("The part stands nearer to 20 °C now")
    for _ in range(2):
        bore.record({"event": "read", "as_read": "200.024"})
    shown: Any = bore.advise()["release"]
    assert shown["verdict"] == "in"
    assert len(shown["as_read"]) == 2


def test_a_part_that_stands_at_20_is_not_waited_for_nor_one_whose_hour_is_too_dear() -> None:
    cold = [{**entry, "celsius": "20"} if entry["event"] == "temperature" else entry for entry in READ_HOT]
    cool = worked(*(entry for entry in cold if entry["event"] != "read"))
    for as_read in ("200.0045", "200.0045", "200.0045"):
        cool.record({"event": "read", "as_read": as_read})
    assert cool.advise()["action"] != "wait"
    assert worked(*READ_HOT, costs={"wait": "60"}).advise()["action"] != "wait"


def test_a_part_that_stood_is_not_sent_to_stand_again_before_it_is_cut() -> None:
    stood = worked(*HOT)
    assert "warm part" not in {way.how for way in ways_on(stood.belief, stood.model, Rule("proof"))}
