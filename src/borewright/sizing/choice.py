"""Which action is next: set, check, move, cut, measure, release or set aside, by expected cost."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

from borewright.gauging.conformity import Rule
from borewright.sizing.ahead import carried, foresee, measured_next, most_opening, move, stand_still
from borewright.sizing.belief import Belief
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.holding_back import held_back, most_as_told, proof_frees
from borewright.sizing.judging import IN_CLAMPS, Judged, judge
from borewright.sizing.meanings import before_first_move
from borewright.sizing.measuring import thermometer_row
from borewright.sizing.mishaps import mishaps_of, with_mishaps
from borewright.sizing.model import Model
from borewright.sizing.off_advice import slack, step_cost
from borewright.sizing.outlook import Odds, Outlook, Spread, Step, after_cut, half_way
from borewright.sizing.plan import Plan, best_plan, with_under_cost
from borewright.sizing.priors import TYPED
from borewright.sizing.proving import (
    MOST_SETTINGS,
    READINGS,
    UNTAKEN,
    best_u,
    evidence,
    inside,
    ways_on,
)
from borewright.sizing.settings_apart import setting_wanted
from borewright.sizing.supposing import parted, parts
from borewright.sizing.tool_moves import tool_widened

Action: TypeAlias = Literal[
    "set", "check_hole", "move_and_cut", "cut", "measure", "wait", "prove", "release", "quarantine", "none"
]

SURE: Final = 0.98
"""Conformance probability above which no further reading is asked before a release. Common practice, no source."""

SETTLED_BY: Final = 6
"""Readings after which those that do not agree are left to the weighing. Common practice, no source."""

SMALL_GAIN: Final = 0.25
"""Saving, in passes, below which a tool that was just moved is not moved again. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """The action chosen, and what it rests on.

    Args:
        action: what to do.
        ground: why, as a key of the sentences in ``words``.
        odds: of the hole after the action.
        mean_mm: the size after the action, mm.
        sd_mm: its standard deviation, mm.
        plan: the plan whose first step is acted upon, or None.
        step: that step with the change rounded to what the adjuster can be set to, or None.
        judged: the evidence so far, or None without a reading.
        outlook: what plans were judged by.
        within_mm: how far a readout may be off before moving again pays, mm on the diameter; 0 where nothing is moved.
        spread: the size after the action under each of several suppositions: its odds, mean and standard deviation, mm.
    """

    action: Action
    ground: str
    odds: Odds
    mean_mm: float
    sd_mm: float
    plan: Plan | None
    step: Step | None
    judged: Judged | None
    outlook: Outlook
    within_mm: float = 0.0
    spread: Spread = ()


def outlook_of(belief: Belief, model: Model, costs: Costs, rule: Rule) -> Outlook:
    """Return what plans are judged by now, with the limits that an unproved tool sets to the next move.

    Args:
        belief: what is believed.
        model: the bore's constants.
        costs: what things cost.
        rule: the rule by which the bore is judged.

    Returns:
        The outlook.
    """
    priors = model.priors
    known, _ = belief.gauge_told(model)
    u_first, u_best = best_u(belief, model, 1), best_u(belief, model, MOST_SETTINGS)
    form = model.form_mm
    can_show = rule.can_show(math.hypot(u_best, form), model.upper_mm - model.lower_mm - 2.0 * form)
    at_first, at_best = (inside(u, model, rule) if can_show else form for u in (u_first, u_best))
    outlook = Outlook(
        model=model,
        costs=costs,
        rule=rule,
        scatter_mm=belief.gauge_scatter_mm,
        # Whoever has a thermometer and cut without taking the temperature will not take it next time either.
        thermometer=belief.thermometer_used or (priors.thermometer.origin == TYPED and not belief.history),
        tool_set=belief.tool_set,
        form_mm=form,
        u_release_mm=u_first,
        known_mm=known,
        accepted=(model.lower_mm + at_best, model.upper_mm - at_best),
        accepted_at_once=(model.lower_mm + at_first, model.upper_mm - at_first),
        can_show=can_show,
        play=belief.play,
        readout=belief.last_move.readout,
        standing=belief.now,
        tried=belief.after_trial,
    )
    if not belief.history:
        # Nobody knows the push-off yet: the tool stays under the upper limit even if there is none.
        spread = math.hypot(priors.bench.width, priors.seat.width) if not belief.tool_set else belief.tool_sd_mm
        outlook = replace(outlook, largest_tool_mm=model.upper_mm - 2.0 * spread)
    if not belief.moves_shown and not priors.proved.value and model.adjuster.kind == "dial":
        unshown = belief.unshown_mm
        most = half_way(belief.tool_mm - unshown, model.upper_mm) - unshown
        outlook = replace(outlook, widest_opening_mm=most, unmoved=not belief.moves)
    if belief.tool_set:
        outlook = replace(outlook, widest_opening_mm=min(outlook.widest_opening_mm, most_as_told(belief, model)))
    return held_back(belief, outlook)


