"""Mishaps that now and then leave another hole than was meant, and what they add to the odds of a cut.

A built-up edge cuts large, a line of the dial is counted twice or missed, a chip lies on the taper: each is rare, each
is of its own size, and none is part of the usual scatter. They count in the odds that are stated, as a mixture.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.model import Model
from borewright.sizing.outlook import Spread, Step

BUILT_UP_MM, BUILT_UP_SD_MM = 0.003, 0.0005
"""What a built-up edge cuts large, and its standard deviation. Common practice, no source."""

CHIP_SD_MM: Final = 0.015
"""How far a chip on the taper moves the tip, one standard deviation on the diameter. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Mishap:
    """A mishap and what it does to the size that a cut leaves.

    Args:
        odds: how likely it is.
        off_mm: what it makes the hole larger, mm.
        sd_mm: standard deviation of that, mm.
    """

    odds: float
    off_mm: float
    sd_mm: float


def mishaps_of(belief: Gaussian, model: Model, step: Step, *, moved: bool, seated: bool) -> tuple[Mishap, ...]:
    """List the mishaps that may befall a cut and the move before it.

    Args:
        belief: the joint belief before them.
        model: the bore's constants.
        step: the cut.
        moved: whether the adjuster is moved for it.
        seated: whether the tool is put into the spindle for it.

    Returns:
        Those that are possible.
    """
    priors, found = model.priors, []
    if priors.built_up.value:
        found.append(Mishap(priors.built_up.value, BUILT_UP_MM, BUILT_UP_SD_MM))
    if moved and priors.miscount.value:
        line = model.adjuster.line_mm * (1.0 + belief.at(State.GAIN)) * step.follows
        found += [Mishap(0.5 * priors.miscount.value, sign * line, 0.0) for sign in (1.0, -1.0)]
    if seated and priors.chip.value:
        found.append(Mishap(priors.chip.value, 0.0, CHIP_SD_MM * step.follows))
    return tuple(found)


def with_mishaps(size: tuple[float, float, float], mishaps: tuple[Mishap, ...]) -> Spread:
    """Spread a size by the mishaps that may befall it, one at a time.

    Args:
        size: the odds of what it rests on, its mean and standard deviation, mm.
        mishaps: what may happen.

    Returns:
        The size without any first, and one for each.
    """
    share, mean, sd = size
    well = 1.0 - math.fsum(mishap.odds for mishap in mishaps)
    befallen = [(share * each.odds, mean + each.off_mm, math.hypot(sd, each.sd_mm)) for each in mishaps]
    return ((share * well, mean, sd), *befallen)
