"""A page is opened or reloaded while the server is out of reach: it says so, shows what waits, and no old advice."""

from __future__ import annotations

from collections.abc import Callable

import httpx2
from playwright.sync_api import Page, expect

from tests.browser.shop_server import ShopServer
from tests.browser.somebody import FIELD, PATIENCE_MS, Somebody

Sit = Callable[..., Somebody]


def stands_by(page: Page) -> None:
    """Wait until the browser has what it shows while the server is away."""
    page.evaluate("async () => { await navigator.serviceWorker.ready; }")


def test_a_reload_without_the_server_shows_what_waits_and_it_is_sent_once(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().size(bore)
    stands_by(page)
    server.stop()
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(page.locator("[data-waiting] li")).to_have_count(1)
    page.reload()
    expect(page.locator("h1")).to_have_text("The server is out of reach")
    expect(page.locator("[data-all-waiting] li")).to_have_count(1)
    expect(page.locator("[data-all-waiting]")).to_contain_text("33.356 mm")
    expect(page.locator("[data-all-waiting]")).to_contain_text(bore)
    page.reload()
    expect(page.locator("[data-all-waiting] li")).to_have_count(1)
    server.start()
    expect(page.locator("[data-undo]")).to_contain_text("33.356", timeout=2 * PATIENCE_MS)
    assert page.url == f"{server.address}/bores/{bore}"
    server.expect(bore, "cut through", "read 33.356 mm")
    page.reload()
    expect(page.locator("[data-undo]")).to_contain_text("33.356")
    assert server.record(bore).count("read 33.356 mm") == 1


def test_no_advice_is_shown_that_the_server_did_not_give_now(server: ShopServer, sit: Sit) -> None:
    bore = server.to_move()
    person = sit()
    page = person.size(bore)
    stands_by(page)
    seen = page.locator("[data-figure]").inner_text()
    assert seen
    person.go("/")
    server.stop()
    for path in (f"/bores/{bore}", f"/bores/{bore}/release", "/", "/callout?text=62+H6", "/rehearse"):
        answer = page.goto(path)
        assert answer is not None
        assert answer.status == 503
        expect(page.locator("h1")).to_have_text("The server is out of reach")
        for gone in ("[data-figure]", "[data-card]", "[data-bore]", ".bore", ".strip"):
            assert page.locator(gone).count() == 0
        assert seen not in page.inner_text("main")
    assert page.evaluate("async () => (await caches.keys()).length") == 1
    kept = page.evaluate(
        """async () => {
            const cache = await caches.open((await caches.keys())[0]);
            return (await cache.keys()).map((request) => new URL(request.url).pathname).sort();
        }"""
    )
    assert kept == ["/away", "/static/app.css", "/static/app.js", "/static/early.js", "/static/icon.svg"]
    server.start()


def test_the_page_without_a_server_looks_and_reads_like_the_others(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit(color_scheme="dark")
    page = person.size(bore)
    stands_by(page)
    server.stop()
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(page.locator("[data-waiting] li")).to_have_count(1)
    page.reload()
    expect(page.locator("[data-all-waiting] li")).to_have_count(1)
    assert page.evaluate("getComputedStyle(document.documentElement).fontFamily").startswith('"Atkinson Hyperlegible"')
    assert person.axe() == []
    server.start()
    expect(page.locator("[data-undo]")).to_contain_text("33.356", timeout=2 * PATIENCE_MS)


def test_opened_by_itself_with_the_server_there_it_gives_way(sit: Sit) -> None:
    page = sit().page
    page.goto("/away")
    page.wait_for_url("**/", timeout=PATIENCE_MS)
    expect(page.locator("h1")).to_have_text("Today")


def test_its_script_changes_with_what_it_keeps_and_runs_under_the_same_policy(server: ShopServer) -> None:
    answer = httpx2.get(f"{server.address}/away.js")
    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["cache-control"] == "no-store"
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    page = httpx2.get(f"{server.address}/away").text
    named = answer.text.splitlines()[0].strip("/* ").split()
    assert len(named) == 4
    assert all(address in page for address in named)
