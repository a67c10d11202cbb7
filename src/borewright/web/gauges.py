"""What the Gauges page is made from: each gauge and ring as it stands, and what a study found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from borewright.gauging.instruments import INSTRUMENTS
from borewright.gauging.study import Found, Study, scatter_by_person
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length
from borewright.record.gauges import GaugeRecord
from borewright.record.payloads.gauge import Described
from borewright.shop.gauges import GaugeLine
from borewright.web.card import Fact

STANDING: Final = {
    "valid": "certificate holds",
    "due soon": "due soon",
    "overdue": "overdue",
    "not certified": "no certificate on record",
}
"""How a certificate stands, in words."""


@dataclass(frozen=True, slots=True)
class GaugeView:
    """A gauge or a ring as the page shows it.

    Args:
        name: its name on record.
        what: what it is.
        standing: how its certificate stands, or that of its master; empty where it has none on record.
        lined: whether that wants looking at.
        facts: what is known of it.
        number: number of its last event, which an act carries.
        is_master: whether gauges are set on it.
        is_set: whether it is set on a master now.
        master: the name of the master it is set on; empty where that has no record.
        size: that master's size, as recorded; empty where it is not set.
    """

    name: str
    what: str
    standing: str
    lined: bool
    facts: tuple[Fact, ...]
    number: int
    is_master: bool
    is_set: bool
    master: str
    size: str


@dataclass(frozen=True, slots=True)
class RingChoice:
    """A ring that a gauge may be set on.

    Args:
        name: its name on record.
        size: its size, by its certificate.
        standing: how that stands.
        lined: whether it is overdue.
    """

    name: str
    size: str
    standing: str
    lined: bool


@dataclass(frozen=True, slots=True)
class GaugesView:
    """The page.

    Args:
        masters: rings and blocks, those overdue first.
        gauges: the gauges.
        rings: what a gauge may be set on.
        instruments: what a gauge may be described as.
        rule: the rule that the shop decided on; empty where it has not.
    """

    masters: tuple[GaugeView, ...]
    gauges: tuple[GaugeView, ...]
    rings: tuple[RingChoice, ...]
    instruments: tuple[str, ...]
    rule: str


@dataclass(frozen=True, slots=True)
class FoundView:
    """What a study found.

    Args:
        method: how.
        facts: the figures.
        notes: what is to be known about them.
        what_to_do: the sentence that it ends in.
    """

    method: str
    facts: tuple[Fact, ...]
    notes: tuple[str, ...]
    what_to_do: str


def gauges_view(lines: Sequence[tuple[GaugeLine, GaugeRecord]], day: date, rule: str) -> GaugesView:
    """Make the page's view.

    Args:
        lines: each gauge and master with its record, in the order of the list.
        day: the day that certificates are held against.
        rule: the rule that the shop decided on, or nothing.

    Returns:
        The view.
    """
    views = [_view(line, known) for line, known in lines]
    rings = [
        RingChoice(
            line.gauge,
            known.paper.says.size.text,
            STANDING[known.standing(day)],
            known.standing(day) == "overdue",
        )
        for line, known in lines
        if known.paper is not None
    ]
    return GaugesView(
        tuple(view for view in views if view.is_master),
        tuple(view for view in views if not view.is_master),
        tuple(rings),
        tuple(each.name for each in INSTRUMENTS),
        rule,
    )


def found_view(found: Found, study: Study, unit: Unit, tolerance_mm: float | None) -> FoundView:
    """Make the view of what a study found.

    Args:
        found: what it found.
        study: the study.
        unit: unit to show lengths in.
        tolerance_mm: the tolerance that the gauge is to judge, mm, or None.

    Returns:
        The view.
    """

    def shown(mm: float) -> str:
        return show_length(mm, unit, decimals=5 if unit == "mm" else 6)

    low, high = found.interval_mm
    facts = [
        Fact("one person, one part", shown(found.repeatability_mm)),
        Fact("between people", shown(found.reproducibility_mm)),
        Fact("gauge and people together", f"{shown(found.gauge_mm)}, 95 % from {shown(low)} to {shown(high)}"),
        Fact("between parts", shown(found.parts_mm)),
        Fact("gauge over everything", f"{found.of_total:.1%}"),
        Fact("parts it can tell apart", f"{found.categories} kinds"),
    ]
    if tolerance_mm is not None:
        facts.append(Fact("six times the gauge over the tolerance", f"{found.of_tolerance(tolerance_mm):.1%}"))
    facts += [Fact(f"{who} alone", shown(mm)) for who, mm in scatter_by_person(study).items()]
    notes = list(found.notes)
    if found.floored:
        notes.append(f"Came out below nothing and counts as nothing: {', '.join(found.floored)}.")
    return FoundView(found.method.capitalize(), tuple(facts), tuple(notes), found.what_to_do(tolerance_mm))


def _view(line: GaugeLine, known: GaugeRecord) -> GaugeView:
    last = known.settings[-1].says if known.settings else None
    return GaugeView(
        name=line.gauge,
        what=line.instrument or ("ring" if line.is_master else "gauge"),
        standing="" if line.standing is None else f"{'' if line.is_master else 'its ring: '}{STANDING[line.standing]}",
        lined=line.standing in {"overdue", "not certified"},
        facts=tuple(_facts(line, known)),
        number=known.number,
        is_master=line.is_master,
        is_set=last is not None,
        master="" if last is None else last.master or "",
        size="" if last is None else last.size.text,
    )


def _facts(line: GaugeLine, known: GaugeRecord) -> list[Fact]:
    facts = []
    if line.is_master and known.paper is not None:
        says = known.paper.says
        facts.append(Fact("size at 20 °C", f"{says.size.text} ± {says.expanded.text}"))
        facts += [Fact("certificate", says.report)] if says.report else []
    if line.due is not None:
        facts.append(Fact("due" if line.is_master else "its ring is due", str(line.due)))
    if line.set_on is not None:
        when = "" if line.set_at is None else f", {line.set_at[:10]} {line.set_at[11:16]}"
        facts.append(Fact("set on", f"{line.set_on}{when}"))
    if known.settings and known.settings[-1].rechecks:
        off = known.settings[-1].rechecks[-1].off_mm
        facts.append(Fact("checked again", f"off by {show_length(off, known.settings[-1].says.size.unit, sign=True)}"))
    facts += [] if known.described is None else _described(known.described)
    if line.scatter is not None:
        facts.append(Fact("scatter by its study", line.scatter))
    if line.bores:
        facts.append(Fact("measured with it", "1 bore" if line.bores == 1 else f"{line.bores} bores"))
    return facts


def _described(says: Described) -> list[Fact]:
    """Show everything that was said of a gauge when it was described, so that nothing typed is out of sight."""
    said = (
        ("a larger hole shows", says.needle),
        ("smallest step", None if says.step is None else says.step.text),
        ("goes either way of its zero", None if says.travel is None else says.travel.text),
        ("class", says.ring_class),
        ("made of", says.material),
    )
    return [Fact(label, value) for label, value in said if value is not None]
