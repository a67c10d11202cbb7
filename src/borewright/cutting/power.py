"""Power, torque and time of a pass, against what the spindle has."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from borewright.errors import EntryError


@dataclass(frozen=True, slots=True)
class Spindle:
    """What a spindle gives at each speed: straight lines between points, constant torque below the first.

    Args:
        points: pairs of speed in 1/min and power in kW, by rising speed, at least one.
    """

    points: tuple[tuple[float, float], ...]

    def __post_init__(self) -> None:
        """Refuse a curve that is none."""
        speeds = [speed for speed, _ in self.points]
        if not speeds or min(speeds) <= 0.0 or any(b <= a for a, b in pairwise(speeds)):
            raise EntryError(
                "A spindle's curve wants points of speed and power by rising speed.",
                given=self.points,
                right="Give such as 1500 rpm 11 kW, 8000 rpm 11 kW.",
                where="spindle",
            )

    @property
    def fastest_rpm(self) -> float:
        """The fastest speed of the curve, 1/min."""
        return self.points[-1][0]

    def power_kw(self, rpm: float) -> float:
        """Return the power at a speed.

        Args:
            rpm: speed, 1/min.

        Returns:
            kW; 0 above the last point.
        """
        first, last = self.points[0], self.points[-1]
        if rpm <= first[0]:
            return first[1] * rpm / first[0]
        if rpm > last[0]:
            return 0.0
        low, high = next((a, b) for a, b in pairwise(self.points) if rpm <= b[0])
        return low[1] + (high[1] - low[1]) * (rpm - low[0]) / (high[0] - low[0])

    def torque_nm(self, rpm: float) -> float:
        """Return the torque at a speed: ``M = 60000 P / (2 pi n)``.

        Args:
            rpm: speed n, 1/min, larger than 0.

        Returns:
            N m.
        """
        return 60000.0 * self.power_kw(rpm) / (2.0 * math.pi * rpm)


def speed_rpm(cutting_speed: float, diameter: float) -> float:
    """Return the spindle speed: ``n = 1000 v / (pi D)``.

    Args:
        cutting_speed: v, m/min.
        diameter: D, mm.

    Returns:
        Speed, 1/min.
    """
    return 1000.0 * cutting_speed / (math.pi * diameter)


def cutting_power_kw(force: float, cutting_speed: float) -> float:
    """Return the power at the edge: ``P = Fc v / 60000``.

    Args:
        force: cutting force, N.
        cutting_speed: m/min.

    Returns:
        kW.
    """
    return force * cutting_speed / 60000.0


def torque_nm(force: float, diameter: float) -> float:
    """Return the torque: ``M = Fc D / 2000``.

    Args:
        force: cutting force, N.
        diameter: mm.

    Returns:
        N m.
    """
    return force * diameter / 2000.0


RUN_IN_MM: Final = 2.0
"""What the tool feeds through before the bore and behind it. Common practice, no source."""


def pass_minutes(length: float, feed: float, rpm: float, approach: float = RUN_IN_MM) -> float:
    """Return how long the edge is at work, run-in and run-out counted in: ``t = (L + 2 a) / (f n)``.

    Args:
        length: length of the bore, mm.
        feed: f, mm a turn.
        rpm: speed, 1/min.
        approach: a, mm before and behind.

    Returns:
        Minutes.
    """
    return (length + 2.0 * approach) / (feed * rpm)
