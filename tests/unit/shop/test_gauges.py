"""Gauges and masters on record: certificates, settings, re-checks, and what they mean for bores."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from borewright.errors import ConflictError, EntryError, NotHeldError, OutOfTurnError
from borewright.record.stream import StreamId
from borewright.shop import acts, bores
from borewright.shop.gauges import list_gauges, record_gauge, show_gauge
from borewright.shop.store import Store
from borewright.shop.touched import marks, marks_said
from borewright.sizing.measuring import freedom_of
from tests.unit.shop.test_acts import CUT_AND_READ, GIVEN, to_size

MARCH, JUNE, NEXT = "2027-03-01T06:00:00Z", "2027-06-01T06:00:00Z", "2028-06-01T06:00:00Z"
PAPER = {"event": "certified", "size": "53.1502 mm", "expanded": "0.0008 mm", "report": "R-17", "due": "2028-03-01"}


def ring(store: Store, **says: str) -> None:
    record_gauge(store, "ring-53", {"event": "described", "instrument": "ring"}, at=MARCH)
    record_gauge(store, "ring-53", {**PAPER, **says}, at=MARCH)


def set_on_ring(store: Store, at: str = MARCH) -> Any:  # noqa: ANN401  # an answer
    return record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53", "celsius": "20.5"}, at=at)


def sized(store: Store, at: str | None = None) -> tuple[str, dict[str, object]]:
    """A bore brought to size with the gauge."""
    bore = str(acts.open_bore(store, GIVEN, at=at)["bore"])
    for entry in (
        {"event": "set", "diameter": "52.800"},
        {"event": "seated"},
        {"event": "passed"},
        {"event": "read", "as_read": "52.783"},
        {"event": "read", "as_read": "52.784"},
    ):
        acts.record(store, bore, entry, at=at)
    return bore, to_size(store, bore)


def test_a_setting_takes_size_and_certificate_from_its_master(store: Store) -> None:
    ring(store)
    answer = set_on_ring(store)
    assert answer["warnings"] == []
    setting = show_gauge(store, "gauge-2").settings[-1]
    assert setting.says.size.text == "53.1502 mm"
    assert setting.says.on == "ring"
    assert setting.says.certificate is not None
    assert setting.says.certificate.number == 2
    assert (setting.says.certificate.snapshot or {})["report"] == "R-17"


def test_a_bore_sets_its_gauge_on_a_master_alike(store: Store) -> None:
    ring(store)
    bore = str(acts.open_bore(store, GIVEN, at=MARCH)["bore"])
    acts.record(store, bore, {"event": "set_on", "master": "ring-53"}, at=MARCH)
    setting = show_gauge(store, "gauge-2").settings[-1]
    assert setting.says.size.text == "53.1502 mm"
    acts.correct(store, bore, "gauge", setting.number, {"master": "ring-53", "celsius": "22"})
    again = show_gauge(store, "gauge-2").settings[-1].says
    assert again.certificate == setting.says.certificate
    assert str(again.celsius) == "22"


def test_a_master_without_a_certificate_is_refused(store: Store) -> None:
    record_gauge(store, "ring-53", {"event": "described", "instrument": "ring"})
    with pytest.raises(NotHeldError, match="no certificate on record"):
        set_on_ring(store)
    with pytest.raises(EntryError, match="cannot name a stream"):
        record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring 53"})
    with pytest.raises(NotHeldError, match="no gauge of that name"):
        show_gauge(store, "gauge-9")


def test_an_overdue_ring_warns_and_marks_every_reading_on_it(store: Store) -> None:
    ring(store)
    answer = set_on_ring(store, NEXT)
    assert answer["warnings"] == [
        "The certificate of ring-53 was due on 2028-03-01; readings on it are marked once it is overdue."
    ]
    bore = str(acts.open_bore(store, GIVEN, at=NEXT)["bore"])
    for entry in ({"event": "set", "diameter": "52.800"}, {"event": "passed"}, {"event": "read", "as_read": "52.783"}):
        acts.record(store, bore, entry, at=NEXT)
    found = marks(store, bore)
    assert [(mark.reason, mark.number) for mark in found] == [("overdue", 3)]
    assert found[0].said("mm") == "reading 3: the master's certificate was out of date"


def test_nothing_is_marked_while_the_certificate_holds(store: Store) -> None:
    ring(store)
    set_on_ring(store)
    bore, _ = sized(store, JUNE)
    assert [mark for mark in marks(store, bore) if mark.reason == "overdue" and mark.number <= 5] == []


def test_a_ring_found_off_marks_what_was_measured_on_it(store: Store) -> None:
    ring(store)
    set_on_ring(store)
    bore, _ = sized(store)
    assert not [mark for mark in marks(store, bore) if mark.reason == "drifted"]
    record_gauge(store, "ring-53", {**PAPER, "size": "53.1530 mm", "due": "2029-03-01"}, at=JUNE)
    found = [mark for mark in marks(store, bore) if mark.reason == "drifted"]
    assert found
    assert found[0].by_mm == pytest.approx(0.0028)
    assert "by +0.0028 mm" in found[0].said("mm")


def test_a_ring_that_came_back_the_same_marks_nothing(store: Store) -> None:
    ring(store)
    set_on_ring(store)
    bore, _ = sized(store)
    record_gauge(store, "ring-53", {**PAPER, "size": "53.1507 mm", "due": "2029-03-01"}, at=JUNE)
    assert not [mark for mark in marks(store, bore) if mark.reason == "drifted"]


def test_a_recheck_that_finds_the_setting_moved_names_and_judges_what_it_touches(store: Store) -> None:
    ring(store)
    set_on_ring(store)
    bore, shown = sized(store)
    acts.release(store, bore, shown, by="I. Thorne")
    answer: Any = record_gauge(
        store, "gauge-2", {"event": "rechecked", "master": "ring-53", "as_read": "53.1602 mm", "celsius": "20.5"}
    )
    assert answer["moved"] is True
    assert answer["off"] == "+0.0100 mm"
    (touched,) = answer["rejudged"]
    assert touched["bore"] == bore
    assert touched["state"] == "released"
    assert touched["released_on"] == {"size": shown["size"], "expanded": shown["expanded"]}
    assert touched["readings"]
    assert touched["size"] != shown["size"]
    assert touched["stands"] is (touched["verdict"] == "in")
    assert not touched["stands"]
    assert {mark.reason for mark in marks(store, bore)} >= {"moved"}


def test_a_recheck_that_finds_it_where_it_was_leaves_a_release_standing(store: Store) -> None:
    ring(store)
    set_on_ring(store)
    bore, shown = sized(store)
    acts.release(store, bore, shown, by="I. Thorne")
    answer: Any = record_gauge(
        store, "gauge-2", {"event": "rechecked", "master": "ring-53", "as_read": "53.150 mm", "celsius": "20.5"}
    )
    assert answer["moved"] is False
    assert [each["stands"] for each in answer["rejudged"]] == [True]
    assert not [mark for mark in marks(store, bore) if mark.reason == "moved"]


def test_a_setting_that_no_bore_rests_on_touches_none(store: Store) -> None:
    ring(store)
    set_on_ring(store)
    bore, _ = sized(store)
    set_on_ring(store)
    answer: Any = record_gauge(store, "gauge-2", {"event": "rechecked", "master": "ring-53", "as_read": "53.170 mm"})
    assert answer["rejudged"] == []
    assert answer["moved"] is True
    assert not [mark for mark in marks(store, bore) if mark.reason == "moved"]


def test_the_machines_own_probe_is_no_independent_evidence(store: Store) -> None:
    record_gauge(store, "gauge-2", {"event": "described", "instrument": "touch probe in the spindle"})
    bore = str(acts.open_bore(store, GIVEN)["bore"])
    for entry in CUT_AND_READ:
        acts.record(store, bore, entry)
    assert {mark.reason for mark in marks(store, bore)} == {"not independent"}
    acts.record(store, bore, {"event": "read", "as_read": "52.784", "probe": False})
    assert {mark.number for mark in marks(store, bore)} == {3, 4}


def test_a_reading_beyond_the_travel_is_refused(store: Store) -> None:
    ring(store)
    described = {"event": "described", "instrument": "dial bore gauge", "needle": "minus", "travel": "0.2 mm"}
    record_gauge(store, "gauge-2", described)
    set_on_ring(store)
    with pytest.raises(EntryError, match="travels"):
        record_gauge(store, "gauge-2", {"event": "rechecked", "master": "ring-53", "as_read": "53.4 mm"})
    bore = str(acts.open_bore(store, GIVEN)["bore"])
    for entry in ({"event": "set", "diameter": "52.800"}, {"event": "passed"}):
        acts.record(store, bore, entry)
    before = bores.view(store, bore).advise()
    with pytest.raises(EntryError, match=r"travels 0\.2"):
        acts.record(store, bore, {"event": "read", "as_read": "52.783"})
    assert bores.view(store, bore).advise() == before


def test_what_cannot_be_of_a_gauge_is_refused(store: Store) -> None:
    with pytest.raises(OutOfTurnError, match="not set on a master yet"):
        record_gauge(store, "gauge-2", {"event": "rechecked", "size": "53.15 mm", "as_read": "53.15 mm"})
    with pytest.raises(EntryError, match="No certificate is that uncertain"):
        record_gauge(store, "ring-53", {**PAPER, "expanded": "0.8 mm"})
    ring(store)
    with pytest.raises(OutOfTurnError, match="not set on another"):
        record_gauge(store, "ring-53", {"event": "set_on", "size": "53.15 mm"})
    with pytest.raises(EntryError, match="no such event"):
        record_gauge(store, "gauge-2", {"event": "read", "as_read": "53.15 mm"})


def test_an_entry_is_kept_once_and_on_what_was_seen(store: Store) -> None:
    first = record_gauge(store, "ring-53", PAPER, key="k", saw=0, at=MARCH)
    assert record_gauge(store, "ring-53", PAPER, key="k", saw=0, at=MARCH) == first
    assert len(store.stream(StreamId("gauge", "ring-53"))) == 1
    with pytest.raises(ConflictError):
        record_gauge(store, "ring-53", {**PAPER, "size": "53.1503 mm"}, saw=0, at=MARCH)


def test_a_certificate_mistyped_is_corrected(store: Store) -> None:
    ring(store)
    record_gauge(
        store, "ring-53", {"event": "corrected", "event_number": 2, "replacement": {**PAPER_ONLY, "size": "53.1520 mm"}}
    )
    paper = show_gauge(store, "ring-53").paper
    assert paper is not None
    assert paper.says.size.text == "53.1520 mm"


PAPER_ONLY = {name: value for name, value in PAPER.items() if name != "event"}


def test_a_list_puts_first_what_is_overdue(store: Store) -> None:
    ring(store)
    record_gauge(store, "ring-40", {**PAPER, "size": "40 mm", "due": "2027-04-01"}, at=MARCH)
    set_on_ring(store)
    record_gauge(store, "gauge-2", {"event": "studied", "scatter": "0.8 µm"})
    sized(store)
    lines = list_gauges(store, date(2027, 6, 1))
    assert [(line.gauge, line.standing) for line in lines] == [
        ("ring-40", "overdue"),
        ("ring-53", "valid"),
        ("gauge-2", "valid"),
    ]
    gauge = lines[-1]
    assert (gauge.set_on, gauge.bores, gauge.is_master) == ("ring-53", 1, False)
    assert gauge.due == date(2028, 3, 1)
    assert gauge.scatter == "0.0008 mm"
    assert gauge.set_at == MARCH


def test_a_certificate_is_given_by_the_record_alone(store: Store) -> None:
    ring(store)
    forged = {"id": "ring-53", "number": 1, "snapshot": {"size": "53 mm"}}
    record_gauge(store, "gauge-2", {"event": "set_on", "size": "53.1502 mm", "certificate": forged})
    assert show_gauge(store, "gauge-2").settings[-1].says.certificate is None
    record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53", "certificate": forged})
    given = show_gauge(store, "gauge-2").settings[-1].says.certificate
    assert given is not None
    assert given.number == 2


@pytest.mark.parametrize("entry", [None, [1], "set_on", {"event": ["set_on"], "master": "ring-53"}])
def test_what_is_no_entry_is_refused(store: Store, entry: Any) -> None:  # noqa: ANN401  # anything
    with pytest.raises(EntryError):
        record_gauge(store, "gauge-2", entry)
    assert store.token() == 0


def test_a_setting_keeps_how_well_its_master_is_known_by_its_record_alone(store: Store) -> None:
    ring(store, factor="2.5")
    record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53", "master_u": "9 µm"}, at=MARCH)
    says = show_gauge(store, "gauge-2").settings[-1].says
    assert says.master_u is not None
    assert says.master_u.text == "0.000320 mm"
    bore = str(acts.open_bore(store, GIVEN, at=MARCH)["bore"])
    acts.record(store, bore, {"event": "hole_checked", "as_read": "52.702"}, at=MARCH)
    assert bores.view(store, bore).belief.master.u_mm == 0.00032


def test_a_ring_without_a_certificate_is_known_by_its_class(store: Store) -> None:
    """Class X of 53.15 mm: 80 microinch wide, half of it over root 3 (ASME B89.1.6, second-hand)."""
    record_gauge(store, "ring-53", {"event": "described", "instrument": "ring", "ring_class": "X"})
    with pytest.raises(NotHeldError, match="no certificate") as refused:
        record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53"})
    assert "Give its size" in refused.value.right
    record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53", "size": "53.15"}, unit="mm")
    says = show_gauge(store, "gauge-2").settings[-1].says
    assert says.master_u is not None
    assert says.master_u.mm == pytest.approx(40.0 * 25.4e-6 / 3.0**0.5, abs=1e-6)


def test_a_ring_of_carbide_grows_as_carbide(store: Store) -> None:
    record_gauge(store, "ring-53", {"event": "described", "instrument": "ring", "material": "carbide"})
    record_gauge(store, "ring-53", PAPER)
    record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53", "celsius": "24"})
    assert show_gauge(store, "gauge-2").settings[-1].says.master_material == "carbide"


def test_a_bore_opens_with_what_a_study_of_its_gauge_found(store: Store) -> None:
    study = {"event": "studied", "scatter": "0.7 µm", "dof": 18}
    record_gauge(store, "gauge-2", study, at=MARCH)
    given = {**GIVEN, "gauge": {"step": "0.001"}}
    opened = bores.view(store, str(acts.open_bore(store, given, at=MARCH)["bore"]))
    scatter = opened.model.priors.gauge_scatter
    assert (scatter.value, scatter.origin) == (0.0007, "learned: the study of this gauge")
    assert freedom_of(scatter) == pytest.approx(18.0)
    typed = bores.view(
        store, str(acts.open_bore(store, {**GIVEN, "gauge": {"step": "0.001", "scatter": "0.0012"}})["bore"])
    )
    assert typed.model.priors.gauge_scatter.value == 0.0012


def test_a_verdict_says_the_marks_of_the_readings_that_it_rests_on(store: Store) -> None:
    ring(store)
    set_on_ring(store, NEXT)
    bore, _ = sized(store, NEXT)
    assert marks_said(store, bore, bores.stand(store, bore), "mm") == ()
    number = acts.record(store, bore, {"event": "read", "as_read": "53.150"}, at=NEXT)["number"]
    said = marks_said(store, bore, bores.stand(store, bore), "mm")
    assert said == (f"Reading {number}: the master's certificate was out of date.",)


def test_a_master_at_fahrenheit_without_its_letter_is_asked_about(store: Store) -> None:
    ring(store)
    with pytest.raises(EntryError, match=r"may be °C or °F") as caught:
        record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53", "celsius": "70"}, at=MARCH)
    assert caught.value.where == "celsius"
    with pytest.raises(EntryError, match="that hot"):
        record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53", "celsius": "70 C"}, at=MARCH)
    record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53", "celsius": "70 F"}, at=MARCH)
    with pytest.raises(EntryError, match="settle"):
        record_gauge(store, "gauge-2", {"event": "set_on", "master": "ring-53", "celsius": "-20"}, at=MARCH)
