"""Plans: how many passes, aimed at which sizes, what each leaves to chance, and what the whole is expected to cost.

A plan is carried through the belief with the readings that it will bring, whose width does not depend on what they will
be. Only its first step is ever acted upon; after the next reading it is made anew.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from borewright.gauging.conformity import Rule, normal_cdf
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import Gaussian, State, unit_row
from borewright.sizing.measuring import reading_row, thermometer_row
from borewright.sizing.model import (
    Model,
    Pass,
    cut,
    follow_readout,
    push_off_at,
    push_off_for,
    set_tool,
)
from borewright.sizing.proving import MOST_SETTINGS, READINGS
from borewright.sizing.screw import TAKEN_UP, Play, ReadoutMoves, through_play, together

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

MIDDLE_WORTH: Final = 0.05
"""What a good hole at a limit costs more than one in the middle, in passes. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Odds:
    """Odds of a hole against its limits, form and all.

    Args:
        oversize: probability that any of it is above the upper limit.
        in_tolerance: probability that all of it is within.
        undersize: probability that any of it is below the lower limit and none above.
    """

    oversize: float
    in_tolerance: float
    undersize: float


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a plan is judged by; the same for all plans of one moment.

    Args:
        model: the bore's constants.
        costs: what things cost.
        rule: the rule by which the bore will be judged.
        scatter_mm: scatter of one reading, mm.
        thermometer: whether the part's temperature will be taken with each measurement.
        tool_set: whether the tool's diameter is known.
        form_mm: what out of round is expected to take from each limit, mm.
        u_release_mm: standard uncertainty of the size that a measurement will give, mm.
        known_mm: what the gauge's setting is known to show too much, and measured sizes are corrected for, mm.
        accepted: the measured sizes between which the bore will be judged in, with as many settings of the gauge as may
            be asked, mm; the limits themselves, where the gauge can show no size to be in.
        accepted_at_once: the same where the first measurement decides, mm.
        can_show: whether a measurement with this gauge could show any size to be in.
        play: how far the tip stands off the screw's opening flank; the next move takes it up.
        readout: moves under the eye of a readout that nothing came after: another one is taken together with them.
        widest_opening_mm: the most that the next move may open, mm on the diameter.
        largest_tool_mm: the largest diameter that the tool may stand at for the next pass, mm.
        under_cost: what a hole that came out too small costs further.
    """

    model: Model
    costs: Costs
    rule: Rule
    scatter_mm: float
    thermometer: bool
    tool_set: bool
    form_mm: float
    u_release_mm: float
    known_mm: float
    accepted: tuple[float, float]
    accepted_at_once: tuple[float, float]
    can_show: bool = True
    play: Play = TAKEN_UP
    readout: ReadoutMoves | None = None
    widest_opening_mm: float = math.inf
    largest_tool_mm: float = math.inf
    under_cost: float = math.inf

    def odds(self, mean_mm: float, sd_mm: float) -> Odds:
        """Return the odds of a hole.

        Args:
            mean_mm: its size as believed, mm.
            sd_mm: standard deviation of that, mm.

        Returns:
            The odds.
        """
        sd = max(sd_mm, 1e-9)
        over = normal_cdf((mean_mm - self.model.upper_mm + self.form_mm) / sd)
        under = normal_cdf((self.model.lower_mm + self.form_mm - mean_mm) / sd)
        under = min(under, 1.0 - over)
        return Odds(over, 1.0 - over - under, under)

    def seen(self, belief: Gaussian) -> Seen:
        """Foresee how the size that a coming measurement gives will lie about the hole.

        The measured size is ``H + gauge - known of it - D a (thermometer) + scatter``. What the belief owes to the
        setting's error, it has in common with the coming measurement, so that the two do not add up.

        Args:
            belief: the joint belief before the measurement.

        Returns:
            How far the measured size lies off the hole, and its standard deviation about the aim.
        """
        model = self.model
        row = unit_row(State.HOLE, State.GAUGE)
        row[State.THERMOMETER] = -model.growth
        thermometer = 0.5 * (model.growth * model.priors.thermometer.width) ** 2
        variance = (
            float(row @ belief.covariance @ row) + thermometer + model.reading_variance(self.scatter_mm) / READINGS
        )
        return Seen(float(row @ belief.mean) - belief.at(State.HOLE) - self.known_mm, math.sqrt(max(variance, 0.0)))

    def final_cost(self, step: Step) -> float:
        """Return what may go wrong with the last pass, in cost.

        Args:
            step: the pass.

        Returns:
            Expected cost of what is judged too large, too small, or lies off the middle.
        """
        return self._cost_at(step.aim_mm, step)

    def best_aim(self, step: Step) -> float:
        """Return the size for the last pass to aim at.

        Args:
            step: the pass with another aim, whose widths hold for this one.

        Returns:
            The aim of least cost between the limits, mm, by golden section to a hundredth of a micrometre.
        """
        low, high = self.model.lower_mm, self.model.upper_mm
        ratio = 0.5 * (math.sqrt(5.0) - 1.0)
        first, second = high - ratio * (high - low), low + ratio * (high - low)
        at_first, at_second = self._cost_at(first, step), self._cost_at(second, step)
        while high - low > 1e-5:
            if at_first < at_second:
                high, second, at_second = second, first, at_first
                first = high - ratio * (high - low)
                at_first = self._cost_at(first, step)
            else:
                low, first, at_first = first, second, at_second
                second = low + ratio * (high - low)
                at_second = self._cost_at(second, step)
        return 0.5 * (low + high)

    def _cost_at(self, aim_mm: float, step: Step) -> float:
        """Return what may go wrong with a last pass that aims elsewhere; asked so often that no step is made of it."""
        lowest, largest = self.accepted
        low, high = self.accepted_at_once
        size, sd = aim_mm + step.seen.off_mm, max(step.seen.sd_mm, 1e-9)
        over, under = normal_cdf((size - largest) / sd), normal_cdf((lowest - size) / sd)
        unsure = normal_cdf((size - high) / sd) + normal_cdf((low - size) / sd) - over - under
        half = 0.5 * (self.model.upper_mm - self.model.lower_mm)
        off = ((aim_mm - self.model.diameter_mm) ** 2 + step.sd_mm**2) / half**2
        lost = self.costs.scrap * over + min(self.under_cost, self.costs.scrap) * under
        lost += (MOST_SETTINGS - 1) * self.costs.measurement * unsure
        return lost + MIDDLE_WORTH * self.costs.pass_ * off


@dataclass(frozen=True, slots=True)
class Seen:
    """How the size that a coming measurement gives lies about the hole.

    Args:
        off_mm: how much larger it is expected to be than the hole, mm.
        sd_mm: its standard deviation about what is expected, mm.
    """

    off_mm: float
    sd_mm: float


@dataclass(frozen=True, slots=True)
class Step:
    """One planned pass.

    Args:
        aim_mm: the size that it is meant to leave, mm.
        tool_mm: the diameter that the tool is to stand at, mm.
        change_mm: how far the tool is opened for it, mm on the diameter.
        depth_mm: depth set, mm on the diameter.
        push_off_mm: push-off expected, mm on the diameter.
        sd_mm: standard deviation of what it will leave, mm.
        seen: how the size that it is measured at will lie about it.
        follows: change of the size with the tool's diameter, 0 to 1.
        rubs: whether it is too thin to cut well.
    """

    aim_mm: float
    tool_mm: float
    change_mm: float
    depth_mm: float
    push_off_mm: float
    sd_mm: float
    seen: Seen
    follows: float
    rubs: bool


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan and what it is expected to cost.

    Args:
        steps: the passes, next first.
        cost: expected cost of the whole.
    """

    steps: tuple[Step, ...]
    cost: float


