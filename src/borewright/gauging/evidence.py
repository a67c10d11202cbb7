"""From readings to a size at 20 °C with its uncertainty, by the gauge's word alone.

What the machine was expected to leave does not count here: a release rests on what was measured.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from borewright.errors import EntryError

PART_TEMPERATURE: Final = "part temperature"
"""Name of the part of an uncertainty that a thermometer narrows."""


@dataclass(frozen=True, slots=True)
class Warmth:
    """The part's warmth at the reading.

    Args:
        above_20: best estimate of the part's temperature minus 20 °C, K.
        sd: its standard uncertainty, K.
        per_kelvin: the part's coefficient of expansion, 1/K.
        sd_per_kelvin: its standard uncertainty, 1/K.
    """

    above_20: float
    sd: float
    per_kelvin: float
    sd_per_kelvin: float


@dataclass(frozen=True, slots=True)
class Size:
    """A diameter at 20 °C with its uncertainty.

    Args:
        mm: best estimate, mm.
        u_mm: combined standard uncertainty, mm.
        parts_mm: standard uncertainty that each source brings to it, mm, by name, largest first.
        readings: how many readings it rests on.
    """

    mm: float
    u_mm: float
    parts_mm: tuple[tuple[str, float], ...]
    readings: int

    @property
    def expanded_mm(self) -> float:
        """Expanded uncertainty with coverage factor 2, mm."""
        return 2.0 * self.u_mm


def size_from_readings(
    readings_mm: Sequence[float], scatter_mm: float, bias_sd_mm: float, step_mm: float, warmth: Warmth
) -> Size:
    """Combine readings of one setting of a gauge into a size at 20 °C.

    ``D20 = mean(reading) / (1 + alpha (T - 20))``, with the uncertainty of scatter over the root of n, of the setting,
    of the display's step (uniform over one step, common to all readings), of the temperature and of the coefficient.

    Args:
        readings_mm: what the gauge showed, mm, at least one.
        scatter_mm: standard deviation of one reading, mm.
        bias_sd_mm: standard deviation of the error common to all readings of the setting, mm.
        step_mm: smallest step of the display, mm.
        warmth: the part's warmth and expansion.

    Returns:
        The size with its parts.

    Raises:
        EntryError: there is no reading.

    Source: [gum] 4.2, 5.1.2; F.2.2.1 for the step.
    """
    if not readings_mm:
        raise EntryError("There is no reading to make a size of.", where="readings")
    count = len(readings_mm)
    mean = math.fsum(readings_mm) / count
    size = mean / (1.0 + warmth.per_kelvin * warmth.above_20)
    parts = {
        "gauge scatter": scatter_mm / math.sqrt(count),
        "gauge setting": bias_sd_mm,
        "gauge step": step_mm / math.sqrt(12.0),
        PART_TEMPERATURE: size * warmth.per_kelvin * warmth.sd,
        "expansion coefficient": size * abs(warmth.above_20) * warmth.sd_per_kelvin,
    }
    u = math.sqrt(math.fsum(part * part for part in parts.values()))
    ranked = sorted(parts.items(), key=lambda item: -item[1])
    return Size(size, u, tuple((name, part) for name, part in ranked if part > 0), count)