def choose(belief: Belief, model: Model, costs: Costs, rule: Rule, bench_step_mm: float = 0.001) -> Chosen:
    """Choose the next action.

    Args:
        belief: what is believed.
        model: the bore's constants.
        costs: what things cost.
        rule: the rule by which the bore is judged.
        bench_step_mm: the step in which a diameter to set is given, mm.

    Returns:
        The action and what it rests on.
    """
    outlook = outlook_of(belief, model, costs, rule)
    judged = judge(belief, model, rule)
    moment = _Moment(belief, outlook, judged)
    if belief.status != "open":
        return moment.do("none", belief.status)
    # What only looking tells, such as whether something was cut, no further reading settles.
    if belief.readings_open and len(belief.readings) < SETTLED_BY:
        return moment.do("measure", "surprise")
    if not belief.tool_set:
        return _set_or_check(moment, bench_step_mm)
    if belief.uncut_move:
        return _cut_or_mend(moment)
    if belief.gauge_off:
        return moment.do("measure", "gauge off")
    if belief.history and len(evidence(belief)) < READINGS and not belief.after_trial:
        return moment.do("measure", "second reading" if belief.readings else _first_reading(belief, model))
    if belief.after_trial and len(belief.readings) < READINGS:
        return moment.do("measure", "trial")
    return _release_or_go_on(moment)


def _first_reading(belief: Belief, model: Model) -> str:
    """Return the ground of the first reading: after a wait the part's temperature comes before it."""
    untaken = belief.part_told[1] > UNTAKEN * model.priors.thermometer.width
    if belief.waited and belief.thermometer_used and untaken:
        return "temperature"
    return "waited" if belief.waited else "first reading"


@dataclass(frozen=True, slots=True)
class _Moment:
    """What every choice starts from: the hole as it is."""

    belief: Belief
    outlook: Outlook
    judged: Judged | None

    def do(self, action: Action, ground: str) -> Chosen:
        """Choose an action that leaves the hole as it is."""
        hole, sd = self.belief.hole_mm, self.belief.now.sd(State.HOLE)
        spread = tuple(
            (share, *_freed(each, self.outlook.model, each.hole_mm, each.now.sd(State.HOLE)))
            for share, each in parts(self.belief)
        )
        odds = self.outlook.odds_of(spread)
        return Chosen(action, ground, odds, hole, sd, None, None, self.judged, self.outlook, spread=spread)

    def cut(self, action: Action, ground: str, plan: Plan, step: Step, within_mm: float = 0.0) -> Chosen:
        """Choose an action that ends in a cut; a trial cut leaves the hole as it is."""
        if step.trial:
            chosen = self.do(action, ground)
            return replace(chosen, plan=plan, step=step, within_mm=within_mm)
        spread = self._spread(step)
        odds, judged = self.outlook.odds_of(spread), self.judged
        return Chosen(
            action, ground, odds, step.aim_mm, step.sd_mm, plan, step, judged, self.outlook, within_mm, spread
        )

    def _spread(self, step: Step) -> Spread:
        """Foresee the size that a cut leaves under each supposition; a first move may show another worth of a line."""
        belief = self.belief
        if self.outlook.tool_set and step.change_mm:
            belief = parted(belief, before_first_move(belief, self.outlook.model))
        change = step.change_mm
        cuts = [(1.0, belief, step)] if not belief.others else self._foreseen(belief, change)
        found: Spread = ()
        for share, each, cut in cuts:
            moved, seated = self.outlook.tool_set and change != 0.0, not self.outlook.tool_set or belief.awaiting_seat
            mishaps = mishaps_of(each.now, self.outlook.model, cut, moved=moved, seated=seated)
            found += with_mishaps((share, *_freed(each, self.outlook.model, cut.aim_mm, cut.sd_mm)), mishaps)
        return found

    def _foreseen(self, belief: Belief, change_mm: float) -> list[tuple[float, Belief, Step]]:
        """Foresee a cut under each supposition."""
        return [(share, each, foresee(each.now, self.outlook, change_mm).step) for share, each in parts(belief)]


