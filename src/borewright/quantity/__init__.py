"""Lengths, numbers and temperatures as the trade types, shows, says and rounds them; exact in decimal throughout."""

from __future__ import annotations

from borewright.quantity.length import MM_PER_INCH, UNITS, Length, Unit, parse_length
from borewright.quantity.number import parse_celsius, parse_number
from borewright.quantity.rounding import How, round_to_step, steps_around
from borewright.quantity.say import say_length, say_range
from borewright.quantity.show import show_length

__all__ = [
    "MM_PER_INCH",
    "UNITS",
    "How",
    "Length",
    "Unit",
    "parse_celsius",
    "parse_length",
    "parse_number",
    "round_to_step",
    "say_length",
    "say_range",
    "show_length",
    "steps_around",
]
