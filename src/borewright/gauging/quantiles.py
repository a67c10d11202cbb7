"""Student's t, chi-squared and F for degrees of freedom that need not be whole."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from borewright.errors import EntryError
from borewright.gauging.conformity import normal_cdf, normal_quantile

_TINY: Final = 1e-300
_CLOSE: Final = 1e-15
_MOST_TERMS: Final = 10_000


def incomplete_beta(a: float, b: float, x: float) -> float:
    """Return the regularised incomplete beta function ``I_x(a, b)`` by its continued fraction.

    Args:
        a: first parameter, larger than 0.
        b: second parameter, larger than 0.
        x: 0 to 1.

    Returns:
        The function, 0 to 1.

    Source: the continued fraction and its evaluation by Lentz's method, from memory; held against SciPy in the tests.
    """
    if x <= 0.0 or x >= 1.0:
        return 0.0 if x <= 0.0 else 1.0
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - incomplete_beta(b, a, 1.0 - x)
    log_front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b) + a * math.log(x) + b * math.log1p(-x)
    return math.exp(log_front) * _beta_fraction(a, b, x) / a


def incomplete_gamma(a: float, x: float) -> float:
    """Return the regularised lower incomplete gamma function ``P(a, x)``.

    Args:
        a: parameter, larger than 0.
        x: 0 or larger.

    Returns:
        The function, 0 to 1.

    Source: series and continued fraction, from memory; held against SciPy in the tests.
    """
    if x <= 0.0:
        return 0.0
    front = math.exp(a * math.log(x) - x - math.lgamma(a))
    if x < a + 1.0:
        term = total = 1.0 / a
        for n in range(1, _MOST_TERMS):
            term *= x / (a + n)
            total += term
            if term < total * _CLOSE:
                break
        return front * total
    return 1.0 - front * _gamma_fraction(a, x)


def student_cdf(t: float, dof: float) -> float:
    """Return the distribution function of Student's t.

    Args:
        t: the value.
        dof: degrees of freedom, larger than 0; infinity for the normal distribution.

    Returns:
        Probability of a value up to t.
    """
    if math.isinf(dof):
        return normal_cdf(t)
    tail = 0.5 * incomplete_beta(0.5 * dof, 0.5, dof / (dof + t * t))
    return 1.0 - tail if t > 0.0 else tail


def student_quantile(probability: float, dof: float) -> float:
    """Return the value below which a share of Student's t lies.

    Args:
        probability: the share, between 0 and 1.
        dof: degrees of freedom, larger than 0; infinity for the normal distribution.

    Returns:
        t with that distribution function.

    Raises:
        EntryError: the share is not between 0 and 1, or the degrees of freedom not larger than 0.
    """
    if not dof > 0.0:
        raise EntryError("Degrees of freedom are larger than 0.", given=dof, right="Give more than 0.", where="dof")
    z = normal_quantile(probability)
    if math.isinf(dof) or z == 0.0:
        return z
    t = z + (z**3 + z) / (4.0 * dof) if dof > 2.0 else math.copysign(1.0, z)
    log_front = math.lgamma(0.5 * (dof + 1.0)) - math.lgamma(0.5 * dof) - 0.5 * math.log(dof * math.pi)

    def density(at: float) -> float:
        return math.exp(log_front - 0.5 * (dof + 1.0) * math.log1p(at * at / dof))

    return _solved(lambda at: student_cdf(at, dof) - probability, density, t, (-math.inf, math.inf))


ENOUGH_FREEDOM: Final = 60.0
"""Degrees of freedom from which on Student's t for 95 % is 2.00 or less."""


def coverage_factor(dof: float) -> float:
    """Return the coverage factor for 95 %: 2, or Student's t where few degrees of freedom make that more.

    Half of it times u is what rules judge by, so that few degrees of freedom make no proof easier.

    Args:
        dof: degrees of freedom, larger than 0.

    Returns:
        The factor.

    Source: [gum] G.4.1, G.6.6.
    """
    if dof >= ENOUGH_FREEDOM:
        return 2.0
    return max(2.0, student_quantile(0.975, max(1.0, math.floor(dof))))


