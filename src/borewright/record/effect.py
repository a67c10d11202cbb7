"""Which events are in effect: old versions upgraded, corrections applied at the place of what they correct."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from borewright.errors import DamagedRecordError, EntryError, NotHeldError, OutOfTurnError
from borewright.quantity.length import Unit
from borewright.record.entry import read_stored
from borewright.record.fields import Payload, payload_plain, read_payload
from borewright.record.kinds import EVENT_KINDS
from borewright.record.payloads.bore import Released
from borewright.record.payloads.gauge import Rechecked, SetOn
from borewright.record.payloads.shared import Corrected, StreamRef
from borewright.record.stream import Event, Plain, StreamId

Upgrade = Callable[[Mapping[str, Plain]], Mapping[str, Plain]]


def _opened_1(payload: Mapping[str, Plain]) -> Mapping[str, Plain]:
    """Version 2 of an opening can say which priors were learned together; in version 1 none were."""
    return payload


def _gauge_1(payload: Mapping[str, Plain]) -> Mapping[str, Plain]:
    """Version 2 of what happens to a gauge can name the master's own record, and how a study found its scatter."""
    return payload


UPGRADES: Final[dict[tuple[str, str, int], Upgrade]] = {
    ("bore", "opened", 1): _opened_1,
    ("gauge", "set_on", 1): _gauge_1,
    ("gauge", "rechecked", 1): _gauge_1,
    ("gauge", "studied", 1): _gauge_1,
}
"""From (stream kind, event kind, version) to the next version; pure."""

NEVER_CORRECTED: Final = frozenset(
    {"opened", "assembled", "corrected", "released", "quarantined", "reopened", "advised"}
)
"""Acts that stand as they were done: another act follows them instead."""


@dataclass(frozen=True, slots=True)
class Effective:
    """An event as the folds see it.

    Args:
        stream: where it stands.
        number: its place there.
        kind: the kind of event.
        payload: what it carries, after upgrades and corrections.
        corrected_by: number of the correction that holds, or 0.
        withdrawn: whether that correction withdraws it; folds do not see it then.
    """

    stream: StreamId
    number: int
    kind: str
    payload: Payload
    corrected_by: int = 0
    withdrawn: bool = False


def effective(events: Iterable[Event]) -> tuple[Effective, ...]:
    """Return every event of one stream, corrected; those withdrawn are marked.

    Args:
        events: the events of one stream, in order from number 1.

    Returns:
        As many events, in the same order.

    Raises:
        DamagedRecordError: an event's version or payload cannot be read, or a correction has no target.
    """
    seen: list[Effective] = []
    for event in events:
        seen.append(alone(event))
        if isinstance(corrected := seen[-1].payload, Corrected):
            _apply(seen, event.number, corrected)
    return tuple(seen)


def alone(event: Event) -> Effective:
    """Return one event that nothing after it corrects.

    Args:
        event: the event.

    Returns:
        It, with its payload read.

    Raises:
        DamagedRecordError: its version or payload cannot be read.
    """
    return Effective(event.stream, event.number, event.kind, _payload(event))


def in_effect(events: Iterable[Event]) -> tuple[Effective, ...]:
    """Return the events of one stream that a fold sees.

    Args:
        events: the events of one stream, in order from number 1.

    Returns:
        The events in effect, in order, without corrections and what they withdrew.
    """
    return tuple(event for event in effective(events) if not event.withdrawn and event.kind != "corrected")


def void_releases(bore: Sequence[Effective], others: Mapping[str, Sequence[Effective]]) -> tuple[Effective, ...]:
    """Leave out each release that rests on an event corrected after it: it must be signed again.

    Args:
        bore: every event of the bore, corrected, corrections among them.
        others: for ``tool`` and ``gauge``, every event of that stream, corrected, corrections among them.

    Returns:
        The bore's events without the releases that are void.
    """
    return tuple(event for event in bore if not (isinstance(event.payload, Released) and _is_void(event, bore, others)))


def _is_void(release: Effective, bore: Sequence[Effective], others: Mapping[str, Sequence[Effective]]) -> bool:
    if any(event.number < release.number < event.corrected_by for event in bore):
        return True
    for kind, stream in others.items():
        ref = getattr(release.payload, kind, None)
        if ref is not None and any(event.number <= ref.number < event.corrected_by for event in stream):
            return True
    return False


