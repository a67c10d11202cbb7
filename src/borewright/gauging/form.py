"""Form of a bore from readings at several depths and directions: each departure with its uncertainty."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from borewright.errors import EntryError
from borewright.gauging.quantiles import student_quantile

_SAME_DEPTH_MM: Final = 0.5
"""Readings nearer to each other than this along the bore are of one depth. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A reading with its place.

    Args:
        mm: diameter at 20 °C, mm.
        depth_mm: below the mouth, mm.
        direction_deg: direction across the bore, degrees.
    """

    mm: float
    depth_mm: float
    direction_deg: float


@dataclass(frozen=True, slots=True)
class Departure:
    """One departure from a true cylinder.

    Args:
        name: ``ovality``, ``taper``, ``bell mouth`` or ``barrel``.
        mm: its amount on the diameter, mm. Ovality is the largest less the smallest diameter and never negative; taper
            is the bottom less the mouth; bell mouth the mouth beyond the line of the rest; barrel the middle beyond
            the ends, negative for a waist.
        u_mm: its standard uncertainty, mm.
        dof: degrees of freedom of that.
        caution: what the readings leave open, or nothing.
    """

    name: str
    mm: float
    u_mm: float
    dof: float
    caution: str = ""

    @property
    def half_width_mm(self) -> float:
        """Half the width of its 95 % interval, mm."""
        return student_quantile(0.975, self.dof) * self.u_mm

    @property
    def shown(self) -> bool:
        """Whether it is larger than its own 95 % interval, so that the readings show it at all."""
        return abs(self.mm) > self.half_width_mm


@dataclass(frozen=True, slots=True)
class Form:
    """Form of a bore.

    Args:
        departures: what could be found from the places that were read, in the order of their names in the class.
        smallest_mm: smallest diameter, by the cylinder laid through the readings at the places read, mm.
        largest_mm: largest such diameter, mm.
        u_mm: standard uncertainty of either by scatter alone, mm.
        missing: for what could not be found, what to read.
    """

    departures: tuple[Departure, ...]
    smallest_mm: float
    largest_mm: float
    u_mm: float
    missing: tuple[str, ...]

    def departure(self, name: str) -> Departure | None:
        """Return a departure by its name.

        Args:
            name: as in :class:`Departure`.

        Returns:
            It, or None where the readings do not reach for it.
        """
        return next((each for each in self.departures if each.name == name), None)


def form_of(readings: Sequence[Placed], scatter_mm: float, scatter_dof: float = math.inf) -> Form:
    """Find the form of a bore from readings by place.

    Every departure is a weighted sum of readings, so that its uncertainty is the scatter times the length of its
    weights; ovality from three directions or more is ``2 sqrt(c^2 + s^2)`` of the second harmonic.

    Args:
        readings: readings with their places, at least one.
        scatter_mm: standard deviation of one reading, mm.
        scatter_dof: its degrees of freedom.

    Returns:
        The form.

    Raises:
        EntryError: there is no reading, or the readings differ impossibly for a bore.

    Source: [gum] 5.1.2; least squares, common practice, no source.
    """
    if not readings:
        raise EntryError(
            "There is no reading to find a form from.", given=0, right="Give at least one.", where="readings"
        )
    _require_one_bore(readings)
    found, missing = [], []
    for maker in (_ovality, _taper, _bell_mouth, _barrel):
        departure, advice = maker(readings, scatter_mm, scatter_dof)
        if departure is not None:
            found.append(departure)
        else:
            missing.append(advice)
    means = _by_place(readings)
    values = [mean for mean, _ in means]
    u = scatter_mm / math.sqrt(min(count for _, count in means))
    return Form(tuple(found), min(values), max(values), u, tuple(missing))


def _require_one_bore(readings: Sequence[Placed]) -> None:
    sizes = [each.mm for each in readings]
    if max(sizes) - min(sizes) > 0.02 * max(sizes):
        raise EntryError(
            "Readings of one bore do not differ by so much.",
            given=f"{min(sizes):g} to {max(sizes):g} mm",
            right="Look for a slip of a digit, a turn of the needle, or another bore.",
            where="readings",
        )
    if any(each.depth_mm < 0.0 for each in readings):
        raise EntryError(
            "A depth counts from the mouth down.",
            given=min(each.depth_mm for each in readings),
            right="Give 0 or more.",
            where="depth",
        )


def _levels(readings: Sequence[Placed]) -> list[list[Placed]]:
    """Sort readings by depth, the mouth first."""
    levels: list[list[Placed]] = []
    for reading in sorted(readings, key=lambda each: each.depth_mm):
        if levels and reading.depth_mm - levels[-1][0].depth_mm <= _SAME_DEPTH_MM:
            levels[-1].append(reading)
        else:
            levels.append([reading])
    return levels


def _by_place(readings: Sequence[Placed]) -> list[tuple[float, int]]:
    places: dict[tuple[int, float], list[float]] = {}
    for number, level in enumerate(_levels(readings)):
        for each in level:
            places.setdefault((number, round(each.direction_deg % 180.0, 3)), []).append(each.mm)
    return [(math.fsum(sizes) / len(sizes), len(sizes)) for sizes in places.values()]


def _level_means(readings: Sequence[Placed]) -> list[tuple[float, float, float]]:
    """Return depth, mean and the variance of the mean in units of one reading's, by level."""
    return [
        (
            math.fsum(each.depth_mm for each in level) / len(level),
            math.fsum(each.mm for each in level) / len(level),
            1.0 / len(level),
        )
        for level in _levels(readings)
    ]