def _freed(belief: Belief, model: Model, mean_mm: float, sd_mm: float) -> tuple[float, float]:
    """Return a size as it is out of the clamps, where letting them go may change it."""
    if not (belief.clamped and model.priors.clamps.value):
        return mean_mm, sd_mm
    return mean_mm + belief.now.at(State.SPRING), math.hypot(sd_mm, belief.now.sd(State.SPRING))


def _set_or_check(moment: _Moment, grain: float) -> Chosen:
    if chosen := _as_it_is(moment):
        return chosen
    belief, outlook = moment.belief.now, with_under_cost(moment.belief.now, moment.outlook)
    best = best_plan(belief, outlook)
    if best is None:
        return moment.do("quarantine", "nothing left to cut")
    if not moment.belief.readings and _worth_checking(moment, best):
        return moment.do("check_hole", "check pays")
    change = math.floor(best.steps[0].change_mm / grain) * grain
    step = foresee(belief, outlook, change, trial=best.steps[0].trial).step
    return moment.cut("set", "set first" if len(best.steps) > 1 else "set last", best, step)


def _as_it_is(moment: _Moment) -> Chosen | None:
    """Choose for a hole that may be to size, or over it, before anything was cut; None where it is under size."""
    belief, judged = moment.belief, moment.judged
    if moment.outlook.odds(belief.hole_mm, belief.now.sd(State.HOLE)).undersize > 0.5:
        return None
    if judged is None or len(evidence(belief)) < READINGS:
        return moment.do("measure" if belief.readings else "check_hole", "near size")
    return _by_verdict(moment, judged)


def _worth_checking(moment: _Moment, best: Plan) -> bool:
    """Tell whether measuring the hole first saves more than it costs."""
    checked = _best_from(measured_next(moment.belief.now, moment.outlook), moment.outlook)
    return checked is not None and checked.cost + moment.outlook.costs.measurement < best.cost


def _best_from(belief: Gaussian, outlook: Outlook) -> Plan | None:
    """Return the best plan from another belief than the present one."""
    return best_plan(belief, with_under_cost(belief, outlook))


def _cut_or_mend(moment: _Moment) -> Chosen:
    """The tool is moved and not cut: cut, unless where it now stands asks for another move.

    Both are judged alike: as far as the adjuster can be set, and with what another locking would leave to chance. Where
    the move is the one that would be advised by all that is known, the cut is the one it is advised for: a move teaches
    nothing, but where a readout shows that the tool came to stand elsewhere.
    """
    belief, outlook = moment.belief.now, with_under_cost(moment.belief.now, moment.outlook)
    meant = _meant(moment)
    standing = _standing(belief, outlook, meant)
    if meant is None or outlook.model.adjuster.kind == "direct":
        best = best_plan(belief, outlook)
        enough = SMALL_GAIN * outlook.costs.pass_
        if best is not None and best.cost + enough < standing.cost:
            again = _moved(moment, outlook, best, "move again")
            assert again.step is not None
            relocked = _standing(_relocked(belief, outlook, again.step), outlook)
            if relocked.cost + enough < standing.cost:
                return again
    if standing.cost >= outlook.costs.scrap:
        return _nothing_to_cut(moment)
    return moment.cut("cut", _ground_unmoved(moment.belief, standing.steps[0]), standing, standing.steps[0])


def _meant(moment: _Moment) -> bool | None:
    """Tell what the tool was moved for: a trial cut, or not; None where the move is not the one to be advised."""
    before, outlook = moment.belief.moved_from, moment.outlook
    if before is None:
        return None
    advised = choose(before, outlook.model, outlook.costs, outlook.rule)
    if advised.action != "move_and_cut" or advised.step is None:
        return None
    as_advised = math.isclose(moment.belief.last_move.change_mm, advised.step.change_mm, abs_tol=1e-9)
    return advised.step.trial if as_advised or outlook.model.adjuster.kind == "direct" else None


def _relocked(belief: Gaussian, outlook: Outlook, step: Step) -> Gaussian:
    """Return the belief after a move whose locking has yet to show what it does."""
    moved = move(belief, outlook, step.change_mm)
    unseen = outlook.model.priors.lock_scatter.width if outlook.model.adjuster.kind == "direct" else 0.0
    return tool_widened(moved, unseen)


