"""Photographs what the tutorial shows: one bore of the demo on its simulated machine, from the callout to its release.

    python -m tests.browser.tour

writes docs/pictures/one-bore/NAME.png. The machine does the same each time: the tutorial may speak of its numbers.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from playwright.sync_api import expect

from tests.browser.chromium import HOW, chromium, path_to_chromium
from tests.browser.shop_server import ShopServer
from tests.browser.somebody import SETTLED_MS, Somebody

INTO: Final = Path(__file__).parents[2] / "docs/pictures/one-bore"
BORE: Final = "dome_drive_7.pinion_seat"
NAME: Final = "Ada Quill"
MOST_STEPS: Final = 100

ASKED: Final[Mapping[str, str]] = {
    "Set, not cut tool lock tight?": "cut",
    "Measured twice pass 1": "move",
    "Measured twice pass 2": "last",
    "Measured twice pass 3": "shown",
}
"""Pictures of a card as it appears, by the state that stands over it."""

FILLED: Final[Mapping[str, str]] = {"Tool not set": "set", "Cut, not measured pass 1": "read"}
"""Pictures of a card once the machine has filled in what it shows."""

LINES: Final = ".panel [data-told]:not([hidden]), form[data-primary] [data-understood]:not(:empty)"


class Tour:
    """The walk.

    Args:
        person: who walks.
        into: the folder of the pictures.
    """

    def __init__(self, person: Somebody, into: Path) -> None:
        self.person = person
        self.page = person.page
        self.into = into
        self.taken: set[str] = set()

    def walk(self) -> None:
        """Go from the callout to the page where the release is signed, and sign."""
        self.person.go("/callout?text=46.520+%C2%B10.008&unit=mm")
        self.take("callout")
        self.person.go(f"/rehearse/{BORE}")
        for _ in range(MOST_STEPS):
            self.take(ASKED.get(self.state))
            if self.page.locator("[data-machine]").count() == 0:
                break
            self.step()
        self.page.get_by_role("link", name="Go on to release").click()
        expect(self.page.locator("form[data-release]")).to_be_visible()
        self.take("release")
        self.page.locator("form[data-release] [type=submit]").click()
        expect(self.page.locator(".signed")).to_contain_text(f"Released by {NAME}")

    def step(self) -> None:
        """Let the machine do what the card asks for, and confirm what it shows."""
        numbers = self.page.locator("#size").get_attribute("data-numbers")
        self.person.settle()
        self.page.locator("[data-machine]").first.click()
        self.page.wait_for_selector(LINES)
        self.take(FILLED.get(self.state))
        self.page.keyboard.press("Enter")
        expect(self.page.locator("#size")).not_to_have_attribute("data-numbers", numbers or "")

    @property
    def state(self) -> str:
        return " ".join(self.person.state.split())

    def take(self, name: str | None) -> None:
        """Photograph what is on the screen, where it has a name."""
        if name is not None:
            self.page.wait_for_function("() => document.fonts.status === 'loaded'")
            self.page.wait_for_timeout(SETTLED_MS)
            self.page.screenshot(path=self.into / f"{name}.png")
            self.taken.add(name)


def main() -> int:
    """Make the pictures.

    Returns:
        The exit code.
    """
    if path_to_chromium() is None:
        print(HOW, file=sys.stderr)
        return 2
    INTO.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, chromium() as browser:
        server = ShopServer(Path(folder))
        server.start()
        try:
            person = Somebody(browser, server.address, color_scheme="light", reduced_motion="reduce")
            person.set("person", NAME)
            tour = Tour(person, INTO)
            tour.walk()
            faults = person.leave()
        finally:
            server.stop()
    missing = {*ASKED.values(), *FILLED.values()} - tour.taken
    faults += [f"The bore never came to the picture {name}." for name in sorted(missing)]
    for fault in faults:
        print(fault, file=sys.stderr)
    print(f"{len(tour.taken)} pictures: {INTO.name}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
