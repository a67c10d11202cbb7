"""Which action is next: set, check, move, cut, measure, release or set aside, by expected cost."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

from borewright.gauging.conformity import Rule, Verdict, normal_cdf
from borewright.gauging.evidence import PART_TEMPERATURE, Size, size_from_readings
from borewright.sizing.ahead import READINGS, carried, foresee, measured_next, most_opening, move, stand_still
from borewright.sizing.belief import Belief
from borewright.sizing.blunders import Reading
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.model import Model, tool_widened
from borewright.sizing.outlook import Odds, Outlook, Step, freed
from borewright.sizing.plan import Plan, best_plan, with_under_cost
from borewright.sizing.priors import TYPED

Action: TypeAlias = Literal["set", "check_hole", "move_and_cut", "cut", "measure", "release", "quarantine", "none"]

SURE: Final = 0.98
"""Conformance probability above which no further reading is asked before a release. Common practice, no source."""

MOST_READINGS: Final = 6
"""Readings after which further ones are no longer asked: what they share they cannot take away."""

LIKELY_BLUNDER: Final = 0.5
"""Probability from which on a reading is left out of the evidence for a release."""

SMALL_GAIN: Final = 0.25
"""Saving, in passes, below which a tool that was just moved is not moved again. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Judged:
    """The evidence of the readings, judged.

    Args:
        verdict: in, out or not shown.
        probability: that the whole bore is within limits, by the gauge's word alone.
        rule: the rule.
        size: the size with its uncertainty.
        over: probability that any of it is above the upper limit, by the gauge's word alone.
        as_read_mm: the readings that it rests on, as the gauge showed them, mm.
    """

    verdict: Verdict
    probability: float
    rule: Rule
    size: Size
    over: float
    as_read_mm: tuple[float, ...]


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
    known, setting = belief.gauge_told(model)
    u_release = size_from_readings(
        [model.diameter_mm] * READINGS,
        belief.gauge_scatter_mm,
        setting,
        priors.gauge_step.value,
        belief.warmth(model, once_taken=True),
    ).u_mm
    form = model.form_mm
    u, tolerance = math.hypot(u_release, form), model.upper_mm - model.lower_mm - 2.0 * form
    can_show = rule.can_show(u, tolerance)
    inside = form + (rule.guard(u, tolerance) if can_show else 0.0)
    outlook = Outlook(
        model=model,
        costs=costs,
        rule=rule,
        scatter_mm=belief.gauge_scatter_mm,
        thermometer=belief.thermometer_used or priors.thermometer.origin == TYPED,
        tool_set=belief.tool_set,
        form_mm=form,
        u_release_mm=u_release,
        known_mm=known,
        accepted=(model.lower_mm + inside, model.upper_mm - inside),
        can_show=can_show,
        play=belief.play,
    )
    if not belief.passes:
        # Nobody knows the push-off yet: the tool stays under the upper limit even if there is none.
        spread = math.hypot(priors.bench.width, priors.seat.width) if not belief.tool_set else belief.tool_sd_mm
        outlook = replace(outlook, largest_tool_mm=model.upper_mm - 2.0 * spread)
    if not belief.moves_shown and not priors.proved.value and model.adjuster.kind == "dial":
        unshown = belief.unshown_mm
        half_way = 0.5 * (model.upper_mm - belief.tool_mm + unshown)
        outlook = replace(outlook, widest_opening_mm=half_way - unshown)
    return outlook


def judge(belief: Belief, model: Model, rule: Rule) -> Judged | None:
    """Judge the readings since the last full pass, by the gauge's word alone.

    Args:
        belief: what is believed; only its readings and temperatures count.
        model: the bore's constants.
        rule: the rule.

    Returns:
        The verdict, or None where there is no reading that counts.
    """
    counted = evidence(belief)
    if not counted:
        return None
    priors = model.priors
    offset, setting = belief.gauge_told(model)
    values, step = [reading.as_read_mm - offset for reading in counted], priors.gauge_step.value
    size = size_from_readings(values, belief.gauge_scatter_mm, setting, step, belief.warmth(model))
    form = model.form_mm
    u = math.hypot(size.u_mm, form)
    verdict, probability = rule.judge(size.mm, u, model.lower_mm + form, model.upper_mm - form)
    parts = tuple(sorted((*size.parts_mm, ("out of round", form)), key=lambda part: -part[1]))
    over = normal_cdf((size.mm - model.upper_mm + form) / u)
    as_read = tuple(reading.as_read_mm for reading in counted)
    return Judged(verdict, probability, rule, Size(size.mm, u, parts, size.readings), over, as_read)


