"""Hole limits of ANSI B4.1 inch classes H5 to H8, and which of them each inch fit has for its hole."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Final

from borewright.errors import NotHeldError

SOURCE: Final = "ANSI B4.1-1967, Machinery's Handbook 31st ed. Table 8a"

_ENDS = "0.12 0.24 0.40 0.71 1.19 1.97 3.15 4.73 7.09 9.85"
STEPS_IN: Final = tuple(Decimal(end) for end in _ENDS.split())
"""Upper ends of the size steps, inches; a step runs over one end, up to and including the next."""

UPPER_THOU: Final[Mapping[str, tuple[Decimal, ...]]] = MappingProxyType(
    {
        grade: tuple(Decimal(cell) for cell in cells.split())
        for grade, cells in (
            ("H5", "0.2 0.2 0.25 0.3 0.4 0.4 0.5 0.6 0.7 0.8"),
            ("H6", "0.25 0.3 0.4 0.4 0.5 0.6 0.7 0.9 1.0 1.2"),
            ("H7", "0.4 0.5 0.6 0.7 0.8 1.0 1.2 1.4 1.6 1.8"),
            ("H8", "0.6 0.7 0.9 1.0 1.2 1.6 1.8 2.2 2.5 2.8"),
        )
    }
)
"""Upper limit deviation of the hole, thousandths of an inch; the lower is 0. [machinerys-handbook-31] Table 8a."""

HOLE_OF_FIT: Final[Mapping[str, str]] = MappingProxyType(
    {
        "RC1": "H5",
        "RC2": "H6",
        "RC3": "H7",
        "RC4": "H8",
        "RC5": "H8",
        "LT1": "H7",
        "LT2": "H8",
        "LT3": "H7",
        "LT4": "H8",
        "LT5": "H7",
        "LT6": "H7",
        "LN1": "H6",
        "LN2": "H7",
        "LN3": "H7",
        "FN1": "H6",
        "FN2": "H7",
        "FN3": "H7",
        "FN4": "H7",
        "FN5": "H8",
    }
)
"""The hole of each fit: [machinerys-handbook-31] Tables 8a and 8b (RC), 10 (LT), 12 (LN); FN from Table 11 of the 27th
edition."""

FIT_LETTERS: Final = ("RC", "LC", "LT", "LN", "FN")
_HELD: Final = "Held are H5 to H8 and the holes of RC1 to RC5, LT1 to LT6, LN1 to LN3, FN1 to FN5, up to 9.85 in."


def hole_deviations_thou(size_in: Decimal, designation: str) -> tuple[Decimal, Decimal]:
    """Return the lower and upper deviation of an inch hole class, or of the hole of an inch fit.

    Args:
        size_in: nominal size, inches, above 0 to 9.85.
        designation: such as ``"H6"`` or ``"RC3"``.

    Returns:
        Lower (0) and upper deviation, thousandths of an inch, exact.

    Raises:
        NotHeldError: the class, the fit or the size is not held.

    Source: [machinerys-handbook-31] Table 8a.
    """
    given = f"{size_in} in {designation}"
    grade = HOLE_OF_FIT.get(designation, designation)
    if grade not in UPPER_THOU:
        raise NotHeldError("That inch class is not held.", given=given, right=_HELD)
    if not 0 < size_in <= STEPS_IN[-1]:
        raise NotHeldError(
            "Inch classes are held above 0 and up to 9.85 in.",
            given=given,
            right="Write the limits, or mm after the size where it is metric.",
        )
    place = next(place for place, end in enumerate(STEPS_IN) if size_in <= end)
    return Decimal(0), UPPER_THOU[grade][place]
