"""An uncertainty budget: what each cause brings to a size, and what they come to together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from borewright.errors import EntryError
from borewright.gauging.quantiles import coverage_factor, student_quantile

Shape: TypeAlias = Literal["normal", "uniform", "arcsine", "square of uniform"]
"""How what is not known of a cause is spread."""

SHAPES: Final[tuple[Shape, ...]] = ("normal", "uniform", "arcsine", "square of uniform")


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause of doubt about a size.

    Args:
        name: what it is, in the trade's words.
        u: its standard uncertainty, in its own unit, 0 or larger.
        sensitivity: what one of that unit changes the size by, mm.
        unit: its own unit.
        shape: how it is spread.
        dof: degrees of freedom of ``u``; infinity where it is no estimate from few.
    """

    name: str
    u: float
    sensitivity: float = 1.0
    unit: str = "mm"
    shape: Shape = "normal"
    dof: float = math.inf

    def __post_init__(self) -> None:
        if not (self.u >= 0.0 and math.isfinite(self.u)):
            raise EntryError(
                "A standard uncertainty is 0 or larger.", given=self.u, right=f"Give that of {self.name}.", where="u"
            )
        if not self.dof > 0.0:
            raise EntryError(
                "Degrees of freedom are larger than 0.", given=self.dof, right="Leave them out for many.", where="dof"
            )

    @property
    def part_mm(self) -> float:
        """What it brings to the size's standard uncertainty, ``|c| u``, mm."""
        return abs(self.sensitivity) * self.u


@dataclass(frozen=True, slots=True)
class Pair:
    """Two causes that act only together: the second order, which counts where the first order vanishes.

    Args:
        first: name of one cause.
        second: name of the other.
        mixed: the second derivative of the size by both, in mm over their units.
    """

    first: str
    second: str
    mixed: float


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a budget.

    Args:
        name: the cause, or two causes that act together.
        u: standard uncertainty in the cause's own unit, or None for two together.
        unit: that unit; empty for two together.
        sensitivity: what one unit changes the size by, mm, or None for two together.
        dof: degrees of freedom.
        part_mm: standard uncertainty that it brings to the size, mm.
        share: its share of the variance, 0 to 1.
    """

    name: str
    u: float | None
    unit: str
    sensitivity: float | None
    dof: float
    part_mm: float
    share: float


@dataclass(frozen=True, slots=True)
class Budget:
    """A size with its causes of doubt.

    Args:
        size_mm: best estimate, mm.
        causes: each cause once, with a name of its own.
        pairs: causes that act together.
        confidence: the share of the time that the expanded uncertainty is to hold.
    """

    size_mm: float
    causes: tuple[Cause, ...]
    pairs: tuple[Pair, ...] = ()
    confidence: float = 0.95

    def __post_init__(self) -> None:
        names = [cause.name for cause in self.causes]
        if len(set(names)) != len(names):
            raise EntryError(
                "Each cause stands in a budget once.",
                given=", ".join(names),
                right="Take both together, or name them apart.",
                where="causes",
            )
        if not 0.5 < self.confidence < 1.0:
            raise EntryError(
                "A confidence lies between 0.5 and 1.", given=self.confidence, right="Give 0.95.", where="confidence"
            )

    @property
    def first_order_mm(self) -> float:
        """Combined standard uncertainty to first order, ``sqrt(sum (c u)^2)``, mm. Source: [gum] 5.1.2."""
        return math.hypot(*(cause.part_mm for cause in self.causes))

    @property
    def u_mm(self) -> float:
        """Combined standard uncertainty with the products of causes that act together, mm.

        Source: [gum] 5.1.2 note; for a product of two the sum over both orders of ``(1/2) f_ij^2 u_i^2 u_j^2``.
        """
        return math.hypot(self.first_order_mm, *(self._pair_mm(pair) for pair in self.pairs))

    @property
    def dof(self) -> float:
        """Effective degrees of freedom, ``u_c^4 / sum((c u)^4 / dof)`` with u_c unrounded. Source: [gum] G.4.1."""
        below = math.fsum(cause.part_mm**4 / cause.dof for cause in self.causes)
        return self.u_mm**4 / below if below > 0.0 else math.inf

    @property
    def factor(self) -> float:
        """Coverage factor: Student's t for the degrees of freedom cut to a whole number. Source: [gum] G.4.1."""
        dof = self.dof
        return student_quantile(0.5 + 0.5 * self.confidence, dof if dof > 1e6 else max(1.0, math.floor(dof)))

    @property
    def expanded_mm(self) -> float:
        """Expanded uncertainty, factor times u, mm."""
        return self.factor * self.u_mm

    @property
    def judged_u_mm(self) -> float:
        """What rules judge by, mm: u, or wider where it rests on few degrees of freedom."""
        return 0.5 * coverage_factor(self.dof) * self.u_mm

    def rows(self) -> tuple[Row, ...]:
        """Return the budget as a table.

        Returns:
            One row for each cause and each pair that brings anything, largest first.
        """
        whole = self.u_mm**2 or 1.0
        rows = [
            Row(cause.name, cause.u, cause.unit, cause.sensitivity, cause.dof, cause.part_mm, cause.part_mm**2 / whole)
            for cause in self.causes
        ]
        for pair in self.pairs:
            part = self._pair_mm(pair)
            rows.append(Row(f"{pair.first} × {pair.second}", None, "", None, math.inf, part, part**2 / whole))
        return tuple(sorted((row for row in rows if row.part_mm > 0.0), key=lambda row: -row.part_mm))

    def _pair_mm(self, pair: Pair) -> float:
        return abs(pair.mixed) * self._u(pair.first) * self._u(pair.second)

    def _u(self, name: str) -> float:
        return next(cause.u for cause in self.causes if cause.name == name)


def pooled(scatters: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Pool standard deviations of the same gauge into one.

    ``s^2 = sum(dof s^2) / sum(dof)``.

    Args:
        scatters: each standard deviation with its degrees of freedom, at least one; a scatter known for good has
            infinitely many.

    Returns:
        The pooled standard deviation and its degrees of freedom.

    Raises:
        EntryError: there is none, or one is negative.

    Source: common practice, no source.
    """
    if not scatters or any(s < 0.0 or not dof > 0.0 for s, dof in scatters):
        raise EntryError(
            "A scatter is 0 or larger and has degrees of freedom.",
            given=list(scatters),
            right="Give at least one.",
            where="scatter",
        )
    sure = [s for s, dof in scatters if math.isinf(dof)]
    if sure:
        return math.sqrt(math.fsum(s * s for s in sure) / len(sure)), math.inf
    total = math.fsum(dof for _, dof in scatters)
    return math.sqrt(math.fsum(dof * s * s for s, dof in scatters) / total), total


def scatter_of(readings_mm: Sequence[float]) -> tuple[float, float]:
    """Return the standard deviation of readings taken alike.

    Args:
        readings_mm: at least two, mm.

    Returns:
        Their standard deviation, mm, and its degrees of freedom.

    Raises:
        EntryError: there are fewer than two.

    Source: [gum] 4.2.2.
    """
    count = len(readings_mm)
    if count < 2:
        raise EntryError("A scatter takes at least two readings.", given=count, right="Read again.", where="readings")
    mean = math.fsum(readings_mm) / count
    return math.sqrt(math.fsum((r - mean) ** 2 for r in readings_mm) / (count - 1)), count - 1.0
