"""The bores on record: listed, looked at, advised on. Nothing here changes the record."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import get_args

from borewright.errors import EntryError, NotHeldError
from borewright.record.stream import Event, StreamId, StreamKind
from borewright.shop.stands import Stand
from borewright.shop.store import Store
from borewright.shop.streams import Streams
from borewright.sizing.bore import Bore
from borewright.sizing.order_words import like_groups


@dataclass(frozen=True, slots=True)
class Listed:
    """A bore as a list shows it.

    Args:
        bore: its name in the record.
        name: what it is called, or None.
        callout: what the drawing asks, as written.
        state: the state the work is in.
        opened_at: when it was opened, or None.
        events: how many events its own stream holds.
    """

    bore: str
    name: str | None
    callout: str
    state: str
    opened_at: str | None
    events: int


def view(store: Store, bore: str) -> Bore:
    """Rebuild a bore from its streams as they stand.

    Args:
        store: the record.
        bore: the bore's name in the record.

    Returns:
        The bore; what it is told does not reach the record.

    Raises:
        NotHeldError: there is no bore of that name.
        DamagedRecordError: one of its streams does not agree with its hashes.
    """
    return stand(store, bore).told()


def stand(store: Store, bore: str) -> Stand:
    """Look how a bore stands, without building it again where the record ends as it did at the last look.

    Args:
        store: the record.
        bore: the bore's name in the record.

    Returns:
        How it stands: the bore, its advice and the numbers an act carries.

    Raises:
        NotHeldError: there is no bore of that name.
        DamagedRecordError: one of its streams does not agree with its hashes.
    """
    with store.reading() as streams:
        return store.stands.find(streams, bore, bore_events)


def advise(store: Store, bore: str) -> Mapping[str, object]:
    """Say what to do next with a bore; nothing is stored.

    Args:
        store: the record.
        bore: the bore's name in the record.

    Returns:
        What ``Bore.advise`` returns, and ``saw``, the numbers it rests on.

    Raises:
        NotHeldError: there is no bore of that name.
    """
    found = stand(store, bore)
    return {**found.advice, "saw": found.numbers}


def history(store: Store, bore: str) -> tuple[Event, ...]:
    """Return everything recorded of a bore, its tool and its gauge, in the order in which it was stored.

    Args:
        store: the record.
        bore: the bore's name in the record.

    Returns:
        The events.

    Raises:
        NotHeldError: there is no bore of that name.
    """
    with store.reading() as streams:
        return bore_events(streams, bore)


def list_bores(store: Store) -> tuple[Listed, ...]:
    """List the bores on record.

    Args:
        store: the record.

    Returns:
        One line each, the one opened first at the front.
    """
    return tuple(_listed(bore, stand.bore) for bore, stand in all_stands(store))


def all_stands(store: Store) -> tuple[tuple[str, Stand], ...]:
    """Look how every bore on record stands, at one moment.

    Args:
        store: the record.

    Returns:
        Each bore's name in the record and how it stands, the one opened first at the front.
    """
    with store.reading() as streams:
        names = [name.identity for name in streams.named("bore")]
        return tuple((bore, store.stands.find(streams, bore, bore_events)) for bore in names)


def resting_on(store: Store, grown: Collection[StreamId]) -> dict[str, dict[str, int]]:
    """Find the bores that rest on streams: on their own, on their tool's or on their gauge's.

    Args:
        store: the record.
        grown: the streams.

    Returns:
        For each such bore the numbers that an act on it carries now.
    """
    found: dict[str, dict[str, int]] = {}
    with store.reading() as streams:
        for own in streams.named("bore"):
            names = store.stands.rests_on(streams, own.identity, _streams_of)
            if any(stream in grown for stream in names):
                found[own.identity] = {str(stream.kind): streams.head(stream).number for stream in names}
    return found


def like_bores(store: Store, bore: str) -> tuple[tuple[str, Bore], ...]:
    """Find the open bores that one tool brings to the same callout as a bore.

    Args:
        store: the record.
        bore: the bore's name in the record.

    Returns:
        Them and the bore itself, the one opened first at the front; none where it has no like, or is finished.

    Raises:
        NotHeldError: there is no bore of that name.
    """
    with store.reading() as streams:
        tool = next(name for name in store.stands.rests_on(streams, bore, _streams_of) if name.kind == "tool")
        names = [own.identity for own in streams.named("bore")]
        rest = [name for name in names if tool in store.stands.rests_on(streams, name, _streams_of)]
        if len(rest) < 2:
            return ()
        found = {name: store.stands.find(streams, name, bore_events).bore for name in rest}
    group = next((group for group in like_groups(found) if bore in group), ())
    return tuple((name, found[name]) for name in group)


def numbers(bore: Bore) -> dict[str, int]:
    """Return the numbers that an act on a bore's state carries as ``saw``.

    Args:
        bore: the bore as it was shown.

    Returns:
        The number of the last event, by kind of stream.
    """
    return {kind: len(bore.events(kind)) for kind in get_args(StreamKind)}


def bore_events(streams: Streams, bore: str) -> tuple[Event, ...]:
    """Return the events of a bore, its tool and its gauge as they stand in one transaction.

    Args:
        streams: the streams.
        bore: the bore's name in the record.

    Returns:
        The events, in the order in which they were stored.

    Raises:
        NotHeldError: there is no bore of that name.
    """
    return streams.together(_streams_of(streams, bore))


def _named(bore: str) -> StreamId:
    try:
        return StreamId("bore", bore)
    except EntryError:
        raise _not_held(bore) from None


def _not_held(bore: str) -> NotHeldError:
    return NotHeldError("There is no bore of that name.", given=bore, right="List the bores.", where="bore")


def _streams_of(streams: Streams, bore: str) -> list[StreamId]:
    own = _named(bore)
    first = streams.first(own)
    if first is None:
        raise _not_held(bore)
    others = [StreamId.parse(f"{kind}/{_identity(first.payload.get(kind))}") for kind in ("tool", "gauge")]
    return [own, *others]


def _identity(ref: object) -> object:
    return ref.get("id") if isinstance(ref, Mapping) else None


def load_bore(streams: Streams, bore: str) -> Bore:
    """Rebuild a bore inside a transaction, for an act that will write.

    Args:
        streams: the streams.
        bore: the bore's name in the record.

    Returns:
        The bore.

    Raises:
        NotHeldError: there is no bore of that name.
    """
    return Bore.from_events(bore_events(streams, bore))


def _listed(bore: str, loaded: Bore) -> Listed:
    given, events = loaded.opening.given, loaded.events()
    return Listed(bore, given.name, given.callout, loaded.state, events[0].draft.at, len(events))
