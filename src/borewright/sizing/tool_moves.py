"""What a setting, a seating, a change of edge and a move of the adjuster do to the tool's diameter."""

from __future__ import annotations

import numpy as np

from borewright.sizing.gaussian import SIZE, Gaussian, State, unit_row
from borewright.sizing.model import Model, locked_anew


def set_tool(belief: Gaussian, model: Model, diameter_mm: float, *, locked: bool) -> Gaussian:
    """Set the tool off the machine, measure it there, lock it, and seat it in the spindle.

    Args:
        belief: the belief before.
        model: the bore's constants.
        diameter_mm: the diameter as the bench measured it, mm.
        locked: whether it was measured locked.

    Returns:
        The belief after: ``S = diameter + bench + seat``.
    """
    belief = locked_anew(belief, model)
    mean = belief.mean.copy()
    row = unit_row(State.BENCH)
    mean[State.UNLOCKED] = diameter_mm + mean[State.BENCH]
    if locked:
        row[State.LOCK] = -1.0
        mean[State.UNLOCKED] -= mean[State.LOCK]
    return belief.carried(mean, {State.UNLOCKED: row}, {State.UNLOCKED: model.priors.seat.width**2})


def tool_widened(belief: Gaussian, sd_mm: float) -> Gaussian:
    """Redraw the tool's diameter by a seating or a change of edge.

    Args:
        belief: the belief before.
        sd_mm: standard deviation of what it does, mm on the diameter.

    Returns:
        The belief after.
    """
    row = unit_row(State.UNLOCKED)
    return belief.carried(belief.mean, {State.UNLOCKED: row}, {State.UNLOCKED: sd_mm**2})


def edge_changed(belief: Gaussian, model: Model) -> Gaussian:
    """Change the edge: the tool's diameter and its push-off are others.

    Args:
        belief: the belief before.
        model: the bore's constants.

    Returns:
        The belief after.
    """
    row, width = unit_row(State.PUSH_OFF), model.priors.new_edge.width
    widened = tool_widened(belief, model.priors.edge_change.width)
    return widened.carried(widened.mean, {State.PUSH_OFF: row}, {State.PUSH_OFF: (width * model.by_share) ** 2})


def sticking(model: Model, change_mm: float) -> float:
    """Return the odds that a small move by opening sticks: ``1 - change/most``, the limit anywhere below the most.

    Args:
        model: the bore's constants.
        change_mm: the change asked of the adjuster, mm on the diameter, plus opens.

    Returns:
        The odds, 0 for every move that is not small.

    Source: common practice, no source.
    """
    most = model.priors.stick.value
    return 1.0 - change_mm / most if 0.0 < change_mm < most else 0.0


def turn_adjuster(
    belief: Gaussian, model: Model, change_mm: float, backlash: int = 0, play_mm: float = 0.0, *, sticks: float = 0.0
) -> Gaussian:
    """Unlock, move the tip by the adjuster's own figures, and lock it.

    ``U' = U + (1 - r) lock + change (1 + gain) + stuck + backlash * (its width) + play``, then a new lock shift, with
    ``r`` the share of the old one that unlocking gives back. Where the move sticks, ``change (1 + gain) + stuck`` is
    not done but owed.

    Args:
        belief: the belief before.
        model: the bore's constants.
        change_mm: the change asked of the adjuster, mm on the diameter, plus opens.
        backlash: 1 where the tip comes to stand off the screw's flank by the backlash, -1 where it comes back to it.
        play_mm: how much further than that it comes to stand off the flank, mm on the diameter.
        sticks: odds that the move sticks.

    Returns:
        The belief after.
    """
    priors, mean = model.priors, belief.mean.copy()
    kept, comes = 1.0 - priors.lock_return.value, 1.0 - sticks
    gap = change_mm * (1.0 + mean[State.GAIN]) + mean[State.STUCK]
    mean[State.UNLOCKED] += kept * mean[State.LOCK] + comes * gap + backlash * mean[State.BACKLASH] + play_mm
    mean[State.STUCK] = sticks * gap
    mean[State.LOCK] = mean[State.LOCK_MEAN]
    row, owed = unit_row(State.UNLOCKED), np.zeros(SIZE)
    row[State.LOCK], row[State.GAIN], row[State.STUCK], row[State.BACKLASH] = kept, comes * change_mm, comes, backlash
    owed[State.GAIN], owed[State.STUCK] = sticks * change_mm, sticks
    rows = {State.UNLOCKED: row, State.STUCK: owed, State.LOCK: unit_row(State.LOCK_MEAN)}
    tossed = sticks * comes * change_mm**2
    noise = {
        State.UNLOCKED: priors.move.width**2 + model.unlocking_variance + tossed,
        State.LOCK: priors.lock_scatter.width**2,
        State.STUCK: tossed,
    }
    after = belief.carried(mean, rows, noise)
    if tossed:
        after.covariance[State.UNLOCKED, State.STUCK] -= tossed
        after.covariance[State.STUCK, State.UNLOCKED] -= tossed
    return after


def follow_readout(belief: Gaussian, model: Model, locked_mm: float | None, unlocked_mm: float | None) -> Gaussian:
    """Move the tip and read the change on a direct readout.

    ``S' = S + locked (1 + gain)``: the readout sees the tip, so the lock shift is in what it shows; from what it shows
    before locking follows ``U' = S + unlocked (1 + gain)``, and the difference of the two is the new lock shift. That
    is so for a readout zeroed while locked. Zeroed after unlocking, both count from ``U + (1 - r) lock`` in place of
    ``S``, with ``r`` the share of the lock shift that unlocking gives back.

    Args:
        belief: the belief before.
        model: the bore's constants.
        locked_mm: change shown after locking, mm on the diameter, or None where it was not noted.
        unlocked_mm: change shown before locking, mm on the diameter, or None where it was not noted.

    Returns:
        The belief after.
    """
    shown = locked_mm if locked_mm is not None else unlocked_mm or 0.0
    mean = belief.mean.copy()
    from_lock = 1.0 - model.priors.lock_return.value if model.zeroed_unlocked else 1.0
    mean[State.UNLOCKED] += from_lock * mean[State.LOCK] + shown * (1.0 + mean[State.GAIN])
    row = unit_row(State.UNLOCKED)
    row[State.LOCK], row[State.GAIN] = from_lock, shown
    move = model.priors.move.width**2
    if locked_mm is None:
        return locked_anew(belief.carried(mean, {State.UNLOCKED: row}, {State.UNLOCKED: move}), model)
    # The tip locked is known, so what the new lock shift adds the tip unlocked lacks; the lock before is still in row.
    mean[State.LOCK] = mean[State.LOCK_MEAN]
    mean[State.UNLOCKED] -= mean[State.LOCK]
    row[State.LOCK_MEAN] = -1.0
    fresh = model.priors.lock_scatter.width**2
    rows, noise = (
        {State.UNLOCKED: row, State.LOCK: unit_row(State.LOCK_MEAN)},
        {State.UNLOCKED: move + fresh, State.LOCK: fresh},
    )
    followed = belief.carried(mean, rows, noise)
    followed.covariance[State.UNLOCKED, State.LOCK] -= fresh
    followed.covariance[State.LOCK, State.UNLOCKED] -= fresh
    if unlocked_mm is None:
        return followed
    return followed.measured(unit_row(State.LOCK), locked_mm - unlocked_mm, move)[0]
