"""The finish that a round nose leaves: by geometry, by the chip it cannot cut, and by what was measured before."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from borewright.errors import EntryError

REAL_OVER_WORKED_OUT: Final = 1.1
"""Measured Ra over the worked-out one, least chip counted in, on a sound set-up. Common practice, no source."""

REAL_LOG_SD, MEASURED_LOG_SD = 0.35, 0.15
"""Standard deviation of its logarithm before anything is measured, and of one measured bore about it. Common practice,
no source."""


def ridge_parabola(feed: float, nose: float) -> float:
    """Return the ridges' height by the parabola: ``Rt = f^2 / 8r``.

    Args:
        feed: f, mm.
        nose: r, mm.

    Returns:
        Rt, mm.
    """
    return feed**2 / (8.0 * nose)


def ra_geometric(feed: float, nose: float) -> float:
    """Return the mean roughness of pure geometry: ``Ra = f^2 / (18 sqrt(3) r)``, of the parabola.

    Args:
        feed: f, mm.
        nose: r, mm.

    Returns:
        Ra, mm.
    """
    return feed**2 / (18.0 * math.sqrt(3.0) * nose)


def ridge_with_least_chip(feed: float, nose: float, least_chip: float) -> float:
    """Return the ridges' height with what the edge cannot cut: ``Rt = f^2/8r + (hm/2)(1 + r hm/f^2)``.

    It is least at ``f = sqrt(2 r hm)``, where the parabola alone is hm/4; a slower feed makes the finish worse.

    Args:
        feed: f, mm.
        nose: r, mm.
        least_chip: minimum chip thickness hm, mm.

    Returns:
        Rt, mm.

    Source: [brammertz1961], from memory.
    """
    return ridge_parabola(feed, nose) + 0.5 * least_chip * (1.0 + nose * least_chip / feed**2)


def best_feed(nose: float, least_chip: float) -> float:
    """Return the feed of the least ridges: ``f = sqrt(2 r hm)``.

    Args:
        nose: r, mm.
        least_chip: hm, mm.

    Returns:
        The feed, mm.

    Source: [brammertz1961], from memory.
    """
    return math.sqrt(2.0 * nose * least_chip)


WIPED, WIPED_LOG_SD = 0.5, 0.3
"""What is left of Ra behind a wiper's flat that is as long as the feed, and the width of its logarithm: half the
roughness at the same feed. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Finish:
    """The finish to be expected.

    Args:
        ra_mm: median Ra, mm.
        log_sd: standard deviation of its logarithm.
        geometric_mm: Ra of pure geometry, mm.
        with_least_chip_mm: Ra with what the edge cannot cut, mm.
        factor: what is taken of real over worked out.
        measured: how many measured bores that rests on.
    """

    ra_mm: float
    log_sd: float
    geometric_mm: float
    with_least_chip_mm: float
    factor: float
    measured: int

    def odds_above(self, wanted_mm: float) -> float:
        """Return how likely the finish is rougher than wanted.

        Args:
            wanted_mm: the Ra asked for, mm.

        Returns:
            A probability.
        """
        return 0.5 * math.erfc(math.log(wanted_mm / self.ra_mm) / (self.log_sd * math.sqrt(2.0)))


def finish_of(
    feed: float, nose: float, least_chip: float, ratios: Sequence[float] = (), *, wiper: float = 0.0
) -> Finish:
    """Return the finish to be expected, narrowed by what was measured on earlier bores.

    The measured ratios feed back by a normal update of the factor's logarithm: precision-weighted mean of the usual
    figure and of what was measured.

    Args:
        feed: f, mm.
        nose: r, mm.
        least_chip: minimum chip thickness, mm.
        ratios: measured Ra over the Ra that was worked out with the least chip, one a bore.
        wiper: length of the wiper's flat, mm; it wipes where it is as long as the feed.

    Returns:
        The finish.

    Raises:
        EntryError: a ratio is not one of two roughnesses.
    """
    for ratio in ratios:
        if not 0.1 < ratio < 30.0:
            raise EntryError(
                "A measured finish that far from geometry is of another unit or another tool.",
                given=ratio,
                right="Give both Ra in µm.",
                where="measured",
            )
    geometric = ra_geometric(feed, nose)
    with_least = geometric * ridge_with_least_chip(feed, nose, least_chip) / ridge_parabola(feed, nose)
    usual_sd = REAL_LOG_SD
    if 0.0 < feed <= wiper:
        with_least, usual_sd = WIPED * with_least, math.hypot(REAL_LOG_SD, WIPED_LOG_SD)
    weight = len(ratios) * (usual_sd / MEASURED_LOG_SD) ** 2
    measured = sum(map(math.log, ratios)) / len(ratios) if ratios else 0.0
    log_factor = (math.log(REAL_OVER_WORKED_OUT) + weight * measured) / (1.0 + weight)
    factor = math.exp(log_factor)
    log_sd = math.hypot(usual_sd / math.sqrt(1.0 + weight), MEASURED_LOG_SD)
    return Finish(factor * with_least, log_sd, geometric, with_least, factor, len(ratios))


def feed_for(
    wanted_ra_mm: float, nose: float, least_chip: float, ratios: Sequence[float] = (), *, wiper: float = 0.0
) -> float | None:
    """Return the fastest feed whose expected finish is as wanted.

    Args:
        wanted_ra_mm: the Ra asked for, mm.
        nose: r, mm.
        least_chip: minimum chip thickness, mm.
        ratios: measured ratios, as for ``finish_of``.
        wiper: length of the wiper's flat, mm.

    Returns:
        The feed, mm; None where no feed leaves it.
    """
    low, high = best_feed(nose, least_chip), nose
    if low >= high or finish_of(low, nose, least_chip, ratios, wiper=wiper).ra_mm > wanted_ra_mm:
        return None
    if finish_of(high, nose, least_chip, ratios, wiper=wiper).ra_mm <= wanted_ra_mm:
        return high
    for _ in range(50):
        middle = 0.5 * (low + high)
        if finish_of(middle, nose, least_chip, ratios, wiper=wiper).ra_mm <= wanted_ra_mm:
            low = middle
        else:
            high = middle
    return low
