"""What can be done on a rehearsed machine, what it shows, and what goes wrong unseen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Place = Literal["hole", "mouth"]
Verdict = Literal["good", "over", "under"]
ACTS = (
    "set_tool",
    "seat",
    "move",
    "cut",
    "read",
    "check_hole",
    "part_celsius",
    "set_gauge",
    "wait",
    "change_edge",
)


@dataclass(frozen=True, slots=True)
class Act:
    """One act as it was done.

    Args:
        name: one of ``ACTS``.
        given: its plain arguments by name.
    """

    name: str
    given: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Mishap:
    """Something that went wrong unseen.

    Args:
        act: the number of the act, counted from 1.
        what: what it was.
    """

    act: int
    what: str


@dataclass(frozen=True, slots=True)
class Shown:
    """What a direct readout showed in a move, mm on the diameter; nothing of it for the other adjusters.

    Args:
        unlocked_mm: after turning, before locking.
        locked_mm: after locking.
        before_mm: before the move, still locked.
        freed_mm: after unlocking, before turning.
    """

    unlocked_mm: float | None = None
    locked_mm: float | None = None
    before_mm: float | None = None
    freed_mm: float | None = None
