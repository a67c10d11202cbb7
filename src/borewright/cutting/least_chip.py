"""The thinnest chip that a rounded edge cuts, and the least stock that therefore must be left."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from borewright.cutting.chip import chip_of
from borewright.errors import NotHeldError

FRICTION: Final = 0.5
"""Coefficient of friction between chip and rake where nothing is known. From memory."""

SAFE_MULTIPLE: Final = 2.0
"""The thickest chip should be this many times the least one for the edge to cut and not to rub. Common practice, no
source."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A kind of cutting edge.

    Args:
        name: what it is called.
        radius_mm: median radius of the edge's rounding, mm.
        log_sd: standard deviation of its logarithm.
        taylor_exponent: n of the life equation.
        taylor_speed: C on steel, m/min for a life of one minute; 0 where none is held.
    """

    name: str
    radius_mm: float
    log_sd: float
    taylor_exponent: float
    taylor_speed: float


# Radii, half the logarithm of the range: from memory. Life: Groover's table 23.2 as recalled; CBN and PCD from memory.
EDGES: Final = (
    Edge("sharp carbide", 0.009, 0.5, 0.25, 500.0),
    Edge("honed carbide", 0.021, 0.35, 0.25, 700.0),
    Edge("thick-coated carbide", 0.042, 0.35, 0.25, 700.0),
    Edge("cermet", 0.018, 0.4, 0.25, 600.0),
    Edge("CBN", 0.019, 0.3, 0.35, 0.0),
    Edge("PCD", 0.004, 0.6, 0.35, 0.0),
)
"""The kinds of edge held, from memory: PCD 2 to 8 µm, sharp carbide 5 to 15, honed 15 to 30, thick-coated 30 to 60."""


def edge_of(name: str) -> Edge:
    """Find a kind of edge.

    Args:
        name: its name.

    Returns:
        The edge.

    Raises:
        NotHeldError: it is none of those held.
    """
    for edge in EDGES:
        if edge.name.lower() == " ".join(name.lower().split()):
            return edge
    raise NotHeldError(
        "Nothing is held of this kind of edge.",
        given=name,
        right=f"Held here: {', '.join(edge.name for edge in EDGES)}.",
        where="edge",
    )


def least_chip(edge_radius: float, friction: float = FRICTION) -> float:
    """Return the minimum chip thickness: ``hm = re (1 - cos(45 deg - beta/2))``.

    Args:
        edge_radius: radius of the edge's rounding re, mm.
        friction: coefficient of friction tan beta.

    Returns:
        hm, mm.

    Source: [son2005], from memory.
    """
    return edge_radius * (1.0 - math.cos(0.25 * math.pi - 0.5 * math.atan(friction)))


def least_depth(feed: float, nose: float, kappa: float, thinnest: float) -> float:
    """Return the radial depth at which the thickest chip is as thick as wanted, by bisection.

    Args:
        feed: f, mm.
        nose: r, mm.
        kappa: tool cutting edge angle, rad.
        thinnest: the thickness wanted, mm.

    Returns:
        The depth, mm; the nose radius where no depth up to it makes such a chip at this feed.
    """
    depths = np.geomspace(1e-4 * nose, nose, 400)
    thickest = chip_of(depths, feed, nose, kappa).thickest
    enough = np.flatnonzero(thickest >= thinnest)
    if enough.size == 0:
        return nose
    first = int(enough[0])
    if first == 0:
        return float(depths[0])
    low, high = float(depths[first - 1]), float(depths[first])
    for _ in range(40):
        middle = 0.5 * (low + high)
        if float(chip_of(middle, feed, nose, kappa).thickest) >= thinnest:
            high = middle
        else:
            low = middle
    return high
