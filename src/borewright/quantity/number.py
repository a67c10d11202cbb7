"""Numbers as people type them: exact decimals with a point or a comma, counts, and temperatures."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction
from typing import Final

from borewright.errors import EntryError

EXACT: Final = Context(prec=80, rounding=ROUND_HALF_EVEN)
"""Wide enough that no sum or product of entries is ever rounded; the caller's own decimal context is never used."""

MOST_DECIMALS: Final = 24
"""Of an entry; a sum, a conversion or a midway size may have more."""

MOST_CHARACTERS: Final = 120
COLDEST_CELSIUS: Final = Decimal(-30)
HOTTEST_CELSIUS: Final = Decimal(120)
SHOP_CELSIUS: Final = (Decimal(5), Decimal(50))
"""Coldest and hottest at which anything is measured. Common practice, no source."""

_PLAIN = re.compile(r"[0-9]+[.,]?[0-9]*|[.,][0-9]+")
_EXPONENT = re.compile(r"[0-9.,]\s*[eE]\s*[+-]?[0-9]")
_NOT_FINITE = re.compile(r"[+-]?\s*(?:s?nan|inf|infinity|∞)", re.IGNORECASE)
_SAME = str.maketrans(
    {
        "\u00a0": " ",
        "\u2009": " ",
        "\u202f": " ",
        "\t": " ",
        "\u2212": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u03bc": "\u00b5",
        "\u201d": '"',
        "\u201c": '"',
        "\u2033": '"',
    }
)
"""Signs that look alike and mean the same: spaces, dashes, the two Greek letters mu, and inch marks."""


def tidy(text: str, where: str = "") -> str:
    """Return a typed entry with look-alike signs made one and outer spaces taken off.

    Args:
        text: the entry as typed.
        where: the field it belongs to, for the message.

    Returns:
        The same entry, one space where there were several.

    Raises:
        EntryError: nothing was entered, or far too much.
    """
    if len(text) > MOST_CHARACTERS:
        raise EntryError(
            f"That is {len(text)} characters long, too long for an entry.",
            given=text[:40] + "…",
            right=f"Enter one value, at most {MOST_CHARACTERS} characters.",
            where=where,
        )
    same = re.sub(" +", " ", text.translate(_SAME)).strip()
    if not same:
        raise EntryError("Nothing was entered.", given=text, right="Enter a number.", where=where)
    return same


def refuse_strange_numbers(text: str, given: object, where: str = "") -> None:
    """Refuse what computers call numbers and people at a machine do not: exponents, infinity, not-a-number.

    Args:
        text: the tidied entry.
        given: the entry as it was given, for the message.
        where: the field it belongs to.

    Raises:
        EntryError: the entry holds one of those.
    """
    if _NOT_FINITE.fullmatch(text):
        raise EntryError("That is not a number that can be measured.", given=given, right="Enter digits.", where=where)
    if _EXPONENT.search(text):
        raise EntryError(
            "A power of ten is too easily misread here.",
            given=given,
            right="Write the number out, such as 0.0003.",
            where=where,
        )


def plain_decimal(digits: str, given: object, where: str = "") -> Decimal:
    """Return an unsigned number exactly as typed; point and comma both separate decimals.

    Args:
        digits: digits with at most one point or comma.
        given: the whole entry, for the message.
        where: the field it belongs to.

    Returns:
        The number with its trailing zeros.

    Raises:
        EntryError: it is not one number, or could be read in two ways.
    """
    if "." in digits and "," in digits:
        raise EntryError(
            "A point and a comma in one number can be read in two ways.",
            given=given,
            right="Leave out what separates thousands and keep one decimal point or comma.",
            where=where,
        )
    for separator, name in ((".", "points"), (",", "commas")):
        if digits.count(separator) > 1:
            raise EntryError(
                f"Two decimal {name} in one number can be read in two ways.",
                given=given,
                right=f"Keep one decimal {name[:-1]}.",
                where=where,
            )
    if re.fullmatch(r"[0-9.,]+(?:[ '_][0-9.,]+)+", digits):
        raise EntryError(
            "A gap inside a number can be read in two ways.",
            given=given,
            right="Write the digits of one number without a gap, such as 1500 or 62.004.",
            where=where,
        )
    if not _PLAIN.fullmatch(digits):
        raise EntryError("That is not a number.", given=given, right="Enter digits, such as 62.004.", where=where)
    return checked_decimal(Decimal(digits.replace(",", ".")), given, where)


