"""What is on record about a bore, its tool and its gauge, in the order it was stored."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from borewright.record.effect import NEVER_CORRECTED, effective
from borewright.record.fields import payload_plain
from borewright.record.stream import Event, StreamId


@dataclass(frozen=True, slots=True)
class Kept:
    """One event on record.

    Args:
        stream: its stream, such as ``bore/winch_12.front``.
        number: its place there.
        event: the kind of event.
        payload: what it carries, as corrected.
        hash: its hash.
        by: who entered it, or None.
        at: when, or None.
        withdrawn: whether a correction withdrew it.
    """

    stream: str
    number: int
    event: str
    payload: Mapping[str, object]
    hash: str
    by: str | None = None
    at: str | None = None
    withdrawn: bool = False

    @property
    def can_be_undone(self) -> bool:
        """Whether it stands and may be withdrawn."""
        return not self.withdrawn and self.event not in NEVER_CORRECTED


def kept_events(stored: Sequence[Event]) -> tuple[Kept, ...]:
    """Bring stored events into the form they are shown in.

    Args:
        stored: the events of several streams, each from its first on, in the order they were stored.

    Returns:
        As many, in the same order.
    """
    now = {
        (event.stream, event.number): event
        for stream in dict.fromkeys(event.stream for event in stored)
        for event in effective(_of(stream, stored))
    }
    return tuple(
        Kept(
            str(event.stream),
            event.number,
            event.kind,
            payload_plain(now[event.stream, event.number].payload),
            event.hash,
            event.draft.by,
            event.draft.at,
            now[event.stream, event.number].withdrawn,
        )
        for event in stored
    )


def since_opening(kept: Sequence[Kept]) -> Sequence[Kept]:
    """Leave out what happened to a tool or gauge before the bore was opened.

    Args:
        kept: events in the order they were stored.

    Returns:
        Those from the opening on.
    """
    start = next((place for place, event in enumerate(kept) if event.event == "opened"), 0)
    return kept[start:]


def entries(history: Sequence[Kept]) -> int:
    """Count what people entered; an advice that was kept with an entry is none of its own.

    Args:
        history: what is on record.

    Returns:
        How many entries there are.
    """
    return sum(kept.event != "advised" for kept in history)


def in_effect(kept: Sequence[Kept]) -> Sequence[tuple[str, Mapping[str, object]]]:
    """Leave out what was withdrawn, and how it was kept.

    Args:
        kept: events in the order they were stored.

    Returns:
        For each that is in effect its kind and what it carries, as a simulated machine takes it.
    """
    return [(event.event, event.payload) for event in kept if not event.withdrawn]


def in_spindle(history: Sequence[Kept]) -> bool:
    """Tell whether the tool was put in the spindle after it was last set.

    Args:
        history: what is on record, oldest first.

    Returns:
        Whether it was; yes too where it was never set in this time.
    """
    last = [kept.event for kept in history if kept.event in {"set", "seated"} and not kept.withdrawn]
    return not last or last[-1] == "seated"


def _of(stream: StreamId, stored: Iterable[Event]) -> list[Event]:
    return [event for event in stored if event.stream == stream]