def _ovality(readings: Sequence[Placed], scatter: float, dof: float) -> tuple[Departure | None, str]:
    """Fit the second harmonic to what is left of each level's mean."""
    angles = {round(each.direction_deg % 180.0, 3) for each in readings}
    if len(angles) < 2:
        return None, "For ovality read two directions or more at one depth."
    levels = [level for level in _levels(readings) if len({round(e.direction_deg % 180.0, 3) for e in level}) > 1]
    if not levels:
        return None, "For ovality read two directions or more at one depth."
    if len({round(e.direction_deg % 180.0, 3) for level in levels for e in level}) < 3:
        return _two_directions(levels, scatter, dof), ""
    rows, values = _harmonic(levels)
    cos, sin = np.linalg.lstsq(rows, values, rcond=None)[0][-2:]
    cover = np.linalg.inv(rows.T @ rows)[-2:, -2:]
    height = math.hypot(cos, sin)
    along = np.array([cos, sin]) / height if height > 0.0 else np.array([1.0, 0.0])
    u = 2.0 * scatter * math.sqrt(float(along @ cover @ along))
    return Departure("ovality", 2.0 * height, u, dof), ""


def _harmonic(levels: Sequence[Sequence[Placed]]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    rows, values = [], []
    for number, level in enumerate(levels):
        for each in level:
            turn = 2.0 * math.radians(each.direction_deg)
            rows.append([*(float(number == at) for at in range(len(levels))), math.cos(turn), math.sin(turn)])
            values.append(each.mm)
    return np.array(rows), np.array(values)


def _two_directions(levels: Sequence[Sequence[Placed]], scatter: float, dof: float) -> Departure:
    """Return the mean difference between the two directions, and say that it may be less than the ovality."""
    first = round(levels[0][0].direction_deg % 180.0, 3)
    gaps, variances = [], []
    for level in levels:
        here = [each.mm for each in level if round(each.direction_deg % 180.0, 3) == first]
        there = [each.mm for each in level if round(each.direction_deg % 180.0, 3) != first]
        gaps.append(math.fsum(here) / len(here) - math.fsum(there) / len(there))
        variances.append(1.0 / len(here) + 1.0 / len(there))
    u = scatter * math.sqrt(math.fsum(variances)) / len(gaps)
    caution = "Two directions show the ovality only where they hit its longest and shortest; read a third between them."
    return Departure("ovality", abs(math.fsum(gaps)) / len(gaps), u, dof, caution)


def _taper(readings: Sequence[Placed], scatter: float, dof: float) -> tuple[Departure | None, str]:
    """Fit a straight line along the depth; the taper is its rise over the depths read."""
    levels = _level_means(readings)
    if len(levels) < 2:
        return None, "For taper read near the mouth and near the bottom."
    depths, means, variances = (np.array(column) for column in zip(*levels, strict=True))
    weights = (depths - depths.mean()) / float(((depths - depths.mean()) ** 2).sum()) * float(depths[-1] - depths[0])
    caution = "" if len(levels) > 2 else "Two depths cannot tell taper from bell mouth."
    return Departure(
        "taper", float(weights @ means), scatter * math.sqrt(float(weights**2 @ variances)), dof, caution
    ), ""


def _bell_mouth(readings: Sequence[Placed], scatter: float, dof: float) -> tuple[Departure | None, str]:
    """Return how far the first level lies beyond the line through all others, taken on to its depth."""
    levels = _level_means(readings)
    if len(levels) < 3:
        return None, "For bell mouth read at three depths or more, one of them near the mouth."
    depths, means, variances = (np.array(column) for column in zip(*levels, strict=True))
    rest = depths[1:]
    middle, across = rest.mean(), float(((rest - rest.mean()) ** 2).sum())
    to_mouth = 1.0 / len(rest) + (depths[0] - middle) * (rest - middle) / across
    weights = np.concatenate([[1.0], -to_mouth])
    caution = "" if len(levels) > 3 else "Three depths cannot tell bell mouth from barrel: read a fourth."
    u = scatter * math.sqrt(float(weights**2 @ variances))
    return Departure("bell mouth", float(weights @ means), u, dof, caution), ""


def _barrel(readings: Sequence[Placed], scatter: float, dof: float) -> tuple[Departure | None, str]:
    """Fit a parabola along the depth; the barrel is how far its middle lies beyond the line through its ends."""
    levels = _level_means(readings)
    if len(levels) < 3:
        return None, "For barrel read at the mouth, in the middle and at the bottom."
    depths, means, variances = (np.array(column) for column in zip(*levels, strict=True))
    x = 2.0 * (depths - depths[0]) / (depths[-1] - depths[0]) - 1.0
    rows = np.column_stack([np.ones_like(x), x, x * x])
    weights = -np.linalg.pinv(rows)[2]
    caution = "" if len(levels) > 3 else "Three depths cannot tell bell mouth from barrel: read a fourth."
    u = scatter * math.sqrt(float(weights**2 @ variances))
    return Departure("barrel", float(weights @ means), u, dof, caution), ""
