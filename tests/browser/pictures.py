"""Photographs every page in every state, by day and by night, at three sizes; those for the docs are kept apart.

    python -m tests.browser.pictures [NAME ...]

writes docs/_build/pictures/SIZE-SCHEME/NAME.png, the whole page, and docs/pictures/NAME.png, what a tablet shows by
day.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path
from typing import Final

from playwright.sync_api import Browser

from tests.browser.chromium import HOW, chromium, path_to_chromium
from tests.browser.scenes import Scene, scenes
from tests.browser.shop_server import ShopServer
from tests.browser.somebody import Somebody

SIZES: Final = {"tablet": (1280, 800), "phone": (390, 844), "desk": (1440, 900)}
SCHEMES: Final = ("light", "dark")
ROOT: Final = Path(__file__).parents[2]
ALL: Final = ROOT / "docs/_build/pictures"
KEPT: Final = ROOT / "docs/pictures"
FOR_DOCS: Final = frozenset({"device", "size-inch", "size-waiting", "start"})
"""Those that a page of the docs shows; the tutorial's are made by tour.py."""


def main(only: list[str]) -> int:
    """Make the pictures.

    Args:
        only: names of scenes; all where none is named.

    Returns:
        The exit code.
    """
    if path_to_chromium() is None:
        print(HOW, file=sys.stderr)
        return 2
    with tempfile.TemporaryDirectory() as folder:
        server = ShopServer(Path(folder))
        server.start()
        try:
            listed = [scene for scene in scenes(server) if not only or scene.name in only]
            with chromium() as browser:
                for size in SIZES:
                    for scheme in SCHEMES:
                        photograph(browser, server, listed, size, scheme)
        finally:
            server.stop()
    print(f"{len(listed)} scenes: {ALL.relative_to(ROOT)}, for the docs {KEPT.relative_to(ROOT)}")
    return 0


def photograph(browser: Browser, server: ShopServer, listed: list[Scene], size: str, scheme: str) -> None:
    """Photograph scenes at one size, by day or by night.

    Args:
        browser: the browser.
        server: the server.
        listed: the scenes.
        size: the size, by its name.
        scheme: ``light`` or ``dark``.
    """
    width, height = SIZES[size]
    person = Somebody(
        browser,
        server.address,
        viewport={"width": width, "height": height},
        color_scheme=scheme,
        reduced_motion="reduce",
    )
    into = ALL / f"{size}-{scheme}"
    into.mkdir(parents=True, exist_ok=True)
    KEPT.mkdir(parents=True, exist_ok=True)
    for scene in listed:
        person.fresh()
        page = person.go(scene.path)
        page.wait_for_function("() => document.fonts.status === 'loaded'")
        scene.do(page)
        page.wait_for_timeout(100)
        page.screenshot(path=into / f"{scene.name}.png", full_page=page.locator("dialog[open]").count() == 0)
        if (size, scheme) == ("tablet", "light") and scene.name in FOR_DOCS:
            page.screenshot(path=KEPT / f"{scene.name}.png")
    for fault in person.leave():
        print(fault, file=sys.stderr)


if __name__ == "__main__":
    if not sys.argv[1:]:
        shutil.rmtree(ALL, ignore_errors=True)
    sys.exit(main(sys.argv[1:]))
