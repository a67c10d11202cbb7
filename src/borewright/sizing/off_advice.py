"""What a rounded or inexact first step costs, and how far the tool may stand off what was advised."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from borewright.sizing.outlook import Outlook, Step
from borewright.sizing.plan import Plan

MISSED_WORTH: Final = 0.01
"""What missing the aim of an early pass by a whole tolerance costs, in passes. Common practice, no source."""

SLACK_WORTH: Final = 0.5
"""A readout this much dearer than the best, in passes, is worth turning again. Common practice, no source."""


def step_cost(outlook: Outlook, plan: Plan, step: Step) -> Callable[[float], float]:
    """Return what a rounded first step costs more than the plan's own, by where it aims.

    Args:
        outlook: what plans are judged by.
        plan: the plan as it was found.
        step: its first step, rounded to what the adjuster can be set to.

    Returns:
        The cost by the size aimed at, mm.
    """
    if len(plan.steps) == 1:
        return outlook.cost_of_aims(step)
    wanted, tolerance = plan.steps[0].aim_mm, outlook.model.upper_mm - outlook.model.lower_mm

    def cost_at(aim_mm: float) -> float:
        off = (aim_mm - wanted) / tolerance
        return outlook.costs.scrap * outlook.odds(aim_mm, step.sd_mm).oversize + MISSED_WORTH * off * off

    return cost_at


def slack(outlook: Outlook, plan: Plan, step: Step, grain_mm: float) -> float:
    """Return how far the tool may stand off the advice before moving again pays.

    Args:
        outlook: what plans are judged by.
        plan: the plan as it was found.
        step: its first step, as advised.
        grain_mm: the least change that the adjuster can be set to, mm on the diameter.

    Returns:
        The distance, mm on the diameter.
    """
    cost_at = step_cost(outlook, plan, step)
    best, steps = cost_at(step.aim_mm), 0
    while steps < 20:
        off = 0.5 * grain_mm * (steps + 1) * step.follows
        worse = max(cost_at(step.aim_mm + off), cost_at(step.aim_mm - off))
        if worse > best + SLACK_WORTH * outlook.costs.pass_:
            break
        steps += 1
    return 0.5 * grain_mm * steps