def checked_decimal(number: Decimal, given: object, where: str = "", most_decimals: int = MOST_DECIMALS) -> Decimal:
    """Return a number in plain notation without a negative zero, if it is one that can be measured.

    Args:
        number: any decimal.
        given: the entry it came from, for the message.
        where: the field it belongs to.
        most_decimals: how many decimals are allowed.

    Returns:
        The same value; the exponent is zero or below.

    Raises:
        EntryError: it is not finite, or has more digits than any measurement has.
    """
    if not number.is_finite():
        raise EntryError("That is not a number that can be measured.", given=given, right="Enter digits.", where=where)
    exponent = number.as_tuple().exponent
    if not isinstance(exponent, int) or exponent < -most_decimals or exponent > 12 or number.adjusted() > 12:
        raise EntryError(
            "That number has more digits than any measurement has.",
            given=given,
            right=f"Enter at most {most_decimals} decimals.",
            where=where,
        )
    if exponent > 0:
        number = number.quantize(Decimal(1), context=EXACT)
    return number.copy_abs() if number.is_zero() else number


def decimal_of(value: float | Decimal, where: str = "") -> Decimal:
    """Return the decimal number a program means by a value; a float by its shortest decimal notation.

    Args:
        value: a number.
        where: the field it belongs to.

    Returns:
        The number, exact.

    Raises:
        EntryError: it is a truth value, not finite, or has too many digits.
    """
    if isinstance(value, bool):
        raise EntryError("Yes or no is not a number.", given=value, right="Enter digits.", where=where)
    if isinstance(value, int) and abs(value) >= 10**12:
        raise EntryError(
            "That number is far too large.",
            given=value,
            right="Enter less than a million millions.",
            where=where,
        )
    number = Decimal(float.__repr__(value)) if isinstance(value, float) else Decimal(value)
    return checked_decimal(number, value, where)


def split_sign(text: str) -> tuple[str, str]:
    """Return the sign in front of an entry, and the rest.

    Args:
        text: a tidied entry.

    Returns:
        ``"+"``, ``"-"`` or ``""``, and what follows it.
    """
    for word, sign in (("+", "+"), ("-", "-"), ("plus ", "+"), ("minus ", "-")):
        if text.lower().startswith(word):
            return sign, text[len(word) :].strip()
    return "", text


def parse_number(
    value: str | float | Decimal,
    where: str = "",
    *,
    low: Decimal | int | None = None,
    high: Decimal | int | None = None,
) -> Decimal:
    """Return a count or a plain number, such as lines of a dial, exactly as typed.

    Args:
        value: text such as ``+9.5`` or ``9,5``, or a number.
        where: the field it belongs to.
        low: the least it may be, or None.
        high: the most it may be, or None.

    Returns:
        The number with its trailing zeros.

    Raises:
        EntryError: it is not one number, or lies outside low to high.
    """
    if isinstance(value, str):
        text = tidy(value, where)
        refuse_strange_numbers(text, value, where)
        sign, digits = split_sign(text)
        magnitude = plain_decimal(digits, value, where)
        number = magnitude.copy_negate() if sign == "-" and not magnitude.is_zero() else magnitude
    else:
        _refuse_other_types(value, where)
        number = decimal_of(value, where)
    if low is not None and number < low:
        raise EntryError(f"That is below {low}.", given=value, right=f"Enter {low} or more.", where=where)
    if high is not None and number > high:
        raise EntryError(f"That is above {high}.", given=value, right=f"Enter {high} or less.", where=where)
    return number


