"""One order of events over the streams that a bore rests on.

A bore's own events stand in their order. Events of its tool and its gauge come just before the first event of the bore
that names them as taken in; what no event of the bore names yet comes last.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from borewright.record.effect import Effective, effective, void_releases
from borewright.record.payloads.opened import Opened
from borewright.record.payloads.shared import StreamRef
from borewright.record.stream import Event, StreamKind


def in_order(events: Mapping[StreamKind, Sequence[Event]]) -> tuple[Effective, ...]:
    """Return what is to be folded of a bore: the events in force of all its streams, in one order.

    Args:
        events: for ``bore`` and each other kind of stream, its events, oldest first.

    Returns:
        The events in effect, without corrections, what was withdrawn and releases that are void.
    """
    others: dict[str, Sequence[Effective]] = {
        kind: effective(stream) for kind, stream in events.items() if kind != "bore"
    }
    own = void_releases(effective(events["bore"]), others)
    return timeline(_in_force(own), {kind: _in_force(stream) for kind, stream in others.items()})


def _in_force(events: Iterable[Effective]) -> tuple[Effective, ...]:
    return tuple(event for event in events if not event.withdrawn and event.kind != "corrected")


def timeline(bore: Sequence[Effective], others: Mapping[str, Sequence[Effective]]) -> tuple[Effective, ...]:
    """Merge a bore's events with those of its tool and its gauge.

    Args:
        bore: the bore's events in effect, in order.
        others: for ``tool`` and ``gauge``, that stream's events in effect, in order.

    Returns:
        All of them in one order, the opening first.
    """
    merged: list[Effective] = []
    taken = dict.fromkeys(others, 0)
    for event in bore:
        if not isinstance(event.payload, Opened):
            for kind, stream in others.items():
                ref = getattr(event.payload, kind, None)
                if isinstance(ref, StreamRef):
                    taken[kind] = _take(merged, stream, taken[kind], ref.number)
        merged.append(event)
    for kind, stream in others.items():
        _take(merged, stream, taken[kind], None)
    return tuple(merged)


def _take(merged: list[Effective], stream: Sequence[Effective], start: int, upto: int | None) -> int:
    position = start
    while position < len(stream) and (upto is None or stream[position].number <= upto):
        merged.append(stream[position])
        position += 1
    return position
