"""What a gauge's own record says of it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

import pytest

from borewright.record.entry import draft_event, read_entry
from borewright.record.gauges import GaugeRecord, gauge_record
from borewright.record.stream import Event, StreamId

GAUGE = StreamId("gauge", "gauge-2")
PAPER = {"event": "certified", "size": "33.0012", "expanded": "0.0008", "due": "2027-03-01"}
SET = {"event": "set_on", "size": "33.0012"}


def folded(*entries: Mapping[str, object]) -> GaugeRecord:
    """Fold entries of one gauge."""
    events = []
    for number, entry in enumerate(entries, 1):
        kind, payload = read_entry({"stream": "gauge", **entry}, "mm")
        events.append(Event(draft_event(kind, payload, {"gauge": GAUGE}), number, ""))
    return gauge_record(events)


def test_nothing_is_known_of_a_gauge_without_a_record() -> None:
    known = folded()
    assert (known.described, known.paper, known.settings, known.studied, known.number) == (None, None, (), None, 0)
    assert not known.is_master
    assert known.setting_at(5) is None
    assert known.standing(date(2027, 1, 1)) == "not certified"


def test_a_certificate_stands_until_its_day_and_is_followed_by_the_next() -> None:
    known = folded(PAPER, {"event": "noted", "text": "dropped"}, {**PAPER, "due": "2029-03-01"})
    assert known.is_master
    assert known.paper is not None
    assert known.paper.number == 3
    first = known.paper_at(2)
    assert first is not None
    assert [first.standing(date(2027, *day)) for day in ((1, 1), (2, 1), (3, 1), (3, 2))] == [
        "valid",
        "due soon",
        "due soon",
        "overdue",
    ]
    assert known.standing(date(2027, 3, 2)) == "valid"
    assert known.drifted(first) is None
    assert known.drifted(known.paper) is None


@pytest.mark.parametrize(("size", "by"), [("33.0022", None), ("33.0024", 0.0012), ("33.0000", -0.0012)])
def test_a_master_drifted_where_both_papers_cannot_explain_it(size: str, by: float | None) -> None:
    known = folded(PAPER, {**PAPER, "size": size})
    first = known.paper_at(1)
    assert first is not None
    assert known.drifted(first) == (by if by is None else pytest.approx(by))


def test_settings_hold_their_own_rechecks() -> None:
    check = {"event": "rechecked", "size": "33.0012", "as_read": "33.0042"}
    known = folded(check, SET, check, SET)
    assert [(each.number, len(each.rechecks)) for each in known.settings] == [(2, 1), (4, 0)]
    first, second = known.settings
    assert first.moved_mm(0.0005, 0.001) == pytest.approx(0.003)
    assert first.moved_mm(0.0012, 0.001) is None
    assert second.moved_mm(0.0005, 0.001) is None
    assert known.setting_at(3) == first
    assert known.setting_at(9) == second


def test_what_was_withdrawn_says_nothing() -> None:
    known = folded(PAPER, SET, {"event": "corrected", "event_number": 1}, {"event": "corrected", "event_number": 2})
    assert known.paper is None
    assert known.settings == ()
    assert known.number == 4


def test_a_gauge_is_what_it_was_last_described_as() -> None:
    known = folded(
        {"event": "described", "instrument": "dial bore gauge", "needle": "plus"},
        {"event": "described", "instrument": "dial bore gauge", "needle": "minus"},
        {"event": "studied", "scatter": "0.0008"},
    )
    assert known.described is not None
    assert known.described.needle == "minus"
    assert known.studied is not None
    assert not known.is_master
    assert folded({"event": "described", "instrument": "ring"}).is_master
