"""Looking ahead: what a move, a pass and a measurement would leave.

A pass is first foreseen: the size that it would leave follows by one row from the states before the move, so that its
width is one product with their covariance, and the whole belief need not be carried through. Only where a plan goes on
after the pass is the belief carried, by the same steps as what was done.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from borewright.sizing.gaussian import Gaussian, State, Vector
from borewright.sizing.measuring import reading_row, thermometer_row
from borewright.sizing.model import MOUTH_SD_MM, cut, cut_noise, pass_line, push_off_at, push_off_for
from borewright.sizing.outlook import Outlook, Seen, Step
from borewright.sizing.proving import READINGS
from borewright.sizing.screw import shown_for, sticks_now, through_play, together
from borewright.sizing.tool_moves import follow_readout, set_tool

PASS, UNLOCKING, LOCKING, MOVE = "scatter of the pass", "this unlocking", "this locking", "this move"
SEATING, STICKING = "this seating", "a small move that may stick"
"""What an action leaves to chance that nothing believed has to do with."""


@dataclass(frozen=True, slots=True)
class Foreseen:
    """A move and a pass, foreseen.

    Args:
        step: the pass.
        shared: covariance of the size that it leaves with the states before the move, shape (22,).
        chances: variances of what nothing believed has to do with, by what brings them, mm^2.
    """

    step: Step
    shared: Vector
    chances: Mapping[str, float]


def foresee(belief: Gaussian, outlook: Outlook, change_mm: float, *, trial: bool = False) -> Foreseen:
    """Foresee one move and one pass.

    With the row ``r`` by which the size after the pass follows from the states ``x`` before the move, its variance is
    ``r C r`` and that of the chances. The size that a measurement gives is ``H + gauge - known of it - D a
    (thermometer) + scatter``: what the belief owes to the setting's error, it has in common with the coming
    measurement, so that the two do not add up.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.
        change_mm: how far the tool is opened, mm on the diameter; its diameter where it is yet to be set.
        trial: whether only a land at the mouth is cut; the size foreseen is then the land's.

    Returns:
        The step, and what its width is made of.
    """
    model, priors = outlook.model, outlook.model.priors
    belief, whole_mm = _as_one(belief, outlook, change_mm)
    tool_mm, by_states, chances = _tool_after(belief, outlook, whole_mm)
    point = belief.mean.copy()
    point[State.UNLOCKED], point[State.LOCK], point[State.WARMTH_AT_CUT] = tool_mm, 0.0, point[State.WARMTH]
    line = pass_line(point, model)
    row, follows = line.row, line.follows
    row[State.UNLOCKED] = row[State.LOCK] = row[State.WARMTH_AT_CUT] = 0.0
    row[State.WARMTH] = -model.growth * follows
    for state, by in by_states.items():
        row[state] += follows * by
    scatter, thin = cut_noise(line, model)
    wander = (model.growth * follows * priors.wander.width) ** 2
    chances = {PASS: scatter, **{name: follows**2 * variance for name, variance in chances.items()}}
    shared = belief.covariance.dot(row)
    variance = max(float(row.dot(shared)) + math.fsum(chances.values()) + thin + wander, 0.0)
    step = Step(
        aim_mm=line.size_mm,
        tool_mm=tool_mm,
        change_mm=change_mm,
        depth_mm=line.depth_mm,
        push_off_mm=line.push_off_mm,
        sd_mm=math.sqrt(variance),
        seen=_seen(belief, outlook, variance, shared),
        follows=follows,
        rubs=line.share < 1.0,
        trial=trial,
    )
    return Foreseen(step, shared, chances)


def _as_one(belief: Gaussian, outlook: Outlook, change_mm: float) -> tuple[Gaussian, float]:
    """Take a move with those that a readout has just shown: the belief before them all, and the whole change."""
    if outlook.readout is None or belief is not outlook.standing or change_mm == 0.0:
        return belief, change_mm
    return together(outlook.readout, outlook.model, change_mm)


def _tool_after(
    belief: Gaussian, outlook: Outlook, change_mm: float
) -> tuple[float, dict[State, float], dict[str, float]]:
    """Return the tool's diameter, locked, after a move: its mean, its derivatives by the states before, its chances."""
    model, priors, mean = outlook.model, outlook.model.priors, belief.mean
    if not outlook.tool_set:  # measured locked: the lock shift is in what the bench shows
        return change_mm + float(mean[State.BENCH]), {State.BENCH: 1.0}, {SEATING: priors.seat.width**2}
    unlocked, lock, moved = float(mean[State.UNLOCKED]), float(mean[State.LOCK]), {MOVE: priors.move.width**2}
    if change_mm == 0.0:
        return unlocked + lock, {State.UNLOCKED: 1.0, State.LOCK: 1.0}, {}
    kept = 1.0 - priors.lock_return.value
    if model.adjuster.kind == "direct":
        shown = shown_for(belief, model, change_mm)
        from_lock = kept if model.zeroed_unlocked else 1.0
        came = shown * (1.0 + float(mean[State.GAIN]))
        by_readout = {State.UNLOCKED: 1.0, State.LOCK: from_lock, State.GAIN: shown}
        return unlocked + from_lock * lock + came, by_readout, moved
    sticks = sticks_now(model, change_mm, outlook.play)
    comes, gap = 1.0 - sticks, change_mm * (1.0 + float(mean[State.GAIN])) + float(mean[State.STUCK])
    off = outlook.play.off_mm(float(mean[State.BACKLASH]))
    by = {State.UNLOCKED: 1.0, State.LOCK: kept, State.LOCK_MEAN: 1.0, State.BACKLASH: -float(outlook.play.whole)}
    by |= {State.GAIN: comes * change_mm, State.STUCK: comes}
    chances = {**moved, UNLOCKING: model.unlocking_variance, LOCKING: priors.lock_scatter.width**2}
    if sticks:
        chances[STICKING] = sticks * comes * change_mm**2
    return unlocked + kept * lock + comes * gap - off + float(mean[State.LOCK_MEAN]), by, chances


