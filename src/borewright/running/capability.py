"""What a process can hold: its scatter against the limits, with how well that is known."""

from __future__ import annotations

import math
from dataclasses import dataclass

from borewright.errors import EntryError
from borewright.gauging.conformity import normal_quantile
from borewright.gauging.quantiles import chi_squared_quantile


@dataclass(frozen=True, slots=True)
class Capability:
    """Capability of a process.

    Args:
        cp: tolerance over six standard deviations, wherever the process lies.
        upper: room above over three standard deviations.
        lower: room below over three.
        cp_interval: the 95 % interval of ``cp``.
        cpk_interval: the 95 % interval of ``cpk``.
    """

    cp: float
    upper: float
    lower: float
    cp_interval: tuple[float, float]
    cpk_interval: tuple[float, float]

    @property
    def cpk(self) -> float:
        """The smaller of both sides."""
        return min(self.upper, self.lower)


def capability(mean: float, sd: float, limits: tuple[float, float], count: int) -> Capability:
    """Return the capability of a process.

    Args:
        mean: its mean.
        sd: its standard deviation, larger than 0.
        limits: lower and upper tolerance limit.
        count: how many values both rest on, two or more.

    Returns:
        The indices. The interval of cp is that of a standard deviation; that of cpk adds what is not known of the mean,
        ``cpk +- z sqrt(1/(9 n) + cpk^2/(2 n - 2))``.

    Raises:
        EntryError: there is no scatter, no tolerance, or a single value.

    Source: [ehandbook] 6.1.6 for the indices and the interval of cp; that of cpk from memory.
    """
    lower, upper = limits
    if not (sd > 0.0 and lower < upper and count > 1):
        raise EntryError(
            "Capability takes a scatter over 0, two limits in order, and two values at least.",
            given=(sd, limits, count),
            where="capability",
        )
    cp = (upper - lower) / (6.0 * sd)
    above, below = (upper - mean) / (3.0 * sd), (mean - lower) / (3.0 * sd)
    cpk = min(above, below)
    dof = count - 1
    ends = [cp * math.sqrt(chi_squared_quantile(share, dof) / dof) for share in (0.025, 0.975)]
    half = normal_quantile(0.975) * math.sqrt(1.0 / (9.0 * count) + cpk * cpk / (2.0 * dof))
    return Capability(cp, above, below, (ends[0], ends[1]), (cpk - half, cpk + half))
