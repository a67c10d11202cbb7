"""A gauge that types: its reading lands in the reading, wherever the focus is, and is shown before it counts."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import expect

from tests.browser.shop_server import ShopServer
from tests.browser.somebody import FIELD, Somebody

Sit = Callable[..., Somebody]
UNDERSTOOD = "form[data-primary] [data-understood]"


def test_it_lands_in_the_reading_from_anywhere_and_counts_when_confirmed(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    page.locator("h1").click()
    person.gauge("+0033.356")
    expect(page.locator(FIELD)).to_have_value("33.356")
    expect(page.locator(UNDERSTOOD)).to_contain_text("read 33.356 mm")
    assert server.record(bore)[-1] == "cut through"
    page.keyboard.press("Enter")
    expect(page.locator(FIELD)).to_have_value("")
    server.expect(bore, "read 33.356 mm")


def test_it_presses_no_button_that_has_the_focus(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    page.locator("[data-undo]").focus()
    person.gauge("33.356")
    expect(page.locator(FIELD)).to_have_value("33.356")
    expect(page.locator("[data-undo]")).not_to_contain_text("Tap again")
    assert server.record(bore)[-1] == "cut through"


def test_its_unit_is_kept(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    person.gauge("1.31322in")
    expect(page.locator(UNDERSTOOD)).to_contain_text("read 1.31322 in")
    page.keyboard.press("Enter")
    expect(page.locator(FIELD)).to_have_value("")
    server.expect(bore, "read 1.31322 in")


def test_two_in_a_row_are_both_kept_and_confirmed_one_by_one(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    person.gauge("33.356")
    person.gauge("33.358")
    expect(page.locator(FIELD)).to_have_value("33.356")
    expect(page.locator(UNDERSTOOD)).to_contain_text("Behind it from the gauge: 33.358.")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelector('[data-undo]').textContent.includes('33.356')")
    reading = page.locator("form[data-event=read] input[data-value]").filter(visible=True)
    expect(reading).to_have_value("33.358")
    reading.press("Enter")
    page.wait_for_function("() => document.querySelector('[data-undo]').textContent.includes('33.358')")
    server.expect(bore, "read 33.356 mm", "read 33.358 mm")


def test_it_does_not_mix_with_what_a_hand_had_half_typed(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    page.locator(FIELD).click()
    person.type("33.3")
    page.wait_for_timeout(300)
    person.gauge("33.356")
    expect(page.locator(FIELD)).to_have_value("33.356")
    expect(page.locator(UNDERSTOOD)).to_contain_text("read 33.356 mm")
    page.keyboard.press("Enter")
    expect(page.locator(FIELD)).to_have_value("33.3")
    server.expect(bore, "read 33.356 mm")


def test_it_does_not_land_in_words_that_are_typed_by_hand(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    page.get_by_text("Something else happened").click()
    note = page.locator("[data-more] form[data-field=text] input")
    note.click()
    person.type("film 2 wiped")
    expect(note).to_have_value("film 2 wiped")
    person.gauge("33.356")
    expect(page.locator(FIELD)).to_have_value("33.356")
    expect(note).to_have_value("film 2 wiped")
    assert server.record(bore)[-1] == "cut through"


def test_a_label_that_is_scanned_is_no_reading(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    person.gauge("47AB11")
    expect(page.locator(UNDERSTOOD)).to_contain_text("not a reading: 47AB11")
    expect(page.locator(FIELD)).to_have_value("")


def test_a_hand_types_into_the_reading_wherever_the_focus_is(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    page.locator("[data-undo]").focus()
    person.type("33.356")
    expect(page.locator(FIELD)).to_have_value("33.356")
    expect(page.locator(UNDERSTOOD)).to_contain_text("read 33.356 mm")
    page.keyboard.press("Enter")
    expect(page.locator(FIELD)).to_have_value("")
    server.expect(bore, "read 33.356 mm")


def test_a_reading_that_nobody_asked_for_is_shown_where_it_may_be_entered(server: ShopServer, sit: Sit) -> None:
    bore = server.to_move()
    person = sit()
    page = person.size(bore)
    person.gauge("33.357")
    reading = page.locator("[data-more] form[data-event=read] input[data-value]")
    expect(reading).to_be_visible()
    expect(reading).to_have_value("33.357")
    expect(page.locator(FIELD)).to_have_value("")


def test_it_is_understood_without_the_server_too(server: ShopServer, sit: Sit) -> None:
    bore = server.to_read()
    person = sit()
    page = person.size(bore)
    server.stop()
    person.gauge("33.356")
    expect(page.locator(UNDERSTOOD)).to_contain_text("33.356 mm")
    page.keyboard.press("Enter")
    expect(page.locator("[data-waiting] li")).to_have_count(1)
    server.start()
    expect(page.locator("[data-waiting-box]")).to_be_hidden(timeout=40_000)
    server.expect(bore, "read 33.356 mm")