def plans_from(belief: Gaussian, outlook: Outlook) -> list[Plan]:
    """Return every plan that keeps to the limits of the next move, cheapest first.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.

    Returns:
        The plans. Where there is too little for two passes and the limits do not let one reach its aim, one pass as far
        as they do; none where that would cut nothing.
    """
    outlook = with_under_cost(belief, outlook)
    found = [plan for split in SPLITS if (plan := _plan(belief, outlook, split)) is not None]
    return sorted(found, key=lambda plan: plan.cost) or _as_far_as_allowed(belief, outlook)


def _as_far_as_allowed(belief: Gaussian, outlook: Outlook) -> list[Plan]:
    most = most_opening(belief, outlook)
    if math.isinf(most):
        return []
    step, _ = first_step(belief, outlook, most)
    if step.follows == 0.0:
        return []
    return [Plan((step,), outlook.costs.pass_ + outlook.costs.measurement + outlook.final_cost(step))]


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
    again = _plan(stuck, replace(freed(outlook), under_cost=outlook.costs.scrap), ())
    cost = outlook.costs.scrap if again is None else min(again.cost, outlook.costs.scrap)
    return replace(outlook, under_cost=cost)


def freed(outlook: Outlook) -> Outlook:
    """Return the outlook for a tool that is set and proved by a measured pass.

    Args:
        outlook: what plans are judged by.

    Returns:
        The outlook without the limits of an unproved tool.
    """
    return replace(
        outlook, tool_set=True, play=TAKEN_UP, readout=None, widest_opening_mm=math.inf, largest_tool_mm=math.inf
    )


