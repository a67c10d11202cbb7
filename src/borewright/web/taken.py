"""How a bore came to be measured: reading by reading, with which gauge, set on what, and the rule in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from borewright.gauging.conformity import Rule
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length
from borewright.record.gauges import Setting, gauge_record
from borewright.record.payloads.bore import Read
from borewright.record.stream import StreamId
from borewright.shop.store import Store
from borewright.sizing.blunders import Reading
from borewright.sizing.bore import Bore
from borewright.sizing.proving import LIKELY_BLUNDER, independent
from borewright.web.story import clock

NOBODY_SAID = "nobody said"


@dataclass(frozen=True, slots=True)
class Taken:
    """One reading since the last pass.

    Args:
        shown: what the gauge showed.
        where: where in the bore.
        by: who took it, and when, as far as is known.
        left_out: why it does not count; empty where it does.
    """

    shown: str
    where: str
    by: str
    left_out: str


@dataclass(frozen=True, slots=True)
class TakenView:
    """What a verdict was measured with.

    Args:
        readings: the readings since the last pass, those too that do not count.
        gauge: the gauge.
        master: what it was set on, and until when that holds.
    """

    readings: tuple[Taken, ...]
    gauge: str
    master: str


def taken_view(store: Store, bore: Bore, unit: Unit) -> TakenView:
    """Say how a bore was measured since the last pass.

    Args:
        store: the record that holds it.
        bore: the bore as it stands.
        unit: unit to show lengths in.

    Returns:
        The view; what nobody said is said to be so.
    """
    known = gauge_record(bore.events("gauge"))
    what = "" if known.described is None else known.described.instrument
    events = {event.number: event for event in bore.in_effect()}
    entered = {event.number: event.draft for event in bore.events()}
    readings = []
    for reading in bore.belief.readings:
        payload, draft = events[reading.number].payload, entered[reading.number]
        shown = show_reading(reading, bore, unit)
        place = payload.place if isinstance(payload, Read) else None
        at = [] if place is None or place.depth is None else [f"{show_length(place.depth.mm, unit, decimals=1)} deep"]
        at += [] if place is None or place.direction_deg is None else [f"at {place.direction_deg}°"]
        by = ", ".join(said for said in (draft.by or "no name", clock(draft.at)) if said)
        readings.append(Taken(shown, " ".join(at) or NOBODY_SAID, by, left_out(reading, bore)))
    named = bore.opening.given.gauge_id or (bore.streams["gauge"].identity if what else "which one, nobody said")
    gauge = ", ".join(said for said in (named, what) if said)
    set_on = dict.fromkeys(
        _master(store, known.setting_at(reading.gauge_number), unit) for reading in bore.belief.readings
    )
    return TakenView(tuple(readings), gauge, "; ".join(set_on))


def left_out(reading: Reading, bore: Bore) -> str:
    """Say why a reading does not count for a release.

    Args:
        reading: the reading.
        bore: the bore as it stands.

    Returns:
        The reason; empty where it counts.
    """
    if any(reading.number == each.number for each in independent(bore.belief, bore.rule)):
        return ""
    if reading.doubt >= LIKELY_BLUNDER:
        return "left out as doubtful"
    if reading.in_clamps and not bore.belief.clamped:
        return "left out: taken in the clamps"
    return "left out: the machine's own probe" if reading.probe else "left out: of the trial cut"


def show_reading(reading: Reading, bore: Bore, unit: Unit) -> str:
    """Show what the gauge showed, with the digits that it has in its own unit.

    Args:
        reading: the reading.
        bore: the bore that it was taken in.
        unit: the unit shown.

    Returns:
        The length with its unit.
    """
    step = bore.opening.given.gauge.step
    return show_length(reading.as_read_mm, unit, decimals=step.decimals if step.unit == unit else None)


def left_out_said(bore: Bore, unit: Unit) -> tuple[str, ...]:
    """Say which readings since the last pass do not count.

    Args:
        bore: the bore as it stands.
        unit: the unit shown.

    Returns:
        Such as ``33.396 mm left out as doubtful``, oldest first.
    """
    found: Sequence[tuple[Reading, str]] = [(each, left_out(each, bore)) for each in bore.belief.readings]
    return tuple(f"{show_reading(each, bore, unit)} {why}" for each, why in found if why)


def say_rule(rule: Rule, *, decided: bool) -> str:
    """Say in plain words what a rule asks before a bore is released.

    Args:
        rule: the rule.
        decided: whether somebody decided on it.

    Returns:
        Such as ``released only if at least 95 % sure to be inside the limits``.
    """
    said = {
        "proof": f"released only if at least {100.0 * rule.confidence:g} % sure to be inside the limits",
        "guarded": f"released only if it lies inside both limits by {rule.bands:g} U",
        "simple": f"released if it lies inside the limits, where the tolerance is at least {rule.ratio:g} times 2 U",
    }[rule.name]
    return said if decided else f"{said} (nobody has decided on a rule)"


def _master(store: Store, setting: Setting | None, unit: Unit) -> str:
    """Say what a gauge was set on, with its certificate's standing on the day of the setting."""
    if setting is None:
        return "what it was set on, nobody said"
    says = setting.says
    size = show_length(says.size.mm, unit, decimals=4 if unit == "mm" else 5)
    name = f"set on {says.master or says.on or 'a master'}, {size}{_when(setting.at)}"
    if says.certificate is None:
        return f"{name}, no certificate on record"
    with store.reading() as streams:
        master = gauge_record(streams.events(StreamId("gauge", says.certificate.id)))
    paper = master.paper_at(says.certificate.number)
    if paper is None:
        return f"{name}, no certificate on record"
    if paper.says.due is None:
        return f"{name}, certified, no day on which it falls due"
    standing = paper.standing(_day(setting.at))
    return f"{name}, certificate {'was overdue since' if standing == 'overdue' else 'holds until'} {paper.says.due}"


def _when(at: str | None) -> str:
    when = clock(at)
    return f", {when}" if when else ""


def _day(at: str | None) -> date:
    return datetime.fromisoformat(at).date() if at else datetime.now().astimezone().date()