def chi_squared_cdf(x: float, dof: float) -> float:
    """Return the distribution function of chi-squared.

    Args:
        x: the value.
        dof: degrees of freedom, larger than 0.

    Returns:
        Probability of a value up to x.
    """
    return incomplete_gamma(0.5 * dof, 0.5 * x)


def chi_squared_quantile(probability: float, dof: float) -> float:
    """Return the value below which a share of chi-squared lies.

    Args:
        probability: the share, between 0 and 1.
        dof: degrees of freedom, larger than 0.

    Returns:
        The value.

    Raises:
        EntryError: the share is not between 0 and 1, or the degrees of freedom not larger than 0.
    """
    if not dof > 0.0:
        raise EntryError("Degrees of freedom are larger than 0.", given=dof, right="Give more than 0.", where="dof")
    spread = 2.0 / (9.0 * dof)  # Wilson and Hilferty's cube, where the search begins
    start = dof * max(1.0 - spread + normal_quantile(probability) * math.sqrt(spread), 0.01) ** 3
    log_front = -0.5 * dof * math.log(2.0) - math.lgamma(0.5 * dof)

    def density(at: float) -> float:
        return math.exp(log_front + (0.5 * dof - 1.0) * math.log(at) - 0.5 * at)

    return _solved(lambda at: chi_squared_cdf(at, dof) - probability, density, start, (0.0, math.inf))


def f_cdf(x: float, above: float, below: float) -> float:
    """Return the distribution function of F.

    Args:
        x: the ratio.
        above: degrees of freedom of the numerator, larger than 0.
        below: degrees of freedom of the denominator, larger than 0.

    Returns:
        Probability of a ratio up to x.
    """
    if x <= 0.0:
        return 0.0
    return incomplete_beta(0.5 * above, 0.5 * below, above * x / (above * x + below))


def _solved(
    off: Callable[[float], float], slope: Callable[[float], float], start: float, within: tuple[float, float]
) -> float:
    """Find where a rising function is nothing, by Newton's steps kept between what is known to bracket it."""
    low, high = within
    at = start
    for _ in range(200):
        miss = off(at)
        if miss > 0.0:
            high = at
        else:
            low = at
        steep = slope(at)
        step = at - miss / steep if steep > _TINY else math.nan
        if not low < step < high:
            step = _between(low, high, at)
        if abs(step - at) <= 4.0 * _CLOSE * abs(step):
            return step
        at = step
    return at


def _between(low: float, high: float, at: float) -> float:
    if math.isinf(high):
        return 2.0 * at if at > 0.0 else at + max(1.0, abs(at))
    if math.isinf(low):
        return 2.0 * at if at < 0.0 else at - max(1.0, abs(at))
    return 0.5 * (low + high)


def _beta_fraction(a: float, b: float, x: float) -> float:
    c, d = 1.0, 1.0 / _off_zero(1.0 - (a + b) * x / (a + 1.0))
    fraction = d
    for m in range(1, _MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1.0) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1.0))
        for term in (even, odd):
            d = 1.0 / _off_zero(1.0 + term * d)
            c = _off_zero(1.0 + term / c)
            fraction *= d * c
        if abs(d * c - 1.0) < _CLOSE:
            break
    return fraction


def _gamma_fraction(a: float, x: float) -> float:
    b = x + 1.0 - a
    c, d = 1.0 / _TINY, 1.0 / b
    fraction = d
    for n in range(1, _MOST_TERMS):
        term = -n * (n - a)
        b += 2.0
        d = 1.0 / _off_zero(term * d + b)
        c = _off_zero(b + term / c)
        fraction *= d * c
        if abs(d * c - 1.0) < _CLOSE:
            break
    return fraction


def _off_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY
