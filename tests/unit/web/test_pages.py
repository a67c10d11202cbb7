"""The pages: each renders, says what its script needs, and loads nothing from elsewhere."""

from __future__ import annotations

import json
import os
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from borewright.rehearsal.kinds import KINDS
from borewright.web import answers
from borewright.web import app as app_room
from borewright.web.app import create_app
from borewright.web.assets import ASK_AGAIN, FOR_GOOD
from tests.unit.web.visitor import OWN, SEAT, Visitor

PAGES = {
    "/": "today",
    "/callout": "callout",
    "/callout?text=62+H6": "callout",
    "/callout?text=62+h6": "callout",
    "/cut": "cut",
    "/cut?callout=62+H6&hole=61.5&material=42CrMo4&nose=0.4&feed=0.08&load=100&gives=0.01": "cut",
    "/start": "start",
    "/start?show=in": "start",
    "/away": "away",
    f"/bores/{SEAT}": "size",
    "/bores/finder_mount_3.trunnion?show=mm": "size",
    f"/bores/{SEAT}/release": "release",
    f"/bores/{SEAT}/passes": "passes",
    f"/bores/{SEAT}/passes?pass_minutes=4&show=in": "passes",
    "/learned": "learned",
    "/rehearse": "rehearse",
    f"/rehearse/{SEAT}": "rehearse",
    "/bores/none": "problem",
}
LOADING = {"src", "href", "srcset", "action", "formaction", "poster", "data", "xlink:href"}


