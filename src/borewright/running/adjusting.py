"""When to move a tool and by how much: gains that shrink, aims that lean away from the dear side, dead bands."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from borewright.errors import EntryError
from borewright.gauging.conformity import normal_cdf

_GOLDEN: Final = 0.5 * (math.sqrt(5.0) - 1.0)


def harmonic_gains(count: int) -> tuple[float, ...]:
    """Return the shares of each deviation to take out where nothing is known of the offset: 1, 1/2, 1/3, ...

    Args:
        count: how many.

    Returns:
        The gains.

    Source: [grubbs1954]
    """
    return tuple(1.0 / t for t in range(1, count + 1))


def known_gains(count: int, offset_sd: float, scatter: float) -> tuple[float, ...]:
    """Return the shares to take out where the offset's width is known, ``1/(t + s^2/s_d^2)``.

    Args:
        count: how many.
        offset_sd: standard deviation s_d of the offset, larger than 0.
        scatter: standard deviation s of one value.

    Returns:
        The gains.

    Raises:
        EntryError: the offset has no width.

    Source: [grubbs1954]
    """
    if not offset_sd > 0.0:
        raise EntryError("An offset that is known needs no rule.", given=offset_sd, where="offset_sd")
    ratio = (scatter / offset_sd) ** 2
    return tuple(1.0 / (t + ratio) for t in range(1, count + 1))


def mean_squared_deviation(offset: float, scatter: float, gains: Sequence[float]) -> float:
    """Return the expected mean of squared deviations over a run that is moved after each part.

    With offset ``m_t`` of variance ``v_t`` before part t: ``E Y_t^2 = m_t^2 + v_t + s^2``, then
    ``m_(t+1) = (1 - k_t) m_t`` and ``v_(t+1) = (1 - k_t)^2 v_t + k_t^2 s^2``.

    Args:
        offset: of the first part.
        scatter: standard deviation s of one part.
        gains: share k_t of each deviation that is taken out after it, one for each part, the last without effect.

    Returns:
        The mean over the parts.

    Source: the recursion of a mean and a variance, common practice, no source.
    """
    mean, variance, total = offset, 0.0, 0.0
    for gain in gains:
        total += mean * mean + variance + scatter * scatter
        variance = (1.0 - gain) ** 2 * variance + gain * gain * scatter * scatter
        mean *= 1.0 - gain
    return total / len(gains)


def step_cost_aim(tolerance: float, scatter: float, dear: float) -> float:
    """Return the aim of one cut where being over costs so many times being under, ``T/2 - (s^2/T) ln c``.

    Args:
        tolerance: T, the limits lying at 0 and T, larger than 0.
        scatter: s.
        dear: c, cost of over for one of under, larger than 0.

    Returns:
        The aim above the lower limit.

    Raises:
        EntryError: an argument is not larger than 0.

    Source: the stationary point of ``c P(over) + P(under)`` for a normal cut; common practice, no source.
    """
    _require_positive(tolerance=tolerance, dear=dear)
    return 0.5 * tolerance - scatter**2 / tolerance * math.log(dear)


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


def recut_cost(aim: float, tolerance: float, scatter: float, pass_cost: float, scrap_cost: float) -> float:
    """Return the expected cost where an undersize hole is cut again at the same aim until it is no longer undersize.

    ``(pass + scrap P(over)) / (1 - P(under))``.

    Args:
        aim: above the lower limit.
        tolerance: the limits lying at 0 and here.
        scatter: of one cut.
        pass_cost: of one pass.
        scrap_cost: of a hole that is over.

    Returns:
        The cost.

    Source: expected cost of independent trials, common practice, no source.
    """
    over, under = 1.0 - normal_cdf((tolerance - aim) / scatter), normal_cdf(-aim / scatter)
    return (pass_cost + scrap_cost * over) / (1.0 - under)


def recut_aim(tolerance: float, scatter: float, pass_cost: float, scrap_cost: float) -> tuple[float, float]:
    """Return the aim of least :func:`recut_cost`, and that cost.

    Args:
        tolerance: the limits lying at 0 and here, larger than 0.
        scatter: of one cut, larger than 0.
        pass_cost: of one pass.
        scrap_cost: of a hole that is over.

    Returns:
        Aim and cost.

    Raises:
        EntryError: an argument is not larger than 0.
    """
    _require_positive(tolerance=tolerance, scatter=scatter)
    aim = _least(lambda at: recut_cost(at, tolerance, scatter, pass_cost, scrap_cost), 0.0, tolerance)
    return aim, recut_cost(aim, tolerance, scatter, pass_cost, scrap_cost)


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


def _least(of: Callable[[float], float], low: float, high: float) -> float:
    """Find where a function of one valley is least."""
    a, b = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    for _ in range(100):
        if of(a) < of(b):
            high, b = b, a
            a = high - _GOLDEN * (high - low)
        else:
            low, a = a, b
            b = low + _GOLDEN * (high - low)
    return 0.5 * (low + high)


def _require_positive(**given: float) -> None:
    for name, value in given.items():
        if not value > 0.0:
            raise EntryError("It must be larger than 0.", given=value, right="Give a value over 0.", where=name)
