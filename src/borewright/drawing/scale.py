"""A scale of diameters that magnifies smoothly toward the limits, and its graduation.

With the middle of the tolerance ``m`` and half the tolerance ``b``::

    x = left + (right - left) (A(d) - A(first)) / (A(last) - A(first)),    A(d) = arsinh((d - m) / b)

Within the limits the scale is nearly even; far from them equal lengths are equal ratios of what is left. One length on
the diameter is drawn ``sqrt(1 + ((d - m) / b)^2)`` times larger at the middle than at ``d``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Final

from borewright.quantity.length import Unit

MM: Final[dict[Unit, float]] = {"mm": 1.0, "in": 25.4}
"""What one unit is in mm."""

_STEPS: Final = tuple((count, power) for power in range(0, -6, -1) for count in (5, 1))
"""Steps of a graduation, coarse to fine: each a count of a power of ten."""

_FINEST: Final = min(power for _, power in _STEPS)
"""The finest of the powers: in units of it every tick is a whole number."""


WHOLE: Final = math.sqrt(2.0)
"""How much room a step must have at the middle: then it reaches from limit to limit, and never stands there in part."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Where diameters stand on a drawing.

    Args:
        middle_mm: diameter that is magnified most, mm.
        bend_mm: distance from it within which the scale is nearly even, mm.
        first_mm: diameter at the left end, mm.
        last_mm: diameter at the right end, mm.
        left: x of the left end.
        right: x of the right end.
    """

    middle_mm: float
    bend_mm: float
    first_mm: float
    last_mm: float
    left: float
    right: float
    _first: float = field(init=False, repr=False)
    _span: float = field(init=False, repr=False)

    def __post_init__(self) -> None:
        """Bend both ends once: every diameter that is placed needs them."""
        object.__setattr__(self, "_first", self._bent(self.first_mm))
        object.__setattr__(self, "_span", self._bent(self.last_mm) - self._first)

    def x(self, mm: float) -> float:
        """Return where a diameter stands; one beyond an end stands at the end.

        Args:
            mm: the diameter, mm.

        Returns:
            Its x.
        """
        share = (math.asinh((mm - self.middle_mm) / self.bend_mm) - self._first) / self._span
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)

    def per_mm(self, mm: float) -> float:
        """Return how long a millimetre is drawn at a diameter.

        Args:
            mm: the diameter, mm.

        Returns:
            Length of drawing per mm.
        """
        return self._at_middle / self._smaller(mm)

    @property
    def magnified(self) -> float:
        """How many times larger a length is drawn at the middle than at the left end."""
        return self._smaller(self.first_mm)

    def ticks(self, unit: Unit, closest: float) -> tuple[Tick, ...]:
        """Graduate the scale: the finer the larger it is drawn.

        Args:
            unit: the unit whose round figures get a tick.
            closest: the least distance between two ticks.

        Returns:
            The ticks, those that stand widest apart first.
        """
        found: dict[int, Tick] = {}
        for count, power in _STEPS:
            step = count * 10.0**power * MM[unit]
            room = self._at_middle * step / closest
            if room < WHOLE:
                continue
            reach = self.bend_mm * math.sqrt(room * room - 1.0)
            low = max(self.first_mm, self.middle_mm - reach)
            high = min(self.last_mm, self.middle_mm + reach)
            finest, longest = count * 10 ** (power - _FINEST), step * self._at_middle
            for multiple in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1):
                place = multiple * finest
                if place not in found:
                    mm = multiple * step
                    text = f"{multiple * count / 10**-power:.{-power}f}"
                    found[place] = Tick(mm, self.x(mm), text, longest / self._smaller(mm))
        return tuple(sorted(found.values(), key=lambda tick: (-tick.apart, tick.mm)))

    @property
    def _at_middle(self) -> float:
        return (self.right - self.left) / (self._span * self.bend_mm)

    def _bent(self, mm: float) -> float:
        return math.asinh((mm - self.middle_mm) / self.bend_mm)

    def _smaller(self, mm: float) -> float:
        return math.hypot(1.0, (mm - self.middle_mm) / self.bend_mm)


@dataclass(frozen=True, slots=True)
class Tick:
    """One line of a graduation.

    Args:
        mm: its diameter, mm.
        x: where it stands.
        text: the diameter in the unit of the graduation, as its step writes it.
        apart: how far off the next line of its step stands.
    """

    mm: float
    x: float
    text: str
    apart: float