def _seen(belief: Gaussian, outlook: Outlook, variance: float, shared: Vector) -> Seen:
    """Foresee how the size that a coming measurement gives will lie about a hole of that variance."""
    model, mean, covariance = outlook.model, belief.mean, belief.covariance
    gauge, thermometer, growth = State.GAUGE, State.THERMOMETER, model.growth
    of_errors = (
        float(covariance[gauge, gauge])
        - 2.0 * growth * float(covariance[gauge, thermometer])
        + growth**2 * float(covariance[thermometer, thermometer])
    )
    in_common = 2.0 * (float(shared[gauge]) - growth * float(shared[thermometer]))
    once = 0.5 * (growth * model.priors.thermometer.width) ** 2 + model.reading_variance(outlook.scatter_mm) / READINGS
    off = float(mean[gauge]) - growth * float(mean[thermometer]) - outlook.known_mm
    return Seen(off, math.sqrt(max(variance + in_common + of_errors + once, 0.0)))


def stand_still(belief: Gaussian, outlook: Outlook) -> Step:
    """Return the pass that the tool would cut as it stands.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.

    Returns:
        The step with no change of the tool.
    """
    return foresee(belief, replace(outlook, tool_set=True), 0.0).step


def carried(belief: Gaussian, outlook: Outlook, change_mm: float, *, trial: bool = False) -> Gaussian:
    """Carry the belief through one move and one pass.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.
        change_mm: how far the tool is opened, mm on the diameter; its diameter where it is yet to be set.
        trial: whether only a land at the mouth is cut.

    Returns:
        The belief after it.
    """
    return cut(move(belief, outlook, change_mm), outlook.model, trial=trial).belief


def move(belief: Gaussian, outlook: Outlook, change_mm: float) -> Gaussian:
    """Carry the belief through a move of the tool, or its setting where it is yet to be set.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.
        change_mm: how far it is opened, mm on the diameter; its diameter where it is yet to be set.

    Returns:
        The belief after it.
    """
    model = outlook.model
    if not outlook.tool_set:
        return set_tool(belief, model, change_mm, locked=True)
    if change_mm == 0.0:
        return belief
    if model.adjuster.kind == "direct":
        belief, change_mm = _as_one(belief, outlook, change_mm)
        return follow_readout(belief, model, shown_for(belief, model, change_mm), None)
    return through_play(belief, model, change_mm, outlook.play)


def change_for(belief: Gaussian, outlook: Outlook, aim_mm: float) -> float:
    """Return how far to open the tool so that the pass leaves an aim, at the belief's means.

    ``S = aim + g(aim - H) + D a_p T - tool growth``, and the change is ``S`` less where the tool stands.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.
        aim_mm: the size to leave, mm.

    Returns:
        The change, mm on the diameter; the diameter to set, where it is yet to be set.
    """
    model = outlook.model
    off = push_off_for(belief.mean, model, aim_mm - belief.at(State.HOLE))
    tool = aim_mm + off + model.growth * belief.at(State.WARMTH) - model.tool_growth_mm
    if not outlook.tool_set:
        return tool - belief.at(State.BENCH)
    change = tool - belief.at(State.UNLOCKED) - belief.at(State.LOCK)
    if model.adjuster.kind == "direct":
        return change / (1.0 + belief.at(State.GAIN))
    left = model.priors.lock_return.value * belief.at(State.LOCK)
    relock = belief.at(State.LOCK_MEAN) - left + belief.at(State.STUCK)
    return (change - relock + outlook.play.off_mm(belief.at(State.BACKLASH))) / (1.0 + belief.at(State.GAIN))


def most_opening(belief: Gaussian, outlook: Outlook) -> float:
    """Return the most that the next move may open: an unproved tool spends no more.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.

    Returns:
        The widest opening, mm on the diameter; the largest diameter to set, where the tool is yet to be set.
    """
    if not outlook.tool_set:
        return outlook.largest_tool_mm - belief.at(State.BENCH)
    stands = belief.at(State.UNLOCKED) + belief.at(State.LOCK)
    return min(outlook.widest_opening_mm, (outlook.largest_tool_mm - stands) / (1.0 + belief.at(State.GAIN)))


def measured_next(belief: Gaussian, outlook: Outlook, *, trial: bool = False) -> Gaussian:
    """Return the belief with the width that the next measurement will leave it.

    Args:
        belief: the joint belief after a pass.
        outlook: what plans are judged by.
        trial: whether the land of a trial cut is measured.

    Returns:
        The belief, its means as they are.
    """
    variance = outlook.model.reading_variance(outlook.scatter_mm) / READINGS + (MOUTH_SD_MM**2 if trial else 0.0)
    if outlook.thermometer:
        belief = belief.narrowed(*thermometer_row(outlook.model))
    return belief.narrowed(reading_row(outlook.model, trial=trial), variance)


def least_taken(belief: Gaussian, outlook: Outlook) -> float:
    """Return what comes off at the smallest depth set that still cuts.

    Args:
        belief: the joint belief; only what it holds of push-off counts.
        outlook: what plans are judged by.

    Returns:
        What comes off there, mm on the diameter.
    """
    depth = outlook.model.priors.min_depth.value
    return depth - push_off_at(belief.mean, outlook.model, depth)[0].p
