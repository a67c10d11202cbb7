"""The front door: one bore from callout to release, plain values in and out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import copy, deepcopy
from dataclasses import replace
from typing import Final

from borewright.errors import DamagedRecordError, EntryError
from borewright.gauging.conformity import Rule
from borewright.quantity.length import Unit
from borewright.record.canonical import GENESIS, chain_hash, event_bytes
from borewright.record.effect import Effective, alone, check_correction, effective, void_releases
from borewright.record.entry import draft_event, read_entry
from borewright.record.fields import Payload, read_payload
from borewright.record.kinds import event_kind
from borewright.record.payloads import bore as b
from borewright.record.payloads.opened import Opened
from borewright.record.payloads.shared import Corrected, StreamRef
from borewright.record.stream import Draft, Event, Plain, StreamId, StreamKind
from borewright.record.timeline import timeline
from borewright.sizing.advice import BENCH_STEP_MM, advise, assumptions, unsaid
from borewright.sizing.belief import Belief, in_force, opened
from borewright.sizing.choice import choose
from borewright.sizing.costs import Costs
from borewright.sizing.folding import fold
from borewright.sizing.gauge_fit import reach_of
from borewright.sizing.known import NOTHING, Known, thaw_together
from borewright.sizing.model import Model
from borewright.sizing.opening import opening_drafts, rule_of
from borewright.sizing.plan_words import plans_plain
from borewright.sizing.priors import thaw
from borewright.sizing.proof_words import proof_plain
from borewright.sizing.turn import check_turn, release_as_shown, warnings_of

OTHERS: Final[tuple[StreamKind, ...]] = ("tool", "gauge")


class Bore:
    """One bore: its events, what is believed about it, and what to do next.

    Make one with ``Bore.start`` from a mapping, or with ``Bore.from_events`` from stored events.

    Args:
        events: for each kind of stream, the events of the one that this bore rests on, oldest first.
    """

    def __init__(self, events: Mapping[StreamKind, Sequence[Event]]) -> None:
        self._events: dict[StreamKind, list[Event]] = {
            kind: list(events.get(kind, ())) for kind in ("bore", "tool", "gauge")
        }
        self._opened, self.streams = _opening_of(self._events["bore"])
        given, limits = self._opened.given, self._opened.limits
        self.unit: Unit = "in" if (given.unit or limits.lower.unit) == "in" else "mm"
        self._rule = rule_of(self._opened.rule)
        self._costs = Costs.of(self._opened.costs)
        priors, together = thaw(self._opened.frozen, given), thaw_together(self._opened.together)
        self._model = Model(priors, given.adjuster, limits.lower.mm, limits.upper.mm, together, self._opened.model)
        self._belief = _replayed(self._events, self._model)

    @classmethod
    def start(
        cls,
        mapping: Mapping[str, object],
        *,
        bore_id: str = "bore",
        tool_events: Sequence[Event] = (),
        gauge_events: Sequence[Event] = (),
        known: Known = NOTHING,
        at: str | None = None,
        by: str | None = None,
    ) -> Bore:
        """Open a bore.

        Callout, hole, adjuster, gauge and a push-off guess are enough; what is left out becomes an assumption that
        ``advise`` shows with its width.

        Args:
            mapping: what is known, as ``docs/reference/start.md`` lists it.
            bore_id: the bore's name in the record.
            tool_events: the tool's events so far, where it has cut before.
            gauge_events: the gauge's events so far.
            known: what earlier bores taught; frozen with the opening.
            at: when, ISO 8601.
            by: who, name as entered.

        Returns:
            The bore, its opening recorded.

        Raises:
            EntryError: the mapping cannot be understood; ``where`` names the field.
            NotHeldError: the callout asks for a class that is not held.
        """
        drafts = opening_drafts(
            mapping, bore_id, tool_events=tool_events, gauge_events=gauge_events, known=known, at=at, by=by
        )
        events: dict[StreamKind, list[Event]] = {"bore": [], "tool": list(tool_events), "gauge": list(gauge_events)}
        for draft in drafts:
            stream = events[draft.stream.kind]
            stream.append(_numbered(draft, stream))
        return cls(events)

    @classmethod
    def from_events(cls, events: Iterable[Event]) -> Bore:
        """Rebuild a bore from stored events.

        Args:
            events: all events of its bore, tool and gauge streams, each stream oldest first.

        Returns:
            The bore as it stands.

        Raises:
            DamagedRecordError: there is no opening, or an event cannot be read.
        """
        sorted_out: dict[StreamKind, list[Event]] = {"bore": [], "tool": [], "gauge": []}
        for event in events:
            sorted_out[event.stream.kind].append(event)
        return cls(sorted_out)

    @property
    def belief(self) -> Belief:
        """What is believed now."""
        return self._belief

    @property
    def model(self) -> Model:
        """The bore's constants."""
        return self._model

    @property
    def costs(self) -> Costs:
        """What things cost."""
        return self._costs

    @property
    def rule(self) -> Rule:
        """The rule by which it is judged."""
        return self._rule

    @property
    def opening(self) -> Opened:
        """What was frozen when the bore was opened."""
        return self._opened

    @property
    def state(self) -> str:
        """The state the work is in, in words."""
        return self._belief.stage

    def events(self, kind: StreamKind = "bore") -> tuple[Event, ...]:
        """Return the events of one of the bore's streams.

        Args:
            kind: ``bore``, ``tool`` or ``gauge``.

        Returns:
            The events, oldest first.
        """
        return tuple(self._events[kind])

    def in_effect(self, kind: StreamKind = "bore") -> tuple[Effective, ...]:
        """Return the events of one stream as they hold after corrections; those withdrawn are marked.

        Args:
            kind: ``bore``, ``tool`` or ``gauge``.

        Returns:
            As many events as were recorded, in order.
        """
        return effective(self._events[kind])

    def event_in_effect(self, number: int, kind: StreamKind = "bore") -> Effective:
        """Return one event of a stream as it holds after corrections; the whole stream is read only where it has some.

        Args:
            number: the event's number.
            kind: ``bore``, ``tool`` or ``gauge``.

        Returns:
            The event.

        Raises:
            IndexError: the stream has no such event.
        """
        events = self._events[kind]
        if any(event.kind == "corrected" for event in events[number:]):
            return self.in_effect(kind)[number - 1]
        return alone(events[number - 1])

    def twin(self) -> Bore:
        """Return another bore at the same point: what one is told, the other does not hear.

        Returns:
            The other.
        """
        other = copy(self)
        other._events = {kind: list(events) for kind, events in self._events.items()}  # noqa: SLF001  # its own class
        return other

    def record(self, mapping: Mapping[str, object]) -> dict[str, object]:
        """Record what happened.

        Args:
            mapping: ``event`` and its fields, as ``docs/reference/events.md`` lists them; ``stream`` where several
                streams know the event, ``at`` and ``by`` where they matter.

        Returns:
            Where it stands (``stream``, ``number``, ``hash``), how it was understood, what is surprising about it
            (``warnings``), and the ``state`` the work is now in.

        Raises:
            EntryError: the mapping cannot be understood or cannot be true; nothing was recorded.
            OutOfTurnError: it does not fit the state the work is in; nothing was recorded.
        """
        draft = self.prepare(mapping)
        event = _numbered(draft, self._events[draft.stream.kind])
        self.accept(event)
        return self.recorded(event)

    def prepare(self, mapping: Mapping[str, object], *, at: object = None, by: object = None) -> Draft:
        """Check an entry against the state the work is in, and make the draft of its event. Nothing is changed.

        Args:
            mapping: the entry, as for ``record``.
            at: when it happened, where the entry does not say.
            by: who entered it, where the entry does not say.

        Returns:
            The draft, ready to be stored.

        Raises:
            EntryError: the entry cannot be understood or cannot be true.
            OutOfTurnError: it does not fit the state the work is in.
        """
        kind, payload = read_entry(mapping, self.unit)
        at = at if mapping.get("at") is None else mapping["at"]
        by = by if mapping.get("by") is None else mapping["by"]
        if isinstance(payload, Corrected):
            payload = check_correction(payload, self._events[kind.stream], self.unit)
            draft = draft_event(kind, payload, self.streams, at=at, by=by)
            self._try(draft, payload)
            return draft
        check_turn(payload, kind.name, self._belief, self._model)
        if isinstance(payload, b.Released):
            release_as_shown(payload, self._belief, self._model, self._rule, self.unit)
        payload = self._with_refs(payload)
        return draft_event(kind, payload, self.streams, at=at, by=by)

    def accept(self, event: Event) -> None:
        """Take in an event that was stored.

        Args:
            event: the event, next in its stream.

        Raises:
            DamagedRecordError: it is not the next of one of the bore's streams.
        """
        stream = self._events[event.stream.kind]
        if self.streams.get(event.stream.kind) != event.stream or event.number != len(stream) + 1:
            raise DamagedRecordError("This event does not follow.", given=f"{event.stream} number {event.number}")
        stream.append(event)
        if event.kind == "corrected":
            self._belief = _replayed(self._events, self._model)
        else:
            payload = read_payload(event_kind(event.kind, event.stream.kind).payload, event.payload, None)
            self._belief = fold(self._belief, self._model, Effective(event.stream, event.number, event.kind, payload))

    def recorded(self, event: Event) -> dict[str, object]:
        """Say how an accepted event was understood.

        Args:
            event: the event, accepted last.

        Returns:
            The mapping that ``record`` returns.
        """
        return {
            "stream": str(event.stream),
            "number": event.number,
            "event": event.kind,
            "hash": event.hash,
            "understood": deepcopy(dict(event.payload)),
            "warnings": warnings_of(event, self._belief, self._model) + self._too_narrow(event),
            "state": self._belief.stage,
        }

    def advise(self, unit: Unit | None = None) -> dict[str, object]:
        """Say what to do next.

        Args:
            unit: unit to show lengths in; the bore's own where it is left out. What a readout or a control shows stays
                in its own.

        Returns:
            Plain values, as ``docs/reference/advice.md`` lists them: lengths as text with their unit, odds from 0 to 1.
        """
        given, shown = self._opened.given, unit or self.unit
        advice = advise(self._belief, self._model, self._costs, self._rule, shown)
        advice["assumptions"] = unsaid(given, self._rule, self._costs) + assumptions(self._model, shown)
        named = {"name": given.name} if given.name else {}
        return {**named, "callout": given.callout, **advice}

    def plans(
        self,
        unit: Unit | None = None,
        *,
        pass_minutes: object = None,
        measurement_minutes: object = None,
    ) -> dict[str, object]:
        """Lay the plans that are left side by side: one to four passes, and how each may begin.

        Args:
            unit: unit to show lengths in; the bore's own where it is left out.
            pass_minutes: minutes that a pass takes, a number or its text; assumed where they are left out.
            measurement_minutes: minutes that a measurement of two readings takes, likewise.

        Returns:
            Plain values, as ``docs/reference/plans.md`` lists them; no plan where nothing is to be cut.

        Raises:
            EntryError: the minutes are no number, or no time that a pass or a measurement can take.
        """
        given, shown = self._opened.given, unit or self.unit
        model = in_force(self._belief, self._model)
        chosen = choose(self._belief, model, self._costs, self._rule, BENCH_STEP_MM[shown])
        compared = plans_plain(
            self._belief, chosen, shown, pass_minutes=pass_minutes, measurement_minutes=measurement_minutes
        )
        named = {"name": given.name} if given.name else {}
        return {**named, "callout": given.callout, **compared}

    def prove(self, readings: Mapping[str, object], unit: Unit | None = None) -> dict[str, object]:
        """Say what comes next in a proof of the adjuster and, once it is finished, what was found. Nothing is recorded.

        Args:
            readings: ``step``, the indicator's smallest step, and ``shown``, what it showed so far: a list of mappings
                with ``at`` and ``shown``, in order.
            unit: unit of numbers without one, and to show lengths in; the bore's own where it is left out.

        Returns:
            Plain values; at the end ``entry``, which ``record`` keeps.

        Raises:
            EntryError: a reading cannot be; ``where`` names it.
        """
        return proof_plain(readings, self._opened.given.adjuster, unit or self.unit)

    def advised(self, advice: Mapping[str, object]) -> dict[str, object]:
        """Make the entry that keeps an advice that is acted upon, with the numbers as they were shown.

        Args:
            advice: what ``advise`` returned.

        Returns:
            An entry for ``record``.
        """
        kept = ("say", "set", "move", "now", "expect", "odds", "passes_left", "aims", "release")
        shown = {name: advice[name] for name in kept if name in advice}
        return {"event": "advised", "model": self._model.name, "action": str(advice["action"]), "shown": shown}

    def _too_narrow(self, event: Event) -> list[str]:
        """Say, as the bore is opened, where its tolerance is too narrow for its gauge."""
        if event.kind != "opened":
            return []
        said = reach_of(self._belief, in_force(self._belief, self._model), self._rule).said(self.unit)
        return [said] if said else []

    def _try(self, draft: Draft, correction: Corrected) -> None:
        """Fold the whole with a correction: one that cannot be folded, or could not have been entered, is refused."""
        events = {kind: list(stream) for kind, stream in self._events.items()}
        kind = draft.stream.kind
        events[kind].append(_numbered(draft, events[kind]))
        _replayed(events, self._model, checked=(kind, correction.event_number))

    def _with_refs(self, payload: Payload) -> Payload:
        """Name the tool and the gauge as they stand, on every event of the bore that rests on them."""
        if not isinstance(payload, b.Passed | b.Read | b.HoleChecked | b.Temperature | b.Released):
            return payload
        tool: dict[str, Plain] | None = None
        gauge: dict[str, Plain] | None = None
        if isinstance(payload, b.Passed):
            tool = {"diameter": f"{self._belief.tool_mm:.6f} mm", "side": self._belief.side}
        if isinstance(payload, b.Read | b.HoleChecked):
            gauge = {"setting": self._belief.gauge_number, "scatter": f"{self._belief.gauge_scatter_mm:.6f} mm"}
        return replace(payload, tool=self._ref("tool", tool), gauge=self._ref("gauge", gauge))

    def _ref(self, kind: StreamKind, snapshot: dict[str, Plain] | None) -> StreamRef:
        return StreamRef(id=self.streams[kind].identity, number=len(self._events[kind]), snapshot=snapshot)


