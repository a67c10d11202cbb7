"""Heat: what warmth does to a size, and how warm a pass makes the part."""

from __future__ import annotations

import math
from dataclasses import dataclass

SHARE_INTO_PART, SHARE_LOG_SD = 0.15, 0.6
"""Share of the cutting work that stays in the part as heat, most goes with the chip; and its log-width. From memory."""


@dataclass(frozen=True, slots=True)
class Warming:
    """What the heat of a pass does.

    Args:
        joules: work of the pass, J.
        into_part: what of it stays in the part, J, median.
        warmer_k: by how much that warms the metal counted with, K, median.
        larger_mm: by how much the bore then is larger when cut than at 20 °C, mm on the diameter, median.
        log_sd: standard deviation of the logarithm of the last three.
        metal_mm3: volume of the metal counted with, mm^3.
    """

    joules: float
    into_part: float
    warmer_k: float
    larger_mm: float
    log_sd: float
    metal_mm3: float


def growth(length: float, part_per_k: float, part_c: float, gauge_per_k: float, gauge_c: float) -> float:
    """Return how much too large a warm part shows on a gauge: ``dL = L [ap (Tp - 20) - ag (Tg - 20)]``.

    Args:
        length: L, mm.
        part_per_k: the part's coefficient, 1/K.
        part_c: the part's temperature, °C.
        gauge_per_k: that of the gauge or master, 1/K.
        gauge_c: its temperature, °C.

    Returns:
        mm.

    Source: [swyt1994].
    """
    return length * (part_per_k * (part_c - 20.0) - gauge_per_k * (gauge_c - 20.0))


def wall_volume(diameter: float, length: float, wall: float) -> float:
    """Return the metal of a wall round the bore: ``pi (D + w) w L``.

    Args:
        diameter: D, mm.
        length: L, mm.
        wall: w, mm.

    Returns:
        mm^3.
    """
    return math.pi * (diameter + wall) * wall * length


def warming(power_kw: float, minutes: float, metal_mm3: float, heat: float, per_k: float, diameter: float) -> Warming:
    """Work out how warm a pass makes the part, none of the heat lost to coolant or air.

    Args:
        power_kw: power at the edge, kW.
        minutes: how long it cuts.
        metal_mm3: volume of the metal that the heat spreads in, mm^3.
        heat: density times specific heat, J/(mm^3 K).
        per_k: the part's growth, 1/K.
        diameter: of the bore, mm.

    Returns:
        The warming; it is the most, since nothing is lost.

    Source: from memory.
    """
    joules = power_kw * 1e3 * minutes * 60.0
    kept = SHARE_INTO_PART * joules
    warmer = kept / (metal_mm3 * heat)
    return Warming(joules, kept, warmer, diameter * per_k * warmer, SHARE_LOG_SD, metal_mm3)
