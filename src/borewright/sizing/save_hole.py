"""Save the hole: what can still be done with one that is under size and has too little left to cut.

Each way is reckoned from the same belief by the same steps as a plan, with what it changes of edge or feed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias, get_args

from borewright.sizing.ahead import least_taken, stand_still
from borewright.sizing.belief import Belief
from borewright.sizing.choice import Chosen
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.outlook import Odds, Outlook, Step
from borewright.sizing.plan import Plan, best_plan, plan_by, with_under_cost
from borewright.sizing.proving import evidence, ways_on
from borewright.sizing.pushoff import SIGN_SCALE_MM, from_signed_log, signed_log
from borewright.sizing.tool_moves import tool_widened

Saving: TypeAlias = Literal["leave", "spring pass", "thin pass", "sharper edge", "more feed", "hone"]
SAVINGS: Final = get_args(Saving)

SHARPER: Final = 0.5
"""Least depth set of a sharp edge, of that of the one in use. Common practice, no source."""

EDGE_PASSES: Final = 1.0
"""What changing the edge takes, in passes. Common practice, no source."""

MORE_FEED: Final = 1.4
"""How much more feed is offered: as much as doubles the height of the finish. Chosen, not measured."""

FEED_POWER: Final = 0.75
"""Power by which the cutting force, and push-off with it, grows with the thickness of the chip. From memory."""

FEED_WIDTH: Final = 0.15
"""Standard deviation of what a change of feed does to push-off beyond that, as a share. Common practice, no source."""

HONE_SCATTER_MM: Final = 0.001
"""Standard deviation by which somebody qualified misses the size at the hone, the gauge apart. Common practice, no
source."""

HONE_PASSES: Final = 6.0
"""What honing takes, in passes: half an hour with its setting up. Common practice, no source."""


AS_IT_IS: Final = frozenset({"leave", "spring pass", "thin pass"})
"""Ways that need nothing but the tool as it is: what is advised is one of them."""

WORTH_SAYING: Final = 0.5
"""Saving, in passes, from which on other ways than the one advised are told of. Chosen, not measured."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way to save the hole.

    Args:
        saving: which.
        odds: of the hole after it.
        mean_mm: the size after it, mm.
        sd_mm: its standard deviation, mm.
        cost: what it is expected to cost, with what is lost where it does not bring the hole in.
        trial: whether it begins with a trial cut.
    """

    saving: Saving
    odds: Odds
    mean_mm: float
    sd_mm: float
    cost: float
    trial: bool = False


def too_little_left(belief: Belief, chosen: Chosen) -> bool:
    """Tell whether the hole is under size with less left to its middle than the edge surely cuts.

    Args:
        belief: what is believed.
        chosen: the advice.

    Returns:
        Whether it is to be saved: measured since its last pass, below the middle of its limits and not shown in, and
        the next pass would be too thin to cut well, or none is advised.
    """
    if belief.status != "open" or not belief.history or not evidence(belief) or chosen.action == "release":
        return False
    room = chosen.outlook.model.diameter_mm - belief.hole_mm
    if room <= 0.0 or chosen.action == "measure":
        return False
    if chosen.action == "quarantine":
        return True
    return room < least_taken(belief.now, chosen.outlook) and chosen.step is not None and not chosen.step.trial


def ways_to_save(belief: Belief, chosen: Chosen) -> tuple[Way, ...]:
    """Reckon every way to save a hole.

    With more feed f the chip at a nose of radius r is thicker: where the depth a ends it is ``f sqrt(2 a/r)``, so that
    the least depth that still cuts falls with ``1/f^2`` and the height of the finish grows with ``f^2``.

    Args:
        belief: what is believed.
        chosen: the advice.

    Returns:
        Those that can be done, the cheapest first; none where there is nothing to save, or where the tool as it is does
        it about as well.
    """
    if not too_little_left(belief, chosen):
        return ()
    outlook = with_under_cost(belief.now, chosen.outlook)
    ways = [_leave(belief, outlook), _spring(belief, outlook), _thin(belief, outlook, chosen)]
    ways += [_sharper(belief, outlook), _fed(belief, outlook), _honed(belief, outlook)]
    found = sorted((way for way in ways if way is not None), key=lambda way: way.cost)
    by_the_tool = [way.cost for way in found if way.saving in AS_IT_IS]
    if chosen.action != "quarantine" and min(by_the_tool) < found[0].cost + WORTH_SAYING * outlook.costs.pass_:
        return ()
    return tuple(found)


def _leave(belief: Belief, outlook: Outlook) -> Way:
    costs, sd = outlook.costs, belief.now.sd(State.HOLE)
    ways = ways_on(belief, outlook.model, outlook.rule)
    cost = min((way.cost(costs, costs.scrap) for way in ways), default=costs.scrap)
    return Way("leave", outlook.odds(belief.hole_mm, sd), belief.hole_mm, sd, cost)


def _spring(belief: Belief, outlook: Outlook) -> Way | None:
    step = stand_still(belief.now, outlook)
    if step.follows == 0.0:
        return None
    return _ended("spring pass", outlook, step, outlook.cost_of(trial=False) + outlook.final_cost(step))


def _thin(belief: Belief, outlook: Outlook, chosen: Chosen) -> Way | None:
    """The pass that is advised, in the same figures; where another thing is advised, the best one."""
    if chosen.action == "move_and_cut" and chosen.plan is not None:
        return Way("thin pass", chosen.odds, chosen.mean_mm, chosen.sd_mm, chosen.plan.cost)
    plan = plan_by(belief.now, outlook, ())
    return None if plan is None else _planned("thin pass", outlook, plan)


def _sharper(belief: Belief, outlook: Outlook) -> Way | None:
    """The edge is changed where it stands, or the tool set anew on the bench: whichever loses less."""
    model, priors = outlook.model, outlook.model.priors
    least = replace(priors.min_depth, value=SHARPER * priors.min_depth.value)
    sharp = replace(outlook, model=replace(model, priors=replace(priors, min_depth=least)), standing=None)
    changed = tool_widened(belief.now, priors.edge_change.width)
    benched = replace(sharp, tool_set=False, largest_tool_mm=math.inf, widest_opening_mm=math.inf)
    plans = [best_plan(start, with_under_cost(start, by)) for start, by in ((changed, sharp), (belief.now, benched))]
    best = min((plan for plan in plans if plan is not None), key=lambda plan: plan.cost, default=None)
    if best is None:
        return None
    way = _planned("sharper edge", sharp, best)
    return replace(way, cost=way.cost + EDGE_PASSES * outlook.costs.pass_)


def _fed(belief: Belief, outlook: Outlook) -> Way | None:
    model, priors = outlook.model, outlook.model.priors
    least = replace(priors.min_depth, value=priors.min_depth.value / MORE_FEED**2)
    fed = replace(outlook, model=replace(model, priors=replace(priors, min_depth=least)), standing=None)
    start = _pushed_off_more(belief.now)
    plan = plan_by(start, with_under_cost(start, fed), ())
    return None if plan is None else _planned("more feed", fed, plan)


def _pushed_off_more(belief: Gaussian) -> Gaussian:
    """Scale the push-off by ``f^0.75``, with a width of its own."""
    reference, _ = from_signed_log(belief.at(State.PUSH_OFF))
    more = reference * MORE_FEED**FEED_POWER
    mean = belief.mean.copy()
    mean[State.PUSH_OFF] = signed_log(more)
    width = FEED_WIDTH * abs(more) / math.hypot(more, SIGN_SCALE_MM)
    covariance = belief.covariance.copy()
    covariance[State.PUSH_OFF, State.PUSH_OFF] += width**2
    return Gaussian(mean, covariance)


def _honed(belief: Belief, outlook: Outlook) -> Way | None:
    """Whoever hones measures as they go: the size follows the gauge, with its error."""
    middle = outlook.model.diameter_mm
    sd = math.hypot(HONE_SCATTER_MM, outlook.u_release_mm)
    odds = outlook.odds(middle, sd)
    lost = outlook.costs.scrap * (1.0 - odds.in_tolerance)
    costs = outlook.costs
    if belief.hole_mm + 2.0 * belief.now.sd(State.HOLE) >= middle:
        return None
    return Way("hone", odds, middle, sd, HONE_PASSES * costs.pass_ + costs.measurement + lost)


def _planned(saving: Saving, outlook: Outlook, plan: Plan) -> Way:
    way = _ended(saving, outlook, plan.steps[-1], plan.cost)
    return replace(way, trial=plan.steps[0].trial)


def _ended(saving: Saving, outlook: Outlook, step: Step, cost: float) -> Way:
    return Way(saving, outlook.odds(step.aim_mm, step.sd_mm), step.aim_mm, step.sd_mm, cost)