def parse_celsius(value: str | float | Decimal, where: str = "") -> Decimal:
    """Return a temperature in degrees Celsius; Fahrenheit is converted, C = (F - 32)·5/9.

    Args:
        value: text such as ``21.4``, ``21,4 °C`` or ``70 F``, or a number in °C.
        where: the field it belongs to.

    Returns:
        °C exactly as typed; a converted Fahrenheit to 0.01 °C, half to even.

    Raises:
        EntryError: it is not a temperature, or no shop is that cold or hot.
    """
    number, unit = _temperature_parts(value, where)
    if unit == "F":
        hundredths = round((Fraction(number) - 32) * 5 / 9 * 100)
        number = checked_decimal(Decimal(hundredths).scaleb(-2, EXACT), value, where)
    if not COLDEST_CELSIUS <= number <= HOTTEST_CELSIUS:
        raise EntryError(
            f"{number} °C is not a temperature of a part, tool or gauge in a shop.",
            given=value,
            right=f"Enter °C from {COLDEST_CELSIUS} to {HOTTEST_CELSIUS}, or °F marked F.",
            where=where,
        )
    return number


def require_scale_said(value: object, where: str = "") -> None:
    """Refuse a temperature without its letter that no shop has in °C and a shop has in °F: 70 may be either.

    Args:
        value: a temperature as it was entered; anything that is none is passed over.
        where: the field it belongs to.

    Raises:
        EntryError: it is a bare figure over the hottest shop's in °C.
    """
    text = str(value).strip()
    if isinstance(value, bool) or not _PLAIN.fullmatch(text.removeprefix("+")):
        return
    number = Decimal(text.replace(",", "."))
    if not SHOP_CELSIUS[1] < number <= HOTTEST_CELSIUS:
        return
    raise EntryError(
        "That may be °C or °F.", given=value, right=f"Write its letter: {text} C or {text} F.", where=where
    )


def require_shop_celsius(celsius: Decimal | None, what: str, where: str = "") -> None:
    """Refuse a temperature at which nothing is measured: degrees of the other scale, or a sign too many.

    Args:
        celsius: the temperature, °C, or None where it was not taken.
        what: what has it, such as ``part``.
        where: the field it belongs to.

    Raises:
        EntryError: it lies outside 5 to 50 °C.
    """
    coldest, hottest = SHOP_CELSIUS
    if celsius is None or coldest <= celsius <= hottest:
        return
    meant = (celsius - 32) * 5 / 9
    perhaps = f"{celsius} F is {meant:.1f} °C: mark it F if you mean that. " if coldest <= meant <= hottest else ""
    raise EntryError(
        f"No {what} is that {'hot' if celsius > hottest else 'cold'} where it is measured.",
        given=f"{celsius} °C",
        right=f"{perhaps}Give °C from {coldest} to {hottest}; let it settle first.",
        where=where,
    )


def _temperature_parts(value: str | float | Decimal, where: str) -> tuple[Decimal, str]:
    if not isinstance(value, str):
        _refuse_other_types(value, where)
        return decimal_of(value, where), "C"
    text = tidy(value, where)
    refuse_strange_numbers(text, value, where)
    parts = re.fullmatch(r"(.*?)\s*°?\s*([A-Za-z°]*)", text)
    number, unit = (parts[1], parts[2].upper().rstrip("°")) if parts else (text, "")
    if unit == "K":
        raise EntryError(
            "Kelvin is not used at a machine.", given=value, right="Enter °C, or °F marked F.", where=where
        )
    if unit not in ("", "C", "F", "CELSIUS", "FAHRENHEIT"):
        raise EntryError(
            "That is not a unit of temperature.", given=value, right="Enter °C, or °F marked F.", where=where
        )
    return parse_number(number, where) if number else plain_decimal("", value, where), unit[:1]


def _refuse_other_types(value: object, where: str) -> None:
    if not isinstance(value, int | float | Decimal):
        raise EntryError(
            "Nothing was entered." if value is None else f"A {type(value).__name__} is not a number.",
            given=value if value is None else str(value)[:40],
            right="Enter digits.",
            where=where,
        )
