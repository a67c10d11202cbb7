"""The equations of a bore at the machine: what a set, a seat, a move, a pass and a reading do to what is believed.

With the tool at diameter ``S = U + lock`` and the hole at ``H`` before the pass::

    s  = S (1 + a_t T_t) / (1 + a_p T_cut) - H          depth set
    H' = S (1 + a_t T_t) / (1 + a_p T_cut) - p(s)       hole after the pass, at 20 degrees
    reading = H' (1 + a_p T_read) + gauge error

Growth with warmth is taken at the nominal diameter: over the last millimetre of stock that is right to 1 %
of the correction.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from borewright.record.payloads.shared import Adjuster
from borewright.sizing.gaussian import SIZE, Gaussian, State, Vector, unit_row
from borewright.sizing.priors import Priors
from borewright.sizing.pushoff import push_off_of_depth

MOUTH_SD_MM = 0.0015
"""Extra error of a reading on the short land of a trial cut: the mouth may read large. Common practice, no source."""

PROOF_LOCK_SD_MM = 0.0003
"""Standard deviation of a mean lock shift found with an indicator. Common practice, no source."""

RUBBED_SD_MM = 0.001
"""What a rubbing pass may change. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Model:
    """The constants of one bore.

    Args:
        priors: what was frozen at its opening.
        adjuster: what changes the tool's diameter.
        lower_mm: smallest size allowed, mm.
        upper_mm: largest size allowed, mm.
    """

    priors: Priors
    adjuster: Adjuster
    lower_mm: float
    upper_mm: float

    @property
    def diameter_mm(self) -> float:
        """The nominal diameter at which growth is taken: the middle of the limits."""
        return 0.5 * (self.lower_mm + self.upper_mm)

    @property
    def growth(self) -> float:
        """The part's growth on the diameter, mm/K."""
        return self.diameter_mm * self.priors.part_expansion.value

    @property
    def tool_growth_mm(self) -> float:
        """What the tool has grown by its own warmth, mm on the diameter."""
        return self.diameter_mm * self.priors.tool_expansion.value * self.priors.tool_warmth.value

    @property
    def at_removed_mm(self) -> float:
        """What comes off at the reference depth of push-off, by the prior's means, mm on the diameter."""
        depth = self.priors.push_off_depth.value
        return max(depth - max(self.priors.push_off.value, 0.0), 0.2 * depth)

    @property
    def form_mm(self) -> float:
        """What out of round is expected to take from each limit, mm: half the mean of the ovality's size.

        With the ovality's two components normal, its size has the mean ``sqrt(pi)/2`` times its root mean square.
        """
        return 0.25 * math.sqrt(math.pi) * self.priors.ovality.width

    def reading_variance(self, scatter_mm: float) -> float:
        """Return the variance of one reading apart from its setting's error: scatter, step, ovality met by chance.

        A reading across an oval adds ``(oval/2) cos 2 theta``, of variance ``oval^2/8`` over all directions.

        Args:
            scatter_mm: scatter of one reading, mm.

        Returns:
            The variance, mm^2.
        """
        step, oval = self.priors.gauge_step.value, self.priors.ovality.width
        return scatter_mm**2 + step**2 / 12.0 + oval**2 / 8.0


@dataclass(frozen=True, slots=True)
class Pass:
    """What a pass was expected to do.

    Args:
        belief: the belief after it.
        depth_mm: depth set, mm on the diameter.
        push_off_mm: push-off expected, mm on the diameter.
        follows: change of the hole with the tool's diameter, 0 to 1.
        rubs: whether the edge was expected to rub and not cut well.
    """

    belief: Gaussian
    depth_mm: float
    push_off_mm: float
    follows: float
    rubs: bool


def opening_belief(model: Model) -> Gaussian:
    """Return what is believed when the bore is opened, before any other event.

    Args:
        model: the bore's constants.

    Returns:
        The belief. The tool's diameter is wide until it is set, or follows from the hole that it cut.
    """
    priors = model.priors
    mean, variance = np.zeros(SIZE), np.zeros(SIZE)
    for state, prior in (
        (State.HOLE, priors.hole),
        (State.TRIAL, priors.hole),
        (State.LOCK_MEAN, priors.lock_mean),
        (State.GAIN, priors.gain),
        (State.BACKLASH, priors.backlash),
        (State.PUSH_OFF, priors.push_off),
        (State.EXPONENT, priors.exponent),
        (State.EDGE, priors.edge),
        (State.BENCH, priors.bench),
        (State.GAUGE, priors.gauge_setting),
        (State.WARMTH, priors.part_warmth),
        (State.WARMTH_AT_CUT, priors.part_warmth),
    ):
        mean[state], variance[state] = prior.value, prior.width**2
    variance[State.THERMOMETER] = 0.5 * priors.thermometer.width**2
    mean[State.UNLOCKED], variance[State.UNLOCKED] = priors.hole.value, 1.0
    belief = locked_anew(Gaussian(mean, np.diag(variance)), model)
    return _tool_at_hole(belief, model) if priors.tool_at_hole.value else belief