def evidence(belief: Belief) -> list[Reading]:
    """Return the readings that count for a release: of the finished hole, of the gauge's present setting, not blunders.

    Args:
        belief: what is believed.

    Returns:
        The readings, oldest first.
    """
    if belief.after_trial:
        return []
    return [r for r in belief.readings if r.gauge_number == belief.gauge_number and r.doubt < LIKELY_BLUNDER]


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
    if belief.unsettled and len(belief.readings) < MOST_READINGS:
        return moment.do("measure", "surprise")
    if not belief.tool_set:
        return _set_or_check(moment, bench_step_mm)
    if belief.uncut_move:
        return _cut_or_mend(moment)
    if belief.history and len(evidence(belief)) < READINGS and not belief.after_trial:
        return moment.do("measure", "second reading" if belief.readings else "first reading")
    if belief.after_trial and not belief.readings:
        return moment.do("measure", "trial")
    return _release_or_go_on(moment)


@dataclass(frozen=True, slots=True)
class _Moment:
    """What every choice starts from: the hole as it is."""

    belief: Belief
    outlook: Outlook
    judged: Judged | None

    def do(self, action: Action, ground: str) -> Chosen:
        """Choose an action that leaves the hole as it is."""
        hole, sd = self.belief.hole_mm, self.belief.now.sd(State.HOLE)
        return Chosen(action, ground, self.outlook.odds(hole, sd), hole, sd, None, None, self.judged, self.outlook)

    def cut(self, action: Action, ground: str, plan: Plan, step: Step, within_mm: float = 0.0) -> Chosen:
        """Choose an action that ends in a pass."""
        odds = self.outlook.odds(step.aim_mm, step.sd_mm)
        return Chosen(action, ground, odds, step.aim_mm, step.sd_mm, plan, step, self.judged, self.outlook, within_mm)


def _set_or_check(moment: _Moment, grain: float) -> Chosen:
    belief, outlook = moment.belief.now, with_under_cost(moment.belief.now, moment.outlook)
    best = best_plan(belief, outlook)
    if best is None:
        return moment.do("quarantine", "nothing left to cut")
    if not moment.belief.readings and _worth_checking(moment, best):
        return moment.do("check_hole", "check pays")
    step = foresee(belief, outlook, math.floor(best.steps[0].change_mm / grain) * grain).step
    return moment.cut("set", "set first" if len(best.steps) > 1 else "set last", best, step)


def _worth_checking(moment: _Moment, best: Plan) -> bool:
    """Tell whether measuring the hole first saves more than it costs."""
    checked = _best_from(measured_next(moment.belief.now, moment.outlook), moment.outlook)
    return checked is not None and checked.cost + moment.outlook.costs.measurement < best.cost


def _best_from(belief: Gaussian, outlook: Outlook) -> Plan | None:
    """Return the best plan from another belief than the present one."""
    return best_plan(belief, with_under_cost(belief, outlook))


def _cut_or_mend(moment: _Moment) -> Chosen:
    """The tool is moved and not cut: cut, unless where it now stands asks for another move.

    Both are judged alike: as far as the adjuster can be set, and with what another locking would leave to chance.
    """
    belief, outlook = moment.belief.now, with_under_cost(moment.belief.now, moment.outlook)
    standing, following = _standing(belief, outlook)
    best = best_plan(belief, outlook)
    here, enough = _cost_of_cutting(standing, following, outlook), SMALL_GAIN * outlook.costs.pass_
    if best is not None and best.cost + enough < here:
        again = _moved(moment, outlook, best, "move again")
        assert again.step is not None
        relocked = _standing(_relocked(belief, outlook, again.step), outlook)
        if _cost_of_cutting(*relocked, outlook) + enough < here:
            return again
    if here >= outlook.costs.scrap:
        return moment.do("quarantine", "nothing left to cut")
    last = outlook.final_cost(standing) <= _going_on(standing, following, outlook)
    left = () if last or following is None else following.steps
    return moment.cut("cut", "as it stands", Plan((standing, *left), here), standing)


def _relocked(belief: Gaussian, outlook: Outlook, step: Step) -> Gaussian:
    """Return the belief after a move whose locking has yet to show what it does."""
    moved = move(belief, outlook, step.change_mm)
    unseen = outlook.model.priors.lock_scatter.width if outlook.model.adjuster.kind == "direct" else 0.0
    return tool_widened(moved, unseen)


def _standing(belief: Gaussian, outlook: Outlook) -> tuple[Step, Plan | None]:
    """Return the pass with the tool as it stands, and the best plan once it is measured; None where nothing is left."""
    still = replace(outlook, tool_set=True)
    after = carried(belief, still, 0.0)
    return foresee(belief, still, 0.0).step, _best_from(measured_next(after, outlook), freed(outlook))


def _cost_of_cutting(standing: Step, following: Plan | None, outlook: Outlook) -> float:
    """Return what cutting with the tool as it stands is expected to cost, all in."""
    going_on = _going_on(standing, following, outlook)
    return outlook.costs.pass_ + outlook.costs.measurement + min(outlook.final_cost(standing), going_on)


