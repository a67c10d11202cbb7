"""The Learned page and its answer over HTTP, from bores that were finished."""

from __future__ import annotations

from borewright.learning.ledger import ledger
from borewright.learning.taught import IN_DOUBT
from borewright.web.lessons import learned_view
from tests.unit.learning.shop_floor import taught
from tests.unit.web.visitor import Visitor


def test_each_thing_learned_has_its_interval_and_its_picture() -> None:
    (view,) = learned_view(ledger([taught(1), taught(2), taught(3, evidence=None, left_out=IN_DOUBT)], {}, None), "mm")
    assert (view.tool, view.material) == ("head", "carbon steel")
    assert view.rests_on == "2 bores, 2031-01-02 to 2031-01-03:"
    assert view.left_out == (f"bore-3: {IN_DOUBT}",)
    line = next(line for line in view.lines if line.what.startswith("Push-off"))
    assert line.picture.startswith("<svg")
    assert f"{line.what}: {line.interval}; before, {line.before}." in line.picture
    assert "2 bores of this tool in this material" in line.origin


def test_a_tool_that_nobody_named_is_told_by_its_bore() -> None:
    (view,) = learned_view(ledger([taught(1, tool="bore-7.tool")], {}, None), "mm")
    assert view.tool == "the tool of bore-7, never named"


def test_with_nothing_finished_page_and_answer_say_so(demo: Visitor) -> None:
    assert "Nothing yet" in demo.get("/learned").text
    assert demo.get("/api/v1/learned").json() == {"lessons": []}