def _standing(belief: Gaussian, outlook: Outlook, meant: bool | None = None) -> Plan:
    """Return the best plan that begins by cutting with the tool as it stands: through the bore, or a trial.

    Args:
        belief: what is believed.
        outlook: what plans are judged by.
        meant: whether the tool was moved for a trial; where that is said, no other cut is thought of.

    Returns:
        The plan.
    """
    still = replace(outlook, tool_set=True)
    if meant is not None:
        return _cut_as_it_stands(belief, still, trial=meant)
    through = _cut_as_it_stands(belief, still, trial=False)
    if not outlook.trials:
        return through
    trial = _cut_as_it_stands(belief, still, trial=True)
    return trial if trial.cost < through.cost else through


def _cut_as_it_stands(belief: Gaussian, outlook: Outlook, *, trial: bool) -> Plan:
    """Return the plan of one cut with the tool as it stands and whatever is best after it; cheapest as the last one."""
    step, costs = foresee(belief, outlook, 0.0, trial=trial).step, outlook.costs
    after = measured_next(carried(belief, outlook, 0.0, trial=trial), outlook, trial=trial)
    following = _best_after(after, after_cut(outlook, step), trial=trial)
    over = outlook.odds(step.aim_mm, step.sd_mm).oversize
    going_on = costs.scrap * over + (costs.scrap if following is None else following.cost)
    spent, last = outlook.cost_of(trial=trial), outlook.final_cost(step)
    if not trial and last <= going_on:
        return Plan((step,), spent + last)
    return Plan((step, *(() if following is None else following.steps)), spent + going_on)


def _best_after(after: Gaussian, outlook: Outlook, *, trial: bool) -> Plan | None:
    """Return the best plan once a cut is measured; after a trial that may be to cut through with the tool unmoved."""
    outlook = with_under_cost(after, outlook)
    best = best_plan(after, outlook)
    if not trial:
        return best
    through = _last_unmoved(after, outlook)
    return through if best is None or through.cost < best.cost else best


def _last_unmoved(belief: Gaussian, outlook: Outlook) -> Plan:
    """Return the plan of one last pass with the tool unmoved."""
    step = stand_still(belief, outlook)
    return Plan((step,), outlook.cost_of(trial=False) + outlook.final_cost(step))


def _by_verdict(moment: _Moment, judged: Judged) -> Chosen | None:
    """Choose by what the evidence says of the hole as it is; None where it leaves it to be cut on."""
    belief, model = moment.belief, moment.outlook.model
    now = moment.outlook.odds(belief.hole_mm, belief.now.sd(State.HOLE))
    too_large = judged.size.mm >= model.diameter_mm
    if too_large and any(reading.in_clamps for reading in evidence(belief)):
        return moment.do("measure", "in clamps")
    if asked := setting_wanted(belief, lost=too_large and judged.verdict == "out"):
        return moment.do("measure", asked)
    if judged.verdict == "in":
        more_helps = len(evidence(belief)) < 2 * READINGS and judged.probability < SURE
        return moment.do("measure", "make sure") if more_helps else moment.do("release", "shown in")
    if judged.verdict == "not shown" and (ground := _measuring_on(moment, judged)):
        return moment.do("wait" if ground == "warm part" else "measure", ground)
    if too_large:
        # A cut can only make it larger; to cut for the sake of other readings would be to ask until one says in.
        lost = "too large" if now.oversize > 0.5 else "near the upper limit"
        asked = setting_wanted(belief, lost=True)
        return moment.do("measure", asked) if asked else moment.do("quarantine", lost)
    if not moment.outlook.can_show and now.in_tolerance > 0.5:
        return moment.do("quarantine", "cannot be shown")
    return None