def check_correction(correction: Corrected, events: Sequence[Event], unit: Unit | None) -> Corrected:
    """Check a correction against the stream that it corrects, and bring its replacement into stored form.

    Args:
        correction: the correction as given.
        events: the events of its stream, in order from number 1.
        unit: unit of lengths that carry none.

    Returns:
        The correction with its replacement as it will be stored.

    Raises:
        NotHeldError: there is no event of that number.
        OutOfTurnError: the event is of a kind that is never corrected, or nothing would change.
        EntryError: the replacement cannot be understood.
    """
    if not 1 <= correction.event_number <= len(events):
        raise NotHeldError(
            "There is no event of that number.",
            given=correction.event_number,
            right=f"Give a number from 1 to {len(events)}." if events else "Nothing was recorded here yet.",
            where="event_number",
        )
    target = events[correction.event_number - 1]
    if target.kind in NEVER_CORRECTED:
        raise OutOfTurnError(
            f"Event {target.number} ({target.kind}) stands as it was done and cannot be corrected.",
            given=correction.event_number,
            right="Reopen the bore, or open another." if target.kind != "corrected" else "Correct the original again.",
            where="event_number",
        )
    now = effective(events)[target.number - 1]
    if correction.replacement is None:
        if now.withdrawn:
            raise OutOfTurnError(
                "That event is withdrawn already.",
                given=correction.event_number,
                right="Give a replacement to put it back.",
                where="event_number",
            )
        return correction
    of = EVENT_KINDS[target.stream.kind, target.kind].payload
    payload = read_payload(of, correction.replacement, unit, "replacement")
    payload = _resting_on_the_same(payload, now.payload)
    plain = payload_plain(payload)
    if not now.withdrawn and plain == payload_plain(now.payload):
        raise EntryError(
            "That is what stands there already.",
            given=correction.event_number,
            right="Give what is to stand there instead.",
            where="replacement",
        )
    return Corrected(event_number=correction.event_number, replacement=plain, reason=correction.reason)


def _apply(seen: list[Effective], number: int, correction: Corrected) -> None:
    if not 1 <= correction.event_number < number:
        raise DamagedRecordError(
            "A correction points at no event before it.", given=correction.event_number, where=f"event {number}"
        )
    target = seen[correction.event_number - 1]
    withdrawn = correction.replacement is None
    payload = target.payload
    if correction.replacement is not None:
        payload = _readable(target.stream, number, target.kind, correction.replacement)
    seen[correction.event_number - 1] = Effective(target.stream, target.number, target.kind, payload, number, withdrawn)


def _resting_on_the_same(payload: Payload, original: Payload) -> Payload:
    """Keep the tool and the gauge as the original named them: a correction changes what was entered, not when."""
    refs = {name: ref for name in ("tool", "gauge") if isinstance(ref := getattr(original, name, None), StreamRef)}
    if isinstance(payload, SetOn | Rechecked) and isinstance(original, SetOn | Rechecked):
        same = payload.master is not None and payload.master == original.master
        return dataclasses.replace(payload, certificate=original.certificate if same else payload.certificate)
    return dataclasses.replace(payload, **refs) if refs else payload  # type: ignore[type-var]  # all are dataclasses


def _payload(event: Event) -> Payload:
    kind = EVENT_KINDS.get((event.stream.kind, event.kind))
    if kind is None or event.draft.version > kind.version:
        raise DamagedRecordError(
            "This event was written by a newer program.",
            given=f"{event.kind} version {event.draft.version}",
            right="Open the record with that program.",
            where=f"{event.stream} number {event.number}",
        )
    payload = event.payload
    for version in range(event.draft.version, kind.version):
        payload = UPGRADES[event.stream.kind, event.kind, version](payload)
    return _readable(event.stream, event.number, event.kind, payload)


def _readable(stream: StreamId, number: int, kind: str, payload: Mapping[str, Plain]) -> Payload:
    """Read what an event stores for a kind of event, or say which event cannot be read."""
    try:
        return read_stored(stream.kind, kind, payload)
    except EntryError as error:
        raise DamagedRecordError(f"The payload cannot be read: {error}", where=f"{stream} number {number}") from error
