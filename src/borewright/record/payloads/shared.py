"""Payloads that every stream knows, and the groups of fields that several payloads use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from borewright.errors import EntryError
from borewright.quantity.length import Length
from borewright.record.fields import Payload, choice, free, length, number, text, whole
from borewright.record.stream import Plain

NOT_KNOWN = "not known"
"""What an adjuster speaks of, where nobody knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted(Payload):
    """Words for whoever comes after."""

    text: str = text("the words of the note.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrected(Payload):
    """An earlier event of the same stream is replaced or withdrawn; the latest correction of it holds."""

    event_number: int = whole("the number of the event that is corrected.", 1, 10**9)
    replacement: Mapping[str, Plain] | None = free("the whole payload that holds instead.", optional=True)
    reason: str | None = text("why.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjuster(Payload):
    """What changes the tool's diameter, in its own terms.

    A dial has lines; a direct readout and an offset at the control have a smallest step. ``on`` says whether the
    figures on it speak of the diameter or of the radius; where nobody knows, of the radius, so that no move opens the
    tool further than it was meant to.
    """

    kind: str = choice("what the adjuster is.", "dial", "direct", "offset")
    on: str = choice("whether its figures speak of the diameter or the radius.", "diameter", "radius", NOT_KNOWN)
    line: Length | None = length("what one line of the dial is worth.", zero=False, optional=True)
    lines_per_turn: int | None = whole("lines in one turn of the dial.", 2, 1000, optional=True)
    split: int | None = whole("into how many parts a line may be split by eye; 1 is none.", 1, 10, optional=True)
    step: Length | None = length("smallest step of the readout or offset.", zero=False, optional=True)
    zeroed: str | None = choice(
        "whether the readout was zeroed locked or unlocked.", "locked", "unlocked", optional=True
    )

    def __post_init__(self) -> None:
        if self.kind == "dial" and self.line is None:
            raise EntryError(
                "A dial needs the worth of one line.", right='Give line, such as "0.002 mm".', where="line"
            )
        if self.kind != "dial" and self.step is None:
            raise EntryError(
                "A readout or an offset needs its smallest step.", right='Give step, such as "0.001 mm".', where="step"
            )
        if self.kind == "dial" and self.step is not None:
            raise EntryError("A dial has lines, not steps.", given=self.step.text, right="Give line.", where="step")
        if self.kind != "dial" and self.line is not None:
            raise EntryError("Only a dial has lines.", given=self.line.text, right="Give step instead.", where="line")

    @property
    def per_diameter(self) -> int:
        """How many of its own units make one on the diameter: 1, or 2 where it may speak of the radius."""
        return 1 if self.on == "diameter" else 2

    @property
    def grain_mm(self) -> float:
        """Smallest change that it can be set to, on the diameter, mm."""
        unit = self.line if self.line is not None else self.step
        assert unit is not None
        return unit.mm * self.per_diameter / (self.split or 1)

    @property
    def line_mm(self) -> float:
        """What one line or one step is worth on the diameter, mm."""
        return self.grain_mm * (self.split or 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Place(Payload):
    """Where in the bore a reading was taken."""

    depth: Length | None = length("how far below the mouth.", optional=True)
    direction_deg: Decimal | None = number("direction across the bore, degrees.", low="-360", high="360", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class StreamRef(Payload):
    """Another stream as it stood, and the values of it that were used."""

    id: str = text("the other stream's identity.")
    number: int = whole("how many of its events were taken in.", 0, 10**9)
    snapshot: Mapping[str, Plain] | None = free("the values used.", optional=True)
