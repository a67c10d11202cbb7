"""Rounding to what a dial, a readout or a gauge can show, exact in the device's own unit."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from typing import Literal, TypeAlias

from borewright.errors import EntryError
from borewright.quantity.length import Length
from borewright.quantity.number import EXACT, decimal_of

How: TypeAlias = Literal["nearest", "down", "up", "toward_zero"]


def round_to_step(mm: float | Length, step: float | Length, how: How = "nearest") -> Length:
    """Return the multiple of a device's step that a length is shown as, exact in the step's own unit.

    Args:
        mm: the length in mm, or a Length. A float stands for its shortest decimal notation.
        step: the smallest change the device shows, in mm or a Length, above zero.
        how: ``nearest`` (a tie goes to the even multiple), ``down``, ``up`` or ``toward_zero``.

    Returns:
        The multiple, in the step's unit and with the step's decimals.

    Raises:
        EntryError: the step is not above zero, or the way to round is unknown.
    """
    unit_step = checked_step(step)
    return _multiple(_whole_steps(exact_mm(mm) / unit_step.exact_mm, how), unit_step)


def steps_around(mm: float | Length, step: float | Length, each_way: int = 1) -> tuple[Length, ...]:
    """Return the multiples of a step nearest to a length, from the smallest to the largest.

    Args:
        mm: the length in mm, or a Length.
        step: the smallest change the device shows, in mm or a Length, above zero.
        each_way: how many at or below it, and how many at or above it.

    Returns:
        The multiples, exact in the step's unit; one fewer where the length is itself a multiple.

    Raises:
        EntryError: the step is not above zero, or each_way is not 1 or more.
    """
    if each_way < 1:
        raise EntryError("There must be a step to either side.", given=each_way, right="Ask for 1 or more.")
    unit_step = checked_step(step)
    count = exact_mm(mm) / unit_step.exact_mm
    first, last = math.floor(count) - each_way + 1, math.ceil(count) + each_way - 1
    return tuple(_multiple(steps, unit_step) for steps in range(first, last + 1))


def exact_mm(mm: float | Length) -> Fraction:
    """Return a length as an exact fraction of mm; a float stands for its shortest decimal notation.

    Args:
        mm: the length in mm, or a Length.

    Returns:
        The exact value, mm.

    Raises:
        EntryError: the number is not finite.
    """
    return mm.exact_mm if isinstance(mm, Length) else Fraction(_shortest(mm))


def exact_ratio(mm: float | Length) -> tuple[int, int]:
    """Return a length in mm as two whole numbers, one over the other; a float stands for its shortest decimal notation.

    Args:
        mm: the length in mm, or a Length.

    Returns:
        Numerator and denominator, the denominator above zero.

    Raises:
        EntryError: the number is not finite.
    """
    if isinstance(mm, Length) and mm.unit == "in":
        return mm.exact_mm.as_integer_ratio()
    return (mm.value if isinstance(mm, Length) else _shortest(mm)).as_integer_ratio()


def checked_step(step: float | Length) -> Length:
    """Return a device's step as a Length above zero.

    Args:
        step: in mm, or a Length.

    Returns:
        The step.

    Raises:
        EntryError: it is not above zero.
    """
    length = step if isinstance(step, Length) else Length(decimal_of(step), "mm")
    if length.value <= 0:
        raise EntryError("A step must be above zero.", given=length.text, right="Enter what one step is worth.")
    return length


def _shortest(mm: float) -> Decimal:
    if not math.isfinite(mm):
        raise EntryError("That is not a length that can be shown.", given=mm, right="Give a finite number of mm.")
    return Decimal(float.__repr__(float(mm)))


def _whole_steps(count: Fraction, how: How) -> int:
    if how == "nearest":
        return round(count)
    if how == "down":
        return math.floor(count)
    if how == "up":
        return math.ceil(count)
    if how == "toward_zero":
        return math.trunc(count)
    raise EntryError("That is not a way to round.", given=str(how), right="Use nearest, down, up or toward_zero.")


def _multiple(steps: int, step: Length) -> Length:
    return Length(EXACT.multiply(Decimal(steps), step.value), step.unit)
