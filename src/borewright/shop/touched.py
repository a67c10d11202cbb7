"""What a gauge's record means for bores: marks on readings, and bores judged again when a setting has moved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Final, Literal, TypeAlias

from borewright.gauging.instruments import INSTRUMENTS
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length
from borewright.record.gauges import GaugeRecord, Setting, gauge_record
from borewright.record.payloads.bore import HoleChecked, Read, Released
from borewright.record.stream import StreamId
from borewright.shop.bores import bore_events
from borewright.shop.stands import Stand
from borewright.shop.store import Store
from borewright.shop.streams import Streams
from borewright.sizing.bore import Bore
from borewright.sizing.judging import judge
from borewright.sizing.opening import rule_of
from borewright.sizing.proving import independent

Reason: TypeAlias = Literal["overdue", "drifted", "moved", "not independent"]

SAID: Final[dict[Reason, str]] = {
    "overdue": "the master's certificate was out of date",
    "drifted": "the master was found off when it was calibrated next",
    "moved": "a re-check found that the setting had moved",
    "not independent": "the machine that cut the bore measured it",
}
"""Why a reading is marked, in words."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on a reading.

    Args:
        number: number of the reading's event on the bore's record.
        reason: why.
        by_mm: how far off, mm, or None where that is not known.
    """

    number: int
    reason: Reason
    by_mm: float | None = None

    def said(self, unit: Unit) -> str:
        """Say it in a sentence.

        Args:
            unit: unit to show a length in.

        Returns:
            The sentence, without an end.
        """
        by = "" if self.by_mm is None else f", by {show_length(self.by_mm, unit, sign=True)}"
        return f"reading {self.number}: {SAID[self.reason]}{by}"


@dataclass(frozen=True, slots=True)
class Judged:
    """A bore that a gauge's re-check touches, judged as it was and as it is now.

    Args:
        bore: its name in the record.
        state: the state its work is in.
        readings: numbers of its readings on the setting.
        released: size and expanded uncertainty that it was released on, as shown, or None where it is not released.
        size_mm: its size as the evidence gives it now, mm, or None where no reading counts; of a released bore whose
            setting has moved, the size if it had moved before the bore was read.
        expanded_mm: expanded uncertainty of that, mm.
        verdict: the verdict now; of such a bore the one that holds whether it moved before or after.
        probability: the probability now that the bore is within limits; of such a bore the smaller of both.
    """

    bore: str
    state: str
    readings: tuple[int, ...]
    released: tuple[str, str] | None
    size_mm: float | None
    expanded_mm: float | None
    verdict: str | None
    probability: float | None

    @property
    def stands(self) -> bool:
        """Whether a release still follows from the evidence; true where there is none."""
        return self.released is None or self.verdict == "in"

    def plain(self, unit: Unit) -> Mapping[str, object]:
        """Return it as plain values.

        Args:
            unit: unit to show lengths in.

        Returns:
            Named values.
        """
        released = None if self.released is None else {"size": self.released[0], "expanded": self.released[1]}
        return {
            "bore": self.bore,
            "state": self.state,
            "readings": list(self.readings),
            "released_on": released,
            "size": None if self.size_mm is None else show_length(self.size_mm, unit),
            "expanded": None if self.expanded_mm is None else show_length(self.expanded_mm, unit),
            "verdict": self.verdict,
            "probability": None if self.probability is None else f"{self.probability:.4f}",
            "stands": self.stands,
        }


def marks(store: Store, bore: str) -> tuple[Mark, ...]:
    """Return the marks on a bore's readings.

    Args:
        store: the record.
        bore: the bore's name in the record.

    Returns:
        The marks, by reading.

    Raises:
        NotHeldError: there is no bore of that name.
    """
    with store.reading() as streams:
        loaded = store.stands.find(streams, bore, bore_events).bore
        known = gauge_record(loaded.events("gauge"))
        scatter, step = _scatter_and_step(loaded, known)
        found: list[Mark] = []
        for number, at, gauge_number, probe in _readings(loaded):
            if _measured_by_machine(known) if probe is None else probe:
                found.append(Mark(number, "not independent"))
            setting = known.setting_at(gauge_number)
            if setting is None:
                continue
            found += _of_master(streams, setting, number, at)
            moved = setting.moved_mm(scatter, step)
            if moved is not None:
                found.append(Mark(number, "moved", moved))
        return tuple(found)


def said_together(found: tuple[Mark, ...], unit: Unit) -> tuple[str, ...]:
    """Say marks, those of one reason in one sentence.

    Args:
        found: the marks.
        unit: unit to show lengths in.

    Returns:
        The sentences.
    """
    sentences: list[str] = []
    reasons: dict[tuple[Reason, float | None], list[int]] = {}
    for mark in found:
        reasons.setdefault((mark.reason, mark.by_mm), []).append(mark.number)
    for (reason, by_mm), numbers in reasons.items():
        if len(numbers) == 1:
            sentences.append(Mark(numbers[0], reason, by_mm).said(unit).capitalize() + ".")
        else:
            one = Mark(numbers[0], reason, by_mm).said(unit).partition(": ")[2]
            sentences.append(f"Readings {', '.join(str(number) for number in numbers)}: {one}.")
    return tuple(sentences)


def marks_said(store: Store, bore: str, stand: Stand, unit: Unit) -> tuple[str, ...]:
    """Say the marks on the readings that a bore's verdict rests on.

    Args:
        store: the record.
        bore: the bore's name in the record.
        stand: how it stands.
        unit: unit to show lengths in.

    Returns:
        The sentences; none where it was not read, or none of those readings is marked.

    Raises:
        NotHeldError: there is no bore of that name.
    """
    counted = {each.number for each in independent(stand.bore.belief, stand.bore.rule)}
    found = tuple(mark for mark in marks(store, bore) if mark.number in counted) if counted else ()
    return said_together(found, unit)


def rejudge(streams: Streams, gauge: StreamId) -> Mapping[str, object]:
    """Judge the bores again that a gauge's latest re-check touches.

    Args:
        streams: the record in a transaction, the re-check in it.
        gauge: the gauge's stream.

    Returns:
        ``off``, what the gauge showed too much; ``moved``, whether that is more than scatter and step explain for any
        bore; ``rejudged``, each bore with readings on the setting, as plain values.
    """
    known = gauge_record(streams.events(gauge))
    setting = known.settings[-1]
    touched = judged_on(streams, gauge, setting)
    off = setting.rechecks[-1].off_mm
    unit: Unit = setting.says.size.unit
    explained = [setting.moved_mm(*_scatter_and_step(each, known)) for _, each in touched]
    own = setting.moved_mm(*_own_scatter(known))
    moved = any(each is not None for each in explained) if touched else own is not None
    return {
        "off": show_length(off, unit, sign=True),
        "moved": moved,
        "rejudged": [_judged(bore, loaded, setting, known).plain(loaded.unit) for bore, loaded in touched],
    }


def judged_on(streams: Streams, gauge: StreamId, setting: Setting) -> tuple[tuple[str, Bore], ...]:
    """Find the bores with readings on one setting of a gauge.

    Args:
        streams: the record.
        gauge: the gauge's stream.
        setting: the setting.

    Returns:
        Each bore's name and the bore as its record gives it now.
    """
    found = []
    for own in streams.named("bore"):
        first = streams.first(own)
        ref = None if first is None else first.payload.get("gauge")
        if not isinstance(ref, Mapping) or ref.get("id") != gauge.identity:
            continue
        loaded = Bore.from_events(bore_events(streams, own.identity))
        known = gauge_record(loaded.events("gauge"))
        if _on_setting(loaded, setting, known):
            found.append((own.identity, loaded))
    return tuple(found)


def _judged(bore: str, loaded: Bore, setting: Setting, known: GaugeRecord) -> Judged:
    now = judge(loaded.belief, loaded.model, rule_of(loaded.opening.rule))
    on_it = tuple(_on_setting(loaded, setting, known))
    releases = [each.payload for each in loaded.in_effect() if isinstance(each.payload, Released)]
    last = releases[-1] if releases and loaded.belief.status == "released" else None
    found = Judged(
        bore,
        loaded.state,
        on_it,
        None if last is None else (last.size.text, last.expanded.text),
        None if now is None else now.size.mm,
        None if now is None else now.size.expanded_mm,
        None if now is None else now.verdict,
        None if now is None else now.probability,
    )
    moved = setting.moved_mm(*_scatter_and_step(loaded, known))
    if last is None or moved is None:
        return found
    return _in_doubt(found, loaded, last, moved)


def _in_doubt(found: Judged, loaded: Bore, last: Released, moved_mm: float) -> Judged:
    """Judge a released bore both ways: the setting moved after its readings, and it moved before them."""
    counted = [each.gauge_number for each in independent(loaded.belief, loaded.rule)]
    share = sum(1 for each in counted if each == loaded.belief.gauge_number) / len(counted) if counted else 1.0
    size, u = last.size.mm, 0.5 * last.expanded.mm
    form, model = loaded.model.form_mm, loaded.model
    rule = rule_of(loaded.opening.rule)
    limits = model.lower_mm + form, model.upper_mm - form
    as_it_was, as_it_may_be = (rule.judge(each, u, *limits) for each in (size, size - share * moved_mm))
    both = as_it_was[0] if as_it_was[0] == as_it_may_be[0] else "not shown"
    return replace(
        found,
        size_mm=size - share * moved_mm,
        expanded_mm=last.expanded.mm,
        verdict=both,
        probability=min(as_it_was[1], as_it_may_be[1]),
    )


def _of_master(streams: Streams, setting: Setting, number: int, at: str | None) -> list[Mark]:
    ref = setting.says.certificate
    if ref is None:
        return []
    master = gauge_record(streams.events(StreamId("gauge", ref.id)))
    paper = master.paper_at(ref.number)
    if paper is None:
        return []
    found = []
    used = at or setting.at
    if used is not None and paper.standing(_day(used)) == "overdue":
        found.append(Mark(number, "overdue"))
    drifted = master.drifted(paper)
    if drifted is not None:
        found.append(Mark(number, "drifted", drifted))
    return found


def _readings(loaded: Bore) -> list[tuple[int, str | None, int, bool | None]]:
    """Return number, time, the gauge's number and what is said of the probe of each reading in effect."""
    times = {event.number: event.draft.at for event in loaded.events()}
    return [
        (each.number, times[each.number], each.payload.gauge.number, each.payload.probe)
        for each in loaded.in_effect()
        if isinstance(each.payload, Read | HoleChecked) and each.payload.gauge is not None
    ]


def _on_setting(loaded: Bore, setting: Setting, known: GaugeRecord) -> list[int]:
    found = []
    for number, _, gauge_number, _ in _readings(loaded):
        held = known.setting_at(gauge_number)
        if held is not None and held.number == setting.number:
            found.append(number)
    return found


def _measured_by_machine(known: GaugeRecord) -> bool:
    name = None if known.described is None else known.described.instrument
    return any(each.name == name and not each.independent for each in INSTRUMENTS)


def _scatter_and_step(loaded: Bore, known: GaugeRecord) -> tuple[float, float]:
    """Return the scatter and step that a bore's readings are weighed with."""
    scatter = known.studied.scatter.mm if known.studied is not None else loaded.belief.gauge_scatter_mm
    return scatter, loaded.model.priors.gauge_step.value


def _own_scatter(known: GaugeRecord) -> tuple[float, float]:
    scatter = 0.0 if known.studied is None else known.studied.scatter.mm
    step = 0.0 if known.described is None or known.described.step is None else known.described.step.mm
    return scatter, step


def _day(at: str) -> date:
    return datetime.fromisoformat(at).date()
