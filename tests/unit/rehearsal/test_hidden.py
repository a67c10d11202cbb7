"""What is drawn for a machine, against the table it is drawn from, at fixed seeds."""

from __future__ import annotations

import math
from functools import cache

import pytest

from borewright.rehearsal.hidden import HiddenBore, HiddenTool, build_slide, draw_bore, draw_tool
from borewright.rehearsal.kinds import KINDS, Kind
from tests.unit.rehearsal.four_sigma import assert_even, assert_mean, assert_normal

BORES = 4000
EVERY = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
COARSE = KINDS["coarse dial, grey iron"]


@cache
def tools(kind: Kind) -> list[HiddenTool]:
    return [draw_tool(kind, seed) for seed in range(BORES)]


@cache
def bores(kind: Kind) -> list[HiddenBore]:
    return [draw_bore(kind, seed) for seed in range(BORES)]


@EVERY
def test_push_off_and_bench_are_those_of_the_kind(kind: Kind) -> None:
    off = [1e3 * tool.push_off.at_reference_mm / kind.push_off_um for tool in tools(kind)]
    assert_normal((math.log(each) for each in off), kind.push_off_log_sd)
    assert_normal((tool.bench_mm for tool in tools(kind)), 1e-3 * kind.bench_um)
    assert max(tool.push_off.at_reference_mm for tool in tools(kind)) <= 0.2


@EVERY
def test_gain_is_that_of_the_adjuster(kind: Kind) -> None:
    assert_normal((tool.gain for tool in tools(kind)), 0.006 if kind.adjuster == "dial" else 0.002)


def test_ranges_are_even() -> None:
    drawn = tools(COARSE)
    assert_even((tool.push_off.exponent for tool in drawn), (0.55, 0.95))
    assert_even((tool.push_off.edge_share for tool in drawn), (0.05, 0.25))
    assert_even((tool.backlash_mm for tool in drawn), (0.005, 0.025))
    assert_even((tool.periodic_mm for tool in drawn), (0.0, 0.0015))
    assert_even((tool.phase for tool in drawn), (0.0, math.tau))


def test_lock_means_lie_about_nothing_and_are_skewed_either_way() -> None:
    drawn = tools(COARSE)
    assert_normal((tool.lock_mean_mm for tool in drawn), 0.0025)
    assert {tool.lock_sense for tool in drawn} == {1.0, -1.0}
    assert_mean((tool.lock_sense for tool in drawn), 0.0, sharp=0.1)


def test_the_guess_at_push_off_is_off_by_its_factor() -> None:
    assert_normal((math.log(tool.push_off_guess_mm / tool.push_off.at_reference_mm) for tool in tools(COARSE)), 0.4)


@EVERY
def test_start_holes_lie_about_the_stock_and_are_told_as_well_as_said(kind: Kind) -> None:
    sheet = kind.size_mm - 1e-3 * kind.stock_um
    assert_normal((bore.hole_mm - sheet for bore in bores(kind)), 0.025)
    assert_normal((bore.told_hole_mm - bore.hole_mm for bore in bores(kind)), 0.008)


def test_start_holes_are_oval_in_no_special_direction() -> None:
    ovals = [bore.oval_mm for bore in bores(COARSE)]
    assert_mean((math.hypot(*each) ** 2 for each in ovals), 0.0008**2, sharp=0.1 * 0.0008**2)
    assert_mean((first * second for first, second in ovals), 0.0, sharp=0.1 * 0.0008**2)


def test_what_is_drawn_hangs_together_with_nothing_else() -> None:
    drawn = tools(COARSE)
    pairs = [(tool.lock_mean_mm / 0.0025, tool.bench_mm / 0.004, tool.gain / 0.006) for tool in drawn]
    for one in range(3):
        assert_mean((each[one] * each[one - 1] for each in pairs), 0.0, sharp=0.1)
    holes = [1e3 * (bore.hole_mm - 54.4) / 25 for bore in bores(COARSE)]
    assert_mean((hole * each[1] for hole, each in zip(holes, pairs, strict=True)), 0.0, sharp=0.1)


@EVERY
def test_a_slide_has_its_tools_faults_where_its_adjuster_has_them(kind: Kind) -> None:
    tool = draw_tool(kind, 5)
    slide = build_slide(kind, tool)
    assert tool.gain
    assert tool.periodic_mm
    direct = kind.adjuster == "direct"
    assert (slide.screw_gain, slide.readout_gain) == ((0.0, tool.gain) if direct else (tool.gain, 0.0))
    assert (slide.periodic_mm, slide.phase) == ((0.0 if direct else tool.periodic_mm), tool.phase)
    assert (slide.backlash_mm, slide.stick_mm, slide.slip_share) == (tool.backlash_mm, tool.stick_mm, tool.slip_share)
    assert (slide.lock_return, slide.lock_seen) == (tool.lock_return, tool.lock_seen)
    assert slide.turn_mm == pytest.approx(1e-3 * kind.line_um * kind.lines_per_turn)
