"""The streams as they stand at one moment, read inside one transaction."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from sqlalchemy import ColumnElement, Connection, bindparam, func, select, tuple_

from borewright.errors import ConflictError
from borewright.record.canonical import GENESIS, check_chain
from borewright.record.stream import Event, StreamId, StreamKind
from borewright.shop.schema import EVENTS


@dataclass(frozen=True, slots=True)
class Head:
    """How far a stream goes.

    Args:
        number: number of its last event; 0 where it has none.
        hash: that event's hash, 64 hexadecimal digits; it stands for every event up to there.
    """

    number: int
    hash: str


NO_HEAD: Final = Head(0, GENESIS)

_OF_STREAM: Final[tuple[ColumnElement[bool], ...]] = (
    EVENTS.c.stream_kind == bindparam("kind"),
    EVENTS.c.stream_id == bindparam("identity"),
)
# Each is made once: to make and recognise a statement costs more than to run it.
_HEAD: Final = select(EVENTS.c.number, EVENTS.c.hash).where(*_OF_STREAM).order_by(EVENTS.c.number.desc()).limit(1)
_STREAM: Final = select(EVENTS.c.body, EVENTS.c.hash).where(*_OF_STREAM).order_by(EVENTS.c.number)
_FIRST: Final = select(EVENTS.c.body, EVENTS.c.hash).where(*_OF_STREAM, EVENTS.c.number == 1)
_CORRECTIONS: Final = select(func.count()).where(*_OF_STREAM, func.instr(EVENTS.c.body, b'"event":"corrected"') > 0)
_NAMED: Final = (
    select(EVENTS.c.stream_id)
    .where(EVENTS.c.stream_kind == bindparam("kind"), EVENTS.c.number == 1)
    .order_by(EVENTS.c.position)
)
_POSITION: Final = select(func.max(EVENTS.c.position))
_CHANGED: Final = (
    select(EVENTS.c.stream_kind, EVENTS.c.stream_id).where(EVENTS.c.position > bindparam("position")).distinct()
)
_UNDER_KEY: Final = (
    select(EVENTS.c.stream_kind, EVENTS.c.stream_id, EVENTS.c.number)
    .where(EVENTS.c.key == bindparam("key"))
    .order_by(EVENTS.c.position)
)


class Streams:
    """What is in the record at one moment; of use only while the transaction lasts that it was made in."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._heads: dict[StreamId, Head] = {}

    def head(self, stream: StreamId) -> Head:
        """Return how far a stream goes.

        Args:
            stream: its name.

        Returns:
            Its head; number 0 where nothing was recorded.
        """
        head = self._heads.get(stream)
        if head is None:
            found = self._connection.execute(_HEAD, _named(stream)).first()
            head = self._heads[stream] = NO_HEAD if found is None else Head(found.number, found.hash)
        return head

    def grown(self, heads: Mapping[StreamId, Head]) -> None:
        """Take in how far streams go after something was stored in this transaction.

        Args:
            heads: the heads of the streams that grew.
        """
        self._heads.update(heads)

    def events(self, stream: StreamId) -> tuple[Event, ...]:
        """Return a stream from its first event to its head, its chain checked.

        Args:
            stream: its name.

        Returns:
            Its events; none where nothing was recorded.

        Raises:
            DamagedRecordError: the stream does not agree with its hashes.
        """
        rows = self._connection.execute(_STREAM, _named(stream))
        return check_chain([(row.body, row.hash) for row in rows], stream)

    def first(self, stream: StreamId) -> Event | None:
        """Return the event that a stream began with.

        Args:
            stream: its name.

        Returns:
            The event, its hash checked, or None where nothing was recorded.

        Raises:
            DamagedRecordError: it does not agree with its hash.
        """
        row = self._connection.execute(_FIRST, _named(stream)).first()
        return None if row is None else check_chain([(row.body, row.hash)], stream)[0]

    def corrections(self, stream: StreamId) -> int:
        """Count the corrections in a stream.

        Args:
            stream: its name.

        Returns:
            How many events of it correct another.
        """
        found: int | None = self._connection.execute(_CORRECTIONS, _named(stream)).scalar()
        return found or 0

    def require_seen(self, stream: StreamId, number: int) -> None:
        """Refuse to go on where a stream does not stand where it was seen.

        Args:
            stream: its name.
            number: number of its last event that was seen; 0 where it had none.

        Raises:
            ConflictError: it stands elsewhere; ``since`` holds what came since.
        """
        self.require_all_seen({stream: number})

    def require_all_seen(self, seen: Mapping[StreamId, int]) -> None:
        """Refuse to go on where one of several streams does not stand where it was seen.

        Args:
            seen: for each stream the number of its last event that was seen; 0 where it had none.

        Raises:
            ConflictError: one stands elsewhere; ``since`` holds what came since in all of them, oldest first.
        """
        moved = {stream: self.head(stream).number for stream in seen}
        moved = {stream: number for stream, number in moved.items() if number != seen[stream]}
        if not moved:
            return
        since = [event for event in self.together(list(moved)) if event.number > max(seen[event.stream], 0)]
        wrong = (
            f"More was recorded since you looked, events: {len(since)}; nothing was stored."
            if since
            else "The record holds less than you saw; it may have been replaced by an older copy. Nothing was stored."
        )
        first, stands = next(iter(moved.items()))
        raise ConflictError(
            wrong,
            given=f"saw {seen[first]}, stands at {stands}",
            right="Look at what came since, then enter it again if it still holds.",
            where=str(first),
            since=[event_plain(event) for event in since],
        )

    def together(self, streams: Sequence[StreamId]) -> tuple[Event, ...]:
        """Return the events of several streams in the order in which they were stored.

        Args:
            streams: their names.

        Returns:
            All their events; within each stream in its own order.

        Raises:
            DamagedRecordError: a stream does not agree with its hashes.
        """
        by_name = {stream: iter(self.events(stream)) for stream in dict.fromkeys(streams)}
        rows = self._connection.execute(
            select(EVENTS.c.stream_kind, EVENTS.c.stream_id)
            .where(
                tuple_(EVENTS.c.stream_kind, EVENTS.c.stream_id).in_(
                    [(stream.kind, stream.identity) for stream in by_name]
                )
            )
            .order_by(EVENTS.c.position)
        )
        return tuple(next(by_name[StreamId(row.stream_kind, row.stream_id)]) for row in rows)

    def named(self, kind: StreamKind) -> tuple[StreamId, ...]:
        """Return the streams of one kind.

        Args:
            kind: ``bore``, ``tool`` or ``gauge``.

        Returns:
            Their names, the one begun first at the front.
        """
        rows = self._connection.execute(_NAMED, {"kind": kind})
        return tuple(StreamId(kind, row.stream_id) for row in rows)

    def position(self) -> int:
        """Return the place of the last event in the whole record.

        Returns:
            Its place, from 1; 0 where nothing was recorded.
        """
        found: int | None = self._connection.execute(_POSITION).scalar()
        return found or 0

    def changed_after(self, position: int) -> frozenset[StreamId]:
        """Return the streams that grew after a place in the record.

        Args:
            position: a place in the whole record.

        Returns:
            Their names.
        """
        rows = self._connection.execute(_CHANGED, {"position": position})
        return frozenset(StreamId(row.stream_kind, row.stream_id) for row in rows)

    def under_key(self, key: str) -> tuple[Event, ...]:
        """Return the events that were stored with a key.

        Args:
            key: the entry's key.

        Returns:
            The events, in the order in which they were stored.
        """
        rows = self._connection.execute(_UNDER_KEY, {"key": key}).all()
        streams = {stream: self.events(stream) for stream in {StreamId(row.stream_kind, row.stream_id) for row in rows}}
        return tuple(streams[StreamId(row.stream_kind, row.stream_id)][row.number - 1] for row in rows)


def event_plain(event: Event) -> dict[str, object]:
    """Write an event as plain values, as they are shown to a client.

    Args:
        event: the event.

    Returns:
        ``stream``, ``number``, ``event``, ``version``, ``at``, ``by``, ``hash`` and ``payload``.
    """
    return {
        "stream": str(event.stream),
        "number": event.number,
        "event": event.kind,
        "version": event.draft.version,
        "at": event.draft.at,
        "by": event.draft.by,
        "hash": event.hash,
        "payload": dict(event.payload),
    }


def _named(stream: StreamId) -> dict[str, str]:
    return {"kind": stream.kind, "identity": stream.identity}