class Elements(HTMLParser):
    """Every element of a page, with its attributes."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.inside: list[tuple[str, str]] = []
        self._last = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._last = tag
        self.found.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        if data.strip():
            self.inside.append((self._last, data))

    def with_attribute(self, name: str) -> list[dict[str, str | None]]:
        return [attributes for _, attributes in self.found if name in attributes]


@pytest.mark.parametrize(("path", "name"), PAGES.items(), ids=PAGES)
def test_every_page_renders_and_keeps_to_its_policy(demo: Visitor, path: str, name: str) -> None:
    answer = demo.get(path)
    assert answer.status_code == {"problem": 404}.get(name, 422 if path.endswith("h6") else 200)
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    page = Elements(answer.text)
    assert page.with_attribute("data-page")[0]["data-page"] == name
    assert [attributes["lang"] for tag, attributes in page.found if tag == "html"] == ["en"]
    assert len([tag for tag, _ in page.found if tag == "main"]) == 1
    assert len([tag for tag, _ in page.found if tag == "h1"]) == 1
    for tag, attributes in page.found:
        assert not [word for word in attributes if word == "style" or word.startswith("on")], (tag, attributes)
        for word in LOADING & set(attributes):
            assert re.match(r"[/#?]|$", attributes[word] or ""), (tag, attributes)
            assert not (attributes[word] or "").startswith("//")
        assert tag not in {"style", "base", "iframe", "object", "embed"}
    assert not [said for tag, said in page.inside if tag in {"script", "style"}]
    assert not re.search(r"https?:", answer.text)


@pytest.mark.parametrize("path", ["/", f"/bores/{SEAT}", "/api/v1/callout?text=62+H6"])
def test_a_name_that_is_markup_is_shown_as_it_was_typed(visitor: Visitor, path: str) -> None:
    name = '<img src=x onerror="alert(1)"> & \'"'
    bore = visitor.open(name=name)
    page = visitor.get(path.replace(SEAT, bore)).text
    assert "<img" not in page
    if path != "/api/v1/callout?text=62+H6":
        assert "&lt;img src=x" in page


def test_size_says_what_its_script_needs(demo: Visitor) -> None:
    page = Elements(demo.get(f"/bores/{SEAT}").text)
    main = next(attributes for tag, attributes in page.found if attributes.get("id") == "size" and tag == "main")
    assert main["data-bore"] == SEAT
    assert json.loads(main["data-numbers"] or "") == demo.look(SEAT)["numbers"]
    assert main["data-state"] == "to set"
    assert main["data-action"] == "set"
    assert main["data-unit"] == "mm"
    assert main["data-rehearsal"] == SEAT
    form = next(attributes for attributes in page.with_attribute("data-entry") if "data-primary" in attributes)
    assert (form["data-event"], form["data-field"], form["data-default"]) == ("set", "diameter", "")
    for attributes in [*page.with_attribute("data-act"), *page.with_attribute("data-machine")]:
        entry = json.loads(attributes.get("data-act") or attributes.get("data-machine") or "")
        assert entry["event"]
    for name in ("data-card", "data-figure", "data-speak", "data-waiting", "data-conflict", "data-settings"):
        assert page.with_attribute(name), name


def test_the_part_is_what_stands_inside_the_page(demo: Visitor) -> None:
    page, part = demo.get(f"/bores/{SEAT}").text, demo.get(f"/bores/{SEAT}/part").text
    assert part.strip() in page
    assert demo.get("/part/today").text.strip() in demo.get("/").text


def test_no_machine_stands_behind_a_bore_of_the_shop(visitor: Visitor) -> None:
    bore = visitor.open()
    assert "data-machine=" not in visitor.get(f"/bores/{bore}").text
    assert visitor.get(f"/rehearse/{bore}").status_code == 404


def test_a_rehearsal_says_so_wherever_it_stands(demo: Visitor, visitor: Visitor) -> None:
    mark = ">rehearsal</span>"
    for path in ("/", f"/bores/{SEAT}", f"/bores/{SEAT}/release"):
        assert mark in demo.get(path).text, path
    bore = visitor.open()
    for path in ("/", f"/bores/{bore}", f"/bores/{bore}/release"):
        assert mark not in visitor.get(path).text, path


def test_the_demos_bores_are_rehearsed_only_in_the_demo(visitor: Visitor) -> None:
    assert visitor.get(f"/rehearse/{SEAT}").status_code == 404


def test_a_callout_that_cannot_be_read_keeps_what_was_typed(visitor: Visitor) -> None:
    answer = visitor.get("/callout?text=62+h6&unit=mm")
    assert answer.status_code == 422
    typed = next(
        attributes for attributes in Elements(answer.text).with_attribute("name") if attributes["name"] == "text"
    )
    assert typed["value"] == "62 h6"


@pytest.mark.parametrize("path", ["/bores/none", "/bores/none/part", "/bores/no such", "/rehearse/none", "/nothing"])
def test_what_is_not_there_is_said_in_words(visitor: Visitor, path: str) -> None:
    answer = visitor.get(path)
    assert answer.status_code == 404
    assert "There is no" in answer.text or "No simulated machine" in answer.text


@pytest.mark.parametrize("path", ["/?show=cm", "/callout?text=62+H6&unit=furlong"])
def test_an_unknown_unit_is_refused(visitor: Visitor, path: str) -> None:
    answer = visitor.get(path)
    assert answer.status_code == 422
    assert "Use mm or in." in answer.text


def test_a_machine_to_rehearse_on_is_offered_by_a_seed_and_met_again_by_it(visitor: Visitor) -> None:
    def offered(path: str) -> tuple[str | None, str | None]:
        named = Elements(visitor.get(path).text).with_attribute("name")
        seed = next(one for one in named if one["name"] == "seed")
        kind = next(one for one in named if one["name"] == "kind" and "checked" in one)
        return seed["value"], kind["value"]

    assert offered("/rehearse")[0] == "1"
    visitor.done("/rehearsals", {"kind": "titanium", "seed": 6})
    assert offered("/rehearse")[0] == "7"
    assert offered("/rehearse?kind=titanium&seed=6") == ("6", "titanium")
    assert offered("/rehearse?kind=lead")[1] == next(iter(KINDS))
    assert "Machine number" in visitor.get("/rehearse").text


def test_an_asset_is_kept_for_good_under_an_address_that_changes_with_it(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    built = tmp_path / "built"
    (built / "fonts").mkdir(parents=True)
    (built / "app.css").write_text("main { color: black }", encoding="utf-8")
    (built / "fonts" / "regular-4F2KQ7XA.woff2").write_bytes(b"wOF2")
    monkeypatch.setattr(answers, "STATIC", built)
    monkeypatch.setattr(app_room, "STATIC", built)
    with TestClient(create_app(folder, demo=False), base_url=OWN) as client:
        first = answers.asset_address("app.css")
        assert client.get(first).headers["cache-control"] == FOR_GOOD
        assert first in client.get("/").text
        assert client.get("/static/app.css").headers["cache-control"] == ASK_AGAIN
        assert client.get("/static/fonts/regular-4F2KQ7XA.woff2").headers["cache-control"] == FOR_GOOD
        (built / "app.css").write_text("main { color: white }", encoding="utf-8")
        os.utime(built / "app.css", ns=(1, 1))
        assert answers.asset_address("app.css") != first
        assert client.get(answers.asset_address("app.css")).text == "main { color: white }"
        stale = client.get(first)  # a page from before asks for what is gone: it gets today's, and does not keep it
        assert (stale.text, stale.headers["cache-control"]) == ("main { color: white }", ASK_AGAIN)
        assert client.get("/static/none.css?v=0123456789ab").headers["cache-control"] == "no-store"
    assert answers.asset_address("none.css") == "/static/none.css"


@pytest.mark.parametrize("path", ["/static/../guard.py", "/static/%2e%2e/guard.py", "/static/..%2fapp.py"])
def test_nothing_beside_the_assets_is_served(visitor: Visitor, path: str) -> None:
    assert visitor.get(path).status_code == 404
