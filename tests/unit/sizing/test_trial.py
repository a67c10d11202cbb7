"""Trial cuts: when one is advised, what it is taken for, and where none can be made."""

from __future__ import annotations

from dataclasses import replace

import pytest

from borewright.sizing.ahead import carried, change_for, foresee, measured_next
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.model import opening_belief
from borewright.sizing.outlook import after_cut, half_way
from borewright.sizing.plan import Cut, plan_by, with_under_cost
from borewright.sizing.tool_moves import set_tool
from tests.unit.sizing.plain import DIAL, Entry, bore, expected_reading_mm, outlook_for, read, setting, temperature

PASS: Entry = {"event": "passed"}
TRIAL: Entry = {"event": "passed", "depth": "trial"}


GAUGE = {"step": "0.001 mm", "scatter": "0.0006 mm", "bias": "0.0005 mm"}


def after_first_pass(**changed: object) -> Bore:
    """A bore on an unproved dial, half its stock off and measured as expected."""
    worked = bore(*setting(39.72), PASS, temperature(20.0), **changed)
    for _ in range(2):
        worked.record(read(round(expected_reading_mm(worked), 3)))
    return worked


def test_an_unproved_dial_is_shown_by_a_trial_and_not_by_a_whole_pass() -> None:
    push_off = {"guess": "0.012 mm", "at": "0.25 mm", "factor": "1.5"}
    worked = after_first_pass(gauge=GAUGE, push_off=push_off)
    advice = worked.advise()
    assert advice["action"] == "move_and_cut"
    assert advice["cut"] == {"depth": "trial"}
    assert "trial cut" in str(advice["say"])
    assert "chamfer" in str(advice["steps"])
    now, expect = advice["now"], advice["expect"]
    assert now == expect, "a trial leaves the hole as it is"
    worked.record({"event": "moved", "lines": advice["move"]["lines"]})  # type: ignore[index]  # plain values
    assert worked.advise()["cut"] == {"depth": "trial"}
    worked.record(TRIAL)
    for _ in range(2):
        assert worked.advise()["action"] == "measure"
        worked.record(read(round(expected_reading_mm(worked), 3)))
    after = worked.advise()
    assert after["action"] == "move_and_cut"
    assert after["cut"] == {"depth": "full"}
    assert after["passes_left"] == 1


def test_without_a_chamfer_no_trial_is_advised() -> None:
    worked = after_first_pass(mouth="sharp")
    assert worked.advise()["cut"] == {"depth": "full"}
    assert not any(assumed["name"] == "land" for assumed in worked.advise()["assumptions"])  # type: ignore[attr-defined]
    assert any(assumed["name"] == "land" for assumed in after_first_pass().advise()["assumptions"])  # type: ignore[attr-defined]


def test_a_proved_dial_needs_none() -> None:
    worked = after_first_pass(gauge=GAUGE, tool={"bench": "0.004 mm", "seat": "0.004 mm", "proved": True})
    assert worked.advise()["cut"] == {"depth": "full"}


def test_a_trial_leaves_the_hole_and_its_plan_costs_less_than_a_pass() -> None:
    model = bore().model
    belief = set_tool(opening_belief(model), model, 39.72, locked=True)
    outlook = outlook_for(model)
    through, land = foresee(belief, outlook, 0.0), foresee(belief, outlook, 0.0, trial=True)
    assert land.step.trial
    assert land.step.aim_mm == through.step.aim_mm
    after = measured_next(carried(belief, outlook, 0.0, trial=True), outlook, trial=True)
    assert after.at(State.HOLE) == belief.at(State.HOLE)
    assert after.sd(State.UNLOCKED) < belief.sd(State.UNLOCKED)
    judged = with_under_cost(belief, outlook)
    tried, passed = (plan_by(belief, judged, (Cut(0.5, trial=trial),)) for trial in (True, False))
    assert tried is not None
    assert passed is not None
    assert tried.steps[0].trial
    assert [step.trial for step in passed.steps] == [False, False]
    dear = replace(judged, costs=replace(judged.costs, trial=5.0))
    again = plan_by(belief, dear, (Cut(0.5, trial=True),))
    assert again is not None
    assert again.cost == pytest.approx(tried.cost + 5.0 - judged.costs.trial, abs=1e-9)


def test_a_cut_without_a_move_does_not_prove_a_dial() -> None:
    model = bore().model
    outlook = replace(outlook_for(model), unmoved=True, widest_opening_mm=0.1)
    belief = set_tool(opening_belief(model), model, 39.72, locked=True)
    still = foresee(belief, outlook, 0.0).step
    assert after_cut(outlook, still).widest_opening_mm == half_way(still.tool_mm, model.upper_mm)
    assert after_cut(outlook, still).unmoved
    moved = foresee(belief, outlook, change_for(belief, outlook, 39.75)).step
    assert after_cut(outlook, moved).widest_opening_mm > 1.0
    assert not after_cut(outlook, moved).unmoved


def test_a_later_move_of_a_coarse_dial_is_not_taken_to_be_exact() -> None:
    fine, coarse = bore().model, bore(adjuster={**DIAL, "line": "0.01 mm"}).model
    coarse = replace(coarse, priors=replace(fine.priors, move=coarse.priors.move))
    fine = replace(fine, priors=replace(fine.priors, move=coarse.priors.move))
    costs = []
    for model in (fine, coarse):
        belief = set_tool(opening_belief(model), model, 39.72, locked=True)
        outlook = with_under_cost(belief, outlook_for(model))
        plan = plan_by(belief, outlook, (Cut(0.5),))
        assert plan is not None
        costs.append(plan.cost)
    assert costs[1] > costs[0] + 0.3
