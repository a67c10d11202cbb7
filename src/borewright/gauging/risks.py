"""Producer's and consumer's risk: how often good holes are refused and bad ones accepted, over a process."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from borewright.errors import EntryError

Density = Callable[[NDArray[np.float64]], NDArray[np.float64]]


@dataclass(frozen=True, slots=True)
class Risks:
    """Both risks of a rule over a process.

    Args:
        consumers: probability that a hole is bad and accepted.
        producers: probability that a hole is good and refused.
        bad: probability that a hole is bad.
    """

    consumers: float
    producers: float
    bad: float


def normal_density(mean: float, sd: float) -> Density:
    """Return the density of a process that is normal.

    Args:
        mean: its mean.
        sd: its standard deviation, larger than 0.

    Returns:
        The density.

    Raises:
        EntryError: the standard deviation is not larger than 0.
    """
    if not sd > 0.0:
        raise EntryError("A process scatters.", given=sd, right="Give a standard deviation over 0.", where="sd")
    return lambda x: np.asarray(np.exp(-0.5 * ((x - mean) / sd) ** 2) / (sd * math.sqrt(2.0 * math.pi)))


def risks(
    process: Density,
    within: tuple[float, float],
    limits: tuple[float, float],
    accepted: tuple[float, float],
    u: float,
) -> Risks:
    """Return both risks of accepting a hole whose measured size lies between two acceptance limits.

    ``consumer's = integral outside the limits of p(accept | D) g(D) dD``, and the producer's inside of its complement.

    Args:
        process: density g of true sizes.
        within: ends between which that density is all but whole.
        limits: lower and upper tolerance limit; infinite for none.
        accepted: lower and upper acceptance limit; infinite for none.
        u: standard uncertainty of a measured size, larger than 0.

    Returns:
        The risks, by Gauss-Legendre quadrature in panels that end at the limits.

    Raises:
        EntryError: u is not larger than 0, or the density is not whole between the ends.

    Source: [jcgm106] 9.5.
    """
    if not u > 0.0:
        raise EntryError(
            "A standard uncertainty must be larger than 0.",
            given=u,
            right="Give one over 0, and check its unit.",
            where="u",
        )
    x, weight = _panels(within, limits, u)
    mass = weight * process(x)
    whole = float(mass.sum())
    if abs(whole - 1.0) > 1e-4:
        raise EntryError(
            f"Only {whole:.4g} of the process lies between the ends.", given=within, right="Widen them.", where="within"
        )
    accept = _cdf((accepted[1] - x) / u) - _cdf((accepted[0] - x) / u)
    good = (x >= limits[0]) & (x <= limits[1])
    return Risks(
        float((mass * accept)[~good].sum()) / whole,
        float((mass * (1.0 - accept))[good].sum()) / whole,
        float(mass[~good].sum()) / whole,
    )


def _panels(
    within: tuple[float, float], limits: tuple[float, float], u: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return nodes and weights in panels no wider than u that none of the limits cuts."""
    count = min(max(64, math.ceil((within[1] - within[0]) / u)), 20_000)
    edges = np.linspace(*within, count + 1)
    cuts = [limit for limit in limits if within[0] < limit < within[1]]
    edges = np.unique(np.concatenate([edges, cuts]))
    nodes, weights = np.polynomial.legendre.leggauss(12)
    half, middle = 0.5 * np.diff(edges)[:, None], 0.5 * (edges[1:] + edges[:-1])[:, None]
    return (middle + half * nodes).ravel(), (half * weights).ravel()


def _cdf(z: NDArray[np.float64]) -> NDArray[np.float64]:
    return 0.5 * np.array([math.erfc(-each / math.sqrt(2.0)) for each in z])
