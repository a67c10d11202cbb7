"""The server goes away in the middle of a pass: what is entered waits on the device, in order, and is sent once."""

from __future__ import annotations

import shutil
import signal
from collections.abc import Callable

from playwright.sync_api import Page, Route, expect

from tests.browser.shop_server import ShopServer
from tests.browser.somebody import FIELD, PATIENCE_MS, Somebody

Sit = Callable[..., Somebody]


def expect_sent(page: Page) -> None:
    expect(page.locator("[data-waiting-box]")).to_be_hidden(timeout=2 * PATIENCE_MS)
    expect(page.locator("[data-offline]")).to_be_hidden(timeout=2 * PATIENCE_MS)


def test_a_pass_goes_on_without_the_server_and_is_stored_once_in_order(server: ShopServer, sit: Sit) -> None:
    bore = server.to_move()
    before = server.record(bore)
    person = sit()
    page = person.size(bore)
    person.tap("Moved, tool lock tight")
    moved = server.record(bore)[len(before) :]
    server.stop()
    person.settle()
    page.locator(".panel").get_by_role("button", name="Cut through").first.click()
    expect(page.locator("[data-offline]")).to_contain_text("The server does not answer")
    expect(page.locator("[data-waiting] li")).to_have_count(1)
    form = page.locator(".panel form[data-event=read]").filter(visible=True)
    for text in ("33.376", "33.377"):
        form.locator("input").fill(text)
        form.locator("[type=submit]").click()
        expect(form.locator("input")).to_have_value("")
    expect(page.locator("[data-waiting] li")).to_have_count(3)
    said = ["Cut through", "Gauge shows 33.376 mm", "Gauge shows 33.377 mm"]
    assert [words.removesuffix("Take back the entry").strip() for words in person.waiting] == said
    server.start()
    expect_sent(page)
    assert server.record(bore)[len(before) + len(moved) :] == ["cut through", "read 33.376 mm", "read 33.377 mm"]
    expect(page.locator("[data-undo]")).to_contain_text("33.377")


def test_no_order_stands_that_was_carried_out_while_the_server_is_away(server: ShopServer, sit: Sit) -> None:
    """The move is made and waits: whoever comes to the screen must not make it again, by hand or by tap."""
    bore = server.to_move()
    person = sit()
    page = person.size(bore)
    lines = server.get(f"/bores/{bore}")["advice"]["move"]["lines"]
    done = f"Moved by {lines} lines"
    server.stop()
    person.settle()
    page.locator("form[data-primary] [type=submit]").click()
    expect(page.locator("[data-waiting] li")).to_have_count(1)
    large = page.locator(".plate .figure").filter(visible=True)
    expect(large).to_have_text("No advice")
    seen = page.locator("[data-card]").inner_text()
    assert lines.lstrip("+-") not in seen.replace(done, "")
    assert "open" not in seen.lower()
    expect(page.locator("[data-held-said]")).to_have_text(done)
    expect(page.locator("[data-held-count]")).to_have_text("1 entry waits")
    for gone in (
        "form[data-primary]",
        "[data-speak]",
        "[data-state-words]",
        ".steps",
        ".facts",
        "[data-undo]",
        ".strip",
    ):
        expect(page.locator(gone).first).to_be_hidden()
    person.settle()
    cuts = page.locator(".panel[data-held] [data-act]")
    assert [cut.split("\n")[0] for cut in cuts.all_inner_texts()] == ["I cut: trial only", "I cut: the whole depth"]
    assert page.locator(".panel[data-held] .main[data-act]").count() == 0, "nothing is advised: neither is louder"
    caution = page.locator(".plate[data-held] .beware").filter(visible=True)
    expect(caution).to_have_text("Hands and gauge clear, guard shut, before the spindle turns.")
    cuts.last.click()
    expect(caution).to_have_text("Spindle stopped and locked out first.")
    expect(page.locator("[data-waiting] li")).to_have_count(2)
    expect(large).to_have_text("No advice")
    reading = page.locator(".panel form[data-event=read]").filter(visible=True)
    reading.locator("[data-key='3']").click()
    expect(reading.locator("[data-value]")).to_have_value("3")
    reading.locator("[data-value]").fill("33.376")
    reading.locator("[type=submit]").click()
    expect(page.locator("[data-waiting] li")).to_have_count(3)
    server.start()
    expect_sent(page)
    server.expect(bore, f"opened {lines.lstrip('+')} lines", "cut through", "read 33.376 mm")
    expect(page.locator(".plate .figure").filter(visible=True)).not_to_have_text("No advice")
    expect(page.locator("form[data-primary], .panel[data-asks] [data-act]").first).to_be_visible()


def test_a_server_that_hangs_leaves_no_order_standing_either(server: ShopServer, sit: Sit) -> None:
    page = sit().size(server.to_move())
    page.route("**/entries", lambda _: None)
    page.locator("form[data-primary] [type=submit]").click()
    expect(page.locator(".plate .figure").filter(visible=True)).to_have_text("No advice", timeout=6000)
    page.unroute_all(behavior="ignoreErrors")


