"""The browser: Chromium as the machine has it, never one that a library fetches."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from playwright.sync_api import Browser, sync_playwright

HOW: Final = (
    "Install chromium (as root: apt-get update && apt-get install -y --no-install-recommends chromium), "
    "or say CHROMIUM=/path/to/it."
)
QUIET: Final = (
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def path_to_chromium() -> str | None:
    """Find the browser.

    Returns:
        Its path, or None where there is none.
    """
    return os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start the browser without a window; inside a container that runs as root it cannot have its sandbox.

    Yields:
        The browser.
    """
    path = path_to_chromium()
    assert path is not None, HOW
    arguments = [*QUIET, *(["--no-sandbox"] if os.geteuid() == 0 else [])]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=arguments)
        yield browser
        browser.close()
