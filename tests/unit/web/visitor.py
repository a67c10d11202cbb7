"""Someone at a page of ours: sends what the page's own script would send."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from httpx2 import Response
from starlette.testclient import TestClient

OWN: Final = "http://127.0.0.1:8137"
HEADERS: Final = {"X-Borewright": "1", "Origin": OWN, "Sec-Fetch-Site": "same-origin"}
SEAT: Final = "dome_drive_7.pinion_seat"
GIVEN: Final[Mapping[str, object]] = {
    "name": "upper eye",
    "callout": "33.4 H7",
    "unit": "mm",
    "hole": "33.28",
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter"},
    "gauge": {"step": "0.001"},
    "push_off": "0.02",
}


@dataclass
class Visitor:
    """Someone at a page of ours.

    Args:
        client: reaches the application.
        keys: makes the keys of entries.
    """

    client: TestClient
    keys: Iterator[str] = field(default_factory=lambda: (f"key-{n}" for n in itertools.count(1)))

    def get(self, path: str, **headers: str) -> Response:
        return self.client.get(path, headers=headers)

    def post(self, path: str, body: Mapping[str, object]) -> Response:
        return self.client.post(f"/api/v1{path}", json=dict(body), headers=HEADERS)

    def done(self, path: str, body: Mapping[str, object]) -> dict[str, Any]:
        answer = self.post(path, {"key": next(self.keys), **body})
        assert answer.status_code == 200, answer.text
        found: dict[str, Any] = answer.json()
        return found

    def look(self, bore: str) -> dict[str, Any]:
        answer = self.get(f"/api/v1/bores/{bore}")
        assert answer.status_code == 200, answer.text
        found: dict[str, Any] = answer.json()
        return found

    def enter(self, bore: str, entry: Mapping[str, object], **more: object) -> dict[str, Any]:
        saw = self.look(bore)["numbers"]
        return self.done(f"/bores/{bore}/entries", {"saw": saw, "entry": entry, **more})

    def open(self, **more: object) -> str:
        return str(self.done("/bores", {"given": {**GIVEN, **more}})["bore"])
