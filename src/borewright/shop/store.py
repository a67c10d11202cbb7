"""The store: events are appended in one transaction, once, on the state that was seen; nothing else is possible."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Final, Self

from sqlalchemy import Connection, bindparam, insert, select

from borewright.errors import ConflictError, EntryError
from borewright.record.canonical import chain_hash, event_bytes, event_from_bytes
from borewright.record.stream import Draft, Event, StreamId, StreamKind
from borewright.shop.database import Database
from borewright.shop.learned import Lessons
from borewright.shop.pragmas import BUSY_MS
from borewright.shop.schema import EVENTS, KEYS
from borewright.shop.stands import Stands
from borewright.shop.streams import Head, Streams, event_plain
from borewright.shop.verify import Checked, check_file, check_record

Decide = Callable[[Streams], Sequence[Draft]]
"""Looks at the streams as they stand and says what is to be stored; what it raises stores nothing."""

Answer = Callable[[Streams, tuple[Event, ...]], Mapping[str, object]]
"""Looks at the streams with the new events in them and says what is answered; what it raises stores nothing."""

# Each is made once: to make and recognise a statement costs more than to run it.
_INSERT_EVENTS: Final = insert(EVENTS)
_INSERT_KEY: Final = insert(KEYS)
_ANSWER: Final = select(KEYS.c.request, KEYS.c.answer).where(KEYS.c.key == bindparam("asked"))

_KEY: Final = re.compile(r"[!-~]{1,200}")


@dataclass(frozen=True, slots=True)
class Appended:
    """What an act stored.

    Args:
        events: the events, in the order of their drafts.
        answer: what is answered, plain values.
        repeated: whether this key had been answered before; nothing was stored now.
    """

    events: tuple[Event, ...]
    answer: Mapping[str, object]
    repeated: bool


@dataclass(frozen=True, slots=True)
class Changes:
    """What came since a token.

    Args:
        token: the token to ask with next.
        streams: the streams that grew.
    """

    token: int
    streams: frozenset[StreamId]


class Store:
    """The record of a shop.

    Args:
        database: the open file.
    """

    def __init__(self, database: Database) -> None:
        self.database = database
        self.stands = Stands()
        self.lessons = Lessons()

    @classmethod
    def open(cls, folder: Path, *, busy_ms: int = BUSY_MS) -> Store:
        """Open the record in a data folder, making it where there is none.

        Args:
            folder: the data folder.
            busy_ms: how long to wait for another process's write, in milliseconds.

        Returns:
            The store; close it, or use it as a block.

        Raises:
            RecordUnavailableError: the record cannot be opened safely now.
            DamagedRecordError: the file is not a record, or is damaged.
        """
        return cls(Database.open(folder, busy_ms=busy_ms))

    def close(self) -> None:
        """Close every connection."""
        self.database.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def append(
        self,
        entries: Sequence[Draft],
        *,
        key: str | None = None,
        saw: Mapping[StreamId, int] | None = None,
    ) -> Appended:
        """Store drafts that need no look at the state: all of them or none.

        Args:
            entries: the drafts, of one stream or several.
            key: the entry's key, or None where it is never sent again.
            saw: for streams whose state the entry assumes, the number of their last event that was seen.

        Returns:
            The events. A key that was used for the same drafts returns the events stored then.

        Raises:
            ConflictError: a stream has grown past the number seen, or the key was used for other drafts.
            EntryError: a draft or the key is not of the right form.
            RecordUnavailableError: the record cannot be written now.
        """
        request = {"drafts": [event_bytes(draft, 0).decode() for draft in entries]}
        return self.act(lambda _: entries, request=request, key=key, saw=saw)

    def act(
        self,
        decide: Decide,
        *,
        request: Mapping[str, object],
        key: str | None = None,
        saw: Mapping[StreamId, int] | None = None,
        answer: Answer | None = None,
    ) -> Appended:
        """Decide on the state as it stands, store, and answer, in one transaction that no other write comes between.

        Args:
            decide: given the streams, returns the drafts to store.
            request: what was asked, plain values as they came; with the key it tells a repeated entry from another.
            key: the entry's key, or None where it is never sent again.
            saw: for streams whose state the act assumes, the number of their last event that was seen.
            answer: given the streams with the new events in them, returns what is answered; kept with the key.

        Returns:
            The events and the answer. A key that was used for the same request returns those of the first time.

        Raises:
            ConflictError: a stream has grown past the number seen, or the key was used for another request.
            EntryError: a draft or the key is not of the right form.
            RecordUnavailableError: the record cannot be written now.
        """
        _require_key(key)
        asked = "" if key is None else _request_hash(request)
        with self.database.writing() as connection:
            streams = Streams(connection)
            if key is not None and (first := _first_answer(connection, streams, key, asked)) is not None:
                return first
            for stream, number in (saw or {}).items():
                streams.require_seen(stream, number)
            events = _insert(connection, streams, decide(streams), key)
            answered = json.dumps({} if answer is None else dict(answer(streams, events)), ensure_ascii=False)
            if key is not None:
                connection.execute(_INSERT_KEY, {"key": key, "request": asked, "answer": answered})
        return Appended(events, json.loads(answered), repeated=False)

    @contextmanager
    def reading(self) -> Iterator[Streams]:
        """Read several things from one moment's state; keep the block short, a writer may wait for it.

        Yields:
            The streams.
        """
        with self.database.reading() as connection:
            yield Streams(connection)

    def stream(self, stream: StreamId) -> tuple[Event, ...]:
        """Return a stream from its first event to its head, its chain checked.

        Args:
            stream: its name.

        Returns:
            Its events; none where nothing was recorded.

        Raises:
            DamagedRecordError: the stream does not agree with its hashes.
        """
        with self.reading() as streams:
            return streams.events(stream)

    def streams(self, kind: StreamKind) -> tuple[StreamId, ...]:
        """Return the streams of one kind.

        Args:
            kind: ``bore``, ``tool`` or ``gauge``.

        Returns:
            Their names, the one begun first at the front.
        """
        with self.reading() as streams:
            return streams.named(kind)

    def head(self, stream: StreamId) -> Head:
        """Return how far a stream goes.

        Args:
            stream: its name.

        Returns:
            Number and hash of its last event; number 0 where nothing was recorded.
        """
        with self.reading() as streams:
            return streams.head(stream)

    def token(self) -> int:
        """Return a token of the record as it stands, for :meth:`changed_since`.

        Returns:
            The token.
        """
        with self.reading() as streams:
            return streams.position()

    def changed_since(self, token: int) -> Changes:
        """Tell which streams grew since a token was taken, whichever process wrote.

        Args:
            token: what :meth:`token` or the last answer of this method gave.

        Returns:
            The next token and the streams; every stream where the record was replaced by an older copy meanwhile.
        """
        with self.reading() as streams:
            position = streams.position()
            if position == token:
                return Changes(token, frozenset())
            return Changes(position, streams.changed_after(token if token < position else 0))

    def check(self) -> Checked:
        """Check the whole record: the file, every chain, every key.

        Returns:
            What was counted, and every fault found.
        """
        with self.database.reading() as connection:
            return check_record(connection)

    def backup(self, to: Path) -> Checked:
        """Copy the record as it stands at one moment, and check the copy.

        Args:
            to: the copy's path; nothing of that name exists.

        Returns:
            What the check of the copy found; a fault of the record is in its copy too.

        Raises:
            EntryError: something of that name is there already.
            RecordUnavailableError: the copy cannot be written.
            DamagedRecordError: the file of the record, or of the copy, is damaged.
        """
        self.database.copy(to)
        return check_file(to)


def _request_hash(request: Mapping[str, object]) -> str:
    try:
        text = json.dumps(request, sort_keys=True, ensure_ascii=False, default=str)
    except (RecursionError, TypeError, ValueError):
        raise EntryError(
            "It holds what cannot be written out.",
            right="Use text for names, numbers with few digits, and few brackets in brackets.",
        ) from None
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _require_key(key: str | None) -> None:
    if key is not None and not _KEY.fullmatch(key):
        raise EntryError(
            "That cannot be an entry's key.",
            given=key,
            right="Make it when the entry is begun: 1 to 200 letters, digits and signs without a space.",
            where="key",
        )


def _first_answer(connection: Connection, streams: Streams, key: str, asked: str) -> Appended | None:
    found = connection.execute(_ANSWER, {"asked": key}).first()
    if found is None:
        return None
    events = streams.under_key(key)
    if found.request != asked:
        raise ConflictError(
            "This key was used for another entry; nothing was stored.",
            given=key,
            right="Keep a key while one entry is sent, and make a new one after the answer.",
            where="key",
            since=[event_plain(event) for event in events],
        )
    return Appended(events, json.loads(found.answer), repeated=True)


def _insert(connection: Connection, streams: Streams, drafts: Sequence[Draft], key: str | None) -> tuple[Event, ...]:
    heads: dict[StreamId, Head] = {}
    events: list[Event] = []
    rows: list[dict[str, object]] = []
    for draft in drafts:
        head = heads.get(draft.stream) or streams.head(draft.stream)
        number = head.number + 1
        body = event_bytes(draft, number)
        digest = chain_hash(head.hash, body)
        heads[draft.stream] = Head(number, digest)
        events.append(event_from_bytes(body, digest))
        rows.append(
            {
                "stream_kind": draft.stream.kind,
                "stream_id": draft.stream.identity,
                "number": number,
                "body": body,
                "hash": digest,
                "key": key,
            }
        )
    if rows:
        connection.execute(_INSERT_EVENTS, rows)
        streams.grown(heads)
    return tuple(events)
