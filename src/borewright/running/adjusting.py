"""When to move a tool over a run, and where to aim it: squared costs that lean, dead bands."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from borewright.errors import EntryError
from borewright.gauging.conformity import normal_cdf


def squared_cost_aim(dear: float) -> float:
    """Return the aim, in standard deviations, where a deviation over costs c times its square and one under its square.

    It solves ``b + (c - 1) (b F(b) + f(b)) = 0``.

    Args:
        dear: c, larger than 0.

    Returns:
        The bias b.

    Raises:
        EntryError: c is not larger than 0.

    Source: the derivative of the expected cost; common practice, no source.
    """
    _require_positive(dear=dear)

    def slope(b: float) -> float:
        density = math.exp(-0.5 * b * b) / math.sqrt(2.0 * math.pi)
        return b + (dear - 1.0) * (b * normal_cdf(b) + density)

    low, high = -10.0, 10.0
    for _ in range(100):
        middle = 0.5 * (low + high)
        low, high = (low, middle) if slope(middle) > 0.0 else (middle, high)
    return 0.5 * (low + high)


def dead_band_run(half_width: float, nodes: int = 60) -> float:
    """Return how many unit steps a random walk takes on average until it leaves a dead band.

    ``h(x) = 1 + integral over the band of f(y - x) h(y) dy`` at x = 0.

    Args:
        half_width: L, the band reaching from -L to L, larger than 0.
        nodes: of the Gauss-Legendre quadrature.

    Returns:
        The average run.

    Raises:
        EntryError: the band has no width.

    Source: the integral equation of a first passage, common practice, no source.
    """
    _require_positive(half_width=half_width)
    y, weight = np.polynomial.legendre.leggauss(nodes)
    y, weight = half_width * y, half_width * weight

    def density(z: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(np.exp(-0.5 * z * z) / math.sqrt(2.0 * math.pi))

    kernel = density(y[None, :] - y[:, None]) * weight
    runs = np.linalg.solve(np.eye(nodes) - kernel, np.ones(nodes))
    return 1.0 + float((density(y) * weight) @ runs)


def _require_positive(**given: float) -> None:
    for name, value in given.items():
        if not value > 0.0:
            raise EntryError("It must be larger than 0.", given=value, right="Give a value over 0.", where=name)
