"""The Passes page: every plan as a lane with its strip, the advised one first, minutes as asked or as assumed."""

from __future__ import annotations

import re

from borewright.web.passes import passes_view
from tests.unit.web.bores import PINION, Sized
from tests.unit.web.visitor import SEAT, Visitor


def test_every_plan_is_a_lane_and_the_advised_one_stands_first() -> None:
    sized = Sized(PINION)
    plans = sized.bore.plans()["plans"]
    view = passes_view("b-1", sized.bore, sized.history())
    lines = [line for _, lines in view.beginnings for line in lines]
    assert isinstance(plans, list)
    assert len(lines) == len(plans)
    assert [line for line in lines if line.advised] == [view.advised]
    assert view.advised is not None
    assert len(view.advised.leaves) == view.advised.passes
    assert all(line.strip.count("<svg") == 1 for line in lines)
    assert len({line.strip for line in lines}) == len(lines)


def test_a_finished_bore_has_no_plans_and_says_why() -> None:
    sized = Sized(PINION).until("release")
    view = passes_view("b-1", sized.bore, sized.history())
    assert (view.advised, view.strips, view.beginnings) == (None, (), ())
    assert view.why == sized.bore.advise()["why"]


def test_the_page_shows_the_numbers_that_the_library_gives(demo: Visitor) -> None:
    page = demo.get(f"/bores/{SEAT}/passes?pass_minutes=9")
    assert page.status_code == 200
    assert page.text.count('<li class="lane') == len(Sized(PINION).bore.plans()["plans"])  # type: ignore[arg-type]
    assert re.search(r'name="pass_minutes"[^>]* value="9"', page.text)
    assert "as asked" in page.text
    assert "assumed: as much of a pass as it costs" in page.text


def test_minutes_that_cannot_be_are_said_beside_the_plans(demo: Visitor) -> None:
    page = demo.get(f"/bores/{SEAT}/passes?pass_minutes=soon")
    assert page.status_code == 422
    assert "soon: That is not a number." in page.text
    assert '<li class="lane' in page.text


def test_a_plan_is_held_back_by_what_is_not_shown_after_a_measured_pass(visitor: Visitor) -> None:
    bore = visitor.open()
    assert "Nothing has shown the push-off or the adjuster yet" in visitor.get(f"/bores/{bore}/passes").text
    visitor.enter(bore, {"event": "set", "diameter": visitor.look(bore)["advice"]["set"]["diameter"]})
    visitor.enter(bore, {"event": "seated"})
    visitor.enter(bore, {"event": "passed", "depth": "full"})
    left = str(visitor.look(bore)["advice"]["now"]["size"]).split(" ")[0]
    for _ in range(2):
        visitor.enter(bore, {"event": "read", "as_read": f"{float(left):.3f}"})
    page = visitor.get(f"/bores/{bore}/passes").text
    assert "has shown the push-off" not in page, "the pass that was read has"
    assert "No move has shown yet what the adjuster does" in page
    assert re.search(r"Not allowed:</b> [^<]*too thin to cut", page)
    assert not re.search(r"Not allowed yet:</b> [^<]*too thin to cut", page)
    assert "cost least" not in page.replace("passes cost least", "").replace("with a trial cut cost least", "")
