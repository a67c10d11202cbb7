"""The acts of people that change the record, one function each.

An act that changes something happens in one transaction: the bore is rebuilt from its streams as they stand, what is
asked is checked against it, stored, and folded in before it is committed, so that nothing is ever stored that the next
reader could not fold. ``saw`` carries the numbers that the person acted on, by kind of stream, such as
``{"bore": 7, "tool": 4}``; ``shop.bores.numbers`` gives them. ``key`` names the entry across repetitions.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Final

from borewright.errors import ConflictError, EntryError
from borewright.record.stream import Draft, Event, StreamId, StreamKind
from borewright.shop.bores import bore_events, load_bore, numbers
from borewright.shop.gauges import require_shown, with_masters
from borewright.shop.kept import in_spindle
from borewright.shop.learned import known_from_history
from borewright.shop.materials import with_own_forces
from borewright.shop.settings import with_rule
from borewright.shop.stands import Stand
from borewright.shop.store import Store
from borewright.shop.streams import Streams, event_plain
from borewright.sizing.bore import Bore
from borewright.sizing.opening import opening_drafts, other_streams
from borewright.sizing.wanted import ON_ADVICE, acts_on

_LONGEST_NAME: Final = 60


def open_bore(
    store: Store,
    given: Mapping[str, object],
    *,
    bore: str | None = None,
    key: str | None = None,
    at: str | None = None,
    by: str | None = None,
) -> Mapping[str, object]:
    """Open a bore: its opening and what is new of its tool are stored at once.

    It begins with what finished bores taught, unless ``history`` says to leave that out.

    Args:
        store: the record.
        given: what is known, as for ``Bore.start``.
        bore: the bore's name in the record; made from ``name`` where it is left out.
        key: the entry's key.
        at: when, ISO 8601; now where it is left out.
        by: who.

    Returns:
        ``bore``, its name in the record; ``streams``, those of its bore, tool and gauge by kind; and what ``record``
        returns, of the opening.

    Raises:
        EntryError: what is given cannot be understood.
        NotHeldError: the callout asks for a class that is not held.
        ConflictError: there is a bore of that name, or the key was used for something else.
        RecordUnavailableError: the record cannot be written now.
    """
    chosen: list[str] = []

    if not isinstance(given, Mapping):
        raise EntryError(
            "Named fields are wanted.", given=given, right='Give {"callout": "62 H6", "hole": "61.4", ...}.'
        )

    request = {"act": "open", "bore": bore, "given": given, "by": by}
    given = with_own_forces(store, with_rule(store, given))
    # Before the transaction: what many bores taught may take long to gather, and nobody's write must wait for it.
    with store.reading() as streams:
        likely = _free_name(streams, None, given) if bore is None else bore
    known = known_from_history(store, given, likely, at)

    def decide(streams: Streams) -> Sequence[Draft]:
        identity = _free_name(streams, bore, given)
        chosen.append(identity)
        others = other_streams(given, identity)
        return opening_drafts(
            given,
            identity,
            tool_events=streams.events(others["tool"]),
            gauge_events=streams.events(others["gauge"]),
            known=known,
            at=at or _now(),
            by=by,
        )

    def answer(streams: Streams, events: tuple[Event, ...]) -> Mapping[str, object]:
        opened = load_bore(streams, chosen[-1])
        names = {kind: str(stream) for kind, stream in opened.streams.items()}
        return {"bore": chosen[-1], "streams": names, **opened.recorded(events[-1])}

    return store.act(decide, request=request, key=key, answer=answer).answer


def record(
    store: Store,
    bore: str,
    entry: Mapping[str, object],
    *,
    key: str | None = None,
    saw: Mapping[str, int] | None = None,
    at: str | None = None,
    by: str | None = None,
    on_advice: bool = False,
) -> Mapping[str, object]:
    """Record what happened to a bore, its tool or its gauge.

    Args:
        store: the record.
        bore: the bore's name in the record.
        entry: ``event`` and its fields, as for ``Bore.record``.
        key: the entry's key.
        saw: numbers of the last events seen, by kind of stream, where the entry assumes the state.
        at: when it happened where the entry does not say; now where it is left out.
        by: who enters it, where the entry does not say.
        on_advice: whether it is done with the advice in view; where it acts upon the advice's numbers, the advice is
            stored before it, in the same transaction. Give ``saw`` too, or the advice may not be the one shown.

    Returns:
        What ``Bore.record`` returns: where the event stands, how it was understood, warnings, the state; and ``after``,
        the numbers that an act made in view of this one carries.

    Raises:
        NotHeldError: there is no bore of that name.
        EntryError: the entry cannot be understood or cannot be true.
        OutOfTurnError: it does not fit the state the work is in.
        ConflictError: more was recorded than was seen, or the key was used for something else.
        RecordUnavailableError: the record cannot be written now.
    """
    folded: list[tuple[Stand, Bore]] = []

    def decide(streams: Streams) -> Sequence[Draft]:
        stood = store.stands.find(streams, bore, bore_events)
        loaded = stood.told()
        folded.append((stood, loaded))
        _require_seen(streams, loaded, saw)
        when = at or _now()
        may_act = on_advice and entry.get("event") in ON_ADVICE  # asked first: an advice takes long to work out
        kept = may_act and acts_on(stood.advice, entry, in_spindle=in_spindle(stood.history))
        advised = [loaded.prepare(loaded.advised(stood.advice), at=when, by=by)] if kept else []
        told = with_masters(streams, entry, loaded.streams["gauge"], when, [], loaded.unit)
        draft = loaded.prepare(told, at=when, by=by)
        require_shown(streams, draft, loaded.streams["gauge"])
        return [*advised, draft]

    def answer(_: Streams, events: tuple[Event, ...]) -> Mapping[str, object]:
        stood, loaded = folded[-1]
        for event in events:
            loaded.accept(event)
        store.stands.keep(bore, stood.grown(loaded, events))
        return {**loaded.recorded(events[-1]), "after": numbers(loaded)}

    request = {"act": "record", "bore": bore, "entry": entry, "by": by, "on_advice": on_advice}
    return store.act(decide, request=request, key=key, answer=answer).answer


def correct(
    store: Store,
    bore: str,
    stream: StreamKind,
    number: int,
    replacement: Mapping[str, object],
    *,
    reason: str | None = None,
    key: str | None = None,
    saw: Mapping[str, int] | None = None,
    at: str | None = None,
    by: str | None = None,
) -> Mapping[str, object]:
    """Put another payload in the place of an event's; the event itself stays in the record.

    Args:
        store: the record.
        bore: the bore's name in the record.
        stream: the kind of stream the event stands in.
        number: the event's number there.
        replacement: the fields that hold instead, all of them.
        reason: why.
        key: the entry's key.
        saw: numbers of the last events seen, by kind of stream.
        at: when; now where it is left out.
        by: who.

    Returns:
        What :func:`record` returns, of the correction.

    Raises:
        NotHeldError: there is no such bore or event.
        OutOfTurnError: that event is never corrected.
        EntryError: the replacement cannot be understood, or is what stands there.
        ConflictError: more was recorded than was seen, or the key was used for something else.
    """
    entry = {
        "event": "corrected",
        "stream": stream,
        "event_number": number,
        "replacement": replacement,
        "reason": reason,
    }
    return record(store, bore, entry, key=key, saw=saw, at=at, by=by)


def withdraw(
    store: Store,
    bore: str,
    stream: StreamKind,
    number: int,
    *,
    reason: str | None = None,
    key: str | None = None,
    saw: Mapping[str, int] | None = None,
    at: str | None = None,
    by: str | None = None,
) -> Mapping[str, object]:
    """Withdraw an event, as an undo does; it stays in the record, marked.

    Args:
        store: the record.
        bore: the bore's name in the record.
        stream: the kind of stream the event stands in.
        number: the event's number there.
        reason: why.
        key: the entry's key.
        saw: numbers of the last events seen, by kind of stream.
        at: when; now where it is left out.
        by: who.

    Returns:
        What :func:`record` returns, of the withdrawal.

    Raises:
        NotHeldError: there is no such bore or event.
        OutOfTurnError: that event is never withdrawn, or is already.
        ConflictError: more was recorded than was seen, or the key was used for something else.
    """
    entry = {"event": "corrected", "stream": stream, "event_number": number, "reason": reason}
    return record(store, bore, entry, key=key, saw=saw, at=at, by=by)


def release(
    store: Store,
    bore: str,
    shown: Mapping[str, object],
    *,
    by: str,
    key: str | None = None,
    saw: Mapping[str, int] | None = None,
    at: str | None = None,
) -> Mapping[str, object]:
    """Release a bore on the numbers that the person had in view; refused where the evidence gives others now.

    Args:
        store: the record.
        bore: the bore's name in the record.
        shown: ``verdict``, ``probability``, ``rule``, ``size`` and ``expanded``, as ``advise`` showed them.
        by: who releases it.
        key: the entry's key.
        saw: numbers of the last events seen, by kind of stream.
        at: when; now where it is left out.

    Returns:
        What :func:`record` returns, of the release.

    Raises:
        NotHeldError: there is no bore of that name.
        EntryError: one of the numbers is missing, or not the one that the evidence gives now.
        OutOfTurnError: the evidence does not show the bore within its limits.
        ConflictError: more was recorded than was seen, or the key was used for something else.
    """
    if not isinstance(shown, Mapping):
        raise EntryError("Named fields are wanted.", given=shown, right="Give the numbers as advise showed them.")
    named = {name: shown.get(name) for name in ("verdict", "probability", "rule", "size", "expanded")}
    return record(store, bore, {"event": "released", **named}, key=key, saw=saw, at=at, by=by)


def quarantine(
    store: Store,
    bore: str,
    reason: str,
    *,
    by: str | None = None,
    key: str | None = None,
    saw: Mapping[str, int] | None = None,
    at: str | None = None,
) -> Mapping[str, object]:
    """Set a bore aside as not shown good.

    Args:
        store: the record.
        bore: the bore's name in the record.
        reason: why.
        by: who.
        key: the entry's key.
        saw: numbers of the last events seen, by kind of stream.
        at: when; now where it is left out.

    Returns:
        What :func:`record` returns.

    Raises:
        NotHeldError: there is no bore of that name.
        EntryError: the reason is missing.
        OutOfTurnError: the bore is not open.
        ConflictError: more was recorded than was seen, or the key was used for something else.
    """
    return record(store, bore, {"event": "quarantined", "reason": reason}, key=key, saw=saw, at=at, by=by)


def reopen(
    store: Store,
    bore: str,
    reason: str,
    *,
    by: str | None = None,
    key: str | None = None,
    saw: Mapping[str, int] | None = None,
    at: str | None = None,
) -> Mapping[str, object]:
    """Take up a bore again that was released or set aside.

    Args:
        store: the record.
        bore: the bore's name in the record.
        reason: why.
        by: who.
        key: the entry's key.
        saw: numbers of the last events seen, by kind of stream.
        at: when; now where it is left out.

    Returns:
        What :func:`record` returns.

    Raises:
        NotHeldError: there is no bore of that name.
        EntryError: the reason is missing.
        OutOfTurnError: the bore is open.
        ConflictError: more was recorded than was seen, or the key was used for something else.
    """
    return record(store, bore, {"event": "reopened", "reason": reason}, key=key, saw=saw, at=at, by=by)


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _require_seen(streams: Streams, bore: Bore, saw: Mapping[str, int] | None) -> None:
    names = {str(kind): stream for kind, stream in bore.streams.items()}
    for kind, number in (saw or {}).items():
        if kind not in names or not isinstance(number, int):
            raise EntryError(
                "That does not say what was seen.",
                given=kind,
                right='Give numbers by kind of stream, such as {"bore": 7, "tool": 4}.',
                where="saw",
            )
    streams.require_all_seen({names[kind]: number for kind, number in (saw or {}).items()})


def _free_name(streams: Streams, bore: str | None, given: Mapping[str, object]) -> str:
    if bore is not None:
        taken = streams.first(StreamId("bore", bore))
        if taken is not None:
            raise ConflictError(
                "There is a bore of that name already.",
                given=bore,
                right="Go on with it, or choose another name.",
                where="bore",
                since=[event_plain(taken)],
            )
        return bore
    name = given.get("name")
    stem = plain_name(name if isinstance(name, str) else "")
    number = 1
    while streams.first(StreamId("bore", stem if number == 1 else f"{stem}-{number}")) is not None:
        number += 1
    return stem if number == 1 else f"{stem}-{number}"


def plain_name(name: str) -> str:
    """Return the name in the record that a bore of a name gets first; those after it get a number behind it.

    Args:
        name: what the bore is called.

    Returns:
        Such as ``idler-eye``.
    """
    ascii_name = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", ascii_name).strip("-")[:_LONGEST_NAME].rstrip("-") or "bore"
