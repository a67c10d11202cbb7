"""Two at one bore: what one enters the other sees, nothing half typed is lost, nothing is entered on an old state."""

from __future__ import annotations

import time
from collections.abc import Callable

from playwright.sync_api import Route, expect

from tests.browser.shop_server import ShopServer
from tests.browser.somebody import FIELD, PATIENCE_MS, Somebody

Sit = Callable[..., Somebody]
LIVE_S = 1.5
"""Seconds within which word of a change has reached an open page; the record is looked at every 0.4."""
READING = {"event": "read", "as_read": "33.356 mm"}


def test_what_one_enters_the_other_sees_without_a_touch(server: ShopServer, sit: Sit) -> None:
    bore = server.to_cut()
    one, two = sit(), sit()
    one.size(bore)
    two.size(bore)
    one.tap("Cut through")
    expect(two.page.locator("#panel-title")).to_have_text("What does the gauge show?")


def test_what_comes_while_the_page_looks_is_seen_too(server: ShopServer, sit: Sit) -> None:
    """The look has missed it, and no further word of it comes."""
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    looks: list[str] = []

    def overtaken(route: Route) -> None:
        answer = route.fetch()
        looks.append(route.request.url)
        if len(looks) == 1:
            server.enter(bore, {**READING, "as_read": "33.357 mm"})
            time.sleep(LIVE_S)
        route.fulfill(response=answer)

    page.route(f"**/api/v1/bores/{bore}?*", overtaken)
    server.enter(bore, READING)
    expect(page.locator("[data-undo]")).to_contain_text("33.357")
    assert looks


def test_what_is_half_typed_stays_when_the_other_enters_something(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    one, two = sit(), sit()
    one.size(bore)
    two.size(bore)
    two.page.locator(FIELD).click()
    two.type("33.3")
    one.read("33.356")
    expect(two.page.locator("[data-undo]")).to_contain_text("33.356")
    expect(two.page.locator(FIELD)).to_have_value("33.3")
    expect(two.page.locator(FIELD)).to_be_focused()
    two.type("57")
    expect(two.page.locator(FIELD)).to_have_value("33.357")


def test_what_is_half_typed_in_the_other_unit_stays_in_it(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    one, two = sit(), sit()
    one.size(bore)
    two.size(bore)
    two.page.locator("form[data-primary] [data-key=unit]").click()
    two.page.locator(FIELD).click()
    two.type("1.313")
    one.read("33.356")
    expect(two.page.locator("[data-undo]")).to_contain_text("33.356")
    expect(two.page.locator(FIELD)).to_have_value("1.313")
    expect(two.page.locator("form[data-primary] [data-key=unit]")).to_have_text("in")


def test_what_is_half_typed_stays_when_its_question_is_answered(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    server.enter(bore, READING)
    one, two = sit(), sit()
    one.size(bore)
    two.size(bore)
    two.page.locator(FIELD).click()
    two.type("33.3")
    one.read("33.355")
    expect(two.page.locator("#panel-title")).to_have_text("Is it moved, and the tool lock tight?")
    kept = two.page.locator("[data-more] form[data-event=read] input[data-value]")
    expect(kept).to_be_visible()
    expect(kept).to_have_value("33.3")
    expect(kept).to_be_focused()
    expect(two.page.locator(FIELD)).to_have_value("")


def test_an_entry_on_an_old_state_is_asked_about_and_may_be_sent_as_things_stand(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    one, two = sit(), sit()
    one.size(bore)
    two.size(bore)
    two.page.route("**/api/v1/live*", lambda route: route.abort())
    two.page.reload()
    two.page.wait_for_selector("html[data-started]", state="attached")
    one.read("33.356")
    two.page.locator(FIELD).fill("33.357")
    two.page.locator(FIELD).press("Enter")
    dialog = two.page.locator("dialog[data-conflict]")
    expect(dialog).to_be_visible()
    expect(dialog.locator("[data-since]")).to_contain_text("33.356 mm")
    expect(dialog.locator("[data-yours]")).to_contain_text("33.357 mm")
    server.expect(bore, "read 33.356 mm")
    dialog.locator("[data-again]").click()
    expect(dialog).to_be_hidden()
    expect(two.page.locator("[data-undo]")).to_contain_text("33.357")
    server.expect(bore, "read 33.356 mm", "read 33.357 mm")


def test_an_entry_on_an_old_state_may_be_dropped(server: ShopServer, sit: Sit) -> None:
    bore = server.to_move()
    one, two = sit(), sit()
    one.size(bore)
    two.size(bore)
    server.stop()
    two.page.locator("form[data-primary] [type=submit]").click()
    expect(two.page.locator("[data-waiting] li")).to_have_count(1)
    two.context.set_offline(True)
    server.start()
    server.enter(bore, {"event": "moved", "lines": "+3"}, by="the day shift")
    two.context.set_offline(False)
    dialog = two.page.locator("dialog[data-conflict]")
    expect(dialog).to_be_visible(timeout=2 * PATIENCE_MS)
    expect(dialog.locator("[data-since]")).to_contain_text("opened 3 lines")
    dialog.locator("[data-drop]").click()
    expect(dialog).to_be_hidden()
    expect(two.page.locator("[data-waiting-box]")).to_be_hidden()
    assert [said for said in server.record(bore) if said.startswith("opened")] == ["opened 3 lines"]


def test_two_pages_of_one_device_send_what_waits_once(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    other = person.context.new_page()
    person.go(f"/bores/{bore}", other)
    sent: list[str] = []
    person.context.on(
        "response", lambda answer: sent.append(answer.url) if answer.url.endswith("/entries") and answer.ok else None
    )
    server.stop()
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(other.locator("[data-waiting] li")).to_have_count(1)
    other.locator(FIELD).fill("33.357")
    other.locator(FIELD).press("Enter")
    expect(page.locator("[data-waiting] li")).to_have_count(2)
    server.start()
    for one in (page, other):
        expect(one.locator("[data-waiting-box]")).to_be_hidden(timeout=2 * PATIENCE_MS)
        expect(one.locator("[data-undo]")).to_contain_text("33.357")
    assert len(sent) == 2
    server.expect(bore, "read 33.356 mm", "read 33.357 mm")


def test_today_keeps_up(server: ShopServer, sit: Sit) -> None:
    bore = server.to_cut()
    person = sit()
    page = person.go("/")
    line = page.locator(f"a[href^='/bores/{bore}'].bore, a[href='/bores/{bore}']").first
    before = line.locator(".state").inner_text()
    server.enter(bore, {"event": "passed", "depth": "full"})
    expect(line.locator(".state")).not_to_have_text(before)
