"""Plans: how many passes, aimed at which sizes, what each leaves to chance, and what the whole is expected to cost.

A plan is carried through the belief with the readings that it will bring, whose width does not depend on what they will
be. Only its first step is ever acted upon; after the next reading it is made anew.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from borewright.sizing.ahead import (
    carried,
    change_for,
    foresee,
    least_taken,
    measured_next,
    most_opening,
)
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.outlook import Outlook, Step, after_cut


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut of a way to divide the stock.

    Args:
        share: share of the stock that is off after it.
        trial: whether only a land at the mouth is cut.
    """

    share: float
    trial: bool = False


Split: TypeAlias = tuple[Cut, ...]


def _passes(*shares: float) -> Split:
    return tuple(Cut(share) for share in shares)


SPLITS: Final[tuple[Split, ...]] = (
    (),
    *(_passes(share) for share in (0.35, 0.42, 0.5, 0.58, 0.66, 0.75, 0.84)),
    _passes(1 / 3, 2 / 3),
    _passes(0.45, 0.72),
    _passes(0.5, 0.75),
    _passes(0.25, 0.5, 0.75),
    _passes(0.4, 0.6, 0.8),
)
"""The cuts of each way but the last."""

TRIAL_SPLITS: Final[tuple[Split, ...]] = (
    *((Cut(share, trial=True),) for share in (0.3, 0.5, 0.7, 0.85)),
    *((Cut(land, trial=True), Cut(share)) for land, share in ((0.25, 0.5), (0.35, 0.6), (0.5, 0.6), (0.5, 0.75))),
    *((Cut(share), Cut(land, trial=True)) for share, land in ((0.4, 0.7), (0.5, 0.75), (0.5, 0.9), (0.6, 0.8))),
)
"""Those in which one of them is a trial cut."""


COARSE: Final = 0.5
"""A line of this many standard deviations of what a pass leaves is too coarse to round to unseen."""

