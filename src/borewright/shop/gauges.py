"""The shop's gauges, rings and blocks: what happens to them, and how each stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Final

from borewright.errors import EntryError, NotHeldError, OutOfTurnError
from borewright.gauging.instruments import require_reach
from borewright.gauging.masters import class_u_mm, require_plausible
from borewright.quantity.length import Unit, parse_length
from borewright.quantity.number import require_shop_celsius
from borewright.record.effect import check_correction
from borewright.record.entry import draft_event, read_entry
from borewright.record.fields import Payload, payload_plain
from borewright.record.gauges import GaugeRecord, Standing, gauge_record
from borewright.record.payloads.gauge import Certified, Rechecked, SetOn
from borewright.record.payloads.shared import Corrected, StreamRef
from borewright.record.stream import Draft, Event, StreamId
from borewright.shop.store import Store
from borewright.shop.streams import Streams
from borewright.shop.touched import rejudge

ON_MASTER: Final = frozenset({"set_on", "rechecked"})
"""Events that happen on a master."""

AN_ENTRY: Final = 'Give {"event": "set_on", "master": "ring-62"}.'
"""What an entry looks like, for whoever gave none."""

READINGS: Final = frozenset({"read", "hole_checked"})
"""Events that carry what the gauge showed."""


@dataclass(frozen=True, slots=True)
class GaugeLine:
    """A gauge or a master as a list shows it.

    Args:
        gauge: its name in the record.
        instrument: what it is, or None where nobody said.
        is_master: whether gauges are set on it.
        standing: how its certificate stands, or that of the master it was last set on; None where that has no record.
        due: until when that certificate holds, or None.
        set_on: the master it was last set on: its name or its size; None where it was never set.
        set_at: when, or None.
        scatter: its scatter by its latest study, with unit, or None.
        bores: how many bores were measured with it.
    """

    gauge: str
    instrument: str | None
    is_master: bool
    standing: Standing | None
    due: date | None
    set_on: str | None
    set_at: str | None
    scatter: str | None
    bores: int


def record_gauge(
    store: Store,
    gauge: str,
    entry: Mapping[str, object],
    *,
    unit: Unit | None = None,
    key: str | None = None,
    saw: int | None = None,
    at: str | None = None,
    by: str | None = None,
) -> Mapping[str, object]:
    """Record what happened to a gauge or a master, away from any bore.

    Args:
        store: the record.
        gauge: its name in the record; its record begins with the first event.
        entry: ``event`` and its fields. ``set_on`` and ``rechecked`` may name the ``master`` by its own record, whose
            certificate then gives the size.
        unit: unit of lengths that carry none.
        key: the entry's key.
        saw: number of the last event of its record that was seen.
        at: when, ISO 8601; now where it is left out.
        by: who.

    Returns:
        ``stream``, ``number`` and ``event``; ``warnings``, words about an overdue certificate; and after a re-check
        ``off``, ``moved`` and ``rejudged``, the bores it touches with how each is judged now.

    Raises:
        EntryError: the entry cannot be understood or cannot be true.
        NotHeldError: the master has no record, or no certificate.
        ConflictError: more was recorded than was seen, or the key was used for something else.
        RecordUnavailableError: the record cannot be written now.
    """
    if not isinstance(entry, Mapping):
        raise EntryError("Named fields are wanted.", given=entry, right=AN_ENTRY)
    stream = _gauge_stream(gauge)
    warnings: list[str] = []
    when = at or _now()

    def decide(streams: Streams) -> Sequence[Draft]:
        warnings.clear()
        if saw is not None:
            streams.require_seen(stream, saw)
        events = streams.events(stream)
        known = gauge_record(events)
        kind, payload = read_entry(
            with_masters(streams, {**entry, "stream": "gauge"}, stream, when, warnings, unit), unit
        )
        if isinstance(payload, Corrected):
            payload = check_correction(payload, events, unit)
        _require_possible(payload, known)
        return [draft_event(kind, payload, {"gauge": stream}, at=when, by=by)]

    def answer(streams: Streams, events: tuple[Event, ...]) -> Mapping[str, object]:
        done = events[-1]
        said: dict[str, object] = {"stream": str(stream), "number": done.number, "event": done.kind}
        said["warnings"] = list(warnings)
        return {**said, **(rejudge(streams, stream) if done.kind == "rechecked" else {})}

    request = {"act": "gauge", "gauge": gauge, "entry": entry, "by": by}
    return store.act(decide, request=request, key=key, answer=answer).answer


def _with_master(
    streams: Streams, entry: Mapping[str, object], at: str | None, warnings: list[str], unit: Unit | None
) -> Mapping[str, object]:
    """Put a master's certificate into an entry that names the master, and its size where that was left out."""
    event, name = entry.get("event"), entry.get("master")
    if not isinstance(event, str) or event not in ON_MASTER:
        return entry
    entry = {field: value for field, value in entry.items() if field != "certificate"}  # the record gives it
    if not isinstance(name, str):
        return entry
    known = gauge_record(streams.events(_gauge_stream(name, "master")))
    paper = known.paper
    if paper is None:
        return _without_paper(known, name, entry, unit)
    standing = paper.standing(_day(at))
    if standing in {"overdue", "due soon"}:
        verb = "was due on" if standing == "overdue" else "falls due on"
        warnings.append(
            f"The certificate of {name} {verb} {paper.says.due}; readings on it are marked once it is overdue."
        )
    ref = StreamRef(id=name, number=paper.number, snapshot=payload_plain(paper.says))
    given = {"size": paper.says.size.text, **_of_record(known, entry), "certificate": payload_plain(ref)}
    if event == "set_on":
        given.setdefault("on", "blocks" if known.described and known.described.instrument == "blocks" else "ring")
        given["master_u"] = f"{paper.says.u_mm:.6f} mm"
    return given


