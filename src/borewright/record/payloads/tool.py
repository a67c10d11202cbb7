"""What happens to an assembled tool."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from borewright.errors import EntryError
from borewright.quantity.length import Length
from borewright.record import fields
from borewright.record.fields import Payload
from borewright.record.payloads.shared import Adjuster


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembled(Payload):
    """Parts were joined into a tool that cuts."""

    adjuster: Adjuster = fields.group("what changes its diameter.", Adjuster)
    name: str | None = fields.text("what the tool is called.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Set(Payload):
    """The tool was set and measured off the machine."""

    diameter: Length = fields.length("its diameter as measured, at rest.", zero=False)
    locked: bool | None = fields.flag("whether it was measured locked; locked where nothing is said.", optional=True)
    length: Length | None = fields.length("its length.", optional=True)
    nose_radius: Length | None = fields.length("nose radius of the insert.", optional=True)
    run_out: Length | None = fields.length("run-out.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seated(Payload):
    """The tool was put in the spindle."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved(Payload):
    """The tool's diameter was changed in the spindle."""

    lines: Decimal | None = fields.number(
        "lines turned on a dial; plus opens.", low="-5000", high="5000", optional=True
    )
    change: Length | None = fields.length(
        "change on the diameter, after locking; plus opens.", signed=True, optional=True
    )
    shown_unlocked: Length | None = fields.length(
        "change that the readout showed before locking, as it shows it.", signed=True, optional=True
    )
    shown_locked: Length | None = fields.length(
        "change that the readout showed after locking, as it shows it.", signed=True, optional=True
    )
    take_up: bool | None = fields.flag("whether the last approach was by opening.", optional=True)

    def __post_init__(self) -> None:
        ways = [name for name in ("lines", "change", "shown_locked") if getattr(self, name) is not None]
        if not ways and self.shown_unlocked is None:
            raise EntryError(
                "How far it was moved is missing.",
                right='Give lines for a dial, or change such as "+0.0095 in" for a readout or an offset.',
            )
        if self.lines is not None and (len(ways) > 1 or self.shown_unlocked is not None):
            raise EntryError("It is given both in lines and as a length.", right="Give one of them.")


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeChanged(Payload):
    """The insert was indexed or changed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown(Payload):
    """What the indicator showed at one place of a proof."""

    at: str = fields.choice("where the adjuster stood.", "opened", "locked", "back", "home", "line")
    shown: Length = fields.length("what the indicator showed, from its zero; plus is outward.", signed=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofReadings(Payload):
    """The readings of a proof, in the order in which they were taken."""

    lines: int = fields.whole("lines or steps that were opened in each round.", 2, 5000)
    step: Length = fields.length("smallest step of the indicator.", zero=False)
    shown: tuple[Shown, ...] = fields.groups("what it showed, on the radius.", Shown)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proved(Payload):
    """The adjuster was tested with an indicator on the tip."""

    line: Length = fields.length("what one line or step came to, on the diameter.", zero=False)
    within: Length = fields.length("standard deviation of that.", zero=False)
    backlash: Length | None = fields.length("backlash found, on the diameter.", optional=True)
    backlash_within: Length | None = fields.length("standard deviation of that.", optional=True)
    lock_shift: Length | None = fields.length("mean lock shift found, on the diameter.", signed=True, optional=True)
    lock_shift_within: Length | None = fields.length("standard deviation of that.", optional=True)
    lock_scatter: Length | None = fields.length("standard deviation of one lock shift.", optional=True)
    stuck_below: Length | None = fields.length(
        "moves smaller than this may stick, on the diameter, and come with the next.", optional=True
    )
    readings: ProofReadings | None = fields.group(
        "the readings that it rests on, where they were kept.", ProofReadings, optional=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Retired(Payload):
    """The tool was taken apart or put out of use."""

    reason: str = fields.text("why.")
