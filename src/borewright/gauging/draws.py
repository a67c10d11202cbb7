"""A size by Monte Carlo: the model drawn until its own figures stand still."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from borewright.errors import EntryError
from borewright.gauging.budget import Cause
from borewright.gauging.comparison import Comparison, Draws

BLOCK: Final = 50_000
"""Draws taken at once: few enough to stay in the processor's cache, enough for a coverage interval of a block."""
LEAST_BLOCKS: Final = 4


@dataclass(frozen=True, slots=True)
class Drawn:
    """What the draws of a model show.

    Args:
        mean_mm: mean, mm.
        u_mm: standard deviation, mm.
        low_mm: lower end of the coverage interval, as much probability below as above, mm.
        high_mm: its upper end, mm.
        draws: how many there were.
        still_mm: twice the standard deviation of the least settled of the four figures, by its scatter between blocks.
        within_mm: the tolerance that it was to come under.
    """

    mean_mm: float
    u_mm: float
    low_mm: float
    high_mm: float
    draws: int
    still_mm: float
    within_mm: float

    @property
    def settled(self) -> bool:
        """Whether the figures stand still to the tolerance."""
        return self.still_mm <= self.within_mm

    def agrees(self, size_mm: float, expanded_mm: float) -> bool:
        """Tell whether a budget in closed form gives the same interval to the tolerance.

        Args:
            size_mm: its size, mm.
            expanded_mm: its expanded uncertainty, mm.

        Returns:
            Whether both ends lie within the tolerance of the drawn ones.

        Source: [jcgm101] 8.1.
        """
        low, high = abs(size_mm - expanded_mm - self.low_mm), abs(size_mm + expanded_mm - self.high_mm)
        return max(low, high) <= self.within_mm


def draw_size(
    comparison: Comparison,
    rng: np.random.Generator,
    *,
    most: int = 1_000_000,
    digits: int = 2,
    all_of_them: bool = False,
) -> Drawn:
    """Draw a comparison's size until mean, standard deviation and both ends of the interval stand still.

    They do when twice the standard deviation of each one's mean over the blocks is below half a unit in the last of the
    digits of the standard uncertainty.

    Args:
        comparison: the model, with the confidence that the interval is to hold.
        rng: where chance comes from.
        most: draws at most.
        digits: significant digits of the standard uncertainty that are to be meant.
        all_of_them: take all the draws, whether it stands still before or not.

    Returns:
        What the draws show; ``settled`` is false where ``most`` did not suffice.

    Raises:
        EntryError: fewer draws were asked for than the least number of blocks takes.

    Source: [jcgm101] 7.9 for the blocks and the stop, 7.7 for the interval.
    """
    if most < LEAST_BLOCKS * BLOCK:
        raise EntryError(
            "That is too few draws to tell whether they have settled.",
            given=most,
            right=f"Ask for {LEAST_BLOCKS * BLOCK} at least.",
            where="most",
        )
    budget = comparison.budget()
    ends = (0.5 - 0.5 * budget.confidence, 0.5 + 0.5 * budget.confidence)
    blocks: list[Draws] = []
    figures: list[tuple[float, float, float, float]] = []
    still = within = math.inf
    while len(blocks) < most // BLOCK:
        values = _block(comparison, budget.causes, rng)
        blocks.append(values)
        low, high = _quantiles(values, ends)
        figures.append((float(values.mean()), float(values.std(ddof=1)), low, high))
        if len(blocks) < LEAST_BLOCKS:
            continue
        table = np.asarray(figures)
        still = 2.0 * float((table.std(axis=0, ddof=1) / math.sqrt(len(figures))).max())
        within = tolerance(float(table[:, 1].mean()), digits)
        if still <= within and not all_of_them:
            break
    table = np.asarray(figures)
    mean, low, high = (float(table[:, column].mean()) for column in (0, 2, 3))
    u = math.sqrt(float((table[:, 1] ** 2).mean() + table[:, 0].var()))
    return Drawn(mean, u, low, high, len(blocks) * BLOCK, still, within)


def tolerance(u: float, digits: int) -> float:
    """Return half a unit in the last significant digit of a standard uncertainty.

    Args:
        u: the standard uncertainty, larger than 0.
        digits: how many significant digits are meant.

    Returns:
        The tolerance, same unit.

    Raises:
        EntryError: u is not larger than 0.

    Source: [jcgm101] 7.9.2.
    """
    if not u > 0.0:
        raise EntryError(
            "There is nothing to draw: no cause of doubt was given.",
            given=u,
            right="Give at least one cause larger than 0.",
            where="u",
        )
    return 0.5 * 10.0 ** (math.floor(math.log10(u)) - digits + 1)


def draw_cause(cause: Cause, rng: np.random.Generator, count: int) -> Draws:
    """Draw how far a cause is off its estimate.

    Args:
        cause: the cause.
        rng: where chance comes from.
        count: how many draws.

    Returns:
        Shape (count,), in the cause's unit. A normal cause with few degrees of freedom is drawn as Student's t scaled
        by u; a uniform one as a uniform between limits that are themselves uniform, ``a/sqrt(2 dof)`` about ``a``.

    Source: [jcgm101] 6.4.9.2 for Student's t, 6.4.3 for inexact limits, 6.4.6 for the arcsine; [gum] G.4.2 for degrees
    of freedom of a width.
    """
    if cause.shape == "uniform":
        half = math.sqrt(3.0) * cause.u
        if math.isinf(cause.dof):
            return rng.uniform(-half, half, count)
        give = half / math.sqrt(2.0 * cause.dof)
        low = -half - give + 2.0 * give * rng.random(count)
        return low - 2.0 * low * rng.random(count)
    if cause.shape == "arcsine":
        return math.sqrt(2.0) * cause.u * np.sin(2.0 * math.pi * rng.random(count))
    if cause.shape == "square of uniform":
        from borewright.gauging.comparison import SQUARED

        return (cause.u / SQUARED) * (rng.uniform(-1.0, 1.0, count) ** 2 - 1.0 / 3.0)
    if math.isinf(cause.dof):
        return rng.normal(0.0, cause.u, count)
    return cause.u * rng.standard_t(cause.dof, count)


def _block(comparison: Comparison, causes: tuple[Cause, ...], rng: np.random.Generator) -> Draws:
    values = comparison.size({cause.name: draw_cause(cause, rng, BLOCK) for cause in causes})
    return np.broadcast_to(np.asarray(values, dtype=np.float64), (BLOCK,))


def _quantiles(values: Draws, ends: tuple[float, float]) -> tuple[float, float]:
    """Return the values at both ends: those of whole ranks, as a sorted list of draws has them."""
    ranks = [min(max(round(end * len(values)), 0), len(values) - 1) for end in ends]
    parted = np.partition(values, ranks)
    return float(parted[ranks[0]]), float(parted[ranks[1]])
