"""Nobody is kept out: every page through axe-core, by keyboard alone, with a big finger, on a small phone, at rest."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Literal
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.scenes import scenes
from tests.browser.shop_server import ShopServer
from tests.browser.somebody import FIELD, TABLET, Somebody

Sit = Callable[..., Somebody]
PHONE = {"width": 390, "height": 844}
NARROWEST = {"width": 320, "height": 640}
"""WCAG 2.2, 1.4.10 Reflow: 320 CSS pixels."""

DESKTOP = {"width": 1440, "height": 900}

TOO_SMALL = """() => {
    const targets = 'a[href], button, summary, select, textarea, input:not([type=hidden])';
    const inLine = (one) => one.matches('a') && one.parentElement.matches('p, li, dd, span') &&
        one.parentElement.textContent.trim() !== one.textContent.trim();
    const found = [];
    for (const one of document.querySelectorAll(targets)) {
        const boxed = one.matches('[type=radio], [type=checkbox]') ? one.closest('label') ?? one : one;
        const { width, height, right, bottom } = boxed.getBoundingClientRect();
        const seen = one.checkVisibility({ visibilityProperty: true }) && right > 0 && bottom > 0;
        if (seen && !inLine(one) && (width < 47.99 || height < 47.99)) {
            found.push(`${one.outerHTML.slice(0, 90)}: ${width.toFixed(1)} x ${height.toFixed(1)}`);
        }
    }
    return found;
}"""

SIDEWAYS = """() => {
    const all = [...document.querySelectorAll('body *')].filter((one) => one.checkVisibility());
    const off = (one) => one.getBoundingClientRect().right > innerWidth + 0.5;
    const clips = (one) => getComputedStyle(one).overflowX !== 'visible' && !one.matches('input, svg, svg *');
    const cut = (one) => one.clientWidth > 1 && one.scrollWidth > one.clientWidth + 1 && clips(one);
    const named = (found, word) => found.slice(0, 5).map((one) => `${word} ${one.outerHTML.slice(0, 90)}`);
    const wide = document.scrollingElement.scrollWidth > innerWidth ? named(all.filter(off), 'wide') : [];
    return [...wide, ...named(all.filter(cut), 'cut off')];
}"""

SMALL_NUMBER = """() => {
    const numbers = [...document.querySelectorAll('.plate .figure b')].filter((one) => one.checkVisibility());
    const size = (one) => parseFloat(getComputedStyle(one).fontSize);
    return numbers.length === 0 ? ['none'] : numbers.filter((one) => size(one) < 56).map((one) => `${size(one)} px`);
}"""

MOVING = """() => [...document.querySelectorAll('*')].filter((one) => {
    const style = getComputedStyle(one);
    const lasts = (value) => value.split(',').some((time) => parseFloat(time) > 0);
    return (style.animationName !== 'none' && lasts(style.animationDuration)) || lasts(style.transitionDuration) ||
        style.scrollBehavior === 'smooth';
}).map((one) => one.outerHTML.slice(0, 80))"""

STOPS = """() => {
    const one = document.activeElement;
    const style = getComputedStyle(one);
    const rim = getComputedStyle(one.closest('.shows') ?? one);
    const near = one.nextElementSibling === null ? style : getComputedStyle(one.nextElementSibling);
    const ring = [style, rim, near].some((s) => s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2);
    const box = one.getBoundingClientRect();
    return {
        what: one === document.body ? '' : one.outerHTML.slice(0, 90),
        ring,
        inView: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
    };
}"""


DRESS = """(text) => {
    const { dataset } = document.documentElement;
    text === 'normal' ? delete dataset.text : (dataset.text = text);
}"""


@dataclass(frozen=True)
class Way:
    """How a device shows a page.

    Args:
        viewport: its size.
        text: the size of letters it is set to.
        scheme: by day or by night.
        motion: whether it asks for less motion.
    """

    viewport: dict[str, int] = field(default_factory=lambda: dict(TABLET))
    text: str = "normal"
    scheme: Literal["light", "dark"] = "light"
    motion: Literal["no-preference", "reduce"] = "no-preference"

    def show(self, page: Page) -> None:
        """Show a page so that is open: style alone decides how it looks, and decides anew."""
        page.emulate_media(color_scheme=self.scheme, reduced_motion=self.motion)
        page.set_viewport_size({"width": self.viewport["width"], "height": self.viewport["height"]})
        page.evaluate(DRESS, self.text)
        page.evaluate("() => new Promise(requestAnimationFrame)")
        assert page.evaluate("innerWidth") == self.viewport["width"]


THROUGH_AXE = {
    "light": Way(),
    "dark": Way(scheme="dark", motion="reduce"),
    "phone-huge": Way(PHONE, text="huge", motion="reduce"),
}
BY_EYE = {
    "tablet": Way(motion="reduce"),
    "desk": Way(DESKTOP, motion="reduce"),
    "phone": Way(PHONE, motion="reduce"),
    "phone-huge": Way(PHONE, text="huge", motion="reduce"),
    "narrowest": Way(NARROWEST, motion="reduce"),
}

Found = dict[str, dict[str, list[str]]]
"""What is wrong, by the look and the scene; a look that was never taken is not there."""


@pytest.fixture(scope="session")
def found(browser: Browser, served: ShopServer) -> Found:
    """Open every page in every state once, and look at it in every way."""
    served.ensure()
    listed = scenes(served)
    numbered = {scene.path for scene in listed if scene.main_number}
    assert len(numbered) > 7
    found: Found = {}
    person = Somebody(browser, served.address)
    for scene in listed:
        person.fresh()
        scene.do(person.go(scene.path))
        for look, wrong in looks(person, numbered):
            found.setdefault(look, {}).update({scene.name: wrong} if wrong else {})
        if scene.name not in {"size-conflict", "device"}:
            found.setdefault("tab", {}).update({scene.name: wrong} if (wrong := walk(person.page)) else {})
    assert person.leave() == []
    return found


def looks(person: Somebody, numbered: set[str]) -> Iterator[tuple[str, list[str]]]:
    """Look at the page that is open in every way; it is left as it was found."""
    for name, way in THROUGH_AXE.items():
        way.show(person.page)
        yield f"axe {name}", person.axe()
    for name, way in BY_EYE.items():
        way.show(person.page)
        yield f"eye {name}", seen(person.page, numbered)
    Way().show(person.page)


def seen(page: Page, numbered: set[str]) -> list[str]:
    """Targets of 48 px, the number that matters of 56 px, nothing sideways, no motion where it is reduced."""
    found = [f"too small: {what}" for what in page.evaluate(TOO_SMALL)]
    found += [f"runs off: {what}" for what in page.evaluate(SIDEWAYS)]
    found += [f"moves: {what}" for what in page.evaluate(MOVING)]
    if urlsplit(page.url).path in numbered:
        found += [f"number: {what}" for what in page.evaluate(SMALL_NUMBER)]
    return found


def walk(page: Page) -> list[str]:
    """Press Tab until it has been everywhere."""
    wrong: list[str] = []
    for _ in range(150):
        page.keyboard.press("Tab")
        stop: dict[str, Any] = page.evaluate(STOPS)
        if stop["what"] == "":
            return wrong
        wrong += [f"{name}: {stop['what']}" for name in ("ring", "inView") if not stop[name]]
    return [*wrong, "the tab key never comes out again"]


@pytest.mark.parametrize("way", THROUGH_AXE)
def test_axe_finds_nothing_on_any_page(found: Found, way: str) -> None:
    assert found[f"axe {way}"] == {}


@pytest.mark.parametrize("way", BY_EYE)
def test_a_finger_hits_it_an_eye_reads_it_and_nothing_moves_or_runs_off(found: Found, way: str) -> None:
    assert found[f"eye {way}"] == {}


def test_the_tab_key_reaches_everything_in_view_with_a_ring_around_it(found: Found) -> None:
    assert found["tab"] == {}


def test_a_dialog_keeps_the_tab_key_and_gives_the_focus_back(sit: Sit) -> None:
    page = sit().go("/")
    opener = page.locator("[data-open-settings]")
    opener.focus()
    page.keyboard.press("Enter")
    for _ in range(12):
        page.keyboard.press("Tab")
        inside = "document.activeElement === document.body || document.activeElement.closest('dialog') !== null"
        assert page.evaluate(inside)
    page.keyboard.press("Escape")
    expect(opener).to_be_focused()


def test_a_pass_is_worked_by_keyboard_alone(server: ShopServer, sit: Sit) -> None:
    bore = server.to_move(mouth="sharp")
    person = sit()
    page = person.size(bore)
    tab_to(page, "form[data-primary] input[data-value]")
    page.keyboard.press("Enter")
    expect(page.locator("#panel-title")).to_have_text("Is it cut?")
    person.settle()
    expect(page.locator(".panel [data-act]").first).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.locator("#panel-title")).to_have_text("What does the gauge show?")
    expect(page.locator(FIELD)).to_be_focused()
    person.type("33.376")
    page.keyboard.press("Enter")
    server.expect(bore, "cut through", "read 33.376 mm")
    reading = server.get(f"/bores/{bore}")["numbers"]["bore"]
    tab_to(page, "[data-undo]")
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    server.expect(bore, "read 33.376 mm (withdrawn)", f"withdrew {reading}")


def test_a_reader_is_told_the_next_move(server: ShopServer, sit: Sit) -> None:
    bore = server.to_cut()
    person = sit()
    page = person.size(bore)
    person.tap("Cut through")
    said = page.locator("[data-say]").get_attribute("data-say")
    expect(page.locator("[data-announce][aria-live=polite]")).to_have_text(said or "nothing")


def tab_to(page: Page, selector: str) -> None:
    """Press Tab until something has the focus."""
    for _ in range(60):
        if page.evaluate("(wanted) => document.activeElement.matches(wanted)", selector):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"The tab key does not reach {selector}.")


def test_each_of_these_looks_finds_what_it_looks_for(server: ShopServer, sit: Sit) -> None:
    """A page that is spoiled on purpose: looks that find nothing there would find nothing anywhere."""
    bore = server.to_read()
    person = sit(viewport=PHONE, reduced_motion="reduce")
    page = person.size(bore)
    looks = {"target": TOO_SMALL, "sideways": SIDEWAYS, "number": SMALL_NUMBER, "moving": MOVING}
    assert {name for name, look in looks.items() if page.evaluate(look)} == set()
    page.evaluate(
        """() => {
            const set = (selector, name, value) => document.querySelector(selector).style.setProperty(name, value);
            set('[data-undo]', 'min-height', '0');
            set('[data-undo]', 'height', '40px');
            set('[data-undo]', 'transition', 'color 1s');
            set('h1', 'min-width', '500px');
            set('[data-figure] b', 'font-size', '40px');
            set('.why', 'color', '#999');
            document.documentElement.lang = '';
            const sheet = new CSSStyleSheet();
            sheet.replaceSync('* { outline: none !important }');
            document.adoptedStyleSheets = [sheet];
        }"""
    )
    assert {name for name, look in looks.items() if page.evaluate(look)} == set(looks)
    assert {fault.split(":")[0] for fault in person.axe()} >= {"color-contrast", "html-has-lang"}
    page.keyboard.press("Tab")
    assert page.evaluate(STOPS)["ring"] is False
