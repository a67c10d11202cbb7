"""Lengths exactly as typed, in millimetres or inches, and the texts they are read from."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import total_ordering
from typing import Final, Literal, TypeAlias

from borewright.errors import EntryError
from borewright.quantity.number import (
    EXACT,
    MOST_DECIMALS,
    checked_decimal,
    decimal_of,
    plain_decimal,
    refuse_strange_numbers,
    split_sign,
    tidy,
)

Unit: TypeAlias = Literal["mm", "in"]
UNITS: Final[tuple[Unit, ...]] = ("mm", "in")

MM_PER_INCH: Final = Decimal("25.4")
"""Exact by definition since 1959."""

LONGEST_MM: Final = 10_000

_MOST_DECIMALS: Final = 2 * MOST_DECIMALS

_SUFFIXES: Final[dict[str, tuple[Unit, int]]] = {
    "mm": ("mm", 0),
    "millimetre": ("mm", 0),
    "millimetres": ("mm", 0),
    "millimeter": ("mm", 0),
    "millimeters": ("mm", 0),
    "µm": ("mm", -3),
    "um": ("mm", -3),
    "micron": ("mm", -3),
    "microns": ("mm", -3),
    "micrometre": ("mm", -3),
    "micrometres": ("mm", -3),
    "in": ("in", 0),
    "in.": ("in", 0),
    "inch": ("in", 0),
    "inches": ("in", 0),
    '"': ("in", 0),
    "µin": ("in", -6),
    "uin": ("in", -6),
    "microinch": ("in", -6),
    "microinches": ("in", -6),
}
_REFUSED_SUFFIXES: Final[dict[str, tuple[str, str]]] = {
    "mil": ("Some say mil for a thou and some for a millimetre.", "Write thou or mm."),
    "mils": ("Some say mil for a thou and some for a millimetre.", "Write thou or mm."),
    "cm": ("Bores are not measured in centimetres.", "Write millimetres, mm."),
    "m": ("Bores are not measured in metres.", "Write millimetres, mm."),
    "µ": ("A lone µ is not a unit.", "Write µm."),
    "u": ("A lone u is not a unit.", "Write µm or um."),
    "ft": ("Bores are not measured in feet.", "Write inches, in."),
    "'": ("Bores are not measured in feet.", "Write inches, in."),
    "''": ("Two single marks are not an inch mark.", 'Write in, or one double mark ".'),
}
_CANONICAL = re.compile(r"([0-9]{1,5}(?:\.[0-9]{1,12})?) (mm|in)")
_COUNT = r"(?:half an?|an?|[0-9.,]+(?: and a half)?)"
_SPOKEN = re.compile(
    rf"(?:(?P<thou>{_COUNT}) ?thous?)?(?:(?:^|(?<=u)|(?<=s)) ?(?:and )?(?P<tenths>{_COUNT}) ?tenths?)?", re.IGNORECASE
)
_FRACTION = re.compile(r"(?:(?P<whole>[0-9]{1,3})[ -])?(?P<over>[0-9]{1,3}) ?/ ?(?P<under>[0-9]{1,3})")


@total_ordering
@dataclass(frozen=True, slots=True, eq=False)
class Length:
    """A length exactly as it was typed; two lengths are equal when they are equally long, whatever their units.

    Args:
        value: the number as typed, trailing zeros kept.
        unit: ``"mm"`` or ``"in"``.

    Raises:
        EntryError: the unit is neither, or the number is not finite or longer than any machine.
    """

    value: Decimal
    unit: Unit

    def __post_init__(self) -> None:
        """Put the number into plain notation and refuse what cannot be a length."""
        if self.unit not in UNITS:
            raise EntryError("That is not a unit held here.", given=str(self.unit)[:40], right="Use mm or in.")
        object.__setattr__(self, "value", checked_decimal(self.value, self.value, most_decimals=_MOST_DECIMALS))
        if abs(self._decimal_mm) > LONGEST_MM:
            raise EntryError("That is longer than any machine bores.", given=self.text, right="Enter less than 10 m.")

    @property
    def exact_mm(self) -> Fraction:
        """The length in mm, exact."""
        return Fraction(self._decimal_mm)

    @property
    def mm(self) -> float:
        """The length in mm, the nearest float to the exact value."""
        return float(self._decimal_mm)

    @property
    def _decimal_mm(self) -> Decimal:
        """The length in mm, exact."""
        return self.value if self.unit == "mm" else EXACT.multiply(self.value, MM_PER_INCH)

    @property
    def text(self) -> str:
        """The canonical text, such as ``61.9912 mm``: plain notation, leading zero, trailing zeros kept."""
        return f"{self.value:f} {self.unit}"

    @property
    def decimals(self) -> int:
        """How many decimals were typed."""
        exponent = self.value.as_tuple().exponent
        return -exponent if isinstance(exponent, int) else 0

    def to(self, unit: Unit, decimals: int = 7) -> Length:
        """Return the same length in a unit; inch to mm is exact, mm to inch is rounded half to even.

        Args:
            unit: the unit wanted.
            decimals: decimals of an inch that came from mm; a mm keeps all of its decimals.

        Returns:
            The length in that unit.
        """
        if unit == self.unit:
            return self
        if unit == "mm":
            return Length(EXACT.multiply(self.value, MM_PER_INCH), "mm")
        steps = round(self.exact_mm / Fraction(MM_PER_INCH) * 10**decimals)
        return Length(Decimal(steps).scaleb(-decimals, EXACT), "in")

    def __str__(self) -> str:
        """Return the canonical text."""
        return self.text

    def __eq__(self, other: object) -> bool:
        """Compare by exact value."""
        return self.exact_mm == other.exact_mm if isinstance(other, Length) else NotImplemented

    def __lt__(self, other: Length) -> bool:
        """Compare by exact value."""
        return self.exact_mm < other.exact_mm

    def __hash__(self) -> int:
        """Agree with equality."""
        return hash(self.exact_mm)

    def __bool__(self) -> bool:
        """Tell whether it is anything but zero."""
        return not self.value.is_zero()

    def __neg__(self) -> Length:
        """Return it with the other sign."""
        return Length(self.value.copy_negate(), self.unit)

    def __abs__(self) -> Length:
        """Return it without sign."""
        return Length(self.value.copy_abs(), self.unit)

    def __add__(self, other: Length) -> Length:
        """Return the exact sum, in the common unit or in mm where the units differ."""
        ours, theirs = (self, other) if self.unit == other.unit else (self.to("mm"), other.to("mm"))
        return Length(EXACT.add(ours.value, theirs.value), ours.unit)

    def __sub__(self, other: Length) -> Length:
        """Return the exact difference, in the common unit or in mm where the units differ."""
        return self + -other


def parse_length(
    value: str | float | Decimal | Length, unit: Unit | None = None, *, signed: bool = False, where: str = ""
) -> Length:
    """Read a length as a machinist, a drawing or a program gives it.

    Args:
        value: text such as ``62.004``, ``62,004 mm``, ``Ø2.3622 in``, ``12 µm``, ``2 3/8 in`` or ``3 thou 7 tenths``,
            or a number. A unit that is written wins.
        unit: the unit where none is written, or None to ask for one.
        signed: whether a plus or minus may stand in front.
        where: the field it belongs to, for the message.

    Returns:
        The length, exactly as typed.

    Raises:
        EntryError: it is not one length, could be read in two ways, or cannot be one.
    """
    if isinstance(value, Length):
        length, sign = value, "-" if value.value.is_signed() else ""
    elif isinstance(value, str):
        length, sign = _read_text(value, unit, where)
    elif isinstance(value, int | float | Decimal):
        number = decimal_of(value, where)
        length, sign = _made(number, _needed(unit, value, where), value, where), "-" if number.is_signed() else ""
    else:
        raise EntryError(
            "Nothing was entered." if value is None else f"A {type(value).__name__} is not a length.",
            given=value if value is None else str(value)[:40],
            right='Enter text such as "62.004 mm".',
            where=where,
        )
    if sign and not signed:
        raise EntryError(
            "A size has no sign.",
            given=value if isinstance(value, str) else str(value),
            right="Enter it without plus or minus.",
            where=where,
        )
    return length


def _read_text(given: str, unit: Unit | None, where: str) -> tuple[Length, str]:
    if plain := _CANONICAL.fullmatch(given):  # as it is stored, and read back far more often than it is typed
        return _made(Decimal(plain[1]), _unit(plain[2]), given, where), ""
    text = tidy(given, where)
    refuse_strange_numbers(text, given, where)
    sign, body = split_sign(text)
    if body[:1] in ("Ø", "ø", "⌀"):
        inner, body = split_sign(body[1:].strip())
        sign = sign or inner
    if re.search(r"thou|tenth", body, re.IGNORECASE):
        magnitude, read_unit = _thou_and_tenths(body, unit, given, where), "in"
    else:
        magnitude, read_unit = _number_and_suffix(body, unit, given, where)
    negative = sign == "-" and not magnitude.is_zero()
    return _made(magnitude.copy_negate() if negative else magnitude, _unit(read_unit), given, where), sign


def _number_and_suffix(body: str, unit: Unit | None, given: str, where: str) -> tuple[Decimal, Unit]:
    digits = re.match(r"[0-9.,/ '_-]*(?<!['_ ])", body)
    number = digits[0] if digits else ""
    suffix = body[len(number) :].strip().lower()
    if suffix in _REFUSED_SUFFIXES and number:
        wrong, right = _REFUSED_SUFFIXES[suffix]
        raise EntryError(wrong, given=given, right=right, where=where)
    if suffix and suffix not in _SUFFIXES:
        wrong = "That is not a unit of length held here." if number else "That is not a length."
        raise EntryError(wrong, given=given, right="Enter a number with mm, µm, in, thou or tenths.", where=where)
    if not number:
        raise EntryError("There is no number in it.", given=given, right="Enter digits, such as 62.004.", where=where)
    if "/" in number:
        return _fraction(number, _SUFFIXES[suffix] if suffix else (unit, 0), given, where), "in"
    magnitude = plain_decimal(number, given, where)
    if not suffix:
        return magnitude, _needed(unit, given, where)
    read_unit, places = _SUFFIXES[suffix]
    return magnitude.scaleb(places, EXACT), read_unit


def _fraction(number: str, unit: tuple[Unit | None, int], given: str, where: str) -> Decimal:
    parts = _FRACTION.fullmatch(number)
    if not parts:
        raise EntryError(
            "That is not one length.",
            given=given,
            right="Enter one size, or an inch fraction such as 2 3/8 in.",
            where=where,
        )
    if unit != ("in", 0):
        raise EntryError(
            "A fraction is only read as inches.",
            given=given,
            right="Write in after it, or give a metric size with decimals.",
            where=where,
        )
    whole, over, under = int(parts["whole"] or 0), int(parts["over"]), int(parts["under"])
    if under not in (2, 4, 8, 16, 32, 64, 128) or not 0 < over < under:
        raise EntryError(
            "That is not a fraction of an inch as rules and drawings have it.",
            given=given,
            right="Use halves, quarters, eighths down to 128ths, less than one inch beside the whole inches.",
            where=where,
        )
    return EXACT.add(Decimal(whole), EXACT.divide(Decimal(over), Decimal(under)))


def _thou_and_tenths(body: str, unit: Unit | None, given: str, where: str) -> Decimal:
    if "tenth" in body.lower() and unit == "mm":
        raise EntryError(
            "A tenth means a tenth of a thou, 0.0001 in; in a metric job it could be taken for 0.1 mm.",
            given=given,
            right="Write it in mm or µm, or in inches such as 0.0007 in.",
            where=where,
        )
    parts = _SPOKEN.fullmatch(body)
    if not parts:
        raise EntryError(
            "That is not thou and tenths as they are said.",
            given=given,
            right="Write it as 3 thou 7 tenths, 9.5 thou, 7 tenths or half a tenth.",
            where=where,
        )
    thou = _count(parts["thou"], given, where)
    tenths = _count(parts["tenths"], given, where)
    if parts["thou"] and parts["tenths"] and (thou != thou.to_integral_value() or tenths >= 10):
        raise EntryError(
            "Beside tenths the thou must be whole, and ten tenths are a thou.",
            given=given,
            right="Write it as 3 thou 7 tenths, or in inches such as 0.0037 in.",
            where=where,
        )
    thou_in, tenths_in = thou.scaleb(-3, EXACT), tenths.scaleb(-4, EXACT)
    if not parts["thou"]:
        return tenths_in
    return EXACT.add(thou_in, tenths_in) if parts["tenths"] else thou_in


def _count(words: str | None, given: str, where: str) -> Decimal:
    if words is None:
        return Decimal(0)
    words = words.lower()
    if words.startswith("half"):
        return Decimal("0.5")
    if words in ("a", "an"):
        return Decimal(1)
    digits, _, half = words.partition(" ")
    return EXACT.add(plain_decimal(digits, given, where), Decimal("0.5" if half else 0))


def _needed(unit: Unit | None, given: object, where: str) -> Unit:
    if unit is None:
        raise EntryError("The unit is missing.", given=given, right="Write mm or in after the number.", where=where)
    return unit


def _unit(unit: str) -> Unit:
    return "in" if unit == "in" else "mm"


def _made(number: Decimal, unit: Unit, given: object, where: str) -> Length:
    try:
        return Length(checked_decimal(number, given, where), unit)
    except EntryError as error:
        raise EntryError(error.wrong, given=given, right=error.right, where=where) from None