def locked_anew(belief: Gaussian, model: Model) -> Gaussian:
    """Draw a new lock shift about the tool's mean.

    Args:
        belief: the belief before the lock was tightened.
        model: the bore's constants.

    Returns:
        The belief after it.
    """
    mean = belief.mean.copy()
    mean[State.LOCK] = mean[State.LOCK_MEAN]
    row = unit_row(State.LOCK_MEAN)
    return belief.carried(mean, {State.LOCK: row}, {State.LOCK: model.priors.lock_scatter.width**2})


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


def turn_adjuster(belief: Gaussian, model: Model, change_mm: float, lost: int) -> Gaussian:
    """Move the tip by the adjuster's own figures and lock it.

    ``U' = U + change (1 + gain) - lost * backlash``, then a new lock shift.

    Args:
        belief: the belief before.
        model: the bore's constants.
        change_mm: the change asked of the adjuster, mm on the diameter, plus opens.
        lost: 1 where opening lost the backlash, -1 where closing did, 0 where it was taken up.

    Returns:
        The belief after.
    """
    mean = belief.mean.copy()
    mean[State.UNLOCKED] += change_mm * (1.0 + mean[State.GAIN]) - lost * mean[State.BACKLASH]
    row = unit_row(State.UNLOCKED)
    row[State.GAIN], row[State.BACKLASH] = change_mm, -lost
    moved = belief.carried(mean, {State.UNLOCKED: row}, {State.UNLOCKED: model.priors.move.width**2})
    return locked_anew(moved, model)


def follow_readout(belief: Gaussian, model: Model, locked_mm: float, unlocked_mm: float | None) -> Gaussian:
    """Move the tip and read the change from locked to locked on a direct readout.

    ``S' = S + shown (1 + gain)``: the readout sees the tip, so the lock shift is in what it shows.

    Args:
        belief: the belief before.
        model: the bore's constants.
        locked_mm: change shown after locking, mm on the diameter.
        unlocked_mm: change shown before locking, mm on the diameter, or None where it was not noted.

    Returns:
        The belief after.
    """
    relocked = locked_anew(belief, model)
    mean = relocked.mean.copy()
    tip = belief.at(State.UNLOCKED) + belief.at(State.LOCK) + locked_mm * (1.0 + mean[State.GAIN])
    # U' = U + lock_before + shown (1 + gain) - lock_after; the lock before is still in the state here.
    row = unit_row(State.UNLOCKED, State.LOCK)
    row[State.GAIN] = locked_mm
    row[State.LOCK_MEAN] = -1.0
    mean[State.UNLOCKED] = tip - mean[State.LOCK]
    fresh = model.priors.lock_scatter.width**2
    carried = belief.carried(
        mean, {State.UNLOCKED: row, State.LOCK: unit_row(State.LOCK_MEAN)}, {State.UNLOCKED: fresh, State.LOCK: fresh}
    )
    covariance = carried.covariance.copy()
    covariance[State.UNLOCKED, State.LOCK] -= fresh
    covariance[State.LOCK, State.UNLOCKED] -= fresh
    covariance[State.UNLOCKED, State.UNLOCKED] += model.priors.move.width**2
    followed = Gaussian(mean, covariance)
    if unlocked_mm is None:
        return followed
    seen = locked_mm - unlocked_mm
    return followed.measured(unit_row(State.LOCK), seen, model.priors.move.width**2)[0]