def _opening_of(events: Sequence[Event]) -> tuple[Opened, dict[StreamKind, StreamId]]:
    if not events or events[0].kind != "opened":
        raise DamagedRecordError("A bore's record begins with its opening.", given=events[0].kind if events else None)
    payload = effective(events[:1])[0].payload
    assert isinstance(payload, Opened)
    streams: dict[StreamKind, StreamId] = {
        "bore": events[0].stream,
        "tool": StreamId("tool", payload.tool.id),
        "gauge": StreamId("gauge", payload.gauge.id),
    }
    return payload, streams


def _replayed(
    events: Mapping[StreamKind, Sequence[Event]], model: Model, checked: tuple[StreamKind, int] | None = None
) -> Belief:
    """Fold all events in effect; the one of the stream and number to be checked must fit the state at its place."""
    streams = {kind: effective(stream) for kind, stream in events.items()}
    others: dict[str, Sequence[Effective]] = {kind: streams[kind] for kind in OTHERS}
    belief = opened(model)
    bore = _folded(void_releases(streams["bore"], others))
    for event in timeline(bore, {kind: _folded(stream) for kind, stream in others.items()}):
        if (event.stream.kind, event.number) == checked:
            try:
                check_turn(event.payload, event.kind, belief, model)
            except EntryError as error:
                raise error.at("replacement") from None
        belief = fold(belief, model, event)
    return belief


def _folded(events: Iterable[Effective]) -> tuple[Effective, ...]:
    return tuple(event for event in events if not event.withdrawn and event.kind != "corrected")


def _numbered(draft: Draft, stream: Sequence[Event]) -> Event:
    number = len(stream) + 1
    previous = stream[-1].hash if stream else GENESIS
    return Event(draft, number, chain_hash(previous, event_bytes(draft, number)))
