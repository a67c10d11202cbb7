"""Proving an adjuster in the browser: by keyboard alone, over a reload, and kept with its readings."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Page, expect

from tests.browser.scenes import PROOF
from tests.browser.shop_server import ShopServer
from tests.browser.somebody import FIELD, Somebody

Sit = Callable[..., Somebody]
UNDER = ".under"


def type_(page: Page, text: str) -> None:
    """Type into whatever has the focus, and press Enter."""
    page.keyboard.type(text)
    page.keyboard.press("Enter")


def begun(person: Somebody, bore: str, shown: int) -> Page:
    """Begin a proof and type so many readings, with the keyboard alone."""
    page = person.go(f"/bores/{bore}/prove")
    expect(page.locator(FIELD)).to_be_focused()
    for number, text in enumerate(["0.0005", *PROOF[:shown]]):
        type_(page, text)
        if number < len(PROOF):
            expect(page.locator(UNDER)).to_contain_text(f"Reading {number + 1} of {len(PROOF)}")
            expect(page.locator(FIELD)).to_be_focused()
    return page


def test_it_is_done_by_keyboard_alone_and_kept_with_its_readings(server: ShopServer, sit: Sit) -> None:
    bore = server.to_cut()
    page = begun(sit(), bore, len(PROOF))
    keep = page.get_by_role("button", name="Keep the proof")
    expect(keep).to_be_visible()
    for _ in range(30):
        page.keyboard.press("Tab")
        if keep.evaluate("button => button === document.activeElement"):
            break
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/bores/{bore}*")
    page.wait_for_selector("html[data-started]", state="attached")
    assert any(said.startswith("adjuster proved, a line is 0.0020") for said in server.record(bore))
    again = page.goto(f"/bores/{bore}/prove")
    assert again is not None
    expect(page.locator(FIELD)).to_have_attribute("placeholder", "such as 0.001")


def test_what_was_typed_outlives_a_reload_and_the_tab(server: ShopServer, sit: Sit) -> None:
    bore = server.to_cut()
    person = sit()
    page = begun(person, bore, 4)
    page.keyboard.type("0.15")
    page.reload()
    expect(page.locator(UNDER)).to_contain_text("Reading 5 of 21")
    expect(page.locator(FIELD)).to_have_value("+0.15")
    other = person.go(f"/bores/{bore}/prove", person.context.new_page())
    expect(other.locator(UNDER)).to_contain_text("Reading 5 of 21")
    expect(other.locator(FIELD)).to_have_value("+0.15")


def test_what_cannot_be_stays_in_the_field_and_the_last_is_taken_back(server: ShopServer, sit: Sit) -> None:
    bore = server.to_cut()
    page = begun(sit(), bore, 1)
    type_(page, "-0.15")
    expect(page.locator("[data-understood]")).to_contain_text("No lock moves a tip that far.")
    expect(page.locator(FIELD)).to_have_value("-0.15")
    page.get_by_role("button", name="Take back").click()
    expect(page.locator(UNDER)).to_contain_text("Reading 1 of 21")


def test_a_number_typed_while_the_server_is_away_is_kept(server: ShopServer, sit: Sit) -> None:
    bore = server.to_cut()
    person = sit()
    page = begun(person, bore, 1)
    person.context.set_offline(True)
    type_(page, PROOF[1])
    expect(page.locator("[data-understood]")).to_contain_text("What you typed is kept here")
    person.context.set_offline(False)
    page.keyboard.press("Enter")
    expect(page.locator(UNDER)).to_contain_text("Reading 3 of 21")
