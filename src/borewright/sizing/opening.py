"""Opening a bore: what is typed becomes the events that its record begins with."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from borewright.callout import parse_callout
from borewright.errors import EntryError, NotHeldError
from borewright.gauging.conformity import Rule
from borewright.quantity.length import UNITS, Unit
from borewright.quantity.number import require_scale_said
from borewright.record.entry import draft_event
from borewright.record.fields import payload_plain, read_payload
from borewright.record.forms import choice_form
from borewright.record.gauges import gauge_record
from borewright.record.kinds import event_kind
from borewright.record.payloads import tool as t
from borewright.record.payloads.opened import Limits, Opened, RuleFacts, Start
from borewright.record.payloads.shared import StreamRef
from borewright.record.stream import Draft, Event, StreamId, StreamKind
from borewright.sizing.costs import Costs
from borewright.sizing.known import NOTHING, Known, freeze_together, with_known
from borewright.sizing.model import MODEL
from borewright.sizing.priors import LEARNED, Priors, freeze, priors_of
from borewright.sizing.turn import check_size

USUAL_CONFIDENCE, USUAL_RATIO, USUAL_BANDS = Decimal("0.95"), Decimal(4), Decimal(1)
"""Where neither order nor drawing names a rule: proof at 95 %; 4:1 where simple acceptance is asked for, and a band of
one U where a guarded rule is."""


def opening_drafts(
    mapping: Mapping[str, object],
    bore_id: str,
    *,
    tool_events: Sequence[Event] = (),
    gauge_events: Sequence[Event] = (),
    known: Known = NOTHING,
    at: str | None = None,
    by: str | None = None,
) -> tuple[Draft, ...]:
    """Make the drafts that open a bore: its tool's assembly and setting where they are new, then the opening.

    Args:
        mapping: what is known, as for ``Bore.start``.
        bore_id: the bore's name in the record.
        tool_events: the tool's events so far.
        gauge_events: the gauge's events so far.
        known: what earlier bores taught; frozen with the opening.
        at: when, ISO 8601.
        by: who.

    Returns:
        The drafts in the order in which they are to be stored.

    Raises:
        EntryError: the mapping cannot be understood.
        NotHeldError: the callout asks for a class that is not held.
    """
    start, limits = read_start(mapping)
    streams: dict[StreamKind, StreamId] = {"bore": StreamId("bore", bore_id), **_other_streams(start, bore_id)}
    tool_drafts = _tool_drafts(start, streams["tool"], tool_events, at, by)
    payload = Opened(
        given=start,
        limits=limits,
        frozen=freeze(with_study(with_known(priors_of(start), known), start, gauge_events)),
        rule=_whole_rule(start.rule),
        costs=Costs.of(start.costs).facts(),
        tool=StreamRef(id=streams["tool"].identity, number=len(tool_events) + len(tool_drafts)),
        gauge=StreamRef(id=streams["gauge"].identity, number=len(gauge_events)),
        model=MODEL,
        together=freeze_together(known),
    )
    return (*tool_drafts, draft_event(event_kind("opened"), payload, streams, at=at, by=by))


def with_study(priors: Priors, start: Start, gauge_events: Sequence[Event]) -> Priors:
    """Put the scatter that a study of the gauge found in the place of one learned or assumed; never of a typed one.

    Args:
        priors: what is believed beforehand.
        start: what was typed.
        gauge_events: the gauge's events so far.

    Returns:
        The priors.
    """
    studied = gauge_record(gauge_events).studied
    if studied is None or start.gauge.scatter is not None:
        return priors
    scatter = studied.scatter.mm
    width = 0.0 if studied.dof is None else scatter / math.sqrt(2.0 * studied.dof)
    found = replace(priors.gauge_scatter, value=scatter, width=width, origin=f"{LEARNED}: the study of this gauge")
    return replace(priors, gauge_scatter=found)


def other_streams(mapping: Mapping[str, object], bore_id: str) -> dict[StreamKind, StreamId]:
    """Return the tool's and the gauge's stream that a bore would rest on.

    Args:
        mapping: what is known, as for ``Bore.start``.
        bore_id: the bore's name in the record.

    Returns:
        Their names.

    Raises:
        EntryError: the mapping cannot be understood.
    """
    return _other_streams(read_start(mapping)[0], bore_id)


def read_start(mapping: Mapping[str, object]) -> tuple[Start, Limits]:
    """Read what a bore is started with.

    Args:
        mapping: what is known, as for ``Bore.start``.

    Returns:
        What was typed, and the limits that its callout means.

    Raises:
        EntryError: the mapping cannot be understood.
        NotHeldError: the callout asks for a class that is not held.
    """
    if not isinstance(mapping, Mapping):
        raise EntryError(
            "Named fields are wanted.", given=mapping, right='Give {"callout": "62 H6", "hole": "61.4", ...}.'
        )
    unit = unit_of(mapping.get("unit"))
    callout = mapping.get("callout")
    if not isinstance(callout, str):
        raise EntryError(
            "The callout is missing.", given=callout, right='Give size and tolerance, such as "62 H6".', where="callout"
        )
    try:
        asked = parse_callout(callout, unit)
    except (EntryError, NotHeldError) as error:
        raise (error if error.where else error.at("callout")) from None
    warmth = mapping.get("temperature")
    for of in ("part", "tool"):
        require_scale_said(warmth.get(of) if isinstance(warmth, Mapping) else None, f"temperature.{of}")
    start = read_payload(Start, mapping, unit or asked.unit)
    if start.hole.size.mm > asked.upper.mm:
        raise EntryError(
            "The hole is larger than the upper limit already.",
            given=start.hole.size.text,
            right=f"The callout allows up to {asked.upper.text}; check size and unit.",
            where="hole.size",
        )
    if start.hole.size.mm < 0.5 * asked.lower.mm:
        raise EntryError(
            "The hole is less than half the size wanted.",
            given=start.hole.size.text,
            right=f"The callout begins at {asked.lower.text}; give the diameter, and check the unit.",
            where="hole.size",
        )
    if start.tool is not None and start.tool.set is not None:
        check_size(start.tool.set, asked.mid_mm, "tool.set", "A set diameter")
    return start, Limits(lower=asked.lower, upper=asked.upper, source=asked.source)


def unit_of(given: object) -> Unit | None:
    """Read the unit of lengths that carry none.

    Args:
        given: ``mm`` or ``in`` as it was given, or None.

    Returns:
        The unit, or None.

    Raises:
        EntryError: there is no such unit.
    """
    if given is None:
        return None
    return "in" if choice_form(UNITS).read(given, None, "unit") == "in" else "mm"


def _tool_drafts(
    start: Start, stream: StreamId, events: Sequence[Event], at: str | None, by: str | None
) -> list[Draft]:
    streams: dict[StreamKind, StreamId] = {"tool": stream}
    drafts = []
    if not events:
        drafts.append(draft_event(event_kind("assembled"), t.Assembled(adjuster=start.adjuster), streams, at=at, by=by))
    elif events[0].payload.get("adjuster") != payload_plain(start.adjuster):
        raise EntryError(
            "The tool's own record tells of another adjuster.",
            given=stream.identity,
            right="Give the adjuster as it was when the tool was assembled, or another tool.",
            where="adjuster",
        )
    if start.tool is not None and start.tool.set is not None:
        drafts.append(draft_event(event_kind("set"), t.Set(diameter=start.tool.set), streams, at=at, by=by))
    return drafts


def _other_streams(start: Start, bore_id: str) -> dict[StreamKind, StreamId]:
    tool = start.tool.id if start.tool is not None else None
    return {
        "tool": _stream("tool", tool, bore_id, "tool.id"),
        "gauge": _stream("gauge", start.gauge_id, bore_id, "gauge_id"),
    }


def _stream(kind: StreamKind, identity: str | None, bore_id: str, where: str) -> StreamId:
    """Name the stream of a tool or a gauge: as it was given, or after the bore where it is the bore's own."""
    if identity is None:
        return StreamId(kind, f"{bore_id}.{kind}")
    try:
        return StreamId(kind, identity)
    except EntryError as error:
        error.where = where
        raise


