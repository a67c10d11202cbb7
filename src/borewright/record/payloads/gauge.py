"""What happens to a gauge."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from borewright.quantity.length import Length
from borewright.record.fields import Payload, celsius, choice, length


@dataclass(frozen=True, slots=True, kw_only=True)
class SetOn(Payload):
    """The gauge was set on a master: a new setting begins, with a common error of its own."""

    on: str | None = choice("what it was set on.", "ring", "blocks", "anvils", optional=True)
    size: Length = length("the master's size at 20 °C.", zero=False)
    celsius: Decimal | None = celsius("the master's temperature.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rechecked(Payload):
    """The gauge was read on its master again, without being set anew."""

    size: Length = length("the master's size at 20 °C.", zero=False)
    as_read: Length = length("what the gauge showed on it.", zero=False)
    celsius: Decimal | None = celsius("the master's temperature.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Studied(Payload):
    """The gauge's scatter was found by a study."""

    scatter: Length = length("standard deviation of one reading.", zero=False)
