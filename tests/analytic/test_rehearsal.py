"""The simulated machine against closed forms and limits that any boring of a hole must obey."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.rehearsal.kinds import EXPANSION_PER_K
from borewright.rehearsal.pushoff import REFERENCE_MM, PushOff, bite, set_in_the_part
from borewright.rehearsal.truth import Truth
from tests.unit.rehearsal.plain import FAULTLESS, faultless

CURVES = st.builds(PushOff, st.floats(0.001, 0.2), st.floats(0.55, 0.95), st.floats(0.05, 0.25))
DEPTHS = st.floats(0.0, 1.0)


@given(CURVES)
def test_push_off_is_spoken_of_at_its_reference_depth(curve: PushOff) -> None:
    assert curve.of_depth(REFERENCE_MM) == pytest.approx(curve.at_reference_mm, rel=1e-9)


@given(CURVES, DEPTHS)
def test_chip_and_push_off_make_up_the_depth_set(curve: PushOff, depth_set: float) -> None:
    taken = curve.taken(depth_set)
    assert 0.0 <= taken <= depth_set
    if depth_set > curve.edge_mm:
        assert taken + curve.of_chip(taken) == pytest.approx(depth_set, abs=1e-11)
    else:
        assert taken == 0.0


@given(CURVES, DEPTHS, DEPTHS)
def test_deeper_cuts_take_more_and_push_off_more_but_less_than_in_proportion(
    curve: PushOff, one: float, other: float
) -> None:
    shallow, deep = sorted((one, other))
    assert curve.taken(shallow) <= curve.taken(deep) + 1e-12
    assert curve.of_depth(shallow) <= curve.of_depth(deep) + 1e-12
    if shallow > 1e-6:
        assert curve.of_depth(deep) / deep <= curve.of_depth(shallow) / shallow + 1e-9


@given(CURVES, st.floats(0.0, 1.0))
def test_what_is_copied_is_the_slope_of_push_off(curve: PushOff, above: float) -> None:
    depth_set = curve.edge_mm + 0.01 + above
    step = 1e-5
    slope = (curve.of_depth(depth_set + step) - curve.of_depth(depth_set - step)) / (2.0 * step)
    assert curve.copied(depth_set) == pytest.approx(slope, rel=1e-4)
    assert 0.0 <= curve.copied(depth_set) < 1.0


def test_a_straight_curve_has_its_closed_form() -> None:
    """With exponent 1, p = e·p0 + c·q, so that q = (s - e·p0)/(1 + c) and an error is copied by c/(1 + c)."""
    curve = PushOff(0.05, 1.0, 0.2)
    c = 0.05 * 0.8 / 0.2
    for depth_set in (0.02, 0.1, 0.25, 0.7):
        assert curve.taken(depth_set) == pytest.approx((depth_set - 0.01) / (1.0 + c), abs=1e-12)
        assert curve.copied(depth_set) == pytest.approx(c / (1.0 + c), abs=1e-9)


def test_a_square_root_curve_has_its_closed_form() -> None:
    """With exponent 1/2 and no edge part, q + k·sqrt(q) = s, so that sqrt(q) = (sqrt(k² + 4s) - k)/2."""
    curve = PushOff(0.06, 0.5, 0.0)
    k = 0.06 / math.sqrt(0.19)
    for depth_set in (1e-5, 0.02, 0.25, 0.9):
        root = (math.sqrt(k * k + 4.0 * depth_set) - k) / 2.0
        assert curve.taken(depth_set) == pytest.approx(root * root, abs=1e-11)


@pytest.mark.parametrize("seed", range(5))
def test_spring_passes_converge_to_the_tool_less_the_depth_that_cuts_nothing(seed: int) -> None:
    truth = Truth.draw(replace(faultless(), push_off_um=60.0), seed)
    truth.set_tool(39.8)
    truth.seat()
    gaps = []
    end = truth.tool_mm - truth.tool.push_off.edge_mm
    for _ in range(1000):
        truth.cut()
        gaps.append(end - truth.hole_mm)
    assert gaps[0] > 0.005
    assert all(gap >= -1e-9 for gap in gaps)
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[-1] == pytest.approx(0.0, abs=1e-6)
    assert truth.tool_mm - truth.hole_mm == pytest.approx(truth.tool.push_off.edge_mm, abs=1e-6)


def test_at_the_end_of_spring_passes_push_off_is_all_of_the_depth_set() -> None:
    curve = PushOff(0.06, 0.75, 0.15)
    assert curve.of_depth(curve.edge_mm) == pytest.approx(curve.edge_mm)
    assert curve.of_depth(0.5 * curve.edge_mm) == pytest.approx(0.5 * curve.edge_mm)
    assert curve.of_depth(1.01 * curve.edge_mm) < 1.01 * curve.edge_mm


def test_like_passes_meet_like_push_off_so_that_the_difference_dialled_is_cut() -> None:
    truth = Truth.draw(faultless(), 2)
    share = (truth.kind.size_mm - truth.hole_mm) / 3.0
    push_off = truth.tool.push_off.of_chip(share)
    truth.set_tool(truth.hole_mm + share + push_off)
    truth.seat()
    sizes = []
    for _ in range(3):
        truth.cut()
        sizes.append(truth.hole_mm)
        truth.move(lines=100)
    assert [after - before for before, after in pairwise(sizes)] == pytest.approx([0.2, 0.2], abs=1e-9)


def test_an_aluminium_bore_cut_warm_is_small_at_20_degrees() -> None:
    """60 mm · 23.1e-6/K · 5 K = 6.93 µm."""
    small = 60.0 - set_in_the_part(60.0, EXPANSION_PER_K["aluminium"], 25.0)
    assert small == pytest.approx(0.0069, abs=0.00005)
    assert set_in_the_part(60.0, EXPANSION_PER_K["aluminium"], 20.0) == 60.0


def test_a_tool_as_warm_as_a_part_of_its_own_material_cuts_its_own_size() -> None:
    steel = EXPANSION_PER_K["alloy steel"]
    assert set_in_the_part(60.0, steel, 27.0, steel, 27.0) == pytest.approx(60.0, abs=1e-12)
    assert set_in_the_part(100.0, steel, 20.0, steel, 25.0) - 100.0 == pytest.approx(0.00575, abs=1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_the_machine_cuts_a_warm_part_by_the_same_rule_and_reads_it_back_warm(seed: int) -> None:
    kind = replace(faultless(), material="aluminium", warm_k=4.0, size_mm=60.0)
    truth = Truth.draw(kind, seed)
    truth.set_tool(59.8)
    truth.seat()
    before = truth.hole_mm
    truth.cut()
    warm = truth.celsius - 20.0
    assert abs(warm) > 0.1
    traced = truth.tool_mm / (1.0 + 23.1e-6 * warm)
    assert truth.hole_mm == pytest.approx(traced - truth.tool.push_off.of_depth(traced - before), abs=1e-9)
    shown = truth.read()
    assert shown == pytest.approx(truth.hole_mm * (1.0 + 23.1e-6 * (truth.celsius - 20.0)), abs=0.000006)


@given(st.floats(0.0, 0.2), st.floats(0.001, 0.1), st.floats(0.0, 1.0))
def test_an_edge_bites_no_more_than_its_chip_and_all_of_it_when_deep_enough(
    depth_set: float, least: float, chance: float
) -> None:
    share = bite(depth_set, least, chance)
    assert 0.0 <= share <= 1.0
    if depth_set >= least:
        assert share == 1.0
    if depth_set == 0.0:
        assert share == 0.0


@pytest.mark.parametrize("part", [0.2, 0.5, 0.8])
def test_on_average_an_edge_bites_as_deep_as_its_depth_is_of_the_least(part: float) -> None:
    """The mean of u^(1/x - 1) over even u is x; here by the midpoint rule."""
    points = 200_000
    mean = sum(bite(part * 0.04, 0.04, (i + 0.5) / points) for i in range(points)) / points
    assert mean == pytest.approx(part, abs=1e-3)


def test_nothing_left_to_chance_leaves_only_push_off_between_tool_and_hole() -> None:
    truth = Truth.draw(replace(faultless(common=FAULTLESS), push_off_um=1e-6), 1)
    truth.set_tool(39.9)
    truth.seat()
    truth.cut()
    assert truth.hole_mm == pytest.approx(39.9, abs=1e-7)
