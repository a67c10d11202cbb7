"""Intervals that hold what was asked for 95 times in 100, from bores that were rehearsed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

Values = NDArray[np.float64]

RESAMPLES: Final = 2000
NORMAL_95: Final = 1.959964


@dataclass(frozen=True, slots=True)
class Figure:
    """A number with its 95 % interval.

    Args:
        value: the number.
        low: lower end of the interval; minus infinity where the bores do not bound it.
        high: upper end, likewise.
    """

    value: float
    low: float
    high: float

    def plain(self) -> dict[str, float | None]:
        """Return it as plain values; what is not a number is nothing.

        Returns:
            The value and both ends.
        """
        ends = {"value": self.value, "low": self.low, "high": self.high}
        return {name: round(end, 6) if math.isfinite(end) else None for name, end in ends.items()}

    @classmethod
    def read(cls, plain: Mapping[str, float | None]) -> Figure:
        """Read a figure back from plain values.

        Args:
            plain: what ``plain`` returned.

        Returns:
            The figure.
        """
        value, low, high = plain["value"], plain["low"], plain["high"]
        return cls(
            math.nan if value is None else value, -math.inf if low is None else low, math.inf if high is None else high
        )


def share(hits: int, of: int) -> Figure:
    """Return a share with Wilson's interval, which is sound also where nothing or everything was hit.

    ``(p + z^2/2n +- z sqrt(p(1-p)/n + z^2/4n^2)) / (1 + z^2/n)``

    Args:
        hits: how often it happened.
        of: how often it could have, at least 1.

    Returns:
        The share.

    Source: from memory
    """
    part, square = hits / of, NORMAL_95**2 / of
    middle = part + 0.5 * square
    half = NORMAL_95 * math.sqrt(part * (1.0 - part) / of + 0.25 * square / of)
    low, high = (middle - half) / (1.0 + square), (middle + half) / (1.0 + square)
    return Figure(part, max(0.0, min(low, part)), min(1.0, max(high, part)))


def resampled(columns: Values, draws: Generator, resamples: int = RESAMPLES) -> Values:
    """Return the means of columns over bores drawn again with replacement, whole rows at a time.

    Args:
        columns: shape (bores, columns); a row is one seed, so that what was paired stays paired.
        draws: where the chance comes from.
        resamples: how many means.

    Returns:
        The means, shape (resamples, columns).
    """
    bores = columns.shape[0]
    even = np.full(bores, 1.0 / bores)
    means = [draws.multinomial(bores, even) @ columns / bores for _ in range(resamples)]
    return np.array(means, dtype=np.float64)


def between(value: float, drawn: Values) -> Figure:
    """Return a number with the interval that holds 95 in 100 of its resampled values.

    Args:
        value: the number.
        drawn: its values over resampled bores, shape (resamples,).

    Returns:
        The figure.
    """
    low, high = np.quantile(drawn, [0.025, 0.975]).tolist()
    return Figure(value, low, high)


def ratio(over: float, under: float, drawn_over: Values, drawn_under: Values) -> Figure:
    """Return a ratio of two differences with its interval.

    Where the denominator may as well be nothing or below (in one resample of forty), the ratio is not bounded.

    Args:
        over: the numerator.
        under: the denominator.
        drawn_over: resampled numerators, shape (resamples,).
        drawn_under: resampled denominators, shape (resamples,).

    Returns:
        The figure; without a value where the denominator is not above nothing.
    """
    if under <= 0.0:
        return Figure(math.nan, -math.inf, math.inf)
    if np.quantile(drawn_under, 0.025) <= 0.0:
        return Figure(over / under, -math.inf, math.inf)
    return between(over / under, drawn_over / np.maximum(drawn_under, 1e-9))
