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
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from borewright.record.payloads.shared import Adjuster
from borewright.sizing.gaussian import SIZE, Gaussian, State, Vector, unit_row
from borewright.sizing.known import Pair, joint_covariance
from borewright.sizing.priors import Priors
from borewright.sizing.pushoff import (
    SIGN_SCALE_MM,
    PushOffPoint,
    from_signed_log,
    push_off,
    push_off_of_depth,
    signed_log,
)

MODEL: Final = "gaussian-2"
"""Name of the model of belief and advice in which bores are opened today.

A bore goes on in the model that it was opened in: what a later one adds rests on priors that an earlier one did not
freeze, and which are then nothing. Advice that was acted upon keeps the name of what gave it and is never rewritten.
"""

MOUTH_SD_MM = 0.0015
"""Extra error of a reading on the short land of a trial cut: the mouth may read large. Common practice, no source."""

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
        name: the name of the model that it was opened in.
        diameter_mm: the nominal diameter at which growth is taken: the middle of the limits, mm.
        growth: the part's growth on the diameter, mm/K.
        together: pairs of priors that were learned together, by name, with their correlation.
    """

    priors: Priors
    adjuster: Adjuster
    lower_mm: float
    upper_mm: float
    together: tuple[Pair, ...] = ()
    name: str = MODEL
    diameter_mm: float = field(init=False)
    growth: float = field(init=False)

    def __post_init__(self) -> None:
        """Work out once what every pass that is looked at asks for."""
        diameter = 0.5 * (self.lower_mm + self.upper_mm)
        object.__setattr__(self, "diameter_mm", diameter)
        object.__setattr__(self, "growth", diameter * self.priors.part_expansion.value)

    @property
    def tool_growth_mm(self) -> float:
        """What the tool has grown by its own warmth, mm on the diameter."""
        return self.diameter_mm * self.priors.tool_expansion.value * self.priors.tool_warmth.value

    @property
    def form_mm(self) -> float:
        """What out of round is expected to take from each limit, mm: half the mean of the ovality's size.

        With the ovality's two components normal, its size has the mean ``sqrt(pi)/2`` times its root mean square. It
        takes no more than all but a fiftieth of the tolerance: then nothing can be shown, and more changes nothing.
        """
        return min(0.25 * math.sqrt(math.pi) * self.priors.ovality.width, 0.49 * (self.upper_mm - self.lower_mm))

    @property
    def by_share(self) -> float:
        """How the coordinate of push-off changes with a share of it, ``d asinh(P/a)/d ln P``, where it was guessed."""
        reference = self.priors.push_off.value
        return reference / math.hypot(reference, SIGN_SCALE_MM)

    @property
    def unlocking_variance(self) -> float:
        """What is not known of how much of a lock shift unlocking gives back, at its usual size, mm^2."""
        return (self.priors.lock_return.width * self.priors.lock_mean.width) ** 2

    @property
    def zeroed_unlocked(self) -> bool:
        """Whether a readout is zeroed after unlocking, so that it counts the lock shift of a move and not of two."""
        follows = self.priors.lock_return.value < 1.0
        return follows and self.adjuster.kind == "direct" and self.adjuster.zeroed == "unlocked"

    @property
    def deep_mm(self) -> float:
        """How deep the bore is, mm: as deep as it is wide, where nobody said."""
        return self.priors.deep.value or self.diameter_mm

    def reading_variance(self, scatter_mm: float, oval_by_chance: float | None = None) -> float:
        """Return the variance of one reading apart from its setting's error: scatter, step, ovality met by chance.

        A reading across an oval adds ``(oval/2) cos 2 theta``, of variance ``oval^2/8`` over all directions.

        Args:
            scatter_mm: scatter of one reading, mm.
            oval_by_chance: what ovality adds, mm^2, where that is not ``oval^2/8``.

        Returns:
            The variance, mm^2.
        """
        step, oval = self.priors.gauge_step.value, self.priors.ovality.width
        return scatter_mm**2 + step**2 / 12.0 + (oval**2 / 8.0 if oval_by_chance is None else oval_by_chance)

    def pass_sd(self, push_off_mm: float) -> float:
        """Return the scatter of a pass: its own and a share of push-off, added, for what varies a cut varies both.

        Args:
            push_off_mm: push-off, mm on the diameter, signed.

        Returns:
            The standard deviation, mm on the diameter.
        """
        return self.priors.pass_scatter.width + self.priors.pass_share.width * abs(push_off_mm)


@dataclass(frozen=True, slots=True)
class Line:
    """A pass as a straight line through a point: ``H' = size + row (x - point)``.

    Args:
        point: the states about which it was drawn, shape (22,).
        size_mm: the size that the pass leaves there, mm.
        row: how the size changes with the states before the pass, shape (22,).
        depth_mm: depth set there, mm on the diameter.
        push_off_mm: push-off there, mm on the diameter.
        share: share of the chip that is expected to come off.
        follows: change of the hole with the tool's diameter, 0 to 1.
    """

    point: Vector
    size_mm: float
    row: Vector
    depth_mm: float
    push_off_mm: float
    share: float
    follows: float

    @property
    def copied(self) -> float:
        """Share of the form before that the pass copies: C/(C + k), all of it where nothing is cut."""
        return float(self.row[State.HOLE])


@dataclass(frozen=True, slots=True)
class Pass:
    """What a pass was expected to do.

    Args:
        belief: the belief after it.
        line: the straight line by which it was carried through.
    """

    belief: Gaussian
    line: Line

    @property
    def rubs(self) -> bool:
        """Whether the edge was expected to rub and not cut well."""
        return self.line.share < 1.0


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
        (State.EXPONENT, priors.exponent),
        (State.EDGE, priors.edge),
        (State.BENCH, priors.bench),
        (State.WARMTH, priors.part_warmth),
        (State.WARMTH_AT_CUT, priors.part_warmth),
        (State.TAPER, priors.taper),
        (State.BELL, priors.bell),
    ):
        mean[state], variance[state] = prior.value, prior.width**2
    slope = math.hypot(priors.push_off.value, SIGN_SCALE_MM)
    mean[State.PUSH_OFF] = signed_log(priors.push_off.value)
    variance[State.PUSH_OFF] = (priors.push_off.width / slope) ** 2
    variance[State.SPRING] = priors.clamps.value**2
    variance[State.OVAL_0] = variance[State.OVAL_45] = oval_variance(model)
    variance[State.THERMOMETER] = 0.5 * priors.thermometer.width**2
    mean[State.UNLOCKED], variance[State.UNLOCKED] = priors.hole.value, 1.0
    setting = priors.gauge_setting
    half = setting.width * math.sqrt(0.5)
    belief = gauge_anew(Gaussian(mean, joint_covariance(variance, model.together)), setting.value, half, half)
    belief = locked_anew(belief, model)
    return _tool_at_hole(belief, model) if priors.tool_at_hole.value else belief


def gauge_anew(belief: Gaussian, shows_more_mm: float, own_sd_mm: float, master_sd_mm: float) -> Gaussian:
    """Draw a new error for a new setting of the gauge: the setting's own, which can be re-checked, and the master's.

    Args:
        belief: the belief before the gauge was set.
        shows_more_mm: what it is known to show too much, mm.
        own_sd_mm: standard deviation of the setting's own error, mm.
        master_sd_mm: standard deviation of the master's size as it stood, warmth and all, mm.

    Returns:
        The belief after it.
    """
    drawn = belief.redrawn(State.DRIFT, 0.0, own_sd_mm)
    mean = drawn.mean.copy()
    mean[State.GAUGE] = shows_more_mm
    return drawn.carried(mean, {State.GAUGE: unit_row(State.DRIFT)}, {State.GAUGE: master_sd_mm**2})


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


def cut(belief: Gaussian, model: Model, *, trial: bool = False) -> Pass:
    """Cut a pass with the tool as it stands.

    Args:
        belief: the belief before.
        model: the bore's constants.
        trial: whether only the mouth is cut; the hole then stays as it is.

    Returns:
        What is believed after it, and what the pass was expected to be.
    """
    priors, wander = model.priors, model.priors.wander.width**2
    point = belief.mean.copy()
    point[State.WARMTH_AT_CUT] = point[State.WARMTH]
    line = pass_line(point, model)
    target = State.TRIAL if trial else State.HOLE
    mean = point.copy()
    mean[State.UNLOCKED] -= priors.wear.value
    mean[target] = line.size_mm
    # The part's warmth wanders from the act before to the cut, and as far again from the cut to the act after.
    row, by_warmth = line.row.copy(), float(line.row[State.WARMTH_AT_CUT])
    row[State.WARMTH], row[State.WARMTH_AT_CUT] = by_warmth, 0.0
    rows = {State.WARMTH_AT_CUT: unit_row(State.WARMTH), target: row}
    noise = {State.UNLOCKED: priors.wear.width**2, State.WARMTH: wander, target: sum(cut_noise(line, model))}
    mean[State.PUSH_OFF] += priors.blunting.value * model.by_share
    rows[State.PUSH_OFF] = unit_row(State.PUSH_OFF)
    noise[State.PUSH_OFF] = (priors.blunting.width * model.by_share) ** 2
    if not trial:
        for state, variance in form_after(model):
            mean[state] *= line.copied
            rows[state], noise[state] = line.copied * unit_row(state), variance
    after = belief.carried(mean, rows, noise)
    in_common = ((State.WARMTH_AT_CUT, 1.0), (State.WARMTH, 1.0), (target, by_warmth))
    for one, by_one in in_common:
        for other, by_other in in_common:
            after.covariance[one, other] += by_one * by_other * wander
    return Pass(after, line)


def unclamped(belief: Gaussian, model: Model) -> Gaussian:
    """Let the clamps go: the hole springs, and what was round in them may not be round out of them.

    Args:
        belief: the belief before.
        model: the bore's constants.

    Returns:
        The belief after: ``H' = H + spring``, with as much out of round as the mean may change.
    """
    return _sprung(belief, model, 1.0)


def clamped(belief: Gaussian, model: Model) -> Gaussian:
    """Clamp the part again: the hole springs back.

    Args:
        belief: the belief before.
        model: the bore's constants.

    Returns:
        The belief after: ``H' = H - spring``.
    """
    return _sprung(belief, model, -1.0)


def _sprung(belief: Gaussian, model: Model, sense: float) -> Gaussian:
    width = model.priors.clamps.value
    if not width:
        return belief
    mean, row = belief.mean.copy(), unit_row(State.HOLE)
    mean[State.HOLE] += sense * mean[State.SPRING]
    row[State.SPRING] = sense
    rows = {state: unit_row(state) for state in (State.OVAL_0, State.OVAL_45)}
    return belief.carried(mean, {State.HOLE: row, **rows}, dict.fromkeys(rows, 0.5 * width**2))


def form_after(model: Model) -> tuple[tuple[State, float], ...]:
    """Return the form that a pass adds, beside what it copies of the form before.

    Args:
        model: the bore's constants.

    Returns:
        The states of form, each with its variance, mm^2.
    """
    oval = oval_variance(model)
    taper, bell = model.priors.taper.width**2, model.priors.bell.width**2
    return (State.TAPER, taper), (State.BELL, bell), (State.OVAL_0, oval), (State.OVAL_45, oval)


def oval_variance(model: Model) -> float:
    """Return the variance of either part of out of round: half its mean square. Nothing where form is not followed.

    Args:
        model: the bore's constants.

    Returns:
        The variance, mm^2.
    """
    return 0.5 * model.priors.ovality.width**2 if model.priors.taper.width else 0.0


def pass_line(point: Vector, model: Model) -> Line:
    """Draw the straight line of a pass through a point.

    Args:
        point: the states before the pass, the part's warmth at the cut among them, shape (22,).
        model: the bore's constants.

    Returns:
        The line.
    """
    states = point.tolist()
    hole, growth = states[State.HOLE], model.growth
    tool = states[State.UNLOCKED] + states[State.LOCK] + model.tool_growth_mm - growth * states[State.WARMTH_AT_CUT]
    depth = tool - hole
    off, slope = push_off_at(states, model, depth)
    removed = depth - off.p
    share = _share_taken(depth, removed, model.priors.min_depth.value)
    follows = share * (1.0 - off.by_depth)
    row = np.zeros(SIZE)
    row[State.UNLOCKED] = row[State.LOCK] = follows
    row[State.HOLE] = share * off.by_depth + (1.0 - share)
    row[State.WARMTH_AT_CUT] = -growth * follows
    row[State.PUSH_OFF] = -share * off.by_reference * slope
    row[State.EXPONENT] = -share * off.by_exponent
    row[State.EDGE] = -share * off.by_edge
    return Line(point, hole + share * removed, row, depth, off.p, share, follows)


def cut_noise(line: Line, model: Model) -> tuple[float, float]:
    """Return what a pass leaves to chance: by its own scatter, and by a chip too thin to cut well.

    Args:
        line: the line of the pass.
        model: the bore's constants.

    Returns:
        Two variances, mm^2.
    """
    scatter = model.pass_sd(line.push_off_mm) ** 2
    if line.share >= 1.0:
        return scatter, 0.0
    removed = line.depth_mm - line.push_off_mm
    return scatter, line.share * (1.0 - line.share) / 3.0 * removed**2 + RUBBED_SD_MM**2


def drawn_again(base: Gaussian, line: Line, believed: Vector, model: Model, *, trial: bool) -> Gaussian:
    """Carry a belief from the line along which its last pass was cut onto the line through what is believed of it now.

    A reading that finds push-off far from its guess would otherwise be read along a line drawn through the guess. The
    states that the pass rested on still stand in the belief, but for the hole before it, which keeps its place.

    Args:
        base: the joint belief after the pass and before the readings that teach it.
        line: the line of the pass.
        believed: the means through which the line is drawn anew, shape (22,).
        model: the bore's constants.
        trial: whether the pass was a trial cut.

    Returns:
        The belief before the readings, along the new line.
    """
    target = State.TRIAL if trial else State.HOLE
    new = pass_line(_before_pass(believed, line, model), model)
    start = _before_pass(base.mean, line, model)
    mean = base.mean.copy()
    mean[target] += new.size_mm - line.size_mm + new.row @ (start - new.point) - line.row @ (start - line.point)
    turned = new.row - line.row
    turned[State.HOLE] = 0.0
    return base.carried(mean, {target: unit_row(target) + turned}, {})


def _before_pass(after: Vector, line: Line, model: Model) -> Vector:
    """Return the states before a pass from those after it: the hole as it was, the wear of the pass put back."""
    before = after.copy()
    before[State.HOLE] = line.point[State.HOLE]
    before[State.UNLOCKED] += model.priors.wear.value
    before[State.PUSH_OFF] -= model.priors.blunting.value * model.by_share
    return before


def _share_taken(depth_mm: float, removed_mm: float, min_depth_mm: float) -> float:
    """Return the share of a chip that is expected to come off: all from the least depth on, less below, down to none.

    Below the least depth an edge takes now more and now less; the share is taken to fall in proportion, with the spread
    of a share between none and all. Common practice, no source.
    """
    if removed_mm <= 0.0:
        return 0.0
    return min(1.0, depth_mm / min_depth_mm)


def push_off_at(point: Sequence[float] | Vector, model: Model, depth_mm: float) -> tuple[PushOffPoint, float]:
    """Return the push-off of a depth set, at given states.

    Args:
        point: the states, shape (22,).
        model: the bore's constants.
        depth_mm: depth set, mm on the diameter.

    Returns:
        The push-off with its derivatives, and how the reference changes with its coordinate, mm.
    """
    reference, slope = from_signed_log(float(point[State.PUSH_OFF]))
    exponent, edge = float(point[State.EXPONENT]), float(point[State.EDGE])
    return push_off_of_depth(depth_mm, reference, exponent, edge, model.priors.push_off_depth.value), slope


def push_off_for(point: Sequence[float] | Vector, model: Model, removed_mm: float) -> float:
    """Return the push-off that goes with what comes off, at given states.

    Args:
        point: the states, shape (22,).
        model: the bore's constants.
        removed_mm: what comes off, mm on the diameter.

    Returns:
        Push-off, mm on the diameter.
    """
    reference, _ = from_signed_log(float(point[State.PUSH_OFF]))
    exponent, edge = float(point[State.EXPONENT]), float(point[State.EDGE])
    return push_off(removed_mm, reference, exponent, edge, model.priors.push_off_depth.value)


def _tool_at_hole(belief: Gaussian, model: Model) -> Gaussian:
    """The tool in the spindle cut the hole and was not moved: ``S = H + p(s)`` with the depth of that pass as told."""
    depth = model.priors.tool_at_hole
    off, slope = push_off_at(belief.mean, model, depth.value)
    mean = belief.mean.copy()
    mean[State.UNLOCKED] = mean[State.HOLE] + off.p - mean[State.LOCK]
    row = unit_row(State.HOLE)
    row[State.LOCK] = -1.0
    row[State.PUSH_OFF], row[State.EXPONENT], row[State.EDGE] = off.by_reference * slope, off.by_exponent, off.by_edge
    scatter = (off.by_depth * depth.width) ** 2 + model.pass_sd(off.p) ** 2
    return belief.carried(mean, {State.UNLOCKED: row}, {State.UNLOCKED: scatter})