def _whole_rule(facts: RuleFacts | None) -> RuleFacts:
    """Fill in what was not said of the rule, so that a later default never judges an open bore."""
    facts = facts or RuleFacts(name="proof")
    if facts.name == "simple":
        return RuleFacts(name="simple", ratio=USUAL_RATIO if facts.ratio is None else facts.ratio, probe=facts.probe)
    if facts.name == "guarded":
        return RuleFacts(name="guarded", bands=USUAL_BANDS if facts.bands is None else facts.bands, probe=facts.probe)
    confidence = USUAL_CONFIDENCE if facts.confidence is None else facts.confidence
    return RuleFacts(name="proof", confidence=confidence, probe=facts.probe)


def rule_of(facts: RuleFacts) -> Rule:
    """Return the rule that a bore is judged by.

    Args:
        facts: the rule as it was frozen at the opening.

    Returns:
        The rule.
    """
    probe = facts.probe == "counts"
    if facts.name == "simple":
        return Rule("simple", ratio=float(facts.ratio or USUAL_RATIO), probe_counts=probe)
    if facts.name == "guarded":
        bands = USUAL_BANDS if facts.bands is None else facts.bands
        return Rule("guarded", bands=float(bands), probe_counts=probe)
    return Rule("proof", confidence=float(facts.confidence or USUAL_CONFIDENCE), probe_counts=probe)
