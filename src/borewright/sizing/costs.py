"""What things cost, all in the same unit; one pass is 1 where nothing else is said."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from borewright.record.payloads.opened import CostFacts


@dataclass(frozen=True, slots=True)
class Costs:
    """Costs that the plan weighs against each other.

    Args:
        pass_: one pass through the bore.
        trial: one trial cut at the mouth.
        measurement: one measurement of two readings.
        wait: an hour of waiting for a part to come to its room's temperature.
        scrap: a part lost, or set aside as not shown good.
        escape: a bad hole released.
    """

    pass_: float = 1.0
    trial: float = 0.6
    measurement: float = 0.2
    wait: float = 6.0
    scrap: float = 60.0
    escape: float = 120.0

    @classmethod
    def of(cls, facts: CostFacts | None) -> Costs:
        """Take the costs that were typed, and the usual proportion to a pass for those that were not.

        Args:
            facts: what was typed, or None.

        Returns:
            The costs.
        """
        usual = cls()
        if facts is None:
            return usual
        pass_ = usual.pass_ if facts.pass_ is None else float(facts.pass_)
        return cls(
            pass_=pass_,
            trial=usual.trial * pass_ if facts.trial is None else float(facts.trial),
            measurement=usual.measurement * pass_ if facts.measurement is None else float(facts.measurement),
            wait=usual.wait * pass_ if facts.wait is None else float(facts.wait),
            scrap=usual.scrap * pass_ if facts.scrap is None else float(facts.scrap),
            escape=usual.escape * pass_ if facts.escape is None else float(facts.escape),
        )

    def facts(self) -> CostFacts:
        """Return the costs as they are stored.

        Returns:
            All of them, as decimals.
        """
        return CostFacts(
            pass_=_decimal(self.pass_),
            trial=_decimal(self.trial),
            measurement=_decimal(self.measurement),
            wait=_decimal(self.wait),
            scrap=_decimal(self.scrap),
            escape=_decimal(self.escape),
        )


def _decimal(value: float) -> Decimal:
    return Decimal(repr(value))
