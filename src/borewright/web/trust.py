"""What an inspector looks for on Release: how it was measured and where, what is uncertain, marks."""

from __future__ import annotations

from dataclasses import dataclass

from borewright.drawing.budget import draw_budget
from borewright.drawing.places import draw_places
from borewright.gauging.budget import Budget, Cause
from borewright.gauging.form import Departure, Form, Placed, form_of
from borewright.gauging.instruments import INSTRUMENTS
from borewright.gauging.lobing import unseen_lobing
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length
from borewright.record.gauges import gauge_record
from borewright.record.payloads.bore import Read
from borewright.shop.stands import Stand
from borewright.shop.store import Store
from borewright.shop.touched import marks, said_together
from borewright.sizing.judging import Judged, judge
from borewright.sizing.proving import independent
from borewright.web.card import Fact
from borewright.web.pictures import Picture
from borewright.web.taken import TakenView, taken_view


@dataclass(frozen=True, slots=True)
class TrustView:
    """What stands beside a release.

    Args:
        marks: why readings are marked, a sentence each; readings that share a reason share the sentence.
        taken: how it was measured.
        budget: the parts of the uncertainty drawn; empty without a reading that counts.
        places: where it was read, drawn; empty where no reading says where.
        form: its departures from a true cylinder, as far as the places show them.
        open: what the places leave open, a sentence each.
    """

    marks: tuple[str, ...]
    taken: TakenView
    budget: Picture
    places: Picture
    form: tuple[Fact, ...]
    open: tuple[str, ...]


def trust_view(store: Store, bore: str, stand: Stand, unit: Unit) -> TrustView:
    """Look at what stands behind a bore's readings.

    Args:
        store: the record that holds it.
        bore: the bore's name in the record.
        stand: how it stands.
        unit: unit to show lengths in.

    Returns:
        The view.
    """
    judged = judge(stand.bore.belief, stand.bore.model, stand.bore.rule)
    placed = () if judged is None else _placed(stand, judged)
    form = form_of(placed, stand.bore.belief.gauge_scatter_mm) if placed else None
    return TrustView(
        said_together(marks(store, bore), unit),
        taken_view(store, stand.bore, unit),
        _budget(judged),
        Picture(draw_places(placed, unit, standalone=False) if placed else ""),
        tuple(_departure(each, unit) for each in form.departures) if form is not None else (),
        _left_open(stand, form, placed),
    )


def _budget(judged: Judged | None) -> Picture:
    if judged is None:
        return Picture("")
    causes = tuple(Cause(name, part) for name, part in judged.size.parts_mm if part > 0.0)
    return Picture(draw_budget(Budget(judged.size.mm, causes), standalone=False))


def _placed(stand: Stand, judged: Judged) -> tuple[Placed, ...]:
    """Return the readings that count and say where, as sizes at 20 °C."""
    bore = stand.bore
    counted = {each.number: each.as_read_mm for each in independent(bore.belief, bore.rule)}
    if not counted:
        return ()
    warmth = judged.size.mm - sum(counted.values()) / len(counted)
    found = []
    for event in bore.in_effect():
        payload = event.payload
        if isinstance(payload, Read) and event.number in counted and payload.place is not None:
            depth = 0.0 if payload.place.depth is None else payload.place.depth.mm
            direction = float(payload.place.direction_deg or 0)
            found.append(Placed(payload.as_read.mm + warmth, depth, direction))
    return tuple(found)


def _departure(each: Departure, unit: Unit) -> Fact:
    shown = "" if each.shown else ", no more than the gauge's scatter"
    return Fact(each.name, f"{show_length(each.mm, unit)} ± {show_length(each.half_width_mm, unit)}{shown}")


def _left_open(stand: Stand, form: Form | None, placed: tuple[Placed, ...]) -> tuple[str, ...]:
    """Say what the places read cannot show, and what the gauge cannot."""
    if form is None:
        return ()
    known = gauge_record(stand.bore.events("gauge")).described
    sees = next((each.sees for each in INSTRUMENTS if known and each.name == known.instrument), "two points")
    unseen = unseen_lobing(sees, [each.direction_deg for each in placed], envelope=False)
    cautions = dict.fromkeys(each.caution for each in form.departures if each.caution)
    return tuple(words for words in (*form.missing, *cautions, unseen) if words)
