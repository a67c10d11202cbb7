"""What happens to a bore after its opening."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from borewright.quantity.length import Length
from borewright.record.fields import Payload, celsius, choice, flag, free, group, length, number, text
from borewright.record.payloads.shared import Place, StreamRef
from borewright.record.stream import Plain

HELD = ("in the machine", "clamped out of it", "free")
"""How a part may be held when it is measured: where it was cut, clamped elsewhere, or in its free state."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleChecked(Payload):
    """The hole was measured before a pass."""

    as_read: Length = length("what the gauge showed.", zero=False)
    place: Place | None = group("where in the bore.", Place, optional=True)
    state: str | None = choice("how the part was held.", *HELD, optional=True)
    probe: bool | None = flag(
        "whether the machine's own probe took it; as the gauge's record says, where nothing is said.", optional=True
    )
    tool: StreamRef | None = group("the tool as it stood; the record gives it.", StreamRef, optional=True)
    gauge: StreamRef | None = group("the gauge as it stood; the record gives it.", StreamRef, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Passed(Payload):
    """A pass was cut."""

    depth: str | None = choice("through the bore, or a trial at its mouth.", "full", "trial", optional=True)
    tool: StreamRef | None = group("the tool as it stood; the record gives it.", StreamRef, optional=True)
    gauge: StreamRef | None = group("the gauge as it stood; the record gives it.", StreamRef, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Read(Payload):
    """The gauge was read after a pass."""

    as_read: Length = length("what the gauge showed, before any correction.", zero=False)
    place: Place | None = group("where in the bore.", Place, optional=True)
    state: str | None = choice("how the part was held.", *HELD, optional=True)
    probe: bool | None = flag(
        "whether the machine's own probe took it; as the gauge's record says, where nothing is said.", optional=True
    )
    tool: StreamRef | None = group("the tool as it stood; the record gives it.", StreamRef, optional=True)
    gauge: StreamRef | None = group("the gauge as it stood; the record gives it.", StreamRef, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperature(Payload):
    """A temperature was taken."""

    of: str = choice("what it was taken of.", "part", "tool", "room")
    celsius: Decimal = celsius("the temperature.")
    when: str | None = choice("whether it held at the last cut or holds now.", "cut", "now", optional=True)
    tool: StreamRef | None = group("the tool as it stood; the record gives it.", StreamRef, optional=True)
    gauge: StreamRef | None = group("the gauge as it stood; the record gives it.", StreamRef, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamped(Payload):
    """The part was clamped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unclamped(Payload):
    """The clamps were let go: the bore is now in its free state."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Waited(Payload):
    """The part was left to come to its room's temperature."""

    minutes: Decimal = number("for how many minutes.", low="0", high="100000")


@dataclass(frozen=True, slots=True, kw_only=True)
class Advised(Payload):
    """An advice that somebody acted upon, with the numbers as they were shown."""

    model: str = text("the model that gave it.")
    action: str = text("what it said to do.")
    shown: Mapping[str, Plain] = free("the numbers shown.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Released(Payload):
    """The bore was released, with what the person who did it had in view."""

    verdict: str = choice("the verdict shown.", "in")
    probability: Decimal = number("the probability shown that the whole bore is within limits.", low="0", high="1")
    rule: str = text("the rule shown.")
    size: Length = length("the size shown, at 20 °C.")
    expanded: Length = length("its expanded uncertainty as shown.")
    tool: StreamRef | None = group("the tool as it stood; the record gives it.", StreamRef, optional=True)
    gauge: StreamRef | None = group("the gauge as it stood; the record gives it.", StreamRef, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Quarantined(Payload):
    """The bore was set aside as not shown good."""

    reason: str = text("why.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reopened(Payload):
    """A released or quarantined bore is taken up again."""

    reason: str = text("why.")
