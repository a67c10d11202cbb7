"""What happens to a gauge, and to the rings and blocks that gauges are set on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from borewright.errors import EntryError
from borewright.gauging.instruments import INSTRUMENTS
from borewright.quantity.length import Length
from borewright.record.fields import Payload, celsius, choice, day, group, length, number, text, whole
from borewright.record.payloads.shared import StreamRef

MASTERS = ("ring", "blocks")
"""What has a record of its own as gauges have, and is calibrated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Described(Payload):
    """What the gauge or the master is, and which way its needle goes."""

    instrument: str = choice("what it is.", *(each.name for each in INSTRUMENTS), *MASTERS)
    step: Length | None = length("smallest step that it shows.", zero=False, optional=True)
    travel: Length | None = length("how far it goes either way of its zero.", zero=False, optional=True)
    needle: str | None = choice("what its face shows more of for a larger hole.", "plus", "minus", optional=True)
    ring_class: str | None = choice("a ring's class.", "XXX", "XX", "X", "Y", "Z", optional=True)
    material: str | None = text("what it is made of; steel where nothing is said.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Certified(Payload):
    """A master was calibrated: from then on its size is the one on the certificate."""

    size: Length = length("its size at 20 °C.", zero=False)
    expanded: Length = length("expanded uncertainty of that.", zero=False)
    factor: Decimal | None = number(
        "coverage factor of that; 2 where it is left out.", low="1", high="4", optional=True
    )
    report: str | None = text("the number on the certificate.", optional=True)
    dated: date | None = day("when it was calibrated.", optional=True)
    due: date | None = day("until when the certificate holds.", optional=True)

    def __post_init__(self) -> None:
        if self.dated is not None and self.due is not None and self.due <= self.dated:
            raise EntryError(
                "A certificate cannot fall due before it was given.",
                given=f"{self.dated} to {self.due}",
                right="Check both days.",
                where="due",
            )

    @property
    def u_mm(self) -> float:
        """Standard uncertainty of the size, mm."""
        return self.expanded.mm / float(self.factor or 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOn(Payload):
    """The gauge was set on a master: a new setting begins, with a common error of its own."""

    on: str | None = choice("what it was set on.", "ring", "blocks", "anvils", optional=True)
    size: Length = length("the master's size at 20 °C.", zero=False)
    gauge_celsius: Decimal | None = celsius("the gauge's temperature.", optional=True)
    celsius: Decimal | None = celsius("the master's temperature.", optional=True)
    master: str | None = text("name of the master's own record.", optional=True)
    certificate: StreamRef | None = group(
        "the master's certificate as it stood; the record gives it.", StreamRef, optional=True
    )
    master_u: Length | None = length(
        "standard uncertainty of the master's size; of a master on record its certificate or class gives it.",
        zero=False,
        optional=True,
    )
    master_material: str | None = text(
        "what the master is made of, steel where nothing is said; of one on record the record gives it.", optional=True
    )

    def __post_init__(self) -> None:
        if self.master_u is not None and self.master_u.mm > 0.005 * self.size.mm:
            raise EntryError(
                "No master is known that badly.",
                given=self.master_u.text,
                right="Give the standard uncertainty of its size, and check the unit.",
                where="master_u",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rechecked(Payload):
    """The gauge was read on its master again, without being set anew."""

    size: Length = length("the master's size at 20 °C.", zero=False)
    as_read: Length = length("what the gauge showed on it.", zero=False)
    celsius: Decimal | None = celsius("the master's temperature.", optional=True)
    master: str | None = text("name of the master's own record.", optional=True)
    certificate: StreamRef | None = group(
        "the master's certificate as it stood; the record gives it.", StreamRef, optional=True
    )
    master_material: str | None = text(
        "what the master is made of, steel where nothing is said; of one on record the record gives it.", optional=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Studied(Payload):
    """The gauge's scatter was found by a study."""

    scatter: Length = length("standard deviation of one reading.", zero=False)
    dof: int | None = whole("degrees of freedom of that.", 1, 10**6, optional=True)
    reproducibility: Length | None = length("standard deviation between people.", optional=True)
    method: str | None = text("how it was found.", optional=True)
    readings: int | None = whole("how many readings it rests on.", 2, 10**6, optional=True)
    says: str | None = text("what it says to do.", optional=True)
