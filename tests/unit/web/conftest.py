"""A browser's stand-in at an application over an empty folder, and one over the demo's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from borewright.web.app import create_app
from tests.unit.web.visitor import OWN, Visitor


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "data"


@pytest.fixture
def visitor(folder: Path) -> Iterator[Visitor]:
    with TestClient(create_app(folder, demo=False), base_url=OWN) as client:
        yield Visitor(client)


@pytest.fixture
def demo(folder: Path) -> Iterator[Visitor]:
    with TestClient(create_app(folder, demo=True), base_url=OWN) as client:
        yield Visitor(client)