def cut(belief: Gaussian, model: Model, *, trial: bool = False) -> Pass:
    """Cut a pass with the tool as it stands.

    Args:
        belief: the belief before.
        model: the bore's constants.
        trial: whether only the mouth is cut; the hole then stays as it is.

    Returns:
        What is believed after it, and what the pass was expected to be.
    """
    priors = model.priors
    mean = belief.mean.copy()
    mean[State.WARMTH_AT_CUT] = mean[State.WARMTH]
    wander = priors.wander.width**2
    belief = belief.carried(
        mean,
        {State.WARMTH_AT_CUT: unit_row(State.WARMTH), State.WARMTH: unit_row(State.WARMTH)},
        {State.WARMTH_AT_CUT: wander, State.WARMTH: wander},
    )
    tool = mean[State.UNLOCKED] + mean[State.LOCK] + model.tool_growth_mm - model.growth * mean[State.WARMTH_AT_CUT]
    depth = float(tool - mean[State.HOLE])
    point = push_off_of_depth(
        depth,
        belief.at(State.PUSH_OFF),
        belief.at(State.EXPONENT),
        belief.at(State.EDGE),
        model.at_removed_mm,
    )
    removed = depth - point.p
    share = _share_taken(depth, removed, priors.min_depth.value)
    target = State.TRIAL if trial else State.HOLE
    mean = belief.mean.copy()
    mean[State.UNLOCKED] -= priors.wear.value
    mean[target] = mean[State.HOLE] + share * removed
    row = np.zeros(SIZE)
    row[State.UNLOCKED] = row[State.LOCK] = 1.0 - point.by_depth
    row[State.HOLE] = point.by_depth
    row[State.WARMTH_AT_CUT] = -model.growth * (1.0 - point.by_depth)
    row[State.PUSH_OFF], row[State.EXPONENT], row[State.EDGE] = -point.by_reference, -point.by_exponent, -point.by_edge
    row = share * row + (1.0 - share) * unit_row(State.HOLE)
    scatter = priors.pass_scatter.width**2 + (priors.pass_share.width * point.p) ** 2
    if share < 1.0:
        scatter += share * (1.0 - share) / 3.0 * removed**2 + RUBBED_SD_MM**2
    rows = {State.UNLOCKED: unit_row(State.UNLOCKED), target: row}
    noise = {State.UNLOCKED: priors.wear.width**2, target: scatter}
    follows = share * (1.0 - point.by_depth)
    return Pass(belief.carried(mean, rows, noise), depth, point.p, follows, rubs=share < 1.0)


def _share_taken(depth_mm: float, removed_mm: float, min_depth_mm: float) -> float:
    """Return the share of a chip that is expected to come off: all from the least depth on, less below it, down to none.

    Below the least depth an edge takes now more and now less; the share is taken to fall in proportion, with the spread
    of a share between none and all. Common practice, no source.
    """
    if removed_mm <= 0.0:
        return 0.0
    return min(1.0, depth_mm / min_depth_mm)


def reading_row(model: Model, *, trial: bool = False) -> Vector:
    """Return what a reading is made of: the hole, the part's growth, the error of the gauge's setting.

    Args:
        model: the bore's constants.
        trial: whether the reading is of the land of a trial cut.

    Returns:
        Shape (15,).
    """
    row = unit_row(State.TRIAL if trial else State.HOLE, State.GAUGE)
    row[State.WARMTH] = model.growth
    return row


def gauge_set(belief: Gaussian, model: Model, ring_celsius: float | None) -> Gaussian:
    """Set the gauge on a master: its common error is drawn anew.

    A master warmer than 20 degrees is larger than its mark, so that the gauge then reads low by ``D a (T - 20)``.

    Args:
        belief: the belief before.
        model: the bore's constants.
        ring_celsius: the master's temperature, or None where it was not taken.

    Returns:
        The belief after.
    """
    sd = model.priors.gauge_setting.width
    if ring_celsius is None:
        return belief.redrawn(State.GAUGE, 0.0, sd)
    ring_growth = model.diameter_mm * 11.5e-6
    low = -ring_growth * (ring_celsius - 20.0)
    return belief.redrawn(State.GAUGE, low, float(np.hypot(sd, ring_growth * model.priors.thermometer.width)))


def warmth_taken(belief: Gaussian, model: Model, celsius: float, *, at_cut: bool) -> Gaussian:
    """Take in the part's temperature by a thermometer, half of whose variance is an error that stays.

    Args:
        belief: the belief before.
        model: the bore's constants.
        celsius: what it showed, °C.
        at_cut: whether it held at the last cut and not now.

    Returns:
        The belief after.
    """
    row = unit_row(State.WARMTH_AT_CUT if at_cut else State.WARMTH, State.THERMOMETER)
    return belief.measured(row, celsius - 20.0, 0.5 * model.priors.thermometer.width**2)[0]


def _tool_at_hole(belief: Gaussian, model: Model) -> Gaussian:
    """The tool in the spindle cut the hole and was not moved: ``S = H + p(s)`` with the depth of that pass as told."""
    depth = model.priors.tool_at_hole
    point = push_off_of_depth(
        depth.value,
        belief.at(State.PUSH_OFF),
        belief.at(State.EXPONENT),
        belief.at(State.EDGE),
        model.at_removed_mm,
    )
    mean = belief.mean.copy()
    mean[State.UNLOCKED] = mean[State.HOLE] + point.p - mean[State.LOCK]
    row = unit_row(State.HOLE)
    row[State.LOCK] = -1.0
    row[State.PUSH_OFF], row[State.EXPONENT], row[State.EDGE] = point.by_reference, point.by_exponent, point.by_edge
    scatter = (
        (point.by_depth * depth.width) ** 2
        + model.priors.pass_scatter.width**2
        + (model.priors.pass_share.width * point.p) ** 2
    )
    return belief.carried(mean, {State.UNLOCKED: row}, {State.UNLOCKED: scatter})
