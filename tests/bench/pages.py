"""What a page weighs and how soon it answers and is painted, on loopback, one client alone; the end of `make bench`.

The bars: everything that the first sight of Size loads within 150 kB as it is sent, and painted within 300 ms by a
browser that has seen nothing of it; a reading to its new advice on the screen within 150 ms, 95 times in 100.
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
from tests.bench.bench_entry import BEFORE, READ
from tests.browser.chromium import chromium
from tests.browser.somebody import FIELD, Somebody
from tests.served.machinist import Machinist
from tests.served.server import serving
from tests.soak.__main__ import GIVEN

SIZE: Final = "/bores/dome_drive_7.pinion_seat"
LOADS: Final = 60
SEEDS: Final = (1, 2, 3)
PAINTS: Final = 20
FIRST_PAINT: Final = """async () => {
    for (;;) {
        const [entry] = performance.getEntriesByName("first-contentful-paint");
        if (entry !== undefined) {
            return entry.startTime;
        }
        await new Promise(requestAnimationFrame);
    }
}"""
ENTER_TO_FRAME: Final = """() => new Promise((resolve) => {
    const form = document.querySelector("form[data-primary]");
    const begun = performance.now();
    const watch = new MutationObserver(() => {
        if (!form.isConnected) {
            watch.disconnect();
            requestAnimationFrame(() => requestAnimationFrame(() => resolve(performance.now() - begun)));
        }
    });
    watch.observe(document.body, { childList: true, subtree: true });
    form.requestSubmit();
})"""
"""The second frame after the page changed has been begun: the first one is on the screen."""
_ADDRESS: Final = re.compile(r'(?:src|href)="(/static/[^"]+)"|url\(([^)]+)\)')


def main() -> None:
    """Serve the demo and an empty folder's rehearsals, measure, and say it."""
    with tempfile.TemporaryDirectory(prefix="borewright-bench-") as data, serving("--demo", data=Path(data)) as server:
        weigh(server.address)
        load(server.address)
        paint(server.address)
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


def paint(address: str) -> None:
    """Say how soon a browser paints Size that has nothing of it yet, and how soon a reading shows its advice.

    The times are the browser's own: from the beginning of the navigation to the first text or picture painted, and from
    the key that enters a reading to the first frame after the page has changed.

    Args:
        address: where the server is.
    """
    machinist = Machinist(address, "the bench")
    painted: list[float] = []
    shown: list[float] = []
    with chromium() as browser:
        for _ in range(PAINTS):
            person = Somebody(browser, address)
            painted.append(person.go(SIZE).evaluate(FIRST_PAINT) / 1000)
            person.leave()
        person = Somebody(browser, address)
        for count in range(PAINTS):
            bore = str(machinist.post("/bores", {"given": {**GIVEN, "name": f"painted {count}"}})["bore"])
            for entry in BEFORE:
                machinist.enter(bore, machinist.look(bore)["numbers"], entry)
            page = person.size(bore)
            person.settle()
            page.locator(FIELD).fill(str(READ["as_read"]))
            shown.append(page.evaluate(ENTER_TO_FRAME) / 1000)
        person.leave()
    print("\nin a browser")
    print(f"  {told(painted)}  the first paint of Size, nothing kept; the bar is 300 ms")
    print(f"  {told(shown)}  a reading entered to its advice on the screen; the bar is a p95 of 150 ms")


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
