"""Why does it read that: what may lie behind the last readings, whether they surprise or not, and what settles it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from borewright.sizing.belief import Belief, in_force
from borewright.sizing.blunders import weigh
from borewright.sizing.model import Model

Settling: TypeAlias = Literal["read", "rechecked", "temperature", "proved", "noted"]
"""What is entered to settle a question: another reading, the gauge on its ring, the part's temperature, a proof of the
adjuster, or a note of what was looked at."""

NOTHING: Final = "Nothing is wrong"
ORDINARY: Final = "Nothing is wrong: it reads what was to be expected."
"""How the first of the causes is told where the readings do not surprise."""

LEAST_ODDS: Final = 5e-4
"""Odds from which on a cause is named to somebody who asks. Chosen, not measured."""

SETTLES: Final[tuple[tuple[str, Settling], ...]] = (
    ("the ring", "rechecked"),
    ("temperature", "temperature"),
    ("indicator on the tip and move", "proved"),
    ("indicator on the tip and lock", "noted"),
    ("measure", "read"),
    ("rock it", "read"),
    ("hand while entering", "read"),
    ("digit by digit", "read"),
    ("the hole again", "read"),
)
"""What a check comes to, by words in it, the first that fits; what is only looked at is noted."""


@dataclass(frozen=True, slots=True)
class Behind:
    """One thing that may lie behind the last readings.

    Args:
        cause: what may have happened.
        check: what tells it apart in two minutes.
        odds: its share among the causes named.
        settling: what is entered to settle it.
    """

    cause: str
    check: str
    odds: float
    settling: Settling


def why_it_reads(belief: Belief, model: Model) -> tuple[Behind, ...]:
    """Rank what may lie behind the readings that are weighed together now.

    Causes that are checked alike and told alike are one.

    Args:
        belief: what is believed.
        model: the bore's constants as they were frozen.

    Returns:
        The causes, likeliest first; none where nothing was read since the last cut.
    """
    doubts = belief.doubts
    if not doubts and belief.before_readings is not None and belief.readings:
        doubts = weigh(
            belief.before_readings,
            in_force(belief, model),
            belief.weighed_together,
            belief.circumstances,
            least=LEAST_ODDS,
        ).doubts
    odds: dict[tuple[str, str], float] = {}
    for doubt in doubts:
        ordinary = doubt.cause.startswith(NOTHING) and not belief.doubts
        told = ORDINARY if ordinary else doubt.cause, doubt.check
        odds[told] = odds.get(told, 0.0) + doubt.odds
    ranked = sorted(odds.items(), key=lambda pair: -pair[1])
    return tuple(Behind(cause, check, share, settling(check)) for (cause, check), share in ranked)


def settling(check: str) -> Settling:
    """Say what is entered to settle a question.

    Args:
        check: the check, as it is told.

    Returns:
        The kind of entry.
    """
    words = check.lower()
    return next((kind for part, kind in SETTLES if part in words), "noted")
