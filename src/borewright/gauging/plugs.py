"""What plug gauges say: that a bore is larger than one and smaller than another, and what that leaves of a belief."""

from __future__ import annotations

import math
from dataclasses import dataclass

from borewright.errors import EntryError
from borewright.gauging.conformity import normal_cdf


@dataclass(frozen=True, slots=True)
class Plug:
    """A plug tried in a bore.

    Args:
        mm: its size at 20 °C, mm.
        u_mm: standard uncertainty of that with fit and feel, mm, larger than 0.
        entered: whether it went in.
    """

    mm: float
    u_mm: float
    entered: bool

    def __post_init__(self) -> None:
        if not (self.mm > 0.0 and self.u_mm > 0.0):
            raise EntryError(
                "A plug has a size and an uncertainty larger than 0.",
                given=(self.mm, self.u_mm),
                right="Give its size and its standard uncertainty.",
                where="plug",
            )

    def likelihood(self, bore_mm: float) -> float:
        """Return the probability of what happened, were the bore of a size.

        Args:
            bore_mm: the bore's size, mm.

        Returns:
            ``Phi((D - plug)/u)`` where it entered, else what is left to 1.
        """
        enters = normal_cdf((bore_mm - self.mm) / self.u_mm)
        return enters if self.entered else 1.0 - enters


@dataclass(frozen=True, slots=True)
class Left:
    """What plugs leave of a belief.

    Args:
        mean_mm: mean, mm.
        sd_mm: standard deviation, mm.
        surprise: probability, before, of what the plugs did.
    """

    mean_mm: float
    sd_mm: float
    surprise: float


def tried(mean_mm: float, sd_mm: float, plugs: tuple[Plug, ...]) -> Left:
    """Weigh a normal belief about a bore by what plugs did in it.

    Args:
        mean_mm: mean of the belief before, mm.
        sd_mm: its standard deviation, mm, larger than 0.
        plugs: the plugs, at least one.

    Returns:
        What is left, by Gauss-Legendre quadrature over the belief.

    Raises:
        EntryError: no plug was tried, or what they did is all but impossible.

    Source: Bayes' rule; the plug's probability is that of its own size being smaller, common practice, no source.
    """
    import numpy as np

    if not plugs or not sd_mm > 0.0:
        raise EntryError(
            "Say which plug was tried and what was known before.",
            given=len(plugs),
            right="Give a plug, and a spread over 0.",
            where="plugs",
        )
    _require_possible(plugs)
    nodes, weights = np.polynomial.legendre.leggauss(40)
    edges = np.linspace(-8.0, 8.0, 65)
    half = 0.5 * (edges[1] - edges[0])
    z = (0.5 * (edges[1:] + edges[:-1])[:, None] + half * nodes).ravel()
    weight = np.tile(weights * half, len(edges) - 1) * np.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi)
    seen = np.array([math.prod(plug.likelihood(mean_mm + sd_mm * each) for plug in plugs) for each in z])
    total = float(np.sum(weight * seen))
    if total < 1e-9:
        raise EntryError(
            "What the plugs did does not fit what was measured.",
            given=", ".join(f"{plug.mm:g} {'in' if plug.entered else 'not in'}" for plug in plugs),
            right="Try them again, and read the bore again.",
            where="plugs",
        )
    mean = float(np.sum(weight * seen * z)) / total
    variance = float(np.sum(weight * seen * z * z)) / total - mean * mean
    return Left(mean_mm + sd_mm * mean, sd_mm * math.sqrt(variance), total)


def _require_possible(plugs: tuple[Plug, ...]) -> None:
    """Refuse a larger plug that entered where a smaller one did not."""
    entered = max((plug for plug in plugs if plug.entered), key=lambda plug: plug.mm, default=None)
    stopped = min((plug for plug in plugs if not plug.entered), key=lambda plug: plug.mm, default=None)
    if entered is None or stopped is None:
        return
    if entered.mm - stopped.mm > 4.0 * math.hypot(entered.u_mm, stopped.u_mm):
        raise EntryError(
            f"A plug of {entered.mm:g} mm entered and one of {stopped.mm:g} mm did not.",
            given=f"{stopped.mm:g} mm not in",
            right="Look for a chip or a burr, and try both again.",
            where="plugs",
        )
