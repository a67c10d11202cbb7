"""A store in an empty folder, and short ways to make drafts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from borewright.shop.store import Store


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "data"


@pytest.fixture
def store(folder: Path) -> Iterator[Store]:
    with Store.open(folder, busy_ms=2_000) as opened:
        yield opened
