"""A server, a browser, and somebody who sits at a page of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.chromium import HOW, chromium, path_to_chromium
from tests.browser.shop_server import ShopServer
from tests.browser.somebody import Somebody

STATIC = Path(__file__).parents[2] / "src/borewright/web/static"


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for all tests; there is no test without it."""
    if path_to_chromium() is None:
        pytest.exit(HOW, returncode=2)
    if not (STATIC / "app.js").exists():
        pytest.exit("The pages' script and style are not built: make test-browser builds them.", returncode=2)
    with chromium() as started:
        yield started


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ShopServer]:
    """One server for all tests; each test opens a bore of its own."""
    server = ShopServer(tmp_path_factory.mktemp("record"))
    server.start()
    yield server
    server.stop()


@pytest.fixture
def server(served: ShopServer) -> ShopServer:
    """The server, running."""
    served.ensure()
    return served


@pytest.fixture
def sit(browser: Browser, server: ShopServer) -> Iterator[Callable[..., Somebody]]:
    """Let somebody sit down at a device of their own; what went wrong in its pages fails the test."""
    people: list[Somebody] = []

    def sit_down(**how: object) -> Somebody:
        people.append(Somebody(browser, server.address, **how))
        return people[-1]

    yield sit_down
    faults = [fault for person in people for fault in person.leave()]
    assert not faults
