"""Limits that a run which stands still keeps to: single values, samples, and averages that forget."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from borewright.errors import EntryError
from borewright.gauging.study_range import range_constants


@dataclass(frozen=True, slots=True)
class Limits:
    """A middle and the limits about it.

    Args:
        middle: where the run lies.
        lower: lower limit.
        upper: upper limit.
        sd: the standard deviation that they rest on.
    """

    middle: float
    lower: float
    upper: float
    sd: float

    def outside(self, values: Sequence[float]) -> tuple[int, ...]:
        """Return which values lie outside.

        Args:
            values: the values.

        Returns:
            Their places, from 0.
        """
        return tuple(place for place, value in enumerate(values) if not self.lower <= value <= self.upper)


def single_limits(values: Sequence[float]) -> Limits:
    """Return limits for single values from their moving range, ``mean +- 3 mean(|x_i - x_(i-1)|)/d2(2)``.

    Args:
        values: at least two, in the order made.

    Returns:
        The limits.

    Raises:
        EntryError: there are fewer than two.

    Source: [ehandbook] 6.3.2.2.
    """
    if len(values) < 2:
        raise EntryError("A moving range takes two values at least.", given=len(values), where="values")
    moves = [abs(after - before) for before, after in pairwise(values)]
    sd = math.fsum(moves) / len(moves) / range_constants(2)[0]
    middle = math.fsum(values) / len(values)
    return Limits(middle, middle - 3.0 * sd, middle + 3.0 * sd, sd)


def sample_limits(samples: Sequence[Sequence[float]]) -> Limits:
    """Return limits for means of samples from their mean range, ``mean +- 3 mean(R)/(d2 sqrt(n))``.

    Args:
        samples: at least one, all of the same length of two or more.

    Returns:
        The limits; ``sd`` is that of single values within a sample.

    Raises:
        EntryError: there is none, or they differ in length.

    Source: [ehandbook] 6.3.2.1.
    """
    lengths = {len(sample) for sample in samples}
    if len(lengths) != 1 or min(lengths) < 2:
        raise EntryError(
            "Samples have one length, two or more.",
            given=sorted(lengths),
            right="Leave out the short one.",
            where="samples",
        )
    count = lengths.pop()
    means = [math.fsum(sample) / count for sample in samples]
    sd = math.fsum(max(sample) - min(sample) for sample in samples) / len(samples) / range_constants(count)[0]
    middle = math.fsum(means) / len(means)
    half = 3.0 * sd / math.sqrt(count)
    return Limits(middle, middle - half, middle + half, sd)


def forgetting_limits(target: float, sd: float, weight: float) -> Limits:
    """Return limits for an exponentially weighted average of long standing, ``target +- 3 s sqrt(w/(2 - w))``.

    Args:
        target: where the run is to lie.
        sd: standard deviation of single values.
        weight: of the newest value, over 0 up to 1.

    Returns:
        The limits.

    Raises:
        EntryError: the weight is out of its range.

    Source: [ehandbook] 6.3.2.4.
    """
    _require_weight(weight)
    half = 3.0 * sd * math.sqrt(weight / (2.0 - weight))
    return Limits(target, target - half, target + half, sd)


def forgetting_average(values: Sequence[float], start: float, weight: float) -> tuple[float, ...]:
    """Return the exponentially weighted average after each value, ``z = w x + (1 - w) z_before``.

    Args:
        values: the values, in the order made.
        start: the average before the first.
        weight: of the newest value, over 0 up to 1.

    Returns:
        As many averages.

    Raises:
        EntryError: the weight is out of its range.

    Source: [ehandbook] 6.3.2.4.
    """
    _require_weight(weight)
    averages, now = [], start
    for value in values:
        now = weight * value + (1.0 - weight) * now
        averages.append(now)
    return tuple(averages)


def _require_weight(weight: float) -> None:
    if not 0.0 < weight <= 1.0:
        raise EntryError("A weight lies over 0 and up to 1.", given=weight, right="Give 0.2 or 0.3.", where="weight")
