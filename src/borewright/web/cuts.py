"""The cuts that are left, counted as they are everywhere, and the land that a trial cut is to leave."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from borewright.quantity.length import Unit
from borewright.quantity.show import show_length
from borewright.sizing.advice import BENCH_STEP_MM
from borewright.sizing.belief import in_force
from borewright.sizing.bore import Bore
from borewright.sizing.choice import choose
from borewright.sizing.costs import Costs
from borewright.sizing.opening import rule_of
from borewright.sizing.priors import NORMAL_95
from borewright.web.plain import Plain, group, listed

CUTTING: Final = frozenset({"set", "move_and_cut", "cut"})
"""Actions that end in a cut."""


@dataclass(frozen=True, slots=True)
class Cuts:
    """The cuts of the plan that the advice follows.

    Args:
        passes: passes through the bore.
        trials: trial cuts.
        trial_next: whether the next of them is a trial cut.
        land: what the land of that is to measure, and what that lies between; empty where the next is none.
        land_mm: the same, mm: the size and both ends; None where the next is none.
    """

    passes: int = 0
    trials: int = 0
    trial_next: bool = False
    land: tuple[str, str] = ("", "")
    land_mm: tuple[float, float, float] | None = None

    @property
    def last(self) -> bool:
        """Whether the next cut is the last pass."""
        return (self.passes, self.trials) == (1, 0)

    @property
    def words(self) -> str:
        """The count as it is shown everywhere."""
        return count_words(self.passes, self.trials)


NO_CUTS: Final = Cuts()


def count_words(passes: int, trials: int) -> str:
    """Count the cuts of a plan in words.

    Args:
        passes: passes through the bore.
        trials: trial cuts.

    Returns:
        Such as ``2 passes + 1 trial cut``.
    """
    count = f"{passes} {'pass' if passes == 1 else 'passes'}"
    return f"{count} + {trials} trial {'cut' if trials == 1 else 'cuts'}" if trials else count


def cuts_of(bore: Bore, advice: Plain, unit: Unit) -> Cuts:
    """Say which cuts an advice counts on.

    A plan in the form of an advice does not tell its trial cuts apart; where it may hold one, the choice is made again,
    to the same end.

    Args:
        bore: the bore as it stands.
        advice: what ``bore.advise(unit)`` returned.
        unit: unit that lengths are shown in.

    Returns:
        The cuts; none where nothing is to be cut.
    """
    steps = len(listed(advice, "plan"))
    if advice.get("action") not in CUTTING or not steps:
        return NO_CUTS
    trial_next = group(advice, "cut").get("depth") == "trial"
    if steps == 1 and not trial_next:
        return Cuts(passes=1)
    rule, costs = rule_of(bore.opening.rule), Costs.of(bore.opening.costs)
    chosen = choose(bore.belief, in_force(bore.belief, bore.model), costs, rule, BENCH_STEP_MM[unit])
    planned = chosen.plan.steps if chosen.plan is not None else ()
    trials = sum(step.trial for step in planned)
    first = chosen.step
    cuts = Cuts(len(planned) - trials, trials)
    if first is None or not first.trial:
        return cuts
    half = NORMAL_95 * first.sd_mm
    land_mm = first.aim_mm, first.aim_mm - half, first.aim_mm + half
    return replace(cuts, trial_next=True, land=_land(land_mm, unit), land_mm=land_mm)


def _land(land_mm: tuple[float, float, float], unit: Unit) -> tuple[str, str]:
    decimals = 3 if unit == "mm" else 4
    size, low, high = (show_length(mm, unit, decimals=decimals, with_unit=False) for mm in land_mm)
    return f"{size} {unit}", f"{low} to {high}"
