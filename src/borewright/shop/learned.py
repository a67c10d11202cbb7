"""What the shop's finished bores teach: gathered from the record, for the next opening and to be looked at."""

from __future__ import annotations

import threading
from collections.abc import Collection, Iterator, Mapping
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Final, TypeAlias

from borewright.errors import BorewrightError
from borewright.learning.history import learn
from borewright.learning.ledger import Lesson, ledger
from borewright.learning.taught import Taught, edges_in, taught_by
from borewright.record.effect import effective
from borewright.record.stream import Event, StreamId, StreamKind
from borewright.shop.streams import Streams
from borewright.sizing.bore import OTHERS, Bore
from borewright.sizing.known import NOTHING, Known
from borewright.sizing.model import MODEL
from borewright.sizing.opening import other_streams, read_start

if TYPE_CHECKING:
    from borewright.shop.store import Store

MOST: Final = 60
"""Finished bores of a tool that are read, and of all others: those before them count little by then."""

LEAVE_OUT: Final = "leave out"
ENDS: Final = frozenset({"released", "quarantined"})

_Key: TypeAlias = tuple[str, int, int, str]
_Read: TypeAlias = dict[StreamId, tuple[Event, ...]]


class Lessons:
    """What bores taught, remembered by the hash that their records end in; of use to several threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._taught: dict[str, tuple[_Key, Taught | None]] = {}

    def of(self, streams: Streams, bore: StreamId, read: _Read) -> Taught | None:
        """Return what a bore taught.

        Args:
            streams: the record.
            bore: the bore.
            read: streams that were read already in this transaction; what is read is added.

        Returns:
            What it taught; None while it is open, or where it cannot be read.
        """
        others = _others(streams, bore)
        if others is None:
            return None
        tool, gauge = (streams.corrections(others[kind]) for kind in OTHERS)
        key = (streams.head(bore).hash, tool, gauge, MODEL)
        with self._lock:
            known = self._taught.get(bore.identity)
        if known is not None and known[0] == key:
            return known[1]
        taught = _taught(streams, bore, others, read)
        with self._lock:
            self._taught[bore.identity] = (key, taught)
        return taught


def known_from_history(store: Store, given: Mapping[str, object], bore: str, at: str | None = None) -> Known:
    """Learn what a bore begins with from the shop's finished bores.

    Args:
        store: the record.
        given: what it is started with.
        bore: its name in the record.
        at: when it is opened, ISO 8601; now where it is left out.

    Returns:
        What is known; nothing where it is to be left out.

    Raises:
        EntryError: what is given cannot be understood.
        NotHeldError: the callout asks for a class that is not held.
    """
    start = read_start(given)[0]
    if start.history == LEAVE_OUT:
        return NOTHING
    names = other_streams(given, bore)
    tool, gauge = names["tool"], names["gauge"]
    with store.reading() as streams:
        read: _Read = {}
        taught = _gathered(store, streams, {tool.identity}, read)
        edges = edges_in(effective(_events(streams, tool, read)))
    return learn(start, tool.identity, gauge.identity, taught, edges=edges, now=at or _now()).known


def lessons(store: Store) -> tuple[Lesson, ...]:
    """List what was learned, for each tool in each material.

    Args:
        store: the record.

    Returns:
        The lessons, the one whose last bore was finished last at the front.
    """
    with store.reading() as streams:
        read: _Read = {}
        taught = _gathered(store, streams, (), read)
        tools = {each.tool for each in taught}
        edges = {tool: edges_in(effective(_events(streams, StreamId("tool", tool), read))) for tool in tools}
    return ledger(taught, edges, _now())


def _gathered(store: Store, streams: Streams, tools: Collection[str], read: _Read) -> list[Taught]:
    """Return what the last finished bores of some tools, and of all others, taught; the one finished first in front."""
    own: list[Taught] = []
    rest: list[Taught] = []
    for taught in _latest_first(store, streams, read):
        group = own if taught.tool in tools else rest
        if len(group) < MOST:
            group.append(taught)
        if len(rest) >= MOST and (not tools or len(own) >= MOST):
            break
    return sorted(own + rest, key=lambda each: each.at or "")


def _latest_first(store: Store, streams: Streams, read: _Read) -> Iterator[Taught]:
    for bore in reversed(streams.named("bore")):
        taught = store.lessons.of(streams, bore, read)
        if taught is not None:
            yield taught


def _taught(streams: Streams, bore: StreamId, others: Mapping[StreamKind, StreamId], read: _Read) -> Taught | None:
    try:
        own = streams.events(bore)
        ends = [event.kind for event in own if event.kind in ENDS or event.kind == "reopened"]
        if not ends or ends[-1] == "reopened":
            return None
        rested = [
            event for kind, stream in others.items() for event in _upto(own, kind, _events(streams, stream, read))
        ]
        return taught_by(Bore.from_events([*own, *rested]))
    except BorewrightError:  # a record that cannot be read teaches nothing; its own page says what is wrong with it
        return None


def _upto(own: tuple[Event, ...], kind: StreamKind, stream: tuple[Event, ...]) -> tuple[Event, ...]:
    """Return what a bore needs of another stream: up to the last event that it names, or all where that was corrected.

    One tool may have cut hundreds of bores; each of them rests on what came before its own end alone.
    """
    named = max((_number(event.payload.get(kind)) for event in own), default=0)
    corrected = any(event.kind == "corrected" for event in stream[named:])
    return stream if corrected else stream[:named]


def _number(ref: object) -> int:
    number = ref.get("number") if isinstance(ref, Mapping) else None
    return number if isinstance(number, int) else 0


def _others(streams: Streams, bore: StreamId) -> dict[StreamKind, StreamId] | None:
    try:
        first = streams.first(bore)
        if first is None:
            return None
        return {kind: StreamId(kind, str(_identity(first.payload.get(kind)))) for kind in OTHERS}
    except BorewrightError:
        return None


def _identity(ref: object) -> object:
    return ref.get("id") if isinstance(ref, Mapping) else None


def _events(streams: Streams, stream: StreamId, read: _Read) -> tuple[Event, ...]:
    if stream not in read:
        read[stream] = streams.events(stream)
    return read[stream]


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
