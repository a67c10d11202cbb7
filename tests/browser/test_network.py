"""Nothing a page needs comes from elsewhere: no address of another place in what is served, none asked for."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

from tests.browser.shop_server import ShopServer
from tests.browser.somebody import Somebody
from tests.served.server import client

ADDRESS = re.compile(r"(?:https?:|wss?:)?//[a-z0-9][a-z0-9.-]*\.[a-z]{2,}[^\s\"'<>)]*", re.IGNORECASE)
NAMES = ("http://www.w3.org/2000/svg", "http:" + "//www.w3.org/1999/xhtml")
"""Names of languages, which nobody fetches."""

FOLDER = Path(__file__).parents[2] / "src/borewright/web"


def addresses(text: str) -> list[str]:
    return [found for found in ADDRESS.findall(text) if not found.startswith(NAMES)]


def test_an_address_of_another_place_would_be_found() -> None:
    elsewhere = "https:" + "//cdn.example.com/x.js"
    assert addresses(f'<script src="{elsewhere}">') == [elsewhere]
    assert addresses("@import '//fonts.example.com/css'") == ["//fonts.example.com/css"]
    assert addresses('<svg xmlns="http://www.w3.org/2000/svg"><a href="/bores/x">1//2</a>') == []


def test_what_is_built_and_what_is_rendered_names_no_other_place() -> None:
    files = [*(FOLDER / "static").rglob("*"), *(FOLDER / "templates").rglob("*.html")]
    texts = [path for path in files if path.suffix in {".js", ".css", ".svg", ".html"}]
    assert {path.name for path in texts} >= {"app.js", "early.js", "app.css", "base.html"}
    found = {path.name: addresses(path.read_text(encoding="utf-8")) for path in texts}
    assert {name: listed for name, listed in found.items() if listed} == {}


def test_no_page_names_or_asks_another_place(server: ShopServer, sit: Callable[..., Somebody]) -> None:
    bore = server.to_read()
    person = sit()
    for path in ("/", "/callout?text=62+H6", "/start", f"/bores/{bore}", f"/bores/{bore}/release", "/rehearse"):
        assert addresses(client().get(f"{server.address}{path}").text) == []
        person.go(path)
    assert person.outside == []


def test_a_page_takes_little(server: ShopServer, sit: Callable[..., Somebody]) -> None:
    """Size with script, style and type, as it comes over the line: 150 kB at most."""
    bore = server.to_move()
    person = sit()
    session = person.context.new_cdp_session(person.page)
    session.send("Network.enable")
    came: list[float] = []
    session.on("Network.loadingFinished", lambda end: came.append(end["encodedDataLength"]))
    person.size(bore)
    person.page.wait_for_function("() => document.fonts.status === 'loaded'")
    person.settle()
    assert 40_000 < sum(came) < 150_000
