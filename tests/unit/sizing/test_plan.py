"""Plans: what they are judged by, and what they never do."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from borewright.sizing.ahead import change_for, foresee, measured_next, most_opening, stand_still
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.model import Model, cut, opening_belief
from borewright.sizing.outlook import Outlook, after_cut
from borewright.sizing.plan import SPLITS, TRIAL_SPLITS, Plan, best_plan, plan_by, with_under_cost
from borewright.sizing.screw import CLOSED, TAKEN_UP
from borewright.sizing.tool_moves import set_tool
from tests.unit.sizing.plain import DIRECT, bore, outlook_for


def started(**changed: object) -> tuple[Model, Gaussian]:
    """A bore with its tool set and a first pass cut and measured."""
    model = bore(**changed).model
    belief = set_tool(opening_belief(model), model, 39.72, locked=True)
    return model, measured_next(cut(belief, model).belief, outlook_for(model))


def test_odds_are_those_of_the_whole_hole() -> None:
    model, _ = started()
    outlook = replace(outlook_for(model), form_mm=0.001)
    odds = outlook.odds(model.upper_mm - 0.001, 0.002)
    assert odds.oversize == pytest.approx(0.5)
    assert odds.in_tolerance == pytest.approx(0.5, abs=1e-9)
    assert outlook.odds(model.lower_mm + 0.001, 0.002).undersize == pytest.approx(0.5)
    assert sum(parts_of(outlook.odds(40.0, 0.05))) == pytest.approx(1.0, abs=1e-12)


def parts_of(odds: object) -> list[float]:
    return [getattr(odds, name) for name in ("oversize", "in_tolerance", "undersize")]


def all_plans(belief: Gaussian, outlook: Outlook) -> list[Plan]:
    """Every plan carried to its end, in the order in which they are tried."""
    judged = with_under_cost(belief, outlook)
    return [plan for split in (*SPLITS, *TRIAL_SPLITS) if (plan := plan_by(belief, judged, split)) is not None]


@pytest.mark.parametrize("adjuster", [DIRECT, None])
@pytest.mark.parametrize("aim", [39.80, 39.95, 40.0])
def test_the_change_asked_for_leaves_the_aim(adjuster: object, aim: float) -> None:
    model, belief = started(**({} if adjuster is None else {"adjuster": adjuster}))
    step = foresee(belief, outlook_for(model), change_for(belief, outlook_for(model), aim)).step
    assert step.aim_mm == pytest.approx(aim, abs=2e-5)


def test_the_diameter_to_set_leaves_the_aim() -> None:
    model = bore().model
    belief, outlook = opening_belief(model), outlook_for(model, tool_set=False)
    belief.mean[State.BENCH] = 0.003
    step = foresee(belief, outlook, change_for(belief, outlook, 39.7)).step
    assert step.aim_mm == pytest.approx(39.7, abs=2e-5)
    assert step.tool_mm == pytest.approx(change_for(belief, outlook, 39.7) + 0.003, abs=1e-9)


def test_from_the_closed_flank_the_backlash_comes_on_top() -> None:
    model, belief = started()
    straight, through = outlook_for(model), replace(outlook_for(model), play=CLOSED)
    more = change_for(belief, through, 39.9) - change_for(belief, straight, 39.9)
    assert more == pytest.approx(0.015, abs=1e-9)
    step = foresee(belief, through, change_for(belief, through, 39.9)).step
    assert step.aim_mm == pytest.approx(39.9, abs=2e-5)
    assert after_cut(through, step).play == TAKEN_UP


def test_plans_reach_the_middle_in_growing_steps() -> None:
    model, belief = started()
    plans = all_plans(belief, outlook_for(model))
    assert 1 < len(plans) <= len(SPLITS) + len(TRIAL_SPLITS)
    for plan in plans:
        aims = [belief.at(State.HOLE), *(step.aim_mm for step in plan.steps)]
        assert all(low < high for low, high in pairwise(aims))
        assert model.lower_mm < aims[-1] < model.upper_mm


def test_no_plan_rubs_or_leaves_too_little_for_the_pass_after() -> None:
    for hole in (39.9, 39.95, 39.96):
        model, belief = started()
        near = belief.redrawn(State.HOLE, hole, 0.0013)
        for plan in all_plans(near, outlook_for(model)):
            if len(plan.steps) > 1:
                assert not any(step.rubs for step in plan.steps[:-1] if not step.trial)
                assert plan.steps[-1].depth_mm >= model.priors.min_depth.value - 1e-9


@pytest.mark.parametrize("hole", [38.4, 39.2, 39.6, 39.75, 39.9, 39.95, 39.97, 39.985, 39.999])
@pytest.mark.parametrize("scrap", [8.0, 60.0, 900.0])
def test_what_is_not_carried_to_its_end_is_not_the_best(hole: float, scrap: float) -> None:
    model, belief = started()
    outlook = outlook_for(model)
    outlook = replace(outlook, costs=replace(outlook.costs, scrap=scrap))
    near = belief.redrawn(State.HOLE, hole, 0.0013)
    plans = all_plans(near, outlook)
    assert best_plan(near, with_under_cost(near, outlook)) == min(plans, key=lambda plan: plan.cost)


def test_a_plan_that_costs_too_much_is_left() -> None:
    model, belief = started()
    judged = with_under_cost(belief, outlook_for(model))
    for split in (*SPLITS, *TRIAL_SPLITS):
        plan = plan_by(belief, judged, split)
        if plan is not None:
            assert plan_by(belief, judged, split, plan.cost + 1e-9) == plan
            assert plan_by(belief, judged, split, plan.cost) is None


def test_an_unproved_tool_opens_no_further_than_it_may() -> None:
    model, belief = started()
    held = replace(outlook_for(model), widest_opening_mm=0.06)
    assert most_opening(belief, held) == 0.06
    plans = all_plans(belief, held)
    assert plans
    assert all(plan.steps[0].change_mm <= 0.06 for plan in plans)
    assert any(step.change_mm > 0.06 for plan in plans for step in plan.steps[1:])


def test_a_tool_to_be_set_stays_under_the_largest_it_may_stand_at() -> None:
    model = bore().model
    belief = opening_belief(model)
    held = replace(outlook_for(model, tool_set=False), largest_tool_mm=39.6)
    plans = all_plans(belief, held)
    assert plans
    assert all(plan.steps[0].tool_mm <= 39.6 + 1e-9 for plan in plans)


def test_what_comes_out_too_small_costs_another_pass_where_there_is_enough_to_cut() -> None:
    model, belief = started()
    thin = with_under_cost(belief, outlook_for(model))
    fine = replace(model, priors=replace(model.priors, min_depth=replace(model.priors.min_depth, value=1e-4)))
    enough = with_under_cost(belief, replace(outlook_for(model), model=fine))
    assert enough.under_cost < thin.under_cost <= outlook_for(model).costs.scrap
    assert enough.under_cost > outlook_for(model).costs.pass_


def test_standing_still_is_a_pass_without_a_move() -> None:
    model, belief = started()
    step = stand_still(belief, outlook_for(model))
    assert step.change_mm == 0.0
    assert step.aim_mm == pytest.approx(cut(belief, model).belief.at(State.HOLE), abs=1e-12)


def test_a_coming_measurement_narrows_and_does_not_move() -> None:
    model = bore().model
    belief, outlook = opening_belief(model), outlook_for(model)
    narrowed = measured_next(belief, outlook)
    assert (narrowed.mean == belief.mean).all()
    assert narrowed.sd(State.HOLE) < 0.25 * belief.sd(State.HOLE)
    assert narrowed.sd(State.WARMTH) < 0.5 * belief.sd(State.WARMTH)
    without = measured_next(belief, replace(outlook, thermometer=False))
    assert without.sd(State.WARMTH) == pytest.approx(belief.sd(State.WARMTH), rel=0.05)


def test_the_last_aim_lies_below_the_middle_where_too_large_is_dear() -> None:
    model, belief = started()
    outlook = replace(with_under_cost(belief, outlook_for(model)), under_cost=2.0)
    step = stand_still(belief, outlook)
    wide = replace(step, seen=replace(step.seen, sd_mm=0.004))
    assert outlook.best_aim(wide) < model.diameter_mm - 0.0005
    equal = replace(outlook, under_cost=outlook.costs.scrap)
    assert equal.best_aim(wide) == pytest.approx(model.diameter_mm, abs=0.0004)
    assert math.isfinite(outlook.final_cost(wide))
