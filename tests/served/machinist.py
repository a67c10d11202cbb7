"""A machinist at a page: does what the advice says on the simulated machine, and enters over HTTP what it shows."""

from __future__ import annotations

import time
import uuid
from collections.abc import Callable, Mapping
from typing import Any, Final

import httpx2

PATIENCE_S: Final = 30.0
MOST_LOOKS: Final = 80
"""More looks at the advice than any bore of the demo takes."""


class Machinist:
    """Someone who sizes bores.

    Args:
        address: where the server is, without the last slash.
        name: who enters.
        watch: told of each entry by its event and how long its answer took, s.
    """

    def __init__(
        self, address: str, name: str = "the smoke test", watch: Callable[[str, float], None] | None = None
    ) -> None:
        self.name = name
        self.watch = watch
        headers = {"X-Borewright": "1", "Origin": address}
        self.client = httpx2.Client(base_url=address, headers=headers, timeout=PATIENCE_S)

    def get(self, path: str) -> dict[str, Any]:
        """Ask for plain values.

        Args:
            path: the path under the API.

        Returns:
            The answer.

        Raises:
            AssertionError: it is refused.
        """
        return _values(self.client.get(f"/api/v1{path}"))

    def post(self, path: str, body: Mapping[str, object]) -> dict[str, Any]:
        """Send an act with a key of its own.

        Args:
            path: the path under the API.
            body: what is sent.

        Returns:
            The answer.

        Raises:
            AssertionError: it is refused.
        """
        return _values(self.client.post(f"/api/v1{path}", json={"key": str(uuid.uuid4()), **body}))

    def look(self, bore: str) -> dict[str, Any]:
        """Look how a bore stands.

        Args:
            bore: the bore's name in the record.

        Returns:
            ``numbers``, ``advice`` and ``html``.
        """
        return self.get(f"/bores/{bore}")

    def enter(self, bore: str, saw: Mapping[str, int], entry: Mapping[str, object]) -> dict[str, Any]:
        """Enter what happened.

        Args:
            bore: the bore's name in the record.
            saw: the numbers in view.
            entry: what happened.

        Returns:
            The answer.
        """
        begun = time.perf_counter()
        answer = self.post(f"/bores/{bore}/entries", {"saw": saw, "entry": entry, "by": self.name})
        if self.watch is not None:
            self.watch(str(entry["event"]), time.perf_counter() - begun)
        return answer

    def next_move(self, bore: str) -> str:
        """Do what the advice says and enter what the machine shows.

        Args:
            bore: the bore's name in the record.

        Returns:
            What was done: an event, or ``none`` where nothing is left.
        """
        look = self.look(bore)
        advice, numbers, wanted = look["advice"], look["numbers"], look["wanted"]["order"]
        if not wanted["event"]:
            return "none"
        if wanted["event"] == "released":
            names = ("verdict", "probability", "rule", "size", "expanded")
            shown = {name: advice["release"][name] for name in names}
            self.post(f"/bores/{bore}/release", {"saw": numbers, "shown": shown, "by": self.name})
            return "released"
        if wanted["event"] == "quarantined":
            self.post(f"/bores/{bore}/quarantine", {"saw": numbers, "reason": advice["why"], "by": self.name})
            return "quarantined"
        done = _values(self.client.post(f"/api/v1/rehearsals/{bore}/machine", json={"action": wanted}))
        for entry in done["entries"]:
            numbers = self.enter(bore, numbers, entry)["numbers"]
        return str(wanted["event"])

    def size(self, bore: str, *, until: Callable[[str], bool] = lambda done: done == "none") -> list[str]:
        """Size a bore.

        Args:
            bore: the bore's name in the record.
            until: given what was done last, says whether to stop; at the end of the work where it is left out.

        Returns:
            What was done.

        Raises:
            AssertionError: it does not come to an end.
        """
        done: list[str] = []
        while not done or not until(done[-1]):
            done.append(self.next_move(bore))
            assert len(done) <= MOST_LOOKS, done
        return done


def _values(answer: httpx2.Response) -> dict[str, Any]:
    assert answer.status_code == 200, f"{answer.request.method} {answer.request.url.path}: {answer.text[:400]}"
    found: dict[str, Any] = answer.json()
    return found
