"""Deviations of ISO 286 hole classes to 500 mm; a cell that the tables leave empty is never filled in."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Final

from borewright.callout.iso286_tables import (
    DELTA_UM,
    FINE_STEPS_MM,
    J_UPPER_UM,
    LOWER_UM,
    SHAFT_LOWER_UM,
    STEPS_MM,
    TOLERANCE_UM,
    Row,
)
from borewright.errors import EntryError, NotHeldError
from borewright.quantity.number import EXACT

SOURCE: Final = "ISO 286-1:2010"
LARGEST_MM: Final = STEPS_MM[-1]
LETTERS: Final = (*LOWER_UM, "J", "JS", *SHAFT_LOWER_UM)

_HELD: Final = "Held are holes A to H, J6 to J8, JS, K to ZC, grades 01 to 18, up to 500 mm."
_KNOWN_NOT_HELD: Final = ("CD", "EF", "FG")


def tolerance_um(size_mm: Decimal, grade: str) -> Decimal:
    """Return the width of the tolerance of a grade.

    Args:
        size_mm: nominal size, mm, above 0 to 500.
        grade: ``"01"``, ``"0"``, ``"1"`` to ``"18"``.

    Returns:
        The width, µm.

    Raises:
        NotHeldError: the grade or the size is not in the table.

    Source: [iso286-1-2010] Table 1. IT14 and above are not for sizes up to 1 mm (from memory).
    """
    if grade not in TOLERANCE_UM:
        raise NotHeldError("There is no such grade held.", given=f"IT{grade}", right=_HELD)
    if size_mm <= 1 and grade not in ("01", "0") and int(grade) >= 14:
        raise NotHeldError("Up to 1 mm there is no grade above IT13.", given=f"{size_mm} mm IT{grade}", right=_HELD)
    return _cell(TOLERANCE_UM[grade], STEPS_MM, size_mm, f"IT{grade}")


def hole_deviations_um(size_mm: Decimal, letter: str, grade: str) -> tuple[Decimal, Decimal]:
    """Return the lower and upper deviation of a hole class, EI and ES.

    A to H have EI in the table and ES = EI + IT. JS is ±IT/2, exact also where IT is odd. J has ES in the table. K to
    ZC come from the shaft of the same letter: ES = -ei + Δ for K, M, N to IT8 and P to ZC to IT7, above that ES = -ei,
    but 0 for N over 3 mm; and EI = ES - IT. Δ is zero up to 3 mm.

    Args:
        size_mm: nominal size, mm, above 0 to 500.
        letter: capital letters, such as ``"H"`` or ``"JS"``.
        grade: ``"01"``, ``"0"``, ``"1"`` to ``"18"``.

    Returns:
        EI and ES, µm, exact.

    Raises:
        EntryError: the letter is not one of the standard's hole letters.
        NotHeldError: the class or the size is not in the tables held.

    Source: [iso286-1-2010] Tables 1 to 3. K above IT8 over 3 mm, and A, B and N above IT8 up to 1 mm, are empty cells:
        [machinerys-handbook-31] Table 6a.
    """
    width = tolerance_um(size_mm, grade)
    name = f"{size_mm} mm {letter}{grade}"
    if letter == "JS":
        half = EXACT.divide(width, Decimal(2))
        return half.copy_negate(), half
    if letter in LOWER_UM:
        lower = _lower_um(size_mm, letter, name)
        return lower, EXACT.add(lower, width)
    if letter == "J":
        if grade not in J_UPPER_UM:
            raise NotHeldError("J is held in grades 6, 7 and 8 only.", given=name, right="Use JS, or write the limits.")
        upper = _cell(J_UPPER_UM[grade], STEPS_MM, size_mm, name)
    elif letter in SHAFT_LOWER_UM:
        upper = _upper_um(size_mm, letter, grade, name)
    else:
        raise _unknown(letter, name)
    return EXACT.subtract(upper, width), upper


def _lower_um(size_mm: Decimal, letter: str, name: str) -> Decimal:
    if letter in "AB" and size_mm <= 1:
        raise _empty(name)
    return _cell(LOWER_UM[letter], FINE_STEPS_MM if letter in "ABC" else STEPS_MM, size_mm, name)


def _upper_um(size_mm: Decimal, letter: str, grade: str, name: str) -> Decimal:
    number = 0 if grade == "01" else int(grade)
    if letter == "M" and grade == "6" and Decimal(250) < size_mm <= Decimal(315):
        return Decimal(-9)  # the table's own exception; the rule gives -11
    if (letter == "K" and number > 8 and size_mm > 3) or (letter == "N" and number > 8 and size_mm <= 1):
        raise _empty(name)
    if letter == "N" and number > 8 and size_mm > 3:
        return Decimal(0)
    steps = STEPS_MM if letter in "KMNP" else FINE_STEPS_MM
    shaft = _cell(SHAFT_LOWER_UM[letter], steps, size_mm, name)
    return EXACT.add(shaft.copy_negate(), _delta_um(size_mm, letter, grade, name))


def _delta_um(size_mm: Decimal, letter: str, grade: str, name: str) -> Decimal:
    last = 8 if letter in "KMN" else 7
    number = 0 if grade == "01" else int(grade)
    if size_mm <= 3 or number > last:
        return Decimal(0)
    if grade not in DELTA_UM:
        raise NotHeldError(
            f"Over 3 mm {letter} is held from grade 3 only.",
            given=name,
            right="Write the limits as the drawing has them.",
        )
    return _cell(DELTA_UM[grade], STEPS_MM, size_mm, name)


def _cell(row: Row, ends: tuple[Decimal, ...], size_mm: Decimal, name: str) -> Decimal:
    if not 0 < size_mm <= LARGEST_MM:
        raise NotHeldError("Classes are held above 0 and up to 500 mm.", given=name, right="Write the limits instead.")
    value = row[next(place for place, end in enumerate(ends) if size_mm <= end)]
    if value is None:
        raise _empty(name)
    return value


def _empty(name: str) -> NotHeldError:
    return NotHeldError(
        "The standard's table leaves this class empty at this size.",
        given=name,
        right="Check the class, or write the limits as the drawing has them.",
    )


def _unknown(letter: str, name: str) -> EntryError | NotHeldError:
    if letter in _KNOWN_NOT_HELD:
        return NotHeldError(f"The class {letter} is not held.", given=name, right=_HELD)
    if re.fullmatch(r"[a-z]+", letter):
        return EntryError(
            "Small letters are shaft classes.", given=name, right="Write the hole's class with a capital, such as H6."
        )
    if not letter.isupper():
        return EntryError(
            f"{letter} is not a hole class.", given=name, right=f"Write it in capitals: {letter.upper()}."
        )
    return EntryError(f"{letter} is not a hole class.", given=name, right=_HELD)
