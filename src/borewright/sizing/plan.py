"""Plans: how many passes, aimed at which sizes, what each leaves to chance, and what the whole is expected to cost.

A plan is carried through the belief with the readings that it will bring, whose width does not depend on what they will
be. Only its first step is ever acted upon; after the next reading it is made anew.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from borewright.sizing.ahead import (
    carried,
    change_for,
    foresee,
    least_taken,
    measured_next,
    most_opening,
)
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.outlook import Outlook, Step, freed

SPLITS: Final[tuple[tuple[float, ...], ...]] = (
    (),
    *((share,) for share in (0.35, 0.42, 0.5, 0.58, 0.66, 0.75, 0.84)),
    (1 / 3, 2 / 3),
    (0.45, 0.72),
    (0.5, 0.75),
    (0.25, 0.5, 0.75),
    (0.4, 0.6, 0.8),
)
"""Shares of the stock that are off after each pass but the last."""


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
    for split in SPLITS:
        best = plan_by(belief, outlook, split, math.inf if best is None else best.cost) or best
    return best or _as_far_as_allowed(belief, outlook)


def _as_far_as_allowed(belief: Gaussian, outlook: Outlook) -> Plan | None:
    most = most_opening(belief, outlook)
    if math.isinf(most):
        return None
    step = foresee(belief, outlook, most).step
    if step.follows == 0.0:
        return None
    return Plan((step,), _of_a_pass(outlook) + outlook.final_cost(step))


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
    again = plan_by(stuck, replace(freed(outlook), under_cost=outlook.costs.scrap), ())
    cost = outlook.costs.scrap if again is None else min(again.cost, outlook.costs.scrap)
    return replace(outlook, under_cost=cost)


def plan_by(belief: Gaussian, outlook: Outlook, split: Sequence[float], below: float = math.inf) -> Plan | None:
    """Return the plan that divides the stock in one way.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by, with what a hole too small costs further.
        split: shares of the stock that are off after each pass but the last.
        below: a cost that it must stay below.

    Returns:
        The plan; None where a pass would be too thin, the limits of the next move are not kept, or it costs too much.
    """
    hole, middle = belief.at(State.HOLE), outlook.model.diameter_mm
    aims = [hole + share * (middle - hole) for share in split]
    if aims and not all(low < high for low, high in zip([hole, *aims], [*aims, middle], strict=True)):
        return None
    steps: list[Step] = []
    cost, still = 0.0, (len(aims) + 1) * _of_a_pass(outlook)
    for aim in aims:
        if still >= below:
            return None
        change = min(change_for(belief, outlook, aim), most_opening(belief, outlook))
        step = foresee(belief, outlook, change).step
        too_thin = middle - step.aim_mm - 2.0 * step.sd_mm < least_taken(belief, outlook)
        if step.rubs or too_thin:
            return None
        over = outlook.costs.scrap * outlook.odds(step.aim_mm, step.sd_mm).oversize
        cost, still = cost + _of_a_pass(outlook) + over, still + over
        steps.append(step)
        if still >= below:
            return None
        belief, outlook = measured_next(carried(belief, outlook, change), outlook), freed(outlook)
    if still >= below:
        return None
    found = _finished(belief, outlook, steps, cost + _of_a_pass(outlook))
    return found if found is not None and found.cost < below else None


def _finished(before: Gaussian, outlook: Outlook, steps: list[Step], cost: float) -> Plan | None:
    """Give the last pass the aim that its width asks for.

    A pass too thin to cut well takes but a share of its chip: the tool is opened until the size expected is the aim.
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
    return Plan((*steps, last), cost + outlook.final_cost(last))


def _of_a_pass(outlook: Outlook) -> float:
    return outlook.costs.pass_ + outlook.costs.measurement
