"""Events made by hand, for tests of what is in effect: numbered and chained, without a bore around them."""

from __future__ import annotations

from collections.abc import Mapping

from borewright.record.canonical import GENESIS, chain_hash, event_bytes
from borewright.record.effect import Effective, effective
from borewright.record.entry import read_entry
from borewright.record.fields import payload_plain
from borewright.record.stream import Draft, Event, StreamId, StreamKind

Entry = Mapping[str, object]


def events(stream: StreamKind, *entries: Entry) -> tuple[Event, ...]:
    """Make the events of one stream from entries, kept whatever state the work would be in.

    Args:
        stream: the kind of stream.
        entries: what happened, in order.

    Returns:
        The events.
    """
    made: list[Event] = []
    for number, entry in enumerate(entries, 1):
        kind, payload = read_entry({"stream": stream, **entry}, "mm")
        draft = Draft(StreamId(stream, f"{stream}-1"), kind.name, kind.version, payload_plain(payload))
        made.append(Event(draft, number, chain_hash(made[-1].hash if made else GENESIS, event_bytes(draft, number))))
    return tuple(made)


def held(stream: StreamKind, *entries: Entry) -> tuple[Effective, ...]:
    """Make the events of one stream, corrected.

    Args:
        stream: the kind of stream.
        entries: what happened, in order.

    Returns:
        As many events as entries.
    """
    return effective(events(stream, *entries))


def corrected(number: int, **replacement: object) -> Entry:
    """Make the entry of a correction, or of a withdrawal where nothing is put in the place.

    Args:
        number: the number of the event.
        replacement: the fields that hold instead.

    Returns:
        The entry.
    """
    fields = {"replacement": replacement} if replacement else {}
    return {"event": "corrected", "event_number": number, **fields}
