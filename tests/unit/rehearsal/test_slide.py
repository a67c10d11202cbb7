"""Screw, backlash, sticking, lock and readout, one at a time."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from borewright.rehearsal.slide import Slide

PERFECT = Slide(
    turn_mm=0.5,
    screw_gain=0.0,
    readout_gain=0.0,
    backlash_mm=0.0,
    periodic_mm=0.0,
    phase=0.0,
    stick_mm=0.0,
    lock_return=1.0,
    lock_seen=1.0,
    slip_share=0.0,
)
LOOSE = replace(PERFECT, backlash_mm=0.02)


def at(slide: Slide) -> Slide:
    """Return a copy of a slide, set at nothing and unlocked."""
    fresh = replace(slide)
    fresh.set_at(0.0, 0.0)
    fresh.unlock()
    return fresh


def test_a_perfect_slide_does_as_it_is_told() -> None:
    slide = at(PERFECT)
    slide.turn(0.1, take_up=False)
    slide.turn(-0.04, take_up=False)
    assert slide.at_rest_mm == pytest.approx(0.06, abs=1e-12)


@pytest.mark.parametrize(("back", "moved"), [(0.005, 0.0), (0.02, 0.0), (0.03, -0.01), (0.1, -0.08)])
def test_a_move_against_the_backlash_loses_it(back: float, moved: float) -> None:
    slide = at(LOOSE)
    slide.turn(-back, take_up=False)
    assert slide.at_rest_mm == pytest.approx(moved, abs=1e-12)


@pytest.mark.parametrize("back", [0.005, 0.02, 0.03, 0.1])
def test_take_up_loses_nothing(back: float) -> None:
    slide = at(LOOSE)
    slide.turn(-back, take_up=True)
    assert slide.at_rest_mm == pytest.approx(-back, abs=1e-12)
    assert slide.slack_mm == pytest.approx(0.0, abs=1e-12)


def test_opening_after_closing_loses_what_was_left_open_and_take_up_brings_it_back() -> None:
    lost, taken = at(LOOSE), at(LOOSE)
    for slide in (lost, taken):
        slide.turn(-0.05, take_up=False)
        assert slide.slack_mm == pytest.approx(0.02)
    lost.turn(0.015, take_up=False)
    assert lost.at_rest_mm == pytest.approx(-0.03, abs=1e-12)
    taken.turn(0.015, take_up=True)
    assert taken.at_rest_mm == pytest.approx(-0.035, abs=1e-12)


def test_opening_again_and_again_loses_nothing() -> None:
    slide = at(LOOSE)
    for _ in range(5):
        slide.turn(0.01, take_up=False)
    assert slide.at_rest_mm == pytest.approx(0.05, abs=1e-12)


def test_a_small_move_sticks_and_comes_with_the_next() -> None:
    slide = at(replace(PERFECT, stick_mm=0.002))
    slide.turn(0.0015, take_up=True)
    assert slide.at_rest_mm == 0.0
    slide.turn(0.0015, take_up=True)
    assert slide.at_rest_mm == pytest.approx(0.003, abs=1e-12)


def test_a_gain_is_of_the_move() -> None:
    slide = at(replace(PERFECT, screw_gain=0.006))
    slide.turn(0.2, take_up=True)
    assert slide.at_rest_mm == pytest.approx(0.2012, abs=1e-12)


def test_the_screw_errs_over_a_turn_and_not_over_whole_turns() -> None:
    slide = at(replace(PERFECT, periodic_mm=0.0015, phase=0.7))
    start = slide.at_rest_mm
    slide.turn(0.125, take_up=True)
    quarter = 0.125 + 0.0015 * (math.sin(math.pi / 2 + 0.7) - math.sin(0.7))
    assert slide.at_rest_mm - start == pytest.approx(quarter, abs=1e-12)
    slide.turn(0.375, take_up=True)
    assert slide.at_rest_mm - start == pytest.approx(0.5, abs=1e-12)


def test_locked_to_locked_the_mean_shift_cancels_when_all_of_it_comes_back() -> None:
    slide = replace(PERFECT)
    slide.set_at(0.0, 0.003)
    assert slide.at_rest_mm == pytest.approx(0.003)
    slide.unlock()
    assert slide.at_rest_mm == pytest.approx(0.0, abs=1e-15)
    slide.turn(0.1, take_up=True)
    slide.lock(0.0034)
    assert slide.at_rest_mm == pytest.approx(0.1034, abs=1e-12)


def test_what_a_lock_does_not_give_back_stays() -> None:
    slide = replace(PERFECT, lock_return=0.9)
    slide.set_at(0.0, 0.003)
    for _ in range(3):
        slide.unlock()
        slide.lock(0.003)
    assert slide.at_rest_mm == pytest.approx(0.003 + 3 * 0.0003, abs=1e-12)


def test_a_readout_shows_its_zero_and_its_own_gain() -> None:
    slide = replace(PERFECT, readout_gain=0.002)
    slide.set_at(0.0, 0.001)
    slide.zero(60.0)
    assert slide.readout_mm == pytest.approx(60.0, abs=1e-12)
    slide.unlock()
    start = slide.at_rest_mm
    slide.turn_until(60.1, take_up=True)
    assert slide.readout_mm == pytest.approx(60.1, abs=1e-12)
    assert slide.at_rest_mm - start == pytest.approx(0.1 * 1.002 + 0.001, abs=1e-9)


def test_a_readout_sees_only_part_of_the_lock() -> None:
    slide = replace(PERFECT, lock_seen=0.75)
    slide.set_at(0.0, 0.0)
    slide.zero(60.0)
    slide.lock(0.004)
    assert slide.readout_mm == pytest.approx(60.003, abs=1e-12)
    assert slide.at_rest_mm == pytest.approx(0.004, abs=1e-12)


def test_a_cut_pushes_what_was_left_open_and_nothing_that_was_taken_up() -> None:
    left, taken = at(replace(LOOSE, slip_share=0.25)), at(replace(LOOSE, slip_share=0.25))
    left.turn_until(-0.05, take_up=False)
    taken.turn_until(-0.05, take_up=True)
    assert left.at_rest_mm == taken.at_rest_mm == pytest.approx(-0.05)
    left.bear()
    taken.bear()
    assert left.at_rest_mm == pytest.approx(-0.055, abs=1e-12)
    assert taken.at_rest_mm == pytest.approx(-0.05, abs=1e-12)
