"""Lengths in words, as they are said across a machine: thou and tenths in inches, micrometres in metric."""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from borewright.errors import EntryError
from borewright.quantity.length import MM_PER_INCH, UNITS, Length, Unit
from borewright.quantity.number import EXACT
from borewright.quantity.rounding import exact_mm, round_to_step
from borewright.quantity.show import show_length

HALF_A_TENTH: Final = Length(Decimal("0.00005"), "in")
TENTH_OF_A_MICROMETRE: Final = Length(Decimal("0.0001"), "mm")


def say_length(mm: float | Length, unit: Unit, *, sign: bool = False, down: bool = False) -> str:
    """Return a length as it is said, to half a tenth in inches and 0.1 µm in metric (common practice, no source).

    Below an inch it is thou and tenths, such as ``3 thou 7 tenths``; below 0.1 mm micrometres, such as ``3.7 µm``;
    above that digits with the unit. In metric nobody says tenth.

    Args:
        mm: the length in mm, or a Length. A float stands for its shortest decimal notation.
        unit: the unit of the shop.
        sign: whether ``plus`` is said too; ``minus`` always is.
        down: whether it is rounded down, as a tolerance is: what is said is then never more than there is.

    Returns:
        The words.

    Raises:
        EntryError: the number is not finite, or the unit is none.
    """
    if unit not in UNITS:
        raise EntryError("That is not a unit held here.", given=str(unit)[:40], right="Use mm or in.")
    finest = HALF_A_TENTH if unit == "in" else TENTH_OF_A_MICROMETRE
    exact = exact_mm(mm)
    said = round_to_step(_even(mm), finest, "toward_zero") if down else round_to_step(mm, finest)
    if not exact:
        return "nothing"
    word = "minus " if exact < 0 else "plus " if sign else ""
    if not said:
        return word + ("less than half a tenth" if unit == "in" else "less than 0.1 µm")
    return word + (_inch_words(abs(said)) if unit == "in" else _metric_words(abs(said)))


def say_range(low_mm: float, high_mm: float, unit: Unit) -> str:
    """Return the ends of an interval as they are said: in one measure, with their signs where one is below zero.

    Args:
        low_mm: the lower end, mm.
        high_mm: the upper end, mm.
        unit: the unit of the shop.

    Returns:
        Such as ``-5.3 to +9.8 µm`` or ``0.2 to 1.45 thou``; from a millimetre and from an inch on, digits of that unit.

    Raises:
        EntryError: an end is not finite, or the unit is none.
    """
    if unit not in UNITS:
        raise EntryError("That is not a unit held here.", given=str(unit)[:40], right="Use mm or in.")
    finest = HALF_A_TENTH if unit == "in" else TENTH_OF_A_MICROMETRE
    ends = [round_to_step(mm, finest).value for mm in (low_mm, high_mm)]
    small = max(abs(end) for end in ends) < 1
    word = unit if not small else "thou" if unit == "in" else "µm"
    sign = "+" if min(ends) < 0 else ""
    low, high = (f"{_in_measure(end, scaled=small):{sign}f}" if end else "0" for end in ends)
    return f"{low} to {high} {word}"


def _in_measure(end: Decimal, *, scaled: bool) -> Decimal:
    """Take an end in thousandths of its unit where it is said so, without zeros behind it."""
    number = end.scaleb(3, EXACT) if scaled else end
    whole = number.to_integral_value()
    return whole if number == whole else number.normalize(EXACT)


def say_roughness(mm: float, unit: Unit) -> str:
    """Return a roughness such as Ra as drawings write it: micrometres, or microinches in inch shops, to two digits.

    Args:
        mm: the roughness, mm.
        unit: the unit of the shop.

    Returns:
        Such as ``0.8 µm`` or ``32 µin``.
    """
    value, word = (mm * 1e3, "µm") if unit == "mm" else (mm / float(MM_PER_INCH) * 1e6, "µin")
    return f"{float(f'{value:.2g}'):g} {word}"


def say_two_digits(value: float) -> str:
    """Round a figure to two significant digits and say it without a power of ten.

    Args:
        value: the figure, 0 or larger.

    Returns:
        Such as ``0.26``, ``2.6`` or ``210``.
    """
    return f"{Decimal(f'{value:.2g}'):f}"


def _even(mm: float | Length) -> float | Length:
    """Take out of a float what a difference of two sizes leaves in its last digits."""
    return round(mm, 9) if isinstance(mm, float) else mm


def _inch_words(size: Length) -> str:
    if size.value >= 1:
        return _digits(size, "in")
    half_tenths = int(size.exact_mm / HALF_A_TENTH.exact_mm)
    thou, rest = divmod(half_tenths, 20)
    if rest == 0:
        return f"{thou} thou"
    if rest == 10:
        return _with_half(thou, "thou", "thou")
    tenths = _with_half(rest // 2, "tenth", "tenths") if rest % 2 else _counted(rest // 2, "tenth", "tenths")
    return f"{thou} thou {tenths}" if thou else tenths


def _metric_words(size: Length) -> str:
    if size.value >= Decimal("0.1"):
        return _digits(size, "mm")
    return f"{EXACT.normalize(size.value.scaleb(3, EXACT)):f} µm"


def _digits(size: Length, unit: Unit) -> str:
    digits = show_length(size, unit, with_unit=False)
    return f"{digits.rstrip('0').rstrip('.')} {unit}"


def _with_half(count: int, one: str, many: str) -> str:
    return f"{count} and a half {many}" if count else f"half a {one}"


def _counted(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"
