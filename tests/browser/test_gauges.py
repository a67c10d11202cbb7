"""The Gauges page in a browser: set on a ring in three taps, checked again, a certificate and a study by hand."""

from __future__ import annotations

import uuid
from collections.abc import Callable

from playwright.sync_api import expect

from tests.browser.shop_server import ShopServer
from tests.browser.somebody import PHONE, Somebody

Sit = Callable[..., Somebody]
PAPER = {"event": "certified", "size": "33.4012 mm", "expanded": "0.8 µm", "due": "2099-03-01"}


def kept(server: ShopServer) -> tuple[str, str]:
    """A ring with a certificate, and a gauge that was never set."""
    mark = uuid.uuid4().hex[:6]
    ring, gauge = f"ring-{mark}", f"gauge-{mark}"
    server.post(f"/gauges/{ring}/entries", {"entry": PAPER})
    server.post(f"/gauges/{gauge}/entries", {"entry": {"event": "described", "instrument": "dial bore gauge"}})
    return ring, gauge


def test_a_gauge_is_set_on_a_ring_in_three_taps_and_checked_again(server: ShopServer, sit: Sit) -> None:
    ring, gauge = kept(server)
    person = sit()
    page = person.go("/gauges")
    card = page.locator(".instrument", has=page.get_by_role("heading", name=gauge))
    card.get_by_text("Set on a ring").click()
    card.locator("label.ring", has_text=ring).click()
    card.get_by_role("button", name="Gauge was set").click()
    expect(card).to_contain_text("its ring is due")
    expect(card).to_contain_text("certificate holds")
    card.get_by_text("Checked on its ring again").click()
    card.get_by_label("What it shows on").fill("33.409 mm")
    card.get_by_role("button", name="Checked", exact=True).click()
    expect(page.locator("[data-said]")).to_contain_text("the setting has moved")
    expect(card).to_contain_text("off by +0.0078 mm")
    assert person.axe() == []


def test_what_is_wrong_stands_at_the_form_and_what_was_typed_stays(server: ShopServer, sit: Sit) -> None:
    ring, _ = kept(server)
    page = sit().go("/gauges")
    page.get_by_text("A ring's certificate").click()
    page.get_by_label("Its name").first.fill(f"{ring}-b")
    page.get_by_label("Size at 20 °C").fill("62.0004 mm")
    page.get_by_label("Expanded uncertainty").fill("0.8 mm")
    page.get_by_role("button", name="Keep the certificate").click()
    expect(page.locator("form[data-event=certified] [data-problem]")).to_contain_text(
        "No certificate is that uncertain"
    )
    page.get_by_label("Expanded uncertainty").fill("0.8 µm")
    page.get_by_role("button", name="Keep the certificate").click()
    expect(page.get_by_role("heading", name=f"{ring}-b")).to_be_visible()


def test_a_study_is_worked_out_on_a_phone(sit: Sit) -> None:
    person = sit(viewport=PHONE)
    page = person.go("/gauges")
    rows = [
        f"{part},{who},{0.01 * part + 0.001 * trial:.3f}" for part in range(1, 6) for who in "AB" for trial in (1, 2)
    ]
    page.get_by_label("Readings, one a line").fill("\n".join(["part,who,reading", *rows]))
    page.get_by_role("button", name="Work it out").click()
    expect(page.locator("[data-found]")).to_contain_text("Average and range")
    assert person.axe() == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
