"""The bytes of an event, and the chain of hashes over them.

The bytes are written once and never made again from what was read: an upgrade of a payload changes what a fold sees,
not what is stored. A chain shows a change anywhere before its head; it does not show a tail that was cut off, which is
why the head is printed on paper.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from types import UnionType
from typing import Any, Final

from borewright.errors import DamagedRecordError, EntryError
from borewright.record.stream import Draft, Event, Plain, StreamId

GENESIS: Final = "0" * 64
"""The hash before the first event of every stream."""

_WRITTEN: Final[dict[str, UnionType | type]] = {
    "at": str | None,
    "by": str | None,
    "event": str,
    "number": int,
    "payload": dict,
    "stream": str,
    "version": int,
}


def event_bytes(draft: Draft, number: int) -> bytes:
    """Return the canonical bytes of an event: JSON in UTF-8, sorted keys, no spaces, no floats.

    Args:
        draft: the event.
        number: its place in the stream, from 1.

    Returns:
        The bytes that are stored and hashed.

    Raises:
        EntryError: the payload holds a float or another value that has no canonical text.
    """
    body: dict[str, Plain] = {
        "at": draft.at,
        "by": draft.by,
        "event": draft.kind,
        "number": number,
        "payload": dict(draft.payload),
        "stream": str(draft.stream),
        "version": draft.version,
    }
    return plain_bytes(body)


def plain_bytes(body: Mapping[str, Plain]) -> bytes:
    """Return plain values as canonical JSON bytes.

    Args:
        body: nested plain values.

    Returns:
        UTF-8 bytes with sorted keys and no spaces.

    Raises:
        EntryError: a float, a value of another type, or half a letter (a lone surrogate) is among them.
    """
    _refuse_floats(body, "")
    text = json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)
    try:
        return text.encode()
    except UnicodeEncodeError as error:
        raise EntryError(
            "There is half a letter in it, which cannot be stored.",
            given=ascii(text[error.start : error.end]),
            right="Type it again.",
        ) from None


def chain_hash(previous: str, body: bytes) -> str:
    """Return the hash of an event: SHA-256 over the hash before it and its bytes.

    Args:
        previous: 64 hexadecimal digits; ``GENESIS`` before the first event.
        body: the event's canonical bytes.

    Returns:
        64 hexadecimal digits.
    """
    return hashlib.sha256(bytes.fromhex(previous) + body).hexdigest()


def event_from_bytes(body: bytes, digest: str) -> Event:
    """Read a stored event back.

    Args:
        body: the bytes as stored.
        digest: the hash stored beside them.

    Returns:
        The event.

    Raises:
        DamagedRecordError: the bytes are not an event.
    """
    try:
        # A database may hand back text where bytes were stored, if somebody wrote over them by hand.
        read = json.loads(memoryview(body).tobytes())
        raw = {name: _of_kind(value, _WRITTEN[name]) for name, value in read.items()}
        draft = Draft(
            stream=StreamId.parse(raw["stream"]),
            kind=raw["event"],
            version=raw["version"],
            payload=raw["payload"],
            at=raw["at"],
            by=raw["by"],
        )
        return Event(draft=draft, number=raw["number"], hash=digest)
    except (AttributeError, KeyError, TypeError, ValueError) as error:
        raise DamagedRecordError("These stored bytes are not an event.", given=repr(body[:80])) from error


def check_chain(stored: Sequence[tuple[bytes, str]], stream: StreamId) -> tuple[Event, ...]:
    """Check a stream from its first event to its head.

    Args:
        stored: pairs of bytes and hash, in order.
        stream: its name, for the message.

    Returns:
        The events.

    Raises:
        DamagedRecordError: a number is missing or a hash does not follow from what stands before it.
    """
    previous = GENESIS
    events: list[Event] = []
    for number, (body, digest) in enumerate(stored, 1):
        event = event_from_bytes(body, digest)
        if event.number != number or event.stream != stream:
            raise DamagedRecordError(
                f"Event {number} of the stream is missing or out of place.",
                given=f"{event.stream} number {event.number}",
                right="Restore the last backup and compare the head's hash with the one on paper.",
                where=str(stream),
            )
        if chain_hash(previous, body) != digest:
            raise DamagedRecordError(
                f"Event {number} or one before it was changed after it was stored.",
                given=digest,
                right="Restore the last backup and compare the head's hash with the one on paper.",
                where=str(stream),
            )
        previous = digest
        events.append(event)
    return tuple(events)


def _of_kind(value: Any, kind: UnionType | type) -> Any:  # noqa: ANN401  # whatever JSON holds
    if isinstance(value, kind):
        return value
    raise TypeError(value)


def _refuse_floats(value: object, where: str) -> None:
    if value is None or isinstance(value, bool | int | str):
        return
    if isinstance(value, Mapping):
        for key, inner in value.items():
            _refuse_floats(inner, f"{where}.{key}" if where else str(key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            _refuse_floats(inner, f"{where}[{index}]")
    else:
        raise EntryError(
            "A stored number must be decimal text, so that it is never changed by the computer's binary fractions.",
            given=value,
            right='Write it as text, such as "61.9912 mm".',
            where=where,
        )
