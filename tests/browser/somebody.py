"""Somebody at a device: a browser context of their own, and how a hand works the Size page."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit

from playwright.sync_api import Browser, Page, expect

TABLET: Final = {"width": 1280, "height": 800}
PHONE: Final = {"width": 390, "height": 844}
PATIENCE_MS: Final = 20_000
"""Two cores may be shared with other work."""

SETTLED_MS: Final = 600
"""A page takes no second tap for half a second after it has changed under the hand."""

FIELD: Final = "form[data-primary] input[data-value]"
HAND_S: Final = 0.12
"""Between two keys of a hand."""

GAUGE_S: Final = 0.004
"""Between two keys of a gauge."""

AXE: Final = Path(__file__).parents[2] / "frontend/node_modules/axe-core/axe.min.js"
WCAG: Final = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa", "best-practice")


class Somebody:
    """Somebody at a device.

    Args:
        browser: the browser.
        address: the server's.
        how: how the device is, as the browser's contexts take it.
    """

    def __init__(self, browser: Browser, address: str, **how: Any) -> None:  # noqa: ANN401  # passed on
        self.address = address
        self.context = browser.new_context(**{"viewport": TABLET, "base_url": address, **how})
        self.context.set_default_timeout(PATIENCE_MS)
        self.faults: list[str] = []
        self.outside: list[str] = []
        self.context.on("weberror", lambda error: self._fault(str(error.error)))
        self.context.on("console", lambda message: self._hear(message.type, message.text))
        self.context.on("request", lambda request: self._watch(request.url))
        self.page = self.context.new_page()
        self.struck = 0.0

    def leave(self) -> list[str]:
        self.context.close()
        return [*self.faults, *self.outside]

    def set(self, setting: str, value: str) -> None:
        """Set one of the device's settings."""
        keep = f"localStorage.setItem('borewright.{setting}', '{value}')"
        self.context.add_init_script(f"if (location.protocol === 'http:') {keep}")

    def fresh(self) -> None:
        """Leave nothing on the device of what was done before: no entry that waits, nothing half typed."""
        self.page.goto("about:blank")
        self.page.unroute_all()
        self.page.route("**/api/**", lambda route: route.abort())  # a page that lingers sends nothing on its way out
        self.context.set_offline(False)
        self.page.goto("/static/fonts/LICENSE.txt")
        self.page.evaluate(
            """async () => {
                sessionStorage.clear();
                for (const name of Object.keys(localStorage).filter((one) => one.startsWith("borewright.draft."))) {
                    localStorage.removeItem(name);
                }
                await new Promise((resolve) => {
                    const gone = indexedDB.deleteDatabase('borewright');
                    gone.onsuccess = gone.onerror = resolve;
                });
            }"""
        )
        self.page.unroute_all()

    def go(self, path: str, page: Page | None = None) -> Page:
        """Open a page and wait until its script has taken hold."""
        at = page or self.page
        at.goto(path)
        at.wait_for_selector("html[data-started]", state="attached")
        return at

    def size(self, bore: str) -> Page:
        return self.go(f"/bores/{bore}")

    def settle(self) -> None:
        self.page.wait_for_timeout(SETTLED_MS)

    def tap(self, label: str) -> None:
        """Tap what answers the question beside the card, and wait until the page has moved on."""
        before = self.state
        self.settle()
        self.page.locator(".panel").get_by_role("button", name=label).first.click()
        expect(self.page.locator("[data-state-words]")).not_to_have_text(before)

    def type(self, text: str) -> None:
        """Type with a hand, wherever the focus is."""
        self._strike(text, HAND_S)

    def gauge(self, text: str) -> None:
        """Let the gauge type, wherever the focus is."""
        self._strike(f"{text}\n", GAUGE_S)

    def _strike(self, text: str, every_s: float) -> None:
        """Strike keys whose times are what they are said to be, however busy this machine is."""
        session = self.context.new_cdp_session(self.page)
        first = max(time.time(), self.struck + 1.0)
        for place, sign in enumerate(text):
            self.struck = first + place * every_s
            enter = {"key": "Enter", "code": "Enter", "windowsVirtualKeyCode": 13, "text": "\r"}
            key = {**(enter if sign == "\n" else {"key": sign, "text": sign}), "timestamp": self.struck}
            session.send("Input.dispatchKeyEvent", {"type": "keyDown", **key})
            session.send("Input.dispatchKeyEvent", {"type": "keyUp", **key})
        session.detach()

    def keys(self, text: str) -> None:
        """Type on the big keys."""
        pad = self.page.locator("form[data-primary] bw-keypad")
        for key in text:
            pad.locator(f"[data-key='{key}']").click()

    def read(self, text: str) -> None:
        """Enter a reading by hand and wait until it is in."""
        self.page.locator(FIELD).fill(text)
        self.page.locator(FIELD).press("Enter")
        expect(self.page.locator(FIELD)).to_have_value("")

    @property
    def state(self) -> str:
        return self.page.locator("[data-state-words]").inner_text()

    @property
    def waiting(self) -> list[str]:
        return self.page.locator("[data-waiting] li").all_inner_texts()

    def axe(self) -> list[str]:
        """Look for what keeps somebody out, as axe-core finds it."""
        if self.page.evaluate("typeof axe === 'undefined'"):
            self.page.evaluate(AXE.read_text())
        found: dict[str, Any] = self.page.evaluate(
            "tags => axe.run(document, {runOnly: {type: 'tag', values: tags}, resultTypes: ['violations']})", list(WCAG)
        )
        return [
            f"{fault['id']}: {fault['help']}: {node['target']} {node.get('failureSummary', '')}"
            for fault in found["violations"]
            for node in fault["nodes"]
        ]

    def _fault(self, text: str) -> None:
        """Keep what went wrong in a page; the browser asks for the away script by itself while the server is away."""
        if "when fetching the script" not in text:
            self.faults.append(text)

    def _hear(self, kind: str, text: str) -> None:
        """Keep what the browser complains of; that the server is away is what some tests are about."""
        expected = ("net::ERR_", "status of 4", "status of 503", "when fetching the script")
        if kind in {"error", "warning"} and not any(words in text for words in expected):
            self.faults.append(text)

    def _watch(self, url: str) -> None:
        there = urlsplit(url)
        if there.scheme not in {"data", "blob"} and f"{there.scheme}://{there.netloc}" != self.address:
            self.outside.append(f"asked elsewhere: {url}")