def stand_still(belief: Gaussian, outlook: Outlook) -> Step:
    """Return the pass that the tool would cut as it stands.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.

    Returns:
        The step with no change of the tool.
    """
    done = cut(belief, outlook.model)
    tool = belief.at(State.UNLOCKED) + belief.at(State.LOCK)
    return _step(outlook, done, tool, 0.0)


def first_step(belief: Gaussian, outlook: Outlook, change_mm: float) -> tuple[Step, Gaussian]:
    """Carry the belief through one move and one pass.

    Args:
        belief: the joint belief now.
        outlook: what plans are judged by.
        change_mm: how far the tool is opened, mm on the diameter; its diameter where it is yet to be set.

    Returns:
        The step and the belief after it.
    """
    moved = move(belief, outlook, change_mm)
    done = cut(moved, outlook.model)
    tool = moved.at(State.UNLOCKED) + moved.at(State.LOCK)
    return _step(outlook, done, tool, change_mm), done.belief


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
        if outlook.readout is not None:
            belief, change_mm, _ = together(outlook.readout, model, change_mm)
        return follow_readout(belief, model, change_mm, None)
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
    relock = belief.at(State.LOCK_MEAN) - belief.at(State.LOCK)
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
    return min(outlook.widest_opening_mm, outlook.largest_tool_mm - stands)


def _plan(belief: Gaussian, outlook: Outlook, split: Sequence[float]) -> Plan | None:
    hole, middle = belief.at(State.HOLE), outlook.model.diameter_mm
    aims = [hole + share * (middle - hole) for share in split]
    if aims and not all(low < high for low, high in zip([hole, *aims], [*aims, middle], strict=True)):
        return None
    steps: list[Step] = []
    cost = 0.0
    for aim in aims:
        change = min(change_for(belief, outlook, aim), most_opening(belief, outlook))
        step, after = first_step(belief, outlook, change)
        too_thin = middle - step.aim_mm - 2.0 * step.sd_mm < _least_taken(after, outlook)
        if step.rubs or too_thin:
            return None
        over = outlook.odds(step.aim_mm, step.sd_mm).oversize
        cost += outlook.costs.pass_ + outlook.costs.measurement + outlook.costs.scrap * over
        steps.append(step)
        belief, outlook = measured_next(after, outlook), freed(outlook)
    last, _ = first_step(belief, outlook, change_for(belief, outlook, middle))
    cost += outlook.costs.pass_ + outlook.costs.measurement
    return _finished(belief, outlook, steps, last, cost)


def measured_next(belief: Gaussian, outlook: Outlook) -> Gaussian:
    """Return the belief with the width that the next measurement will leave it.

    Args:
        belief: the joint belief after a pass.
        outlook: what plans are judged by.

    Returns:
        The belief, its means as they are.
    """
    variance = outlook.model.reading_variance(outlook.scatter_mm) / READINGS
    if outlook.thermometer:
        belief = belief.narrowed(*thermometer_row(outlook.model))
    return belief.narrowed(reading_row(outlook.model), variance)


def _finished(before: Gaussian, outlook: Outlook, steps: list[Step], last: Step, cost: float) -> Plan | None:
    """Give the last pass the aim that its width asks for.

    A pass too thin to cut well takes but a share of its chip: the tool is opened until the size expected is the aim.
    """
    aim = outlook.best_aim(last)
    for _ in range(3):
        shift = (aim - last.aim_mm) / max(last.follows, 0.2)
        if abs(shift) < 1e-5:
            break
        last, _ = first_step(before, outlook, last.change_mm + shift)
        aim = outlook.best_aim(last)
    if last.change_mm > most_opening(before, outlook):
        return None
    return Plan((*steps, last), cost + outlook.final_cost(last))


def _least_taken(belief: Gaussian, outlook: Outlook) -> float:
    """What comes off at the smallest depth set that still cuts, mm."""
    depth = outlook.model.priors.min_depth.value
    return depth - push_off_at(belief.mean, outlook.model, depth)[0].p


def _step(outlook: Outlook, done: Pass, tool_mm: float, change_mm: float) -> Step:
    return Step(
        aim_mm=done.belief.at(State.HOLE),
        tool_mm=tool_mm,
        change_mm=change_mm,
        depth_mm=done.line.depth_mm,
        push_off_mm=done.line.push_off_mm,
        sd_mm=done.belief.sd(State.HOLE),
        seen=outlook.seen(done.belief),
        follows=done.line.follows,
        rubs=done.rubs,
    )
