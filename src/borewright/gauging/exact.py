"""Sums of squares and straight lines in exact arithmetic: no digit of a reading is lost to the size it sits on.

A reading of 1 000 000 000 000.4 has lost its tenth before a sum of squares in floating point begins. Here every number
is the fraction that its decimal text says, and is rounded once, at the end.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import TypeAlias

from borewright.errors import EntryError
from borewright.gauging.quantiles import chi_squared_cdf, f_cdf

Number: TypeAlias = float | Decimal | Fraction


@dataclass(frozen=True, slots=True)
class OneWay:
    """An analysis of variance between groups and within them.

    Args:
        between: sum of squares between groups.
        between_dof: its degrees of freedom.
        within: sum of squares within groups.
        within_dof: its degrees of freedom.
        f: the ratio of both mean squares; infinity where nothing varies within.
    """

    between: float
    between_dof: int
    within: float
    within_dof: int
    f: float

    @property
    def chance(self) -> float:
        """Probability of such a ratio or a larger one where the groups are alike."""
        return 0.0 if math.isinf(self.f) else 1.0 - f_cdf(self.f, self.between_dof, self.within_dof)

    @property
    def within_sd(self) -> float:
        """Standard deviation within groups."""
        return math.sqrt(self.within / self.within_dof)


def exact(number: Number) -> Fraction:
    """Return a number as the fraction that its text says.

    Args:
        number: a decimal or fraction as it is, a float by its shortest text.

    Returns:
        The fraction.

    Raises:
        EntryError: it is not finite.
    """
    if isinstance(number, Fraction):
        return number
    if not math.isfinite(number):
        raise EntryError("That is no number that can be measured.", given=number, right="Give the reading.")
    return Fraction(number) if isinstance(number, Decimal) else Fraction(repr(float(number)))


def one_way(groups: Sequence[Sequence[Number]]) -> OneWay:
    """Analyse how much readings differ between groups and within them.

    Args:
        groups: at least two groups, with more readings than groups.

    Returns:
        The analysis.

    Raises:
        EntryError: there are too few groups or readings.

    Source: [ehandbook] 7.4.3.
    """
    count = sum(len(group) for group in groups)
    if len(groups) < 2 or not all(groups) or count <= len(groups):
        raise EntryError(
            "Two groups at least, and more readings than groups.",
            given=[len(group) for group in groups],
            right="Read each more than once.",
            where="groups",
        )
    sums = [(len(group), sum((exact(x) for x in group), Fraction())) for group in groups]
    squares = sum((exact(x) ** 2 for group in groups for x in group), Fraction())
    grand = sum((total for _, total in sums), Fraction())
    of_groups = sum((total * total / size for size, total in sums), Fraction())
    between, within = of_groups - grand * grand / count, squares - of_groups
    above, below = len(groups) - 1, count - len(groups)
    f = float((between / above) / (within / below)) if within else math.inf
    return OneWay(float(between), above, float(within), below, f)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line through points by least squares.

    Args:
        start: its value at nothing.
        slope: its slope.
        residual_sd: standard deviation of the points about it; nothing for two points.
    """

    start: float
    slope: float
    residual_sd: float


def straight_line(points: Sequence[tuple[Number, Number]]) -> Line:
    """Lay a straight line through points by least squares.

    Args:
        points: abscissa and ordinate of each, at two different abscissas at least.

    Returns:
        The line.

    Raises:
        EntryError: all lie at one place.

    Source: [ehandbook] 4.4.3.1.
    """
    xs, ys = [exact(x) for x, _ in points], [exact(y) for _, y in points]
    if len(set(xs)) < 2:
        raise EntryError(
            "A line takes points at two places at least.",
            given=len(points),
            right="Give another place.",
            where="points",
        )
    n = len(points)
    x_mean, y_mean = sum(xs, Fraction()) / n, sum(ys, Fraction()) / n
    across = sum(((x - x_mean) ** 2 for x in xs), Fraction())
    slope = sum(((x - x_mean) * (y - y_mean) for x, y in zip(xs, ys, strict=True)), Fraction()) / across
    start = y_mean - slope * x_mean
    left = sum(((y - start - slope * x) ** 2 for x, y in zip(xs, ys, strict=True)), Fraction())
    return Line(float(start), float(slope), math.sqrt(left / (n - 2)) if n > 2 else 0.0)


@dataclass(frozen=True, slots=True)
class Spread:
    """Whether groups scatter alike.

    Args:
        statistic: Bartlett's.
        dof: its degrees of freedom.
    """

    statistic: float
    dof: int

    @property
    def chance(self) -> float:
        """Probability of such a statistic or a larger one where they do."""
        return 1.0 - chi_squared_cdf(self.statistic, self.dof)


def scatter_alike(groups: Sequence[Sequence[Number]]) -> Spread:
    """Ask by Bartlett's test whether groups scatter alike.

    Args:
        groups: at least two groups of at least two readings that are not all the same.

    Returns:
        The statistic with its degrees of freedom.

    Raises:
        EntryError: a group has no scatter.

    Source: [ehandbook] 1.3.5.7.
    """
    found: list[tuple[int, float]] = []
    for group in groups:
        values = [exact(x) for x in group]
        mean = sum(values, Fraction()) / max(len(values), 1)
        square = sum(((x - mean) ** 2 for x in values), Fraction())
        if len(values) < 2 or not square:
            raise EntryError(
                "Each group needs readings that differ.",
                given=len(values),
                right="Read each at least twice, to a finer step.",
                where="groups",
            )
        found.append((len(values) - 1, float(square / (len(values) - 1))))
    if len(found) < 2:
        raise EntryError("Two groups at least.", given=len(found), right="Give another group.", where="groups")
    total = sum(dof for dof, _ in found)
    pooled = math.fsum(dof * variance for dof, variance in found) / total
    above = total * math.log(pooled) - math.fsum(dof * math.log(variance) for dof, variance in found)
    below = 1.0 + (math.fsum(1.0 / dof for dof, _ in found) - 1.0 / total) / (3.0 * (len(found) - 1))
    return Spread(above / below, len(found) - 1)
