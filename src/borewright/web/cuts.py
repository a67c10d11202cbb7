"""The cuts that are left, counted as they are everywhere, and the land that a trial cut is to leave."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from borewright.quantity.length import Length, parse_length
from borewright.quantity.show import show_length
from borewright.web.plain import Plain, group

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


def cuts_of(advice: Plain) -> Cuts:
    """Say which cuts an advice counts on.

    Args:
        advice: what ``bore.advise()`` returned.

    Returns:
        The cuts; none where nothing is to be cut.
    """
    if advice.get("action") not in CUTTING:
        return NO_CUTS
    trials = int(str(advice.get("trials_left", 0)))
    cuts = Cuts(int(str(advice.get("passes_left", 0))) - trials, trials)
    land = group(advice, "land")
    if not land:
        return cuts
    size, low, high = (parse_length(str(land[end])) for end in ("size", "low", "high"))
    shown = f"{_rounded(size)} {size.unit}", f"{_rounded(low)} to {_rounded(high)}"
    return replace(cuts, trial_next=True, land=shown, land_mm=(size.mm, low.mm, high.mm))


def _rounded(length: Length) -> str:
    return show_length(length.mm, length.unit, decimals=3 if length.unit == "mm" else 4, with_unit=False)