def _release_or_go_on(moment: _Moment) -> Chosen:
    belief, judged, costs, model = moment.belief, moment.judged, moment.outlook.costs, moment.outlook.model
    now = moment.outlook.odds(belief.hole_mm, belief.now.sd(State.HOLE))
    if belief.history and judged is not None and (chosen := _by_verdict(moment, judged)):
        return chosen
    outlook = with_under_cost(belief.now, moment.outlook)
    best = _best_or_cut_again(belief, outlook)
    if best is None or best.cost >= costs.scrap:
        return moment.do("quarantine", "too large") if belief.hole_mm > model.upper_mm else _nothing_to_cut(moment)
    if _worth_a_temperature(moment, best):
        return moment.do("measure", "temperature")
    odds = outlook.odds(best.steps[0].aim_mm, best.steps[0].sd_mm)
    if odds.oversize > max(odds.in_tolerance, odds.undersize):
        return moment.do("quarantine", "cannot be shown" if now.in_tolerance > 0.5 else "nothing left to cut")
    if best.steps[0].change_mm == 0.0:
        return moment.cut("cut", _ground_unmoved(belief, best.steps[0]), best, best.steps[0])
    ground = "trial first" if best.steps[0].trial else "more to come"
    return _moved(moment, outlook, best, "last pass" if len(best.steps) == 1 else ground)


def _nothing_to_cut(moment: _Moment) -> Chosen:
    """Set the bore aside, unless it is only what may be otherwise that keeps the tool from being opened."""
    if proof_frees(moment.belief, moment.outlook):
        return moment.do("prove", "held back")
    return moment.do("quarantine", "nothing left to cut")


def _worth_a_temperature(moment: _Moment, best: Plan) -> bool:
    """Tell whether taking the temperature of the part as it was measured saves more than it takes."""
    belief, outlook = moment.belief, moment.outlook
    thermometer = outlook.model.priors.thermometer.width
    if not 0 < len(belief.readings) < SETTLED_BY or belief.part_told[1] <= UNTAKEN * thermometer:
        return False
    told = _best_from(belief.now.narrowed(*thermometer_row(outlook.model)), replace(outlook, thermometer=True))
    return told is not None and told.cost + outlook.costs.measurement < best.cost


def _measuring_on(moment: _Moment, judged: Judged) -> str:
    """Return the ground on which to go on measuring a hole that is not shown in; empty where that does not pay."""
    belief, model, costs = moment.belief, moment.outlook.model, moment.outlook.costs
    if judged.why:
        return "in clamps" if judged.why == IN_CLAMPS else "own probe"
    if sum(r.gauge_number == belief.gauge_number for r in evidence(belief)) < READINGS:
        return "fresh setting"
    otherwise = costs.scrap
    if judged.size.mm < model.diameter_mm:
        best_cut = _best_or_cut_again(belief, with_under_cost(belief.now, moment.outlook))
        otherwise = otherwise if best_cut is None else min(otherwise, best_cut.cost)
    ways = ways_on(belief, model, moment.outlook.rule)
    best = min(ways, key=lambda way: way.cost(costs, otherwise), default=None)
    if best is None or best.cost(costs, otherwise) >= otherwise:
        return ""
    return best.how


def _best_or_cut_again(belief: Belief, outlook: Outlook) -> Plan | None:
    """Return the best plan; where a pass was cut, that may be to cut again without moving the tool."""
    best = best_plan(belief.now, outlook)
    if not belief.history:
        return best
    again = _last_unmoved(belief.now, outlook)
    return again if best is None or again.cost < best.cost else best


def _moved(moment: _Moment, outlook: Outlook, plan: Plan, ground: str) -> Chosen:
    """Round the move to what the adjuster can be set to, by the odds and not to the nearest."""
    belief = moment.belief.now
    grain = outlook.model.adjuster.grain_mm
    wanted = plan.steps[0].change_mm
    best_step, best_cost = None, math.inf
    for count in (math.floor(wanted / grain), math.floor(wanted / grain) + 1):
        step = foresee(belief, outlook, count * grain, trial=plan.steps[0].trial).step
        cost = step_cost(outlook, plan, step)(step.aim_mm)
        if best_step is None or (cost < best_cost and count * grain <= most_opening(belief, outlook)):
            best_step, best_cost = step, cost
    assert best_step is not None
    if best_step.change_mm == 0.0:  # a lock that is loosened for no move can only shift
        return moment.cut("cut", _ground_unmoved(moment.belief, best_step), plan, best_step)
    within = slack(outlook, plan, best_step, grain)
    return moment.cut("move_and_cut", ground, plan, best_step, within)


def _ground_unmoved(belief: Belief, step: Step) -> str:
    """Return the ground of a cut with the tool left where it stands."""
    if step.trial:
        return "trial first"
    if belief.uncut_move:
        return "as it stands"
    return "after the trial" if belief.after_trial else "spring pass"
