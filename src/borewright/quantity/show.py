"""Lengths as digits for screens and paper: rounded in decimal, with unit and sign."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from borewright.errors import EntryError
from borewright.quantity.length import MM_PER_INCH, UNITS, Length, Unit
from borewright.quantity.number import EXACT, MOST_DECIMALS
from borewright.quantity.rounding import exact_ratio, round_to_step

USUAL_DECIMALS: Final[dict[Unit, int]] = {"mm": 4, "in": 5}
"""A tenth of a micrometre, and a tenth of a tenth."""

_INCH_OVER, _INCH_UNDER = MM_PER_INCH.as_integer_ratio()


def show_length(
    mm: float | Length,
    unit: Unit,
    *,
    decimals: int | None = None,
    step: Length | None = None,
    sign: bool = False,
    with_unit: bool = True,
) -> str:
    """Return a length as digits, rounded half to even in decimal.

    Args:
        mm: the length in mm, or a Length. A float stands for its shortest decimal notation.
        unit: the unit to show it in.
        decimals: digits after the point; by default the step's, else 4 of a mm and 5 of an inch.
        step: what the device can show; the length is first rounded to a multiple of it.
        sign: whether a plus is shown too. Zero has no sign.
        with_unit: whether the unit follows.

    Returns:
        Such as ``61.9912 mm``, ``+0.0095`` or ``2.3622 in``.

    Raises:
        EntryError: the number is not finite, or the unit or the number of decimals is none.
    """
    if unit not in UNITS:
        raise EntryError("That is not a unit held here.", given=str(unit)[:40], right="Use mm or in.")
    shown = round_to_step(mm, step) if step else mm
    if decimals is None:
        decimals = step.decimals if step and step.unit == unit else USUAL_DECIMALS[unit]
    if not 0 <= decimals <= MOST_DECIMALS:
        raise EntryError("That many digits cannot be shown.", given=decimals, right=f"Use 0 to {MOST_DECIMALS}.")
    number = _rounded(exact_ratio(shown), unit, decimals)
    plus = "+" if sign and number > 0 else ""
    return f"{plus}{number:f}{' ' + unit if with_unit else ''}"


def show_limits(lower: float | Length, upper: float | Length, unit: Unit, decimals: int) -> tuple[str, str]:
    """Return two limits as digits, rounded towards each other, so that what is shown is never wider than what holds.

    Args:
        lower: the lower limit, in mm or a Length.
        upper: the upper limit, likewise.
        unit: the unit to show them in.
        decimals: digits after the point.

    Returns:
        Both, without their unit.
    """
    last_digit = Length(Decimal(1).scaleb(-decimals, EXACT), unit)
    low, high = round_to_step(lower, last_digit, "up"), round_to_step(upper, last_digit, "down")
    return f"{low.value:f}", f"{high.value:f}"


def show_tolerance(tolerance: Length, unit: Unit, decimals: int) -> str:
    """Return what lies between two limits as digits, rounded down, so that it is never shown as more than there is.

    Args:
        tolerance: the upper limit less the lower.
        unit: the unit to show it in.
        decimals: digits after the point.

    Returns:
        Such as ``0.00074 in`` for 0.019 mm.
    """
    return round_to_step(tolerance, Length(Decimal(1).scaleb(-decimals, EXACT), unit), "down").text


def _rounded(mm: tuple[int, int], unit: Unit, decimals: int) -> Decimal:
    """Round an exact length half to even to so many decimals of a unit; never to a negative zero."""
    over, under = mm if unit == "mm" else (mm[0] * _INCH_UNDER, mm[1] * _INCH_OVER)
    whole, rest = divmod(over * 10**decimals, under)
    if 2 * rest > under or (2 * rest == under and whole % 2):
        whole += 1
    return Decimal(whole).scaleb(-decimals, EXACT)