def test_an_answer_that_is_lost_on_the_way_stores_nothing_twice(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    lost: list[str] = []

    def lose(route: Route) -> None:
        answer = route.fetch()
        if len(lost) < 2:
            lost.append("an answer")
            route.abort()
        else:
            route.fulfill(response=answer)

    page.route("**/entries", lose)
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(page.locator("[data-undo]")).to_contain_text("33.356")
    expect_sent(page)
    assert lost == ["an answer"] * 2
    assert server.record(bore).count("read 33.356 mm") == 1


def test_what_waits_outlives_the_page(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    server.stop()
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(page.locator("[data-waiting] li")).to_have_count(1)
    page.close()
    server.start()
    other = person.context.new_page()
    person.go("/", other)
    other.wait_for_function("async () => (await (await fetch('/api/v1/bores')).json()) && true")
    expect(other.locator("[data-offline]")).to_be_hidden()
    server.expect(bore, "read 33.356 mm")


def test_what_waits_is_shown_on_every_page_until_it_is_sent(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    other = person.context.new_page()
    person.go("/callout", other)
    server.stop()
    page.locator(FIELD).fill("33.356")
    page.locator(FIELD).press("Enter")
    expect(other.locator("[data-offline]")).to_contain_text(f"{bore} (1)")
    server.start()
    expect(other.locator("[data-offline]")).to_be_hidden(timeout=2 * PATIENCE_MS)


def test_what_waits_can_be_taken_back(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().size(bore)
    server.stop()
    page.locator(FIELD).fill("33.365")
    page.locator(FIELD).press("Enter")
    page.locator("[data-waiting] [data-take-back]").click()
    expect(page.locator("[data-waiting] [data-take-back]")).to_have_count(0)
    server.start()
    expect_sent(page)
    assert server.record(bore)[-2] == "read 33.365 mm (withdrawn)"


def test_a_number_that_is_none_is_refused_without_the_server_too(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().size(bore)
    server.stop()
    page.locator(FIELD).fill("33.3.56")
    page.locator(FIELD).press("Enter")
    expect(page.locator("form[data-primary] [data-understood]")).to_contain_text("can be read in two ways")
    expect(page.locator(FIELD)).to_have_value("33.3.56")
    server.start()


def test_what_is_refused_after_it_waited_is_asked_about(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    page = sit().size(bore)
    server.stop()
    for text in ("3.3356", "33.357"):
        page.locator(FIELD).fill(text)
        page.locator(FIELD).press("Enter")
        expect(page.locator(FIELD)).to_have_value("")
    server.start()
    dialog = page.locator("dialog[data-conflict]")
    expect(dialog).to_be_visible(timeout=2 * PATIENCE_MS)
    expect(dialog).to_contain_text("cannot be that far")
    expect(dialog.locator("[data-yours]")).to_contain_text("3.3356")
    assert server.record(bore)[-1] == "cut through"
    dialog.locator("[data-drop]").click()
    expect(dialog.locator("[data-yours]")).to_contain_text("33.357")
    dialog.locator("[data-again]").click()
    expect_sent(page)
    server.expect(bore, "cut through", "read 33.357 mm")


def test_a_server_that_ends_in_order_and_comes_back_is_noticed(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    server.stop(signal.SIGINT)
    expect(page.locator("[data-offline]")).to_be_visible()
    server.start()
    server.enter(bore, {"event": "read", "as_read": "33.356 mm"})
    expect(page.locator("[data-offline]")).to_be_hidden(timeout=2 * PATIENCE_MS)
    expect(page.locator("[data-undo]")).to_contain_text("33.356")


def test_a_page_left_open_overnight_works_in_the_morning(server: ShopServer, sit: Sit) -> None:
    """The device slept: its connections are dead, its clock has moved on, and the night shift went on with the bore."""
    bore = server.to_read()
    person = sit()
    page = person.page
    page.clock.install()
    person.size(bore)
    page.evaluate(
        """() => {
            Object.defineProperty(document, 'visibilityState', {configurable: true, get: () => 'hidden'});
            document.dispatchEvent(new Event('visibilitychange'));
        }"""
    )
    person.context.set_offline(True)
    server.stop()
    page.clock.fast_forward("12:00:00")
    server.start()
    server.enter(bore, {"event": "read", "as_read": "33.356 mm"}, by="the night shift")
    person.context.set_offline(False)
    page.evaluate(
        """() => {
            delete document.visibilityState;
            document.dispatchEvent(new Event('visibilitychange'));
        }"""
    )
    expect(page.locator("[data-undo]")).to_contain_text("33.356")
    page.clock.fast_forward("00:01")
    page.locator(FIELD).fill("33.357")
    page.locator(FIELD).press("Enter")
    page.clock.run_for(1000)
    server.expect(bore, "read 33.356 mm", "read 33.357 mm")


def test_a_record_that_was_put_back_from_an_older_copy_is_what_is_shown(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    server.stop()
    copy = server.data.with_name("copy")
    shutil.copytree(server.data, copy)
    server.start()
    person.read("33.356")
    expect(page.locator("[data-undo]")).to_contain_text("33.356")
    server.stop()
    shutil.rmtree(server.data)
    copy.rename(server.data)
    server.start()
    expect(page.locator("[data-undo]")).to_contain_text("cut through", timeout=2 * PATIENCE_MS)
    person.read("33.357")
    server.expect(bore, "cut through", "read 33.357 mm")
