"""An entry as a person or a program gives it, made into the draft of an event."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import datetime
from typing import Final

from borewright.errors import EntryError, OutOfTurnError
from borewright.quantity.length import Unit
from borewright.quantity.number import require_scale_said
from borewright.record.fields import Payload, payload_plain, read_payload
from borewright.record.kinds import EVENT_KINDS, EventKind, event_kind
from borewright.record.stream import Draft, StreamId, StreamKind

ENVELOPE: Final = ("event", "stream", "at", "by")
"""Names in an entry that belong to the event and not to its payload."""

WARMTHS: Final = ("celsius", "gauge_celsius")
"""Fields of an entry that are temperatures."""

AT: Final = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d(:\d\d(\.\d{1,6})?)?(Z|[+-]\d\d:\d\d)")
"""A time as it is written: ISO 8601 with its offset."""

LONGEST_NAME: Final = 80


def read_entry(entry: Mapping[str, object], unit: Unit | None) -> tuple[EventKind, Payload]:
    """Read what happened from an entry.

    Args:
        entry: ``event`` and the fields of its payload; ``stream``, ``at`` and ``by`` may stand beside them.
        unit: unit of lengths that carry none.

    Returns:
        The kind of event and its payload.

    Raises:
        EntryError: the entry cannot be understood; ``where`` names the field.
    """
    if not isinstance(entry, Mapping):
        raise EntryError("Named fields are wanted.", given=entry, right='Give {"event": "read", "as_read": "62.004"}.')
    kind = event_kind(entry.get("event"), entry.get("stream"))
    fields = {name: value for name, value in entry.items() if name not in ENVELOPE}
    _require_scales_said(fields)
    return kind, read_payload(kind.payload, fields, unit)


def _require_scales_said(fields: Mapping[str, object], inside: str = "") -> None:
    """Ask for the letter of a temperature that may be of either scale; what is on record is in °C and is not asked."""
    for name in WARMTHS:
        require_scale_said(fields.get(name), f"{inside}{name}")
    replacement = fields.get("replacement")
    if isinstance(replacement, Mapping):
        _require_scales_said(replacement, "replacement.")


def draft_event(
    kind: EventKind,
    payload: Payload,
    streams: Mapping[StreamKind, StreamId],
    *,
    at: object = None,
    by: object = None,
) -> Draft:
    """Make the draft of an event.

    Args:
        kind: the kind of event.
        payload: what it carries.
        streams: the stream of each kind that the event may belong to.
        at: when it happened, ISO 8601 with its offset, or None.
        by: who entered it, or None.

    Returns:
        The draft.

    Raises:
        EntryError: ``at`` or ``by`` cannot be understood.
        OutOfTurnError: there is no stream of the kind that the event belongs to.
    """
    if kind.stream not in streams:
        raise OutOfTurnError(f"There is no {kind.stream} here to record that on.", given=kind.name, where="stream")
    return Draft(
        stream=streams[kind.stream],
        kind=kind.name,
        version=kind.version,
        payload=payload_plain(payload),
        at=_read_at(at),
        by=_read_by(by),
    )


def read_stored(stream: StreamKind, kind: str, payload: Mapping[str, object]) -> Payload:
    """Read a stored payload of today's version back.

    Args:
        stream: the kind of stream it stands in.
        kind: the kind of event.
        payload: the plain values stored.

    Returns:
        The payload.

    Raises:
        EntryError: the values are not of that kind.
    """
    return read_payload(EVENT_KINDS[stream, kind].payload, payload, None)


def _read_at(at: object) -> str | None:
    if at is None:
        return None
    if isinstance(at, str) and AT.fullmatch(at) and _is_on_the_calendar(at):
        return at
    raise EntryError("That is not a time.", given=at, right='Write it as "2027-03-01T14:05:00Z".', where="at")


def _is_on_the_calendar(at: str) -> bool:
    try:
        datetime.fromisoformat(at)
    except ValueError:
        return False
    return True


def _read_by(by: object) -> str | None:
    if by is None:
        return None
    if isinstance(by, str) and 0 < len(by.strip()) <= LONGEST_NAME and by.isprintable():
        return by.strip()
    raise EntryError("That is not a name.", given=by, right=f"Give a name of up to {LONGEST_NAME} letters.", where="by")
