"""What plans are judged by, and the odds and costs of a pass that follow from it."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from borewright.gauging.conformity import Rule, normal_cdf
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import Gaussian
from borewright.sizing.model import Model
from borewright.sizing.proving import MOST_SETTINGS
from borewright.sizing.screw import TAKEN_UP, Play, ReadoutMoves

MIDDLE_WORTH: Final = 0.05
"""What a good hole at a limit costs more than one in the middle, in passes. Common practice, no source."""

FAR_MM: Final = 3.0
"""A reading or setting further than this from what it can be is taken for a slip of unit or of radius, and no move is
entered or advised that is longer."""

Spread: TypeAlias = tuple[tuple[float, float, float], ...]
"""A size under each of several suppositions: the odds of the supposition, mean and standard deviation, mm."""


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
        readout: moves under the eye of a readout that nothing came after: another one is taken together with them, as
            long as it starts from what is believed now.
        standing: what is believed now.
        tried: whether the last cut was a trial: a second one in a row would teach what the first has taught.
        unmoved: whether no move has been made yet that would show what a line of an unproved dial is worth.
        watched: whether the next move is to be watched with an indicator: it may go much further than it is meant to.
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
    standing: Gaussian | None = None
    tried: bool = False
    unmoved: bool = False
    watched: bool = False
    widest_opening_mm: float = math.inf
    largest_tool_mm: float = math.inf
    under_cost: float = math.inf

    @property
    def trials(self) -> bool:
        """Whether a trial cut may come next: one can be made at all, and the last cut was not one already."""
        return self.model.priors.land.value > 0.0 and not self.tried

    def cost_of(self, *, trial: bool) -> float:
        """Return what a cut costs with its measurement.

        Args:
            trial: whether it is a trial cut.

        Returns:
            The cost.
        """
        return (self.costs.trial if trial else self.costs.pass_) + self.costs.measurement

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

    def odds_of(self, spread: Spread) -> Odds:
        """Return the odds of a hole under several suppositions.

        Args:
            spread: for each its odds, and mean and standard deviation of the size, mm.

        Returns:
            The odds, all suppositions counted.
        """
        each = [(share, self.odds(mean, sd)) for share, mean, sd in spread]
        over = math.fsum(share * odds.oversize for share, odds in each)
        under = math.fsum(share * odds.undersize for share, odds in each)
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
        low, high = self.accepted_at_once
        off_mm, sd, spread = step.seen.off_mm, max(step.seen.sd_mm, 1e-9), step.sd_mm**2
        middle, half = self.model.diameter_mm, 0.5 * (self.model.upper_mm - self.model.lower_mm)
        scrap, under_cost = self.costs.scrap, min(self.under_cost, self.costs.scrap)
        worth, more = MIDDLE_WORTH * self.costs.pass_, (MOST_SETTINGS - 1) * self.costs.measurement

        def cost_at(aim_mm: float) -> float:
            size = aim_mm + off_mm
            over, under = normal_cdf((size - largest) / sd), normal_cdf((lowest - size) / sd)
            unsure = normal_cdf((size - high) / sd) + normal_cdf((low - size) / sd) - over - under
            lost = scrap * over + under_cost * under + more * unsure
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
        trial: whether it is a trial cut: only the land at the mouth is cut, and the hole stays as it is.
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
    trial: bool = False


def half_way(tool_mm: float, upper_mm: float) -> float:
    """Return the most that the first move of an unproved dial may open: half the way to the upper limit.

    Were its lines worth twice what is thought, the tool would then stand at the limit and not over it.

    Args:
        tool_mm: the tool's diameter before the move, mm.
        upper_mm: the upper limit, mm.

    Returns:
        The opening, mm on the diameter.
    """
    return 0.5 * (upper_mm - tool_mm)


def after_cut(outlook: Outlook, step: Step) -> Outlook:
    """Return the outlook once a cut is measured: free of the limits of an unproved tool.

    A dial that was not moved for it is still unproved.

    Args:
        outlook: what the cut was judged by.
        step: the cut.

    Returns:
        The outlook after it.
    """
    moved = outlook.tool_set and step.change_mm != 0.0
    freed = replace(
        outlook,
        tool_set=True,
        play=TAKEN_UP,
        readout=None,
        unmoved=False,
        widest_opening_mm=math.inf,
        largest_tool_mm=math.inf,
    )
    if not outlook.unmoved or moved:
        return freed
    return replace(freed, unmoved=True, widest_opening_mm=half_way(step.tool_mm, outlook.model.upper_mm))
