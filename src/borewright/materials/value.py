"""A value of a material: what it is, how wide, how sure, and from where."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from borewright.errors import EntryError

Certainty: TypeAlias = Literal["read", "fitted", "memory", "shop"]

SAID: Final[dict[Certainty, str]] = {
    "read": "read in its source",
    "fitted": "fitted to values read in its source",
    "memory": "from memory, to be overwritten",
    "shop": "the shop's own",
}


@dataclass(frozen=True, slots=True)
class Value:
    """One value with its width and its ground.

    Args:
        value: the best estimate, in the unit that its name says.
        sd: one standard deviation, same unit.
        certainty: how sure its source is.
        source: where it comes from, in words.
    """

    value: float
    sd: float
    certainty: Certainty
    source: str

    def __post_init__(self) -> None:
        """Refuse what is no value."""
        if not (math.isfinite(self.value) and math.isfinite(self.sd) and self.sd >= 0.0):
            raise EntryError(
                "A value and a width of zero or more are wanted.",
                given=f"{self.value} within {self.sd}",
                right="Give both as plain numbers.",
            )

    @property
    def relative(self) -> float:
        """The standard deviation as a share of the value; 0 for a value of nothing."""
        return self.sd / abs(self.value) if self.value else 0.0

    def widened(self, share: float, because: str) -> Value:
        """Return the value with more width.

        Args:
            share: what is added to its relative standard deviation, in quadrature.
            because: the ground, put behind the source.

        Returns:
            The wider value.
        """
        sd = math.hypot(self.sd, share * abs(self.value))
        return Value(self.value, sd, self.certainty, f"{self.source}; {because}")
