"""What the edge loses: its life, how the bore shrinks with it, and how much more it then pushes off."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

WORN_LAND_MM: Final = 0.3
"""Width of the wear land at the end of an edge's life. From memory."""

LIFE_AT_TOP_MIN: Final = 15.0
"""Minutes that an edge lasts at the top of the starting range of its material. Common practice, no source."""

LIFE_LOG_SD: Final = 0.7
"""Three laboratories differed by a factor of three in one material's drift. Worked out from an open wear data set."""

WORN_FORCE: Final = 0.4
"""How much more a worn-out edge needs, as a share: 1.3 to 1.5 times. From memory."""


@dataclass(frozen=True, slots=True)
class Wear:
    """What a pass costs the edge.

    Args:
        life_min: median minutes of cutting that the edge lasts.
        passes: how many such passes that is.
        land_mm: wear land grown in one pass, mm, median.
        shrinks_mm: what the bore shrinks by in one pass, mm on the diameter, median.
        pushes_more: share by which the force grows in one pass.
        log_sd: standard deviation of the logarithm of each.
    """

    life_min: float
    passes: float
    land_mm: float
    shrinks_mm: float
    pushes_more: float
    log_sd: float


def taylor_life(cutting_speed: float, exponent: float, speed_of_one_minute: float) -> float:
    """Return the life of an edge: ``v T^n = C``.

    Args:
        cutting_speed: v, m/min.
        exponent: n.
        speed_of_one_minute: C, m/min.

    Returns:
        T, minutes.

    Source: [groover], table 23.2, from memory.
    """
    return float((speed_of_one_minute / cutting_speed) ** (1.0 / exponent))


def shrinkage(land: float, clearance_deg: float) -> float:
    """Return what a bore shrinks by as the wear land grows: ``dD = 2 VB tan(alpha)``.

    Args:
        land: width of the wear land VB, mm.
        clearance_deg: clearance alpha, degrees.

    Returns:
        mm on the diameter.
    """
    return 2.0 * land * math.tan(math.radians(clearance_deg))


def wear_of(minutes: float, cutting_speed: float, exponent: float, fastest_start: float, clearance_deg: float) -> Wear:
    """Work out what a pass costs the edge, from its life at the top of the material's starting range.

    ``T = 15 (v_top / v)^(1/n)``, and the land grows evenly over it.

    Args:
        minutes: how long the edge is at work in the pass.
        cutting_speed: v, m/min.
        exponent: Taylor's n of the edge.
        fastest_start: top of the starting range of the material, m/min.
        clearance_deg: clearance, degrees.

    Returns:
        The wear, with the width of its logarithm.

    Source: common practice, no source.
    """
    life = taylor_life(cutting_speed, exponent, fastest_start * LIFE_AT_TOP_MIN**exponent)
    share = minutes / life
    return Wear(
        life_min=life,
        passes=1.0 / share,
        land_mm=share * WORN_LAND_MM,
        shrinks_mm=shrinkage(share * WORN_LAND_MM, clearance_deg),
        pushes_more=share * WORN_FORCE,
        log_sd=LIFE_LOG_SD,
    )
