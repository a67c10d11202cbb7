"""The page of the order of like bores: reached where there is one to ask, with the numbers that the library gives."""

from __future__ import annotations

import re
from typing import Final

from tests.unit.web.visitor import SEAT, Visitor

SHARED: Final = {"tool": {"id": "head-4"}, "material": "carbon steel", "callout": "33.4 H7"}
LINK: Final = "Order of the bores</a>"


def two(visitor: Visitor) -> tuple[str, str]:
    return visitor.open(name="upper eye", **SHARED), visitor.open(name="lower eye", **SHARED)


def test_size_and_today_lead_to_it_where_two_like_bores_are_open(visitor: Visitor) -> None:
    upper = visitor.open(name="upper eye", **SHARED)
    assert LINK not in visitor.get(f"/bores/{upper}").text
    assert LINK not in visitor.get("/").text
    lower = visitor.open(name="lower eye", **SHARED)
    for page in (f"/bores/{upper}", f"/bores/{lower}"):
        assert f'href="{page}/order">{LINK}' in visitor.get(page).text
    assert f'href="/bores/{upper}/order">{LINK}' in visitor.get("/").text
    assert "upper eye, lower eye: one tool, one callout" in visitor.get("/").text


def test_every_way_is_a_lane_and_the_advised_one_stands_first(visitor: Visitor) -> None:
    upper, _ = two(visitor)
    page = visitor.get(f"/bores/{upper}/order")
    assert page.status_code == 200
    lanes = re.findall(r'<li class="lane way( advised)?">', page.text)
    assert len(lanes) > 2
    assert [bool(lane) for lane in lanes] == [True, *[False] * (len(lanes) - 1)]
    assert "Setting by setting" in page.text
    assert "two or more" in page.text


def test_parts_and_minutes_are_asked_and_kept(visitor: Visitor) -> None:
    upper, _ = two(visitor)
    page = visitor.get(f"/bores/{upper}/order?parts=one&between_minutes=7")
    assert page.status_code == 200
    assert '<option value="one" selected>' in page.text
    assert re.search(r'name="between_minutes"[^>]* value="7"', page.text)
    wrong = visitor.get(f"/bores/{upper}/order?move_minutes=50")
    assert wrong.status_code == 422
    assert "A pass holds its move" in wrong.text
    assert '<li class="lane way' in wrong.text


def test_a_bore_that_is_alone_says_so(demo: Visitor) -> None:
    page = demo.get(f"/bores/{SEAT}/order")
    assert page.status_code == 422
    assert "There is no order of one bore." in page.text
    assert '<li class="lane' not in page.text


def test_only_the_next_setting_is_a_setting(visitor: Visitor) -> None:
    upper, _ = two(visitor)
    turns = visitor.get(f"/bores/{upper}/order").text.split("Setting by setting")[1].split("</ol>")[0]
    assert turns.count("<b>Tool to ") == 1
    later = re.findall(
        r"Set after setting (\d+) is read; about (33\.\d+) mm</span>(<span>, above the upper limit)?", turns
    )
    assert [int(before) for before, _, _ in later] == list(range(1, len(later) + 1))
    for _, tool, leans in later:
        assert bool(leans) == (float(tool) > 33.425)
    assert any(leans for _, _, leans in later)


def test_the_reason_stands_once_on_the_card(visitor: Visitor) -> None:
    upper, _ = two(visitor)
    card = visitor.get(f"/bores/{upper}/order").text.split('<section class="card"')[1].split("</section>")[0]
    assert card.count("in two passes") == 1
