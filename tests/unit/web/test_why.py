"""The panel that asks why it reads that: open where a reading surprises, with a form that settles each cause."""

from __future__ import annotations

from borewright.web.why import why_of
from tests.unit.sizing.plain import bore, expected_reading_mm, read, setting
from tests.unit.web.visitor import Visitor

CUT = ({"event": "set", "diameter": "33.36"}, {"event": "seated"}, {"event": "passed"})


def test_each_cause_has_what_settles_it() -> None:
    of = bore(*setting(39.75), {"event": "passed", "depth": "full"})
    assert why_of(of, "b-1", "mm").causes == ()
    of.record(read(expected_reading_mm(of)))
    why = why_of(of, "b-1", "mm")
    assert not why.surprises
    assert {cause.form.event for cause in why.causes if cause.form} >= {"read", "noted"}
    assert all(cause.form or cause.link[0] for cause in why.causes)
    fits = expected_reading_mm(of)
    of.record(read(fits + 0.012))
    doubted = why_of(of, "b-1", "mm")
    assert (doubted.surprises, doubted.settled) == (True, False)
    for _ in range(2):
        of.record(read(fits))
    settled = why_of(of, "b-1", "mm")
    assert (settled.surprises, settled.settled) == (True, True)
    assert settled.reading == read(fits + 0.012)["as_read"], "asked of the one that surprises, not of the last"


def test_the_ring_is_the_one_that_the_gauge_was_set_on() -> None:
    of = bore({"event": "set_on", "on": "ring", "size": "40.0012"}, *setting(39.75), {"event": "passed"})
    of.record(read(expected_reading_mm(of)))
    forms = [cause.form for cause in why_of(of, "b-1", "mm").causes if cause.form]
    ring = next(form for form in forms if form.event == "rechecked")
    assert ring.filled == '{"size":"40.0012 mm"}'
    of.record({"event": ring.event, "size": "40.0012 mm", "as_read": "40.001 mm"})


def test_the_page_asks_and_takes_the_answer(visitor: Visitor) -> None:
    opened = visitor.open()
    for entry in CUT:
        visitor.enter(opened, entry)
    assert "Why does it read" not in visitor.get(f"/bores/{opened}").text
    visitor.enter(opened, {"event": "read", "as_read": "33.345"})
    page = visitor.get(f"/bores/{opened}").text
    assert "Why does it read 33.3450 mm?" in page or "Why does it read 33.345 mm?" in page
    assert f"/bores/{opened}/passes" in page
    assert f"/bores/{opened}/prove" in page
