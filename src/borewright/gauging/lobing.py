"""Bores that are not round, and what two points, three points and the largest plug make of them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from borewright.errors import EntryError

_ALL_ROUND: Final = 1440


@dataclass(frozen=True, slots=True)
class Profile:
    """A cross section, ``r(theta) = R + sum_n a_n cos(n (theta - p_n))``.

    Args:
        radius_mm: mean radius R, mm.
        lobes: by number of lobes n, 2 or more, the height a_n in mm and the direction p_n of a lobe in degrees.
    """

    radius_mm: float
    lobes: Mapping[int, tuple[float, float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.radius_mm > 0.0 or any(n < 2 for n in self.lobes):
            raise EntryError(
                "A cross section has a radius, and lobes by twos or more.",
                given=(self.radius_mm, sorted(self.lobes)),
                right="One lobe is a shift of the middle and no form.",
                where="lobes",
            )

    def radius(self, direction_deg: float) -> float:
        """Return the radius in a direction.

        Args:
            direction_deg: the direction, degrees.

        Returns:
            The radius, mm.
        """
        return self.radius_mm + math.fsum(
            height * math.cos(n * math.radians(direction_deg - at)) for n, (height, at) in self.lobes.items()
        )

    def two_point(self, direction_deg: float) -> float:
        """Return the diameter between two opposite points; odd lobes drop out of it.

        Args:
            direction_deg: the direction, degrees.

        Returns:
            ``r(theta) + r(theta + 180)``, mm.

        Source: exact to first order in the lobes' height; size term LP of ISO 14405-1:2016, from memory.
        """
        return self.radius(direction_deg) + self.radius(direction_deg + 180.0)

    def three_point(self, direction_deg: float) -> float:
        """Return the diameter that three points at 120 degrees show; two lobes, and all but every third, drop out.

        Args:
            direction_deg: direction of one of the points, degrees.

        Returns:
            Twice the mean of the three radii, mm.

        Source: exact to first order in the lobes' height; common practice, no source.
        """
        return 2.0 * math.fsum(self.radius(direction_deg + turn) for turn in (0.0, 120.0, 240.0)) / 3.0

    @property
    def least_squares_mm(self) -> float:
        """Diameter of the mean circle, mm. Source: size term GG of ISO 14405-1:2016, from memory."""
        return 2.0 * self.radius_mm

    @property
    def inscribed_mm(self) -> float:
        """Diameter of the largest plug that goes in, mm. Source: size term GX of ISO 14405-1:2016, from memory."""
        directions = np.linspace(0.0, 360.0, _ALL_ROUND, endpoint=False)
        return 2.0 * _largest_inscribed(directions, np.array([self.radius(each) for each in directions]))


def _largest_inscribed(directions_deg: NDArray[np.float64], radii: NDArray[np.float64]) -> float:
    """Find the largest circle inside, moving its middle, by exchange of the three points that hold it.

    A middle moved by (a, b) leaves ``r - a cos - b sin``; the least of these is to be as large as can be. At the best
    middle three points touch and none cuts in, or two opposite ones do.
    """
    angles = np.radians(directions_deg)
    rows = np.column_stack([np.ones_like(angles), np.cos(angles), np.sin(angles)])
    held = [0, len(angles) // 3, 2 * len(angles) // 3]
    for _ in range(200):
        circle = np.linalg.solve(rows[held], radii[held])
        clear = radii - rows @ circle
        worst = int(np.argmin(clear))
        if clear[worst] >= -1e-12:
            return float(circle[0])
        held = _exchanged(rows, radii, held, worst)
    return float(np.min(radii))


def _exchanged(rows: NDArray[np.float64], radii: NDArray[np.float64], held: list[int], entering: int) -> list[int]:
    """Let a point in for one of three so that the three still hold the circle all round and it becomes smallest."""
    best: tuple[float, list[int]] | None = None
    for leaving in range(3):
        trial = [*held[:leaving], *held[leaving + 1 :], entering]
        if abs(np.linalg.det(rows[trial])) < 1e-9:
            continue
        weights = np.linalg.solve(rows[trial].T, np.array([1.0, 0.0, 0.0]))
        if weights.min() < -1e-9:
            continue
        radius = float(np.linalg.solve(rows[trial], radii[trial])[0])
        if best is None or radius < best[0]:
            best = (radius, trial)
    assert best is not None, "one of the three can always leave"
    return best[1]


def unseen_lobing(instrument_sees: str, directions: Sequence[float], envelope: bool) -> str:
    """Say what form the readings cannot show.

    Args:
        instrument_sees: what the instrument takes in, ``two points`` or ``three points``, or something else.
        directions: directions that were read, degrees.
        envelope: whether the drawing asks for an envelope: that the largest plug goes in.

    Returns:
        A sentence, or nothing where the instrument sees lobes.
    """
    asked = " The drawing asks for an envelope: check with a plug, or measure the roundness." if envelope else ""
    if instrument_sees == "two points":
        return f"Three or five lobes read the same all round between two points and were not looked for.{asked}"
    if instrument_sees == "three points":
        return f"Two lobes read the same all round between three points and were not looked for.{asked}"
    few = len({round(each, 3) for each in directions}) < 3
    return f"So few directions cannot show lobes.{asked}" if few else ""
