"""What the drawing asks of a bore: its limits, exact, and how they were written."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from borewright.errors import EntryError
from borewright.quantity import Length, Unit
from borewright.quantity.number import EXACT

AS_WRITTEN: Final = "as written"


@dataclass(frozen=True, slots=True)
class Callout:
    """The limits of a bore's diameter, and where they come from.

    Args:
        written: the callout as it was entered.
        unit: the unit it is worked in.
        lower: smallest diameter allowed.
        upper: largest diameter allowed.
        nominal: the size the deviations are counted from, or None where only limits are written.
        designation: the class of the hole such as ``H6``, the fit such as ``RC3``, or None.
        source: the table the limits come from with its edition, or ``as written``.

    Raises:
        EntryError: the limits are not two sizes above zero with the smaller one first.
    """

    written: str
    unit: Unit
    lower: Length
    upper: Length
    nominal: Length | None = None
    designation: str | None = None
    source: str = AS_WRITTEN

    def __post_init__(self) -> None:
        """Refuse limits that no hole can be between."""
        if self.lower.value <= 0:
            raise EntryError(
                "The lower limit is not above zero.", given=self.written, right="Check the size and the deviations."
            )
        if not self.lower < self.upper:
            raise EntryError(
                "The two limits leave nothing between them.", given=self.written, right="Give two different limits."
            )

    @property
    def lower_mm(self) -> float:
        """Smallest diameter allowed, mm."""
        return self.lower.mm

    @property
    def upper_mm(self) -> float:
        """Largest diameter allowed, mm."""
        return self.upper.mm

    @property
    def mid(self) -> Length:
        """The diameter midway between the limits, exact."""
        both = self.lower + self.upper
        return Length(EXACT.divide(both.value, Decimal(2)), both.unit)

    @property
    def mid_mm(self) -> float:
        """The diameter midway between the limits, mm."""
        return self.mid.mm

    @property
    def tolerance(self) -> Length:
        """What lies between the limits, exact."""
        return self.upper - self.lower

    @property
    def tolerance_mm(self) -> float:
        """What lies between the limits, mm."""
        return self.tolerance.mm

    def plain(self) -> dict[str, str | None]:
        """Return it as plain values.

        Returns:
            Texts; lengths carry their unit.
        """
        return {
            "written": self.written,
            "unit": self.unit,
            "lower": self.lower.text,
            "mid": self.mid.text,
            "upper": self.upper.text,
            "tolerance": self.tolerance.text,
            "nominal": self.nominal.text if self.nominal else None,
            "designation": self.designation,
            "source": self.source,
        }
