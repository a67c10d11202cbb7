"""What each pass gives, and what could go wrong in it: every concern called forth, and none without ground."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from borewright.cutting.compliance import Compliance, typed_compliance
from borewright.cutting.concerns import CANNOT, LOSES, SPOILS, WATCH, Concern, concerns_of
from borewright.cutting.least_chip import edge_of
from borewright.cutting.outlook import Setup, outlook, oversize_odds
from borewright.cutting.power import Spindle
from borewright.cutting.pushoff import DOUBTS, Cut, force_for, push_off_for, settled_push_off
from borewright.errors import EntryError
from borewright.materials.work import find_work
from borewright.materials.work_tables import WORK

CUT = Cut(
    find_work("42CrMo4", WORK),
    0.08,
    0.4,
    95.0,
    6.0,
    edge_of("honed carbide"),
    typed_compliance(100.0, 0.009, 31.0, 180.0),
)
SETUP = Setup(CUT, 160.0, 7.0, 11.5e-6, 62.0, 62.019, 61.5, length=70.0, wall=40.0, rated_rpm=4000.0)


def concerns(setup: Setup, passes: int = 2, number: int = -1) -> tuple[Concern, ...]:
    return concerns_of(setup, outlook(setup, passes)[number], "mm")


def said(setup: Setup, passes: int = 2, number: int = -1) -> str:
    return " ".join(f"{each.what} {each.would}" for each in concerns(setup, passes, number))


def test_passes_are_equal_and_end_at_mid_size() -> None:
    for passes in (1, 2, 4):
        looked = outlook(SETUP, passes)
        assert [one.number for one in looked] == list(range(1, passes + 1))
        assert looked[-1].aim == pytest.approx(62.0095)
        assert looked[0].hole == 61.5
        for before, after in pairwise(looked):
            assert after.hole == pytest.approx(before.aim)
            assert after.push_off == pytest.approx(before.push_off)
        assert [one.last for one in looked] == [False] * (passes - 1) + [True]


def test_depth_set_is_what_comes_off_and_the_push_off() -> None:
    one = outlook(SETUP, 2)[0]
    assert one.depth == pytest.approx(one.aim - one.hole + one.push_off)
    assert one.low < one.push_off < one.high
    assert one.set_diameter == pytest.approx(one.hole + one.depth)


def test_odds_of_oversize_against_draws_of_the_fixed_point() -> None:
    soft = replace(SETUP, cut=replace(CUT, compliance=typed_compliance(100.0, 0.03, 31.0, 180.0)))
    one = outlook(soft, 2)[-1]
    doubt = np.random.default_rng(4).standard_normal((200_000, DOUBTS))
    room = soft.upper - one.hole
    # The hole is over the limit where less push-off is left at the limit than the depth set asks for.
    drawn = float(np.mean(push_off_for(soft.cut, room, doubt) < one.set_diameter - soft.upper))
    assert 0.02 < drawn < 0.5
    assert one.oversize == pytest.approx(drawn, abs=0.01)
    assert oversize_odds(soft, one.hole, one.set_diameter + 0.02) > one.oversize


def test_interval_holds_what_it_says() -> None:
    one = outlook(SETUP, 2)[-1]
    doubt = np.random.default_rng(5).standard_normal((4000, DOUBTS))
    from borewright.cutting.pushoff import settled_push_off

    drawn = settled_push_off(SETUP.cut, one.depth, doubt)
    assert float(np.mean((drawn > one.low) & (drawn < one.high))) == pytest.approx(0.95, abs=0.015)


def test_force_width_against_draws() -> None:
    from borewright.cutting.pushoff import force_for

    one = outlook(SETUP, 2)[0]
    doubt = np.random.default_rng(6).standard_normal((50_000, DOUBTS))
    drawn = np.log(force_for(CUT, 0.5 * (one.aim - one.hole), doubt).cutting)
    assert one.force_log_sd == pytest.approx(float(drawn.std()), rel=0.03)


def test_a_stiff_tool_well_used_has_nothing_to_tell() -> None:
    assert concerns(SETUP) == ()


def test_a_soft_tool_set_blind_loses_the_hole_first() -> None:
    soft = replace(SETUP, cut=replace(CUT, compliance=typed_compliance(100.0, 0.03, 31.0, 180.0)))
    found = concerns(soft)
    assert found[0].rank == LOSES
    assert "over the upper limit" in found[0].what
    assert "measure a pass before it" in found[0].would
    assert not [each for each in concerns(soft, 2, 0) if each.rank == LOSES]


def test_a_tool_set_above_the_upper_limit_counts_on_what_nothing_has_shown() -> None:
    counted = replace(SETUP, cut=replace(CUT, compliance=typed_compliance(100.0, 0.014, 31.0, 180.0, 0.05)))
    one = outlook(counted, 2)[-1]
    assert one.set_diameter > counted.upper
    assert one.oversize < 0.001
    assert [each.rank for each in concerns(counted)] == [WATCH]
    assert "larger than the upper limit" in said(counted)


def test_a_tool_that_may_cut_large() -> None:
    outward = replace(SETUP, cut=replace(CUT, compliance=Compliance(5e-5, 11e-5, 0.15, 0.2, "typed")))
    assert "may cut larger than it is set" in said(outward)


def test_a_tool_that_springs_away() -> None:
    limp = replace(SETUP, cut=replace(CUT, compliance=typed_compliance(100.0, 0.4, 31.0, 180.0)))
    assert "springs away" in said(limp, 2, 0)


@pytest.mark.parametrize(("share", "rank", "says"), [(0.05, CANNOT, "rubs below"), (0.8, SPOILS, "cuts badly")])
def test_too_thin_a_chip(share: float, rank: int, says: str) -> None:
    blunt = replace(SETUP, cut=replace(CUT, feed=0.03, edge=edge_of("thick-coated carbide")))
    blunt = replace(blunt, hole=62.0095 - share * blunt.least_depth)
    found = [each for each in concerns(blunt, 1) if says in each.what]
    assert [each.rank for each in found] == [rank]
    assert "Leave at least" in found[0].would
    assert not [
        each for each in concerns(replace(blunt, hole=62.0095 - 1.01 * blunt.least_depth), 1) if says in each.what
    ]


def test_a_bar_that_stands_out_far_may_chatter() -> None:
    assert said(replace(SETUP, slender=3.9)) == ""
    assert "4.0 times its diameter: it may chatter" in said(replace(SETUP, slender=4.0))
    assert said(replace(SETUP, slender=6.0, slender_to=8.0)) == ""


def test_rated_speed_and_spindle() -> None:
    assert "not given: check it before 821 rpm" in said(replace(SETUP, rated_rpm=None))
    assert "rated for" in said(replace(SETUP, rated_rpm=500.0))
    assert "97 m/min at most" in said(replace(SETUP, rated_rpm=500.0))
    assert "does not turn" in said(replace(SETUP, spindle=Spindle(((100.0, 1.0), (500.0, 1.0)))))
    short = said(replace(SETUP, spindle=Spindle(((2000.0, 0.4), (4000.0, 0.4)))))
    assert "the spindle has 0.16 kW and 1.9 N m at 821 rpm, of which 80 % may be taken" in short
    takes = outlook(SETUP, 2)[-1].power_kw
    assert "may be taken" in said(replace(SETUP, spindle=Spindle(((500.0, takes / 0.82), (6000.0, takes / 0.82)))))
    assert said(replace(SETUP, spindle=Spindle(((500.0, takes / 0.78), (6000.0, takes / 0.78))))) == ""
    assert said(replace(SETUP, spindle=Spindle(((500.0, 11.0), (6000.0, 11.0))))) == ""


def test_finish_and_the_feed_that_leaves_it() -> None:
    rough = replace(SETUP, ra=0.0012, cut=replace(CUT, feed=0.12))
    assert "Feed 0." in said(rough)
    assert "No feed leaves it" in said(replace(SETUP, ra=0.0001))
    assert "fresh edge" in said(replace(SETUP, ra=0.00112))
    assert said(replace(SETUP, ra=0.0032)) == ""
    assert said(replace(rough, ra=0.0012), 2, 0) == ""


def test_measured_finish_counts() -> None:
    good, poor = (replace(SETUP, ra=0.0011, ratios=(ratio,) * 6) for ratio in (0.6, 2.5))
    assert said(good) == ""
    assert "Ra 2.4" in said(poor)


def test_wear_and_warmth() -> None:
    assert "shrinks the bore" in said(replace(SETUP, speed=330.0))
    assert "warms the wall" in said(replace(SETUP, wall=2.0))
    assert outlook(replace(SETUP, length=None), 1)[0].wear is None
    assert outlook(replace(SETUP, wall=None), 1)[0].warming is None


def test_unsuited_edges_and_unusual_data_are_told_of() -> None:
    assert "PCD wears away" in said(replace(SETUP, cut=replace(CUT, edge=edge_of("PCD"))), 2, 0)
    found = concerns(replace(SETUP, speed=300.0, length=None))
    assert [each.rank for each in found] == [WATCH]
    assert "speed 300, usually 120 to 250 m/min" in found[0].what


def test_worst_first() -> None:
    bad = replace(
        SETUP, rated_rpm=500.0, ra=0.0001, cut=replace(CUT, compliance=typed_compliance(100.0, 0.03, 31.0, 180.0))
    )
    ranks = [each.rank for each in concerns(bad)]
    assert ranks == sorted(ranks)
    assert ranks[0] == LOSES


@pytest.mark.parametrize("passes", [0, 7])
def test_numbers_of_passes_that_are_none(passes: int) -> None:
    with pytest.raises(EntryError, match="not planned"):
        outlook(SETUP, passes)


def test_force_and_chip_are_of_half_of_what_comes_off_the_diameter() -> None:
    for one in outlook(SETUP, 2):
        radial = 0.5 * (one.aim - one.hole)
        assert float(one.chip.depth) == pytest.approx(radial)
        assert float(one.force.cutting) == pytest.approx(float(force_for(CUT, radial).cutting))
        assert one.torque == pytest.approx(float(one.force.cutting) * 62.0095 / 2000.0)


@pytest.mark.parametrize("gives", [0.009, 0.05, 0.15])
def test_what_holds_push_off_at_a_depth_set_is_that_of_inputs_drawn_at_random(gives: float) -> None:
    cut = replace(CUT, compliance=typed_compliance(100.0, gives, 31.0, 180.0))
    one = outlook(replace(SETUP, cut=cut), 2)[0]
    drawn = settled_push_off(cut, one.depth, np.random.default_rng(4).standard_normal((4000, DOUBTS)))
    low, high = np.quantile(drawn, [0.025, 0.975])
    assert one.high - one.low == pytest.approx(float(high - low), rel=0.15)


def test_no_stock() -> None:
    with pytest.raises(EntryError, match="No stock"):
        outlook(replace(SETUP, hole=62.01), 1)


def test_deeper_cuts_push_off_more_and_last_less() -> None:
    one, two = outlook(SETUP, 1)[0], outlook(SETUP, 2)[0]
    assert one.push_off > two.push_off
    assert one.force.cutting > two.force.cutting
    assert one.power_kw > two.power_kw
    assert math.isclose(one.finish.ra_mm, two.finish.ra_mm)
