"""What stands beside a release: marks, and how the bore was measured."""

from __future__ import annotations

import re

from borewright.shop.touched import Mark, said_together
from tests.unit.cli.test_gauges import CUT
from tests.unit.shop.test_acts import GIVEN
from tests.unit.web.test_gauges import PAPER, act
from tests.unit.web.visitor import Visitor


def test_marks_of_one_reason_share_a_sentence() -> None:
    found = (Mark(3, "overdue"), Mark(4, "overdue"), Mark(4, "moved", 0.004))
    assert said_together(found, "mm") == (
        "Readings 3, 4: the master's certificate was out of date.",
        "Reading 4: a re-check found that the setting had moved, by +0.0040 mm.",
    )
    assert said_together((), "mm") == ()


def test_release_shows_marks_and_what_the_uncertainty_is_made_of(visitor: Visitor) -> None:
    bore = str(visitor.done("/bores", {"given": GIVEN})["bore"])
    plain = visitor.get(f"/bores/{bore}/release").text
    assert "Readings that are marked" not in plain
    act(visitor, "ring-53", PAPER)
    act(visitor, "gauge-2", {"event": "set_on", "master": "ring-53"})
    for entry in CUT:
        visitor.enter(bore, entry)
    page = visitor.get(f"/bores/{bore}/release").text
    assert "Readings that are marked" in page
    assert re.search(r"Readings \d+, \d+: the master&#39;s certificate was out of date\.", page)
    assert "How it was measured" in page
    assert re.search(r"set on ring-53, 53\.\d{4} mm.*, certificate was overdue since 20\d\d-", page)
    assert "gauge-2" in page
    assert "nobody said</td>" in page, "where it was read"
    assert '<td data-head="counts">yes</td>' in page
    assert "released only if at least 95 % sure to be inside the limits (nobody has decided on a rule)" in page
    assert "together" in page


def test_release_shows_where_it_was_read_and_its_form(visitor: Visitor) -> None:
    bore = str(visitor.done("/bores", {"given": GIVEN})["bore"])
    for entry in CUT[:3]:
        visitor.enter(bore, entry)
    for depth, direction, shown in ((5, 0, "52.783"), (5, 90, "52.785"), (40, 0, "52.783")):
        place = {"depth": str(depth), "direction_deg": str(direction)}
        visitor.enter(bore, {"event": "read", "as_read": shown, "place": place})
    page = visitor.get(f"/bores/{bore}/release").text
    assert "Where it was read, and its form" in page
    assert "ovality" in page
    assert "40.0 mm" in page
    assert "For barrel read at the mouth, in the middle and at the bottom." in page
    assert "Three or five lobes" in page
    inch = visitor.get(f"/bores/{bore}/release?show=in").text
    assert "1.57 in" in inch
