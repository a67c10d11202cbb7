"""Cutting speeds as shops type and say them: metres or feet a minute."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal, TypeAlias

from borewright.errors import EntryError
from borewright.quantity.length import Unit
from borewright.quantity.number import EXACT, parse_number, tidy

SpeedUnit: TypeAlias = Literal["m/min", "ft/min"]

METRES_PER_FOOT: Final = Decimal("0.3048")
LOWEST, HIGHEST = Decimal("0.1"), Decimal(100000)

_FEET: Final = re.compile(r"ft\s*/\s*min|feet(?: a minute| per minute)|s?fp?m|sfpm|fpm", re.IGNORECASE)
_METRES: Final = re.compile(r"m\s*/\s*min|m/minute|m a minute", re.IGNORECASE)
_SPLIT: Final = re.compile(r"([0-9.,+\-]+)\s*(.*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Speed:
    """A cutting speed as it was typed.

    Args:
        value: the number.
        unit: its unit.
    """

    value: Decimal
    unit: SpeedUnit

    @property
    def m_min(self) -> float:
        """The speed in m/min."""
        return float(self.value if self.unit == "m/min" else EXACT.multiply(self.value, METRES_PER_FOOT))

    @property
    def text(self) -> str:
        """The speed as it was typed, with its unit."""
        return f"{self.value:f} {self.unit}"


def parse_speed(given: str | float | Decimal, where: str = "") -> Speed:
    """Read a cutting speed; a number without a unit is m/min.

    Args:
        given: such as ``185``, ``185 m/min``, ``600 ft/min`` or ``600 sfm``.
        where: the field, for messages.

    Returns:
        The speed, in the unit that it was typed in.

    Raises:
        EntryError: it is no number, of another unit, or no speed that anything is cut at.
    """
    if not isinstance(given, str):
        return Speed(parse_number(given, where, low=LOWEST, high=HIGHEST), "m/min")
    split = _SPLIT.fullmatch(tidy(given, where))
    number, word = (split[1], split[2].strip()) if split else (given, "")
    unit: SpeedUnit = "m/min"
    if word and not _METRES.fullmatch(word):
        if not _FEET.fullmatch(word):
            raise EntryError(
                "Revolutions are no cutting speed." if "r" in word.lower() else "That is no unit of a cutting speed.",
                given=given,
                right='Give metres or feet a minute at the edge, such as "185 m/min" or "600 ft/min".',
                where=where,
            )
        unit = "ft/min"
    return Speed(parse_number(number, where, low=LOWEST, high=HIGHEST), unit)


def speed_unit(unit: Unit) -> SpeedUnit:
    """Return the unit in which a shop speaks of cutting speed.

    Args:
        unit: its unit of length.

    Returns:
        Feet a minute in an inch shop, else metres a minute.
    """
    return "ft/min" if unit == "in" else "m/min"


def show_speed(m_min: float, unit: SpeedUnit, *, with_unit: bool = True) -> str:
    """Show a cutting speed.

    Args:
        m_min: the speed, m/min.
        unit: the unit to show it in.
        with_unit: whether the unit stands behind it.

    Returns:
        Such as ``185 m/min`` or ``607 ft/min``, to a whole number; to one decimal below 10.
    """
    shown = m_min if unit == "m/min" else m_min / float(METRES_PER_FOOT)
    number = f"{shown:.0f}" if shown >= 10.0 else f"{shown:.1f}"
    return f"{number} {unit}" if with_unit else number
