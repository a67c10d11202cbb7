"""Fifty clients, a reading every two seconds each, for one minute, on loopback, while every page listens for changes.

Each client has a bore of its own and does what a page does: it enters a reading, gets the new advice with the part of
the page that shows it, and after every few readings moves the tool and cuts. It stops by itself. Any answer but a good
one is an error, and then it ends with 1.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import sys
import tempfile
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import httpx2

from tests.served.server import serving

GIVEN: Final[Mapping[str, object]] = {
    "callout": "40 ±0.008",
    "unit": "mm",
    "hole": {"size": "38.402", "within": "0.016"},
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter", "lines_per_turn": 50},
    "gauge": {"step": "0.001", "scatter": "0.0012", "bias": "0.001"},
    "push_off": "0.020",
}
FIRST_MM: Final = 38.430
MOVE_LINES: Final = 30
LEFT_BY_PUSH_OFF_MM: Final = 0.020
READINGS_A_PASS: Final = 10
"""Still one pass every twenty seconds, which no machine makes; no more people cut at once than would by chance."""
PATIENCE_S: Final = 30.0


@dataclass
class Heard:
    """What came back.

    Args:
        readings_s: how long each reading took to its new advice, s.
        others_s: how long every other entry took, s.
        errors: what was not a good answer.
        changes: how many words of change the pages heard.
        late: readings that began over a tenth of a second after they were due, since the one before took that long.
    """

    readings_s: list[float] = field(default_factory=list)
    others_s: list[float] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)
    changes: int = 0
    late: int = 0


class Client:
    """One page and the person at it."""

    def __init__(self, http: httpx2.AsyncClient, place: int, heard: Heard) -> None:
        self.http = http
        self.place = place
        self.heard = heard
        self.keys = 0
        self.bore = ""
        self.saw: Mapping[str, int] = {}
        self.tool_mm = FIRST_MM

    async def post(self, path: str, body: Mapping[str, object]) -> dict[str, Any]:
        self.keys += 1
        sent = {"key": f"soak-{self.place}-{self.keys}", **body}
        answer = await self.http.post(f"/api/v1{path}", json=sent)
        if answer.status_code != 200:
            raise AssertionError(f"{answer.status_code} {answer.text[:200]}")
        found: dict[str, Any] = answer.json()
        return found

    async def enter(self, entry: Mapping[str, object], kept: list[float] | None = None) -> None:
        begun = time.perf_counter()
        try:
            answer = await self.post(f"/bores/{self.bore}/entries", {"saw": self.saw, "entry": entry, "by": "soak"})
        except (AssertionError, httpx2.HTTPError) as error:
            self.heard.errors.append(f"{entry['event']}: {error!r}"[:300])
            return
        if kept is not None:
            kept.append(time.perf_counter() - begun)
        self.saw = answer["numbers"]
        if "data-figure" not in answer["html"]:
            self.heard.errors.append(f"{entry['event']}: no advice in the answer")

    async def begin(self) -> None:
        opened = await self.post("/bores", {"given": {**GIVEN, "name": f"bore {self.place}"}})
        self.bore, self.saw = str(opened["bore"]), opened["numbers"]
        await self.enter({"event": "set", "diameter": f"{self.tool_mm:.3f}"})
        await self.enter({"event": "seated"})
        await self.enter({"event": "passed"})

    async def work(self, start: float, seconds: float, every: float) -> None:
        due = start + every * (self.place % 50) / 50
        done = 0
        while due < start + seconds:
            await asyncio.sleep(max(due - time.perf_counter(), 0.0))
            self.heard.late += time.perf_counter() - due > 0.1
            wander = 0.001 * ((done + self.place) % 3 - 1)
            size = f"{self.tool_mm - LEFT_BY_PUSH_OFF_MM + wander:.3f}"
            await self.enter({"event": "read", "as_read": size}, self.heard.readings_s)
            done += 1
            if (done + self.place) % READINGS_A_PASS == 0:
                self.tool_mm += 0.002 * MOVE_LINES
                await self.enter({"event": "moved", "lines": f"+{MOVE_LINES}"}, self.heard.others_s)
                await self.enter({"event": "passed"}, self.heard.others_s)
            due += every

    async def listen(self) -> None:
        timeout = httpx2.Timeout(PATIENCE_S, read=None)
        async with self.http.stream("GET", f"/api/v1/live?bore={self.bore}", timeout=timeout) as stream:
            async for line in stream.aiter_lines():
                self.heard.changes += line == "event: changed"


async def soak(address: str, clients: int, seconds: float, every: float) -> Heard:
    """Let clients work at a server.

    Args:
        address: where it is.
        clients: how many.
        seconds: how long.
        every: seconds between one client's readings.

    Returns:
        What came back.
    """
    heard = Heard()
    headers = {"X-Borewright": "1", "Origin": address}
    limits = httpx2.Limits(max_connections=3 * clients, max_keepalive_connections=3 * clients)
    async with httpx2.AsyncClient(base_url=address, headers=headers, limits=limits, timeout=PATIENCE_S) as http:
        people = [Client(http, place, heard) for place in range(clients)]
        for person in people:
            await person.begin()
        listening = [asyncio.create_task(person.listen()) for person in people]
        start = time.perf_counter() + 0.5
        await asyncio.gather(*(person.work(start, seconds, every) for person in people))
        for listener in listening:
            if listener.done() and listener.exception() is not None:
                heard.errors.append(f"live: {listener.exception()!r}")
            listener.cancel()
        with contextlib.suppress(asyncio.CancelledError):
            await asyncio.gather(*listening, return_exceptions=True)
    return heard


def told(name: str, times_s: list[float]) -> str:
    """Say how long something took.

    Args:
        name: what.
        times_s: each time, s.

    Returns:
        A line.
    """
    ordered = sorted(times_s)

    def share(part: float) -> float:
        return 1000 * ordered[min(int(part * len(ordered)), len(ordered) - 1)]

    shares = f"p50 {share(0.5):6.1f} ms   p95 {share(0.95):6.1f} ms   max {share(1.0):6.1f} ms"
    return f"{name:<28} {len(ordered):>5}   {shares}"


def main() -> int:
    """Serve an empty folder, let the clients work, say how it went.

    Returns:
        The exit code: 1 where anything but a good answer came back.
    """
    reader = argparse.ArgumentParser(description=__doc__.partition("\n")[0] if __doc__ else None)
    reader.add_argument("--clients", type=int, default=50)
    reader.add_argument("--seconds", type=float, default=60.0)
    reader.add_argument("--every", type=float, default=2.0)
    asked = reader.parse_args()
    with tempfile.TemporaryDirectory(prefix="borewright-soak-") as folder, serving(data=Path(folder)) as server:
        heard = asyncio.run(soak(server.address, asked.clients, asked.seconds, asked.every))
    who = f"{asked.clients} clients, each with a page that listens"
    print(f"{who}, a reading every {asked.every:g} s each, for {asked.seconds:g} s")
    print(told("reading to new advice", heard.readings_s))
    print(told("moves and passes", heard.others_s))
    print(f"words of change heard        {heard.changes:>5}   begun late here {heard.late}")
    print(f"errors                       {len(heard.errors):>5}")
    for error in heard.errors[:10]:
        print(f"  {error}")
    return 1 if heard.errors or not heard.readings_s else 0


if __name__ == "__main__":
    sys.exit(main())