def _of_record(known: GaugeRecord, entry: Mapping[str, object]) -> dict[str, object]:
    """Put what a master is made of into an entry, by its record alone."""
    given = {field: value for field, value in entry.items() if field not in {"master_u", "master_material"}}
    material = None if known.described is None else known.described.material
    return given if material is None else {**given, "master_material": material}


def _without_paper(
    known: GaugeRecord, name: str, entry: Mapping[str, object], unit: Unit | None
) -> Mapping[str, object]:
    """Put into an entry how well a ring without a certificate is known by its class; refused where it has none."""
    described = known.described
    size = entry.get("size")
    if described is None or described.ring_class is None or size is None:
        raise NotHeldError(
            "That master has no certificate on record.",
            given=name,
            right="Record its certificate first, or give its size and leave its name out."
            if described is None or described.ring_class is None
            else "Give its size too: its class then says how well that is known.",
            where="master",
        )
    given = _of_record(known, entry)
    if entry.get("event") != "set_on":
        return given
    mm = parse_length(str(size), unit, where="size").mm
    return {"on": "ring", **given, "master_u": f"{class_u_mm(mm, described.ring_class):.6f} mm"}


def with_masters(
    streams: Streams,
    entry: Mapping[str, object],
    gauge: StreamId,
    at: str,
    warnings: list[str],
    unit: Unit | None = None,
) -> Mapping[str, object]:
    """Put a master's certificate into an entry, and into what is to stand instead of an earlier one.

    Args:
        streams: the record.
        entry: the entry.
        gauge: the gauge's stream.
        at: when it happened, ISO 8601.
        warnings: takes words about a certificate that is overdue or falls due soon.
        unit: unit of lengths that carry none.

    Returns:
        The entry, with ``certificate`` where it names a master.

    Raises:
        EntryError: the entry is no mapping.
        NotHeldError: the master has no record, or no certificate.
    """
    if not isinstance(entry, Mapping):
        raise EntryError(
            "Named fields are wanted.", given=entry, right='Give {"event": "set_on", "master": "ring-62"}.'
        )
    replacement, number = entry.get("replacement"), entry.get("event_number")
    if entry.get("event") != "corrected" or entry.get("stream") != "gauge" or not isinstance(replacement, Mapping):
        return _with_master(streams, entry, at, warnings, unit)
    events = streams.events(gauge)
    if not isinstance(number, int) or not 1 <= number <= len(events):
        return entry
    whole = _with_master(streams, {**replacement, "event": events[number - 1].kind}, at, warnings, unit)
    return {**entry, "replacement": {name: value for name, value in whole.items() if name != "event"}}