ROUNDED: Final = (-0.4, -0.2, 0.0, 0.2, 0.4)
"""Parts of a line by which a move is rounded: the middles of five equal shares of half a line either way."""


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan and what it is expected to cost.

    Args:
        steps: the passes, next first.
        cost: expected cost of the whole.
    """

    steps: tuple[Step, ...]
    cost: float


def best_plan(belief: Gaussian, outlook: Outlook) -> Plan | None:
    """Return the cheapest plan that keeps to the limits of the next move.

    What a plan has cost so far and its passes still to come are less than its whole cost: once that is as much as the
    best plan found, it is not carried further.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by, with what a hole too small costs further.

    Returns:
        The plan. Where there is too little for two passes and the limits do not let one reach its aim, one pass as far
        as they do; None where that would cut nothing.
    """
    best: Plan | None = None
    for split in (*SPLITS, *TRIAL_SPLITS) if outlook.trials else SPLITS:
        best = plan_by(belief, outlook, split, math.inf if best is None else best.cost) or best
    return best or _as_far_as_allowed(belief, outlook)


def _as_far_as_allowed(belief: Gaussian, outlook: Outlook) -> Plan | None:
    most = most_opening(belief, outlook)
    if math.isinf(most):
        return None
    step = foresee(belief, outlook, most).step
    if step.follows == 0.0:
        return None
    return Plan((step,), outlook.cost_of(trial=False) + outlook.final_cost(step))


def with_under_cost(belief: Gaussian, outlook: Outlook) -> Outlook:
    """Find what a hole that comes out just too small will cost further: one more pass, perhaps too thin to cut well.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.

    Returns:
        The outlook with that cost.
    """
    measured = measured_next(belief, outlook)
    mean = measured.mean.copy()
    mean[State.HOLE] = outlook.accepted[0] - outlook.u_release_mm
    stuck = Gaussian(mean, measured.covariance)
    unbound = replace(outlook, tool_set=True, unmoved=False, widest_opening_mm=math.inf, largest_tool_mm=math.inf)
    again = plan_by(stuck, replace(unbound, under_cost=outlook.costs.scrap), ())
    cost = outlook.costs.scrap if again is None else min(again.cost, outlook.costs.scrap)
    return replace(outlook, under_cost=cost)


def plan_by(belief: Gaussian, outlook: Outlook, split: Split, below: float = math.inf) -> Plan | None:
    """Return the plan that divides the stock in one way.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by, with what a hole too small costs further.
        split: the cuts but the last.
        below: a cost that it must stay below.

    Returns:
        The plan; None where a pass would be too thin, the limits of the next move are not kept, or it costs too much.
    """
    hole, middle = belief.at(State.HOLE), outlook.model.diameter_mm
    aims = [hole + cut.share * (middle - hole) for cut in split]
    if aims and not all(low < high for low, high in zip([hole, *aims], [*aims, middle], strict=True)):
        return None
    steps: list[Step] = []
    cost, still = 0.0, math.fsum(outlook.cost_of(trial=cut.trial) for cut in (*split, Cut(1.0)))
    for aim, trial in zip(aims, (cut.trial for cut in split), strict=True):
        if still >= below:
            return None
        change = min(change_for(belief, outlook, aim), most_opening(belief, outlook))
        step = foresee(belief, outlook, change, trial=trial).step
        too_thin = middle - step.aim_mm - 2.0 * step.sd_mm < least_taken(belief, outlook)
        if step.follows == 0.0 or (not trial and (step.rubs or too_thin)):
            return None
        over = outlook.costs.scrap * outlook.odds(step.aim_mm, step.sd_mm).oversize
        cost, still = cost + outlook.cost_of(trial=trial) + over, still + over
        steps.append(step)
        if still >= below:
            return None
        belief = measured_next(carried(belief, outlook, change, trial=trial), outlook, trial=trial)
        outlook = after_cut(outlook, step)
    if still >= below:
        return None
    found = finished(belief, outlook, steps, cost + outlook.cost_of(trial=False))
    return found if found is not None and found.cost < below else None


def finished(before: Gaussian, outlook: Outlook, steps: Sequence[Step], cost: float) -> Plan | None:
    """Give the last pass the aim that its width asks for.

    A pass too thin to cut well takes but a share of its chip: the tool is opened until the size expected is the aim.

    Args:
        before: the joint belief before the last pass.
        outlook: what plans are judged by.
        steps: the cuts before it; where there are any, its move is a later one.
        cost: what the plan costs with the last pass, without what may go wrong with that.

    Returns:
        The plan; None where the limits of the next move are not kept.
    """
    last = foresee(before, outlook, change_for(before, outlook, outlook.model.diameter_mm)).step
    aim = outlook.best_aim(last)
    for _ in range(3):
        shift = (aim - last.aim_mm) / max(last.follows, 0.2)
        if abs(shift) < 1e-5:
            break
        last = foresee(before, outlook, last.change_mm + shift).step
        aim = outlook.best_aim(last)
    if last.change_mm > most_opening(before, outlook):
        return None
    return Plan((*steps, last), cost + _as_far_as_it_can_be_set(before, outlook, last, later=bool(steps)))


def _as_far_as_it_can_be_set(before: Gaussian, outlook: Outlook, last: Step, *, later: bool) -> float:
    """Return what may go wrong with a last pass whose move is rounded to whole lines of a dial.

    The next move is rounded as it will be done. Where a later one will fall between two lines nobody knows yet: it is
    as likely to be rounded by any part of half a line.
    """
    dial, grain = outlook.model.adjuster.kind == "dial", outlook.model.adjuster.grain_mm
    if not dial or not outlook.tool_set or grain * last.follows < COARSE * last.sd_mm:
        return outlook.final_cost(last)
    if later:
        cost_at = outlook.cost_of_aims(last)
        return math.fsum(cost_at(last.aim_mm + part * grain * last.follows) for part in ROUNDED) / len(ROUNDED)
    lines = math.floor(last.change_mm / grain)
    return min(outlook.final_cost(foresee(before, outlook, count * grain).step) for count in (lines, lines + 1))
