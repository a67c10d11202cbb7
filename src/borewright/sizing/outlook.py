"""What plans are judged by, and the odds and costs of a pass that follow from it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from borewright.gauging.conformity import Rule, normal_cdf
from borewright.sizing.costs import Costs
from borewright.sizing.model import Model
from borewright.sizing.screw import TAKEN_UP, Play

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
        accepted: the measured sizes between which the bore will be judged in, mm; the limits themselves, where the
            gauge can show no size to be in.
        can_show: whether a measurement with this gauge could show any size to be in.
        play: how far the tip stands off the screw's opening flank; the next move takes it up.
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
    can_show: bool = True
    play: Play = TAKEN_UP
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

    def final_cost(self, step: Step) -> float:
        """Return what may go wrong with the last pass, in cost.

        Args:
            step: the pass.

        Returns:
            Expected cost of what is judged too large, too small, or lies off the middle.
        """
        return self.cost_of_aims(step)(step.aim_mm)

    def best_aim(self, step: Step) -> float:
        """Return the size for the last pass to aim at.

        Args:
            step: the pass with another aim, whose widths hold for this one.

        Returns:
            The aim of least cost between the limits, mm, by golden section to a hundredth of a micrometre.
        """
        cost_at = self.cost_of_aims(step)
        low, high = self.model.lower_mm, self.model.upper_mm
        ratio = 0.5 * (math.sqrt(5.0) - 1.0)
        first, second = high - ratio * (high - low), low + ratio * (high - low)
        at_first, at_second = cost_at(first), cost_at(second)
        while high - low > 1e-5:
            if at_first < at_second:
                high, second, at_second = second, first, at_first
                first = high - ratio * (high - low)
                at_first = cost_at(first)
            else:
                low, first, at_first = first, second, at_second
                second = low + ratio * (high - low)
                at_second = cost_at(second)
        return 0.5 * (low + high)

    def cost_of_aims(self, step: Step) -> Callable[[float], float]:
        """Return what may go wrong with a last pass, by where it aims: asked so often that no step is made of it.

        Args:
            step: the pass, whose widths hold for every aim.

        Returns:
            From an aim in mm the expected cost.
        """
        lowest, largest = self.accepted
        off_mm, sd, spread = step.seen.off_mm, max(step.seen.sd_mm, 1e-9), step.sd_mm**2
        middle, half = self.model.diameter_mm, 0.5 * (self.model.upper_mm - self.model.lower_mm)
        scrap, under_cost = self.costs.scrap, min(self.under_cost, self.costs.scrap)
        worth = MIDDLE_WORTH * self.costs.pass_

        def cost_at(aim_mm: float) -> float:
            size = aim_mm + off_mm
            lost = scrap * normal_cdf((size - largest) / sd) + under_cost * normal_cdf((lowest - size) / sd)
            return lost + worth * (((aim_mm - middle) ** 2 + spread) / half**2)

        return cost_at


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


def freed(outlook: Outlook) -> Outlook:
    """Return the outlook for a tool that is set and proved by a measured pass.

    Args:
        outlook: what plans are judged by.

    Returns:
        The outlook without the limits of an unproved tool.
    """
    return replace(outlook, tool_set=True, play=TAKEN_UP, widest_opening_mm=math.inf, largest_tool_mm=math.inf)
