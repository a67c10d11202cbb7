"""The push-off of physics: its fixed point, its signs, and its propagated width against inputs drawn at random."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from borewright.cutting.compliance import Compliance, joint_of, plain_bar, typed_compliance
from borewright.cutting.force import EDGE_THRUST
from borewright.cutting.least_chip import edge_of
from borewright.cutting.prior import push_off_prior
from borewright.cutting.pushoff import DOUBTS, EDGE_TABLE_MM, Cut, doubts_of, force_for, push_off_for, settled_push_off
from borewright.materials.bar import bar_of
from borewright.materials.work import find_work
from borewright.materials.work_tables import WORK

SCALE_MM = 0.003


def cut_of(material: str, diameter: float, bar: tuple[float, float], nose: float = 0.4, feed: float = 0.08) -> Cut:
    compliance = plain_bar(bar_of("steel"), *bar, 0.5 * diameter, joint_of("steep 40"))
    return Cut(find_work(material, WORK), feed, nose, 95.0, 6.0, edge_of("honed carbide"), compliance)


CUTS = {
    "slender bar": cut_of("42CrMo4", 14.0, (11.0, 60.0), 0.2, 0.06),
    "middle head": cut_of("C45", 40.0, (25.0, 90.0)),
    "grey iron": cut_of("EN-GJL-250", 55.0, (32.0, 140.0)),
    "titanium": cut_of("Ti-6Al-4V", 22.0, (16.0, 70.0), 0.2, 0.06),
    "hardened": cut_of("hardened steel 60 HRC", 30.0, (20.0, 60.0)),
}


@pytest.mark.parametrize("name", CUTS)
def test_width_against_a_hundred_thousand_draws(name: str) -> None:
    cut, random = CUTS[name], np.random.default_rng(20)
    prior = push_off_prior(cut, 0.25, SCALE_MM)
    drawn = push_off_for(cut, 0.25, random.standard_normal((100_000, DOUBTS)))
    coordinate = np.arcsinh(drawn / SCALE_MM)
    assert prior.width == pytest.approx(float(coordinate.std()), rel=0.03)
    assert math.asinh(prior.reference / SCALE_MM) == pytest.approx(
        float(coordinate.mean()), abs=0.03 * prior.width + 0.01
    )
    low, high = prior.interval()
    assert float(np.mean((drawn > low) & (drawn < high))) == pytest.approx(0.95, abs=0.008)


def test_width_where_the_sign_is_open() -> None:
    cut = replace(CUTS["middle head"], compliance=Compliance(4e-5, 7.5e-5, 0.2, 0.3, "typed"))
    prior = push_off_prior(cut, 0.25, SCALE_MM)
    drawn = push_off_for(cut, 0.25, np.random.default_rng(2).standard_normal((100_000, DOUBTS)))
    assert not prior.steady
    assert prior.width == pytest.approx(float(np.arcsinh(drawn / SCALE_MM).std()), rel=0.1)
    low, high = prior.interval()
    assert low < 0.0 < high


def test_shares_make_the_whole_and_name_the_largest() -> None:
    prior = push_off_prior(CUTS["slender bar"], 0.25, SCALE_MM)
    assert sum(each.share for each in prior.shares) == pytest.approx(1.0)
    assert [each.share for each in prior.shares] == sorted((each.share for each in prior.shares), reverse=True)
    assert {each.what for each in prior.shares} == {each.what for each in doubts_of(CUTS["slender bar"])}
    assert prior.shares[0].what == "how the tool gives way"


@pytest.mark.parametrize("name", CUTS)
def test_shape_meets_physics_where_it_is_used(name: str) -> None:
    cut = CUTS[name]
    prior = push_off_prior(cut, 0.25, SCALE_MM)
    exact = push_off_for(cut, 0.25)
    for removed in (0.0625, 0.125, 0.25, 0.4):
        form = exact * (prior.edge + (1.0 - prior.edge) * (removed / 0.25) ** prior.exponent)
        assert float(push_off_for(cut, removed)) == pytest.approx(float(form), rel=0.22)


@pytest.mark.parametrize("name", CUTS)
def test_fixed_point_holds(name: str) -> None:
    cut, depths = CUTS[name], np.array([0.08, 0.15, 0.3, 0.5])
    settled = settled_push_off(cut, depths)
    assert settled == pytest.approx(push_off_for(cut, depths - settled), rel=1e-6)
    assert np.all(settled < depths)


def test_fixed_point_of_a_soft_tool_cuts_less_than_it_is_set() -> None:
    soft = replace(CUTS["slender bar"], compliance=typed_compliance(100.0, 0.2, 7.0, 60.0))
    stiff = replace(CUTS["slender bar"], compliance=typed_compliance(100.0, 0.002, 7.0, 60.0))
    assert float(settled_push_off(soft, 0.3)) > 5.0 * float(settled_push_off(stiff, 0.3))
    assert float(settled_push_off(soft, 0.3)) < 0.3


@given(st.floats(1.05, 3.0), st.floats(0.05, 0.5))
@settings(max_examples=40, deadline=None)
def test_softer_tools_and_harder_work_push_off_more(more: float, depth: float) -> None:
    cut = CUTS["middle head"]
    softer = replace(cut, compliance=replace(cut.compliance, radial=more * cut.compliance.radial))
    harder_kc = replace(cut.work.kc, value=more * cut.work.kc.value)
    harder = replace(cut, work=replace(cut.work, kc=harder_kc))
    assert settled_push_off(softer, depth) > settled_push_off(cut, depth)
    assert settled_push_off(harder, depth) > settled_push_off(cut, depth)


def test_feed_force_at_a_large_radius_bends_outward() -> None:
    # A plain cantilever: outward over inward is 3 R Ff / (2 L Fp).
    for diameter, length, radius, ratio, part in (
        (20.0, 80.0, 15.0, 1 / 2.430, 0.1157),
        (63.0, 120.0, 120.0, 1 / 1.125, 1.333),
    ):
        bending = 206e3 * math.pi * diameter**4 / 64.0
        radial, outward = length**3 / (3.0 * bending), radius * length**2 / (2.0 * bending)
        assert outward * ratio / radial == pytest.approx(part, rel=2e-3)
    large = cut_of("42CrMo4", 240.0, (63.0, 120.0))
    rigid = replace(large, compliance=replace(large.compliance, outward=1.6 * large.compliance.radial))
    small_nose = replace(rigid, nose=0.1, feed=0.05)
    assert float(push_off_for(small_nose, 0.5)) < 0.0


def test_bar_that_is_known_narrows() -> None:
    cut = CUTS["slender bar"]
    tested = replace(cut, compliance=replace(cut.compliance, log_sd=0.08))
    assert push_off_prior(tested, 0.25, SCALE_MM).width < push_off_prior(cut, 0.25, SCALE_MM).width


def test_sharper_edge_leaves_a_smaller_edge_part() -> None:
    sharp = replace(CUTS["middle head"], edge=edge_of("sharp carbide"))
    coated = replace(CUTS["middle head"], edge=edge_of("thick-coated carbide"))
    assert force_for(sharp, 0.1).edge_share < force_for(coated, 0.1).edge_share


@pytest.mark.parametrize("flat", [0.1, 0.5, 1.0])
def test_a_wipers_flat_pushes_straight_from_the_wall_by_its_length(flat: float) -> None:
    cut = next(iter(CUTS.values()))
    wiping = replace(cut, wiper=flat)
    plain, wiped = force_for(cut, 0.1), force_for(wiping, 0.1)
    along = cut.work.edge.value * cut.edge.radius_mm / EDGE_TABLE_MM * flat
    assert float(wiped.cutting - plain.cutting) == pytest.approx(along)
    assert float(wiped.radial - plain.radial) == pytest.approx(EDGE_THRUST * along)
    assert float(wiped.feed) == float(plain.feed)
    assert float(wiped.edge_share) > float(plain.edge_share)
