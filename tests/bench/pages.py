"""What a page weighs and how soon it answers, over HTTP on loopback, one client alone; the last part of `make bench`.

The bars: everything that the first sight of Size loads within 150 kB as it is sent; a reading to its new advice within
150 ms, 95 times in 100.
"""

from __future__ import annotations

import re
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Final

import httpx2

from borewright.rehearsal.kinds import KINDS
from tests.served.machinist import Machinist
from tests.served.server import serving

SIZE: Final = "/bores/dome_drive_7.pinion_seat"
LOADS: Final = 60
SEEDS: Final = (1, 2, 3)
_ADDRESS: Final = re.compile(r'(?:src|href)="(/static/[^"]+)"|url\(([^)]+)\)')


def main() -> None:
    """Serve the demo and an empty folder's rehearsals, measure, and say it."""
    with tempfile.TemporaryDirectory(prefix="borewright-bench-") as data, serving("--demo", data=Path(data)) as server:
        weigh(server.address)
        load(server.address)
        size(server.address)


def weigh(address: str) -> None:
    """Say what the first sight of Size loads.

    Args:
        address: where the server is.
    """
    wanted, seen, total = [SIZE], set[str](), 0
    print("\nthe first sight of Size, bytes as sent")
    with httpx2.Client(base_url=address, headers={"Accept-Encoding": "gzip"}) as client:
        while wanted:
            path = wanted.pop(0)
            if path in seen:
                continue
            seen.add(path)
            answer = client.get(path)
            assert answer.status_code == 200, path
            total += answer.num_bytes_downloaded
            print(f"  {answer.num_bytes_downloaded:>8}  {path.partition('?')[0]}")
            if answer.headers["content-type"].startswith(("text/html", "text/css")):
                wanted += [str(httpx2.URL(path).join(one or two.strip("\"'"))) for one, two in found(answer.text)]
    print(f"  {total:>8}  in all; the bar is 150000")


def found(text: str) -> list[tuple[str, str]]:
    """List what a page or a style sheet loads.

    Args:
        text: the page or the sheet.

    Returns:
        Addresses, from attributes or from style.
    """
    return [(one, two) for one, two in _ADDRESS.findall(text) if not two.startswith("data:")]


def load(address: str) -> None:
    """Say how long a page takes, from asking to its last byte.

    Args:
        address: where the server is.
    """
    print("\na page, from asking to its last byte")
    with httpx2.Client(base_url=address, headers={"Accept-Encoding": "gzip"}) as client:
        for path in (SIZE, f"{SIZE}/part", f"{SIZE}/release", "/", "/start", "/callout?text=62+H6", "/rehearse"):
            print(f"  {told([timed(partial(client.get, path)) for _ in range(LOADS)])}  {path}")


def size(address: str) -> None:
    """Say how long entries take to their new advice, over whole bores of every kind.

    Args:
        address: where the server is.
    """
    times: dict[str, list[float]] = {}

    machinist = Machinist(address, "the bench", lambda event, seconds: times.setdefault(event, []).append(seconds))
    for kind in KINDS:
        for seed in SEEDS:
            machinist.size(str(machinist.post("/rehearsals", {"kind": kind, "seed": seed})["bore"]))
    print(f"\nan entry to its new advice and the part of the page that shows it, {len(KINDS) * len(SEEDS)} whole bores")
    for event, taken in sorted(times.items()):
        print(f"  {told(taken)}  {event}")
    print("  the bar is a p95 of 150 ms for read")


def timed(act: Callable[[], object]) -> float:
    """Time an act.

    Args:
        act: the act.

    Returns:
        Seconds.
    """
    begun = time.perf_counter()
    act()
    return time.perf_counter() - begun


def told(times_s: list[float]) -> str:
    """Say how long something took.

    Args:
        times_s: each time, s.

    Returns:
        How many, median, 95th in 100, longest.
    """
    ordered = sorted(1000 * each for each in times_s)
    p50, p95 = (ordered[min(int(share * len(ordered)), len(ordered) - 1)] for share in (0.5, 0.95))
    return f"{len(ordered):>4}   p50 {p50:6.1f} ms   p95 {p95:6.1f} ms   max {ordered[-1]:6.1f} ms"


if __name__ == "__main__":
    main()
