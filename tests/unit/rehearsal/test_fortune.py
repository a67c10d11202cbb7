"""What is left to chance in the acts, against the table, at fixed seeds."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from borewright.rehearsal.kinds import KINDS, Common, Kind
from borewright.rehearsal.truth import Truth
from tests.unit.rehearsal.four_sigma import assert_mean, assert_normal
from tests.unit.rehearsal.plain import DIAL, DIRECT, FAULTLESS, faultless

TIMES = 4000
EVERY = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)


def seated(kind: Kind, seed: int = 1) -> Truth:
    """Return a machine with its tool 0.3 mm below mid size, in the spindle."""
    truth = Truth.draw(kind, seed)
    truth.set_tool(kind.size_mm - 0.3)
    truth.seat()
    return truth


def first_cuts(kind: Kind, times: int = TIMES) -> list[Truth]:
    """Return machines of many seeds after their first pass."""
    machines = [seated(kind, seed) for seed in range(times)]
    for truth in machines:
        truth.cut()
    return machines


@EVERY
def test_seats_scatter_as_said_with_heavier_tails_than_normal(kind: Kind) -> None:
    truth = seated(replace(faultless(), seat_um=kind.seat_um))
    at = truth.kind.size_mm - 0.3
    off = []
    for _ in range(2 * TIMES):
        truth.seat()
        off.append(1e3 * (truth.tool_mm - at) / kind.seat_um)
    assert_mean(off, 0.0, sharp=0.1)
    assert_mean((each * each for each in off), 1.0, sharp=0.2)
    beyond = math.erfc(3.0 / math.sqrt(2.0))
    assert sum(abs(each) > 3.0 for each in off) / len(off) > 2.0 * beyond


@pytest.mark.parametrize(("seed", "sense"), [(1, 1.0), (2, -1.0)])
def test_lock_shifts_scatter_about_the_tools_mean_and_are_skewed(seed: int, sense: float) -> None:
    kind = faultless(common=replace(FAULTLESS, lock_mean_um=2.5, lock_scatter_um=1.0))
    truth = seated(kind, seed)
    assert truth.tool.lock_sense == sense
    off = []
    for _ in range(4 * TIMES):
        truth.set_tool(39.7)
        truth.seat()
        off.append(1e3 * (truth.tool_mm - 39.7 - truth.tool.lock_mean_mm) * sense)
    assert_mean(off, 0.0, sharp=0.05)
    assert_mean((each**2 for each in off), 1.0, sharp=0.1)
    assert_mean((each**3 for each in off), 1.0, sharp=0.35)


def test_locked_to_locked_a_move_scatters_by_two_locks() -> None:
    kind = faultless(common=replace(FAULTLESS, lock_mean_um=2.5, lock_scatter_um=1.0, lock_return=(1.0, 1.0)))
    truth = seated(kind)
    at = [truth.tool_mm]
    for _ in range(2 * TIMES):
        truth.move(lines=1)
        at.append(truth.tool_mm)
    off = [1e3 * (after - before) - 2.0 for before, after in pairwise(at)]
    assert_mean(off, 0.0, sharp=0.1)
    assert_mean((each**2 for each in off), 2.0, sharp=0.2)


def test_a_readout_leaves_what_its_step_hides() -> None:
    truth = seated(replace(faultless(DIRECT), line_um=2.0))
    off = []
    for turn in range(TIMES):
        aim = 94.8 + 0.002 * (turn % 30)
        shown = truth.move(to_mm=aim)
        assert shown.unlocked_mm == pytest.approx(aim, abs=1e-9)
        off.append(1e3 * (truth.tool_mm - aim))
    assert max(map(abs, off)) <= 1.0
    assert_mean(off, 0.0, sharp=0.05)
    assert_mean((each**2 for each in off), 1.0 / 3.0, sharp=0.03)


def test_lines_are_miscounted_as_often_as_said_either_way() -> None:
    truth = seated(faultless(common=replace(FAULTLESS, miscount=0.05)))
    at = [truth.tool_mm]
    for _ in range(2 * TIMES):
        truth.move(lines=1)
        at.append(truth.tool_mm)
    off = [round((after - before) / 0.002) - 1 for before, after in pairwise(at)]
    assert set(off) == {-1, 0, 1}
    assert_mean(map(abs, off), 0.05, sharp=0.011)
    assert_mean(off, 0.0, sharp=0.011)
    assert Common().miscount == 0.01


@EVERY
def test_passes_scatter_by_a_part_of_their_own_and_a_part_of_push_off(kind: Kind) -> None:
    quiet = replace(faultless(), push_off_um=kind.push_off_um, common=replace(FAULTLESS, pass_um=0.6, pass_share=0.02))
    off = []
    for truth in first_cuts(quiet, 1500):
        depth_set = truth.tool_mm - truth.bore.hole_mm
        push_off = truth.tool.push_off.of_depth(depth_set)
        off.append((truth.hole_mm - truth.tool_mm + push_off) / (0.0006 + 0.02 * push_off))
    assert_mean(off, 0.0, sharp=0.11)
    assert_mean((each * each for each in off), 1.0, sharp=0.2)


def test_edges_build_up_as_often_as_said() -> None:
    kind = faultless(common=replace(FAULTLESS, built_up_edge=0.05))
    large = [float(bool(truth.mishaps)) for truth in first_cuts(kind)]
    assert_mean(large, 0.05, sharp=0.015)
    assert Common().built_up_edge == 0.01


def test_a_pass_leaves_the_ovality_said_and_copies_a_part_of_the_old() -> None:
    kind = replace(faultless(common=replace(FAULTLESS, ovality_um=0.8)), push_off_um=60.0)
    cut = first_cuts(kind)
    copied = [truth.tool.push_off.copied(truth.tool_mm - truth.bore.hole_mm) for truth in cut]
    assert all(0.02 < share < 0.6 for share in copied)
    expected = [0.8**2 * (1.0 + share**2) for share in copied]
    new = [(1e3 * truth.ovality_mm) ** 2 for truth in cut]
    assert_mean((one - other for one, other in zip(new, expected, strict=True)), 0.0, sharp=0.06)
    both = [sum(a * b for a, b in zip(truth.bore.oval_mm, truth._oval_mm, strict=True)) * 1e6 for truth in cut]
    left = [one - share * 0.8**2 for one, share in zip(both, copied, strict=True)]
    assert_mean(left, 0.0, sharp=0.06)


@EVERY
def test_readings_scatter_about_the_bias_of_the_setting(kind: Kind) -> None:
    quiet = replace(faultless(), gauge_scatter_um=kind.gauge_scatter_um, gauge_bias_um=kind.gauge_bias_um)
    truth = Truth.draw(quiet, 3)
    off = [truth.check_hole() - truth.hole_mm - truth.gauge_bias_mm for _ in range(TIMES)]
    assert_normal(off, 1e-3 * kind.gauge_scatter_um)
    biases = []
    for _ in range(TIMES):
        truth.set_gauge()
        biases.append(truth.gauge_bias_mm)
    assert_normal(biases, 1e-3 * kind.gauge_bias_um)


def test_a_gauge_has_a_bias_before_it_is_set_again() -> None:
    kind = KINDS[DIAL]
    assert_normal((Truth.draw(kind, seed).gauge_bias_mm for seed in range(TIMES)), 0.001)


def test_readings_are_blundered_as_often_as_said() -> None:
    truth = Truth.draw(faultless(common=replace(FAULTLESS, misread=0.02)), 3)
    for _ in range(2 * TIMES):
        truth.read()
    assert_mean([0.0] * (2 * TIMES - len(truth.mishaps)) + [1.0] * len(truth.mishaps), 0.02, sharp=0.007)
    assert Common().misread == 0.004


@EVERY
def test_parts_are_as_warm_as_said_and_thermometers_as_wrong(kind: Kind) -> None:
    cut = first_cuts(kind, 2500)
    warm = [truth.celsius - 20.0 for truth in cut]
    assert_mean((each / kind.warm_k for each in warm), 0.0, sharp=0.1)
    assert_mean(((each / kind.warm_k) ** 2 for each in warm), 1.0, sharp=0.2)
    wrong = [(truth.part_celsius("cut") - truth.celsius) / 0.4 for truth in cut]
    assert_mean(wrong, 0.0, sharp=0.1)
    assert_mean((each * each for each in wrong), 1.0 + (0.1 / 0.4) ** 2 / 12.0, sharp=0.2)


def test_a_changed_edge_moves_by_the_tools_own_width() -> None:
    truth = seated(faultless())
    at, off = truth.tool_mm, []
    for _ in range(TIMES):
        truth.change_edge()
        off.append(truth.tool_mm - at)
    assert 0.010 <= truth.tool.edge_change_mm <= 0.025
    assert_normal(off, truth.tool.edge_change_mm)