def _going_on(standing: Step, following: Plan | None, outlook: Outlook) -> float:
    """Return what it costs to go on after a pass, if that is not the last."""
    over = outlook.odds(standing.aim_mm, standing.sd_mm).oversize
    return outlook.costs.scrap * over + (outlook.costs.scrap if following is None else following.cost)


def _release_or_go_on(moment: _Moment) -> Chosen:
    belief, judged, costs = moment.belief, moment.judged, moment.outlook.costs
    readings = len(evidence(belief))
    now = moment.outlook.odds(belief.hole_mm, belief.now.sd(State.HOLE))
    if belief.history and judged is not None:
        if judged.verdict == "in":
            more_helps = readings < 2 * READINGS and judged.probability < SURE
            return moment.do("measure", "make sure") if more_helps else moment.do("release", "shown in")
        untaken = belief.part_told[1] > 1.5 * moment.outlook.model.priors.thermometer.width
        if judged.verdict == "not shown" and readings < MOST_READINGS:
            if untaken and judged.size.parts_mm[0][0] == PART_TEMPERATURE:
                return moment.do("measure", "temperature")
            if now.in_tolerance > 0.5:
                return moment.do("measure", "could be shown")
        if judged.size.mm >= moment.outlook.model.diameter_mm:
            # A cut can only make it larger; to cut for the sake of other readings would be to ask until one says in.
            return moment.do("quarantine", "too large" if now.oversize > 0.5 else "near the upper limit")
        if not moment.outlook.can_show and now.in_tolerance > 0.5:
            return moment.do("quarantine", "cannot be shown")
    outlook = with_under_cost(belief.now, moment.outlook)
    best = _best_or_cut_again(belief, outlook)
    if best is None or best.cost >= costs.scrap:
        ground = "too large" if belief.hole_mm > moment.outlook.model.upper_mm else "nothing left to cut"
        return moment.do("quarantine", ground)
    if best.steps[0].change_mm == 0.0:
        return moment.cut("cut", "spring pass", best, best.steps[0])
    return _moved(moment, outlook, best, "last pass" if len(best.steps) == 1 else "more to come")


def _best_or_cut_again(belief: Belief, outlook: Outlook) -> Plan | None:
    """Return the best plan; where a pass was cut, that may be to cut again without moving the tool."""
    best = best_plan(belief.now, outlook)
    if not belief.history:
        return best
    standing = stand_still(belief.now, outlook)
    again = Plan((standing,), outlook.costs.pass_ + outlook.costs.measurement + outlook.final_cost(standing))
    return again if best is None or again.cost < best.cost else best


def _moved(moment: _Moment, outlook: Outlook, plan: Plan, ground: str) -> Chosen:
    """Round the move to what the adjuster can be set to, by the odds and not to the nearest."""
    belief = moment.belief.now
    grain = outlook.model.adjuster.grain_mm
    wanted = plan.steps[0].change_mm
    best_step, best_cost = None, math.inf
    for count in (math.floor(wanted / grain), math.floor(wanted / grain) + 1):
        step = foresee(belief, outlook, count * grain).step
        cost = _step_cost(outlook, plan, step)(step.aim_mm)
        if best_step is None or (cost < best_cost and count * grain <= most_opening(belief, outlook)):
            best_step, best_cost = step, cost
    assert best_step is not None
    within = _slack(outlook, plan, best_step, grain)
    return moment.cut("move_and_cut", ground, plan, best_step, within)


def _step_cost(outlook: Outlook, plan: Plan, step: Step) -> Callable[[float], float]:
    """Return what a rounded first step costs more than the plan's own, by where it aims."""
    if len(plan.steps) == 1:
        return outlook.cost_of_aims(step)
    wanted, tolerance = plan.steps[0].aim_mm, outlook.model.upper_mm - outlook.model.lower_mm

    def cost_at(aim_mm: float) -> float:
        off = (aim_mm - wanted) / tolerance
        return outlook.costs.scrap * outlook.odds(aim_mm, step.sd_mm).oversize + MISSED_WORTH * off * off

    return cost_at


MISSED_WORTH: Final = 0.01
"""What missing the aim of an early pass by a whole tolerance costs, in passes. Common practice, no source."""

SLACK_WORTH: Final = 0.5
"""A readout this much dearer than the best, in passes, is worth turning again. Common practice, no source."""


def _slack(outlook: Outlook, plan: Plan, step: Step, grain_mm: float) -> float:
    """Return how far the tool may stand off the advice, mm on the diameter, before moving again pays."""
    cost_at = _step_cost(outlook, plan, step)
    best, steps = cost_at(step.aim_mm), 0
    while steps < 20:
        off = 0.5 * grain_mm * (steps + 1) * step.follows
        worse = max(cost_at(step.aim_mm + off), cost_at(step.aim_mm - off))
        if worse > best + SLACK_WORTH * outlook.costs.pass_:
            break
        steps += 1
    return 0.5 * grain_mm * steps