def list_gauges(store: Store, on: date | None = None) -> tuple[GaugeLine, ...]:
    """List the gauges and masters on record.

    Args:
        store: the record.
        on: the day that certificates are held against; today where it is left out.

    Returns:
        One line each, masters first, those overdue before the others.
    """
    day = on or _day(None)
    with store.reading() as streams:
        names = streams.named("gauge")
        known = {name.identity: gauge_record(streams.events(name)) for name in names}
        users = _users(streams)
    lines = [_line(name, each, known, users.get(name, 0), day) for name, each in known.items()]
    rank = {"overdue": 0, "not certified": 1, "due soon": 2, "valid": 3, None: 4}
    return tuple(sorted(lines, key=lambda line: (not line.is_master, rank[line.standing], line.gauge)))


def show_gauge(store: Store, gauge: str) -> GaugeRecord:
    """Look at one gauge or master.

    Args:
        store: the record.
        gauge: its name in the record.

    Returns:
        What its record says.

    Raises:
        NotHeldError: there is none of that name.
    """
    stream = _gauge_stream(gauge)
    with store.reading() as streams:
        events = streams.events(stream)
    if not events:
        raise NotHeldError(
            "There is no gauge of that name on record.", given=gauge, right="List the gauges.", where="gauge"
        )
    return gauge_record(events)


def require_shown(streams: Streams, draft: Draft, gauge: StreamId) -> None:
    """Refuse a reading that the gauge cannot have shown from the master that it is set on.

    Args:
        streams: the record.
        draft: what is to be stored; passed over where it is no reading.
        gauge: the gauge's stream.

    Raises:
        EntryError: it lies further from the master than the gauge travels.
    """
    if draft.kind not in READINGS:
        return
    known = gauge_record(streams.events(gauge))
    travel = known.described.travel if known.described is not None else None
    if travel is not None and known.settings:
        as_read = parse_length(str(draft.payload["as_read"]))
        require_reach(known.settings[-1].says.size.mm, as_read.mm, travel.mm)


def _require_possible(payload: Payload, known: GaugeRecord) -> None:
    """Refuse what cannot be true of this gauge."""
    if isinstance(payload, Certified) and payload.expanded.mm > 0.01 * payload.size.mm:
        raise EntryError(
            "No certificate is that uncertain.",
            given=payload.expanded.text,
            right="Give the expanded uncertainty, and check its unit.",
            where="expanded",
        )
    if isinstance(payload, Certified) and known.described is not None and known.described.instrument == "ring":
        require_plausible(payload.size.mm, payload.u_mm, "expanded")
    if isinstance(payload, SetOn | Rechecked):
        require_shop_celsius(payload.celsius, "master", "celsius")
    if isinstance(payload, SetOn) and known.is_master:
        raise OutOfTurnError("A master is not set on another.", given="set_on", right="Name the gauge that was set.")
    if isinstance(payload, Rechecked):
        if not known.settings:
            raise OutOfTurnError(
                "That gauge was not set on a master yet.", given="rechecked", right="Record what it was set on."
            )
        travel = known.described.travel if known.described is not None else None
        if travel is not None:
            require_reach(payload.size.mm, payload.as_read.mm, travel.mm)


def _line(name: str, known: GaugeRecord, all_known: Mapping[str, GaugeRecord], users: int, day: date) -> GaugeLine:
    last = known.settings[-1] if known.settings else None
    master = known if known.is_master else all_known.get(last.says.master or "") if last is not None else None
    paper = None if master is None else master.paper
    return GaugeLine(
        gauge=name,
        instrument=None if known.described is None else known.described.instrument,
        is_master=known.is_master,
        standing=None if master is None else master.standing(day),
        due=None if paper is None else paper.says.due,
        set_on=None if last is None else last.says.master or last.says.size.text,
        set_at=None if last is None else last.at,
        scatter=None if known.studied is None else known.studied.scatter.text,
        bores=users,
    )


def _users(streams: Streams) -> dict[str, int]:
    """Count the bores that name each gauge."""
    found: dict[str, int] = {}
    for own in streams.named("bore"):
        first = streams.first(own)
        ref = None if first is None else first.payload.get("gauge")
        if isinstance(ref, Mapping) and isinstance(ref.get("id"), str):
            found[str(ref["id"])] = found.get(str(ref["id"]), 0) + 1
    return found


def _gauge_stream(gauge: str, where: str = "gauge") -> StreamId:
    try:
        return StreamId("gauge", gauge)
    except EntryError as error:
        error.where = where
        raise


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _day(at: str | None) -> date:
    return datetime.fromisoformat(at or _now()).date()
