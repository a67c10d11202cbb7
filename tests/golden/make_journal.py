"""Write the golden journals of version 1, and what is believed after them.

``journal_1_mm.jsonl`` and ``journal_1_in.jsonl`` are two bores of an invented shop with their tools and gauges: every
kind of event, the second in inches; both were opened in the first model of belief, gaussian-1. ``journal_1_thin.jsonl``
is a bore opened in gaussian-2: a thin wall, a dial of which nobody knew what it speaks of, readings by their place, a
pass that nobody entered. A line is one stored event: its bytes as text and its hash, as they were stored.
``belief_mm.json`` and the others are what the program believes after the last of them.

The journals stand for what is on record in shops. Each is made once, by its name::

    python -m tests.golden.make_journal thin

and others under a new number for each later version of what is stored, or a new name for each later model; what is on
record is never made again. The command prints the heads, which the test holds. A belief is made again only where the
model that its bore was opened in changes what is believed, after a look at what changed and why::

    python -m tests.golden.make_journal --beliefs
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from borewright import Bore
from borewright.record.canonical import check_chain, event_bytes
from borewright.record.stream import Event, StreamId, StreamKind
from tests.golden.beliefs import plain

HERE: Final = Path(__file__).parent
VERSION: Final = 1
KINDS: Final[tuple[StreamKind, ...]] = ("bore", "tool", "gauge")

Entry = Mapping[str, object]

METRIC: Final[Entry] = {
    "name": "Davit sheave, hub",
    "callout": "51.760 ±0.011",
    "unit": "mm",
    "hole": {"size": "51.180", "within": "0.02"},
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter", "lines_per_turn": 50, "split": 2},
    "gauge": {"step": "0.001", "scatter": "0.0009"},
    "push_off": {"guess": "0.018", "at": "0.25", "factor": "1.5"},
    "material": "carbon steel",
    "tool": {"id": "davit-head", "seat": "0.002"},
    "temperature": {"spread": "2"},
    "gauge_id": "davit-gauge",
}
METRIC_ENTRIES: Final[tuple[Entry, ...]] = (
    {"event": "set_on", "on": "ring", "size": "51.7503", "celsius": "20.5"},
    {"event": "studied", "scatter": "0.0008"},
    {"event": "hole_checked", "as_read": "51.182", "place": {"depth": "8", "direction_deg": "0"}},
    {"event": "noted", "text": "Ø rough, a step at 30 mm"},
    {"event": "set", "diameter": "51.460", "locked": True, "length": "142.5", "nose_radius": "0.4", "run_out": "6 µm"},
    {"event": "seated"},
    {"event": "proved", "line": "0.00203", "within": "0.00004", "backlash": "0.012", "lock_shift": "-0.0015"},
    {"event": "clamped"},
    {"event": "passed", "depth": "trial"},
    {"event": "read", "as_read": "51.444", "place": {"depth": "2"}},
    {"event": "passed"},
    {"event": "temperature", "of": "tool", "celsius": "24"},
    {"event": "temperature", "of": "part", "celsius": "23.5", "when": "cut"},
    {"event": "unclamped"},
    {"event": "read", "as_read": "51.443", "place": {"depth": "20", "direction_deg": "90"}},
    {"event": "read", "as_read": "51.343"},
    {"event": "corrected", "event_number": 12, "replacement": {"as_read": "51.443"}, "reason": "a digit misread"},
    {"event": "read", "as_read": "51.498"},
    {"event": "corrected", "event_number": 14, "reason": "of another bore"},
    {"event": "noted", "stream": "tool", "text": "dial at 31 before the move"},
    {"event": "moved", "lines": "+157.5"},
    {"event": "corrected", "stream": "tool", "event_number": 6, "replacement": {"lines": "+156.5"}},
    {"event": "rechecked", "size": "51.7503", "as_read": "51.751", "celsius": "21.5"},
    {"event": "noted", "stream": "gauge", "text": "battery changed"},
    {"event": "passed"},
    {"event": "temperature", "of": "part", "celsius": "22.5", "when": "now"},
    {"event": "read", "as_read": "51.763"},
    {"event": "read", "as_read": "51.762", "place": {"depth": "20", "direction_deg": "90"}},
    {"event": "read", "as_read": "51.762", "place": {"depth": "40", "direction_deg": "45"}},
)
AFTER_RELEASE: Final[tuple[Entry, ...]] = (
    {"event": "corrected", "stream": "gauge", "event_number": 1, "replacement": {"on": "ring", "size": "51.7503"}},
)
"""Makes the first release void; the bore is then released again."""

METRIC_END: Final[tuple[Entry, ...]] = (
    {"event": "edge_changed"},
    {"event": "retired", "reason": "the cartridge is worn"},
)
INCH: Final[Entry] = {
    "callout": "2.0475 ±.0005",
    "unit": "in",
    "hole": "2.0240",
    "adjuster": {"kind": "direct", "step": ".0001", "on": "radius", "zeroed": "locked"},
    "gauge": {"step": ".00005"},
    "push_off": "8 tenths",
    "rule": {"name": "simple", "ratio": 4},
    "costs": {"pass_": "1", "scrap": "90"},
}
INCH_ENTRIES: Final[tuple[Entry, ...]] = (
    {"event": "set_on", "on": "blocks", "size": "2.0475", "celsius": "70 F"},
    {"event": "set", "diameter": "2.0350"},
    {"event": "seated"},
    {"event": "passed"},
    {"event": "read", "as_read": "2.03435"},
    {"event": "read", "as_read": "2.03430"},
    {"event": "moved", "shown_unlocked": "+.0064", "shown_locked": "+.0063", "take_up": True},
    {"event": "passed"},
    {"event": "read", "as_read": "2.04690"},
    {"event": "quarantined", "reason": "a tool mark at the mouth"},
    {"event": "reopened", "reason": "the mark is within the chamfer"},
    {"event": "moved", "change": "+.0003", "take_up": False},
    {"event": "passed"},
    {"event": "read", "as_read": "2.04740"},
    {"event": "read", "as_read": "2.04820"},
)


THIN: Final[Entry] = {
    "name": "Winch ring",
    "callout": "36.500 ±0.012",
    "unit": "mm",
    "hole": {"size": "35.960", "within": "0.02"},
    "adjuster": {"kind": "dial", "line": "0.001", "on": "not known", "lines_per_turn": 100},
    "gauge": {"step": "0.001", "scatter": "0.0008"},
    "push_off": {"guess": "0.012", "at": "0.25", "factor": "1.5"},
    "material": "stainless steel",
    "deep": "24",
    "clamps": "0.004",
    "mouth": "sharp",
    "min_depth": "0.04",
}
THIN_ENTRIES: Final[tuple[Entry, ...]] = (
    {"event": "set", "diameter": "36.200"},
    {"event": "seated"},
    {"event": "passed"},
    {"event": "read", "as_read": "36.187", "place": {"depth": "4", "direction_deg": "0"}},
    {"event": "read", "as_read": "36.190", "place": {"depth": "20", "direction_deg": "90"}},
    {"event": "moved", "lines": "+140"},
    {"event": "passed"},
    {"event": "read", "as_read": "36.326", "place": {"depth": "12", "direction_deg": "0"}},
    {"event": "read", "as_read": "36.327", "place": {"depth": "12", "direction_deg": "90"}},
    {"event": "edge_changed"},
    {"event": "moved", "lines": "+90"},
    {"event": "read", "as_read": "36.421", "place": {"depth": "12", "direction_deg": "0"}},
    {"event": "read", "as_read": "36.421"},
    {"event": "moved", "lines": "+1"},
    {"event": "moved", "lines": "+78"},
    {"event": "passed"},
    {"event": "read", "as_read": "36.501", "place": {"depth": "12", "direction_deg": "0"}},
    {"event": "set_on", "on": "ring", "size": "36.5002"},
    {"event": "read", "as_read": "36.500", "place": {"depth": "4", "direction_deg": "45"}},
    {"event": "unclamped"},
    {"event": "read", "as_read": "36.498", "place": {"depth": "12", "direction_deg": "0"}},
    {"event": "read", "as_read": "36.504", "place": {"depth": "20", "direction_deg": "90"}},
)


def journal_path(name: str) -> Path:
    """Return where a journal is kept.

    Args:
        name: ``mm``, ``in`` or ``thin``.

    Returns:
        Its path.
    """
    return HERE / f"journal_{VERSION}_{name}.jsonl"


def belief_path(name: str) -> Path:
    """Return where it is kept what is believed after a journal.

    Args:
        name: ``mm``, ``in`` or ``thin``.

    Returns:
        Its path.
    """
    return HERE / f"belief_{name}.json"


def stored(name: str) -> list[tuple[bytes, str]]:
    """Read a journal.

    Args:
        name: ``mm``, ``in`` or ``thin``.

    Returns:
        The bytes and the hash of each event, in the order of storing.
    """
    lines = [json.loads(line) for line in journal_path(name).read_text(encoding="utf-8").splitlines()]
    return [(line["body"].encode(), line["hash"]) for line in lines]


def streams(journal: Sequence[tuple[bytes, str]]) -> dict[StreamId, list[tuple[bytes, str]]]:
    """Sort a journal by stream.

    Args:
        journal: the bytes and the hash of each event.

    Returns:
        The same for each stream, in its order.
    """
    sorted_out: dict[StreamId, list[tuple[bytes, str]]] = {}
    for body, digest in journal:
        sorted_out.setdefault(StreamId.parse(json.loads(body)["stream"]), []).append((body, digest))
    return sorted_out


def replayed(name: str) -> Bore:
    """Rebuild a bore from its journal.

    Args:
        name: ``mm``, ``in`` or ``thin``.

    Returns:
        The bore.
    """
    checked = [check_chain(events, stream) for stream, events in streams(stored(name)).items()]
    return Bore.from_events([event for events in checked for event in events])


def believed(name: str) -> dict[str, Any]:
    """Say what is believed after a journal, in the model that its bore was opened in.

    Args:
        name: ``mm``, ``in`` or ``thin``.

    Returns:
        Plain values.
    """
    return {"model": replayed(name).model.name, "belief": plain(replayed(name).belief)}


def metric() -> Iterator[Event]:
    """Play the metric bore.

    Yields:
        Its events, in the order of storing.
    """
    bore = _started(METRIC, "davit-sheave.hub")
    yield from (bore.events("tool")[0], bore.events()[0])
    clock = _clock()
    yield from (_recorded(bore, entry, clock) for entry in METRIC_ENTRIES)
    yield _recorded(bore, bore.advised(bore.advise()), clock)
    yield _recorded(bore, _release(bore), clock)
    yield from (_recorded(bore, entry, clock) for entry in AFTER_RELEASE)
    yield _recorded(bore, _release(bore), clock)
    yield from (_recorded(bore, entry, clock) for entry in METRIC_END)


def inch() -> Iterator[Event]:
    """Play the bore in inches.

    Yields:
        Its events, in the order of storing.
    """
    bore = _started(INCH, "toggle-link")
    yield from (bore.events("tool")[0], bore.events()[0])
    clock = _clock()
    yield from (_recorded(bore, entry, clock) for entry in INCH_ENTRIES)


def thin() -> Iterator[Event]:
    """Play the bore of a thin wall.

    Yields:
        Its events, in the order of storing.
    """
    bore = _started(THIN, "winch-ring")
    yield from (bore.events("tool")[0], bore.events()[0])
    clock = _clock()
    yield from (_recorded(bore, entry, clock) for entry in THIN_ENTRIES)


PLAYED: Final[Mapping[str, Callable[[], Iterator[Event]]]] = {"mm": metric, "in": inch, "thin": thin}
"""What each journal was made of; today's program would open the first two in a later model."""


def main(arguments: Sequence[str]) -> None:
    """Write the files.

    Args:
        arguments: the names of the journals to be made; ``--beliefs`` to leave them all as they are.
    """
    for name in (name for name in arguments if name != "--beliefs"):
        lines = [
            {"body": event_bytes(event.draft, event.number).decode(), "hash": event.hash} for event in PLAYED[name]()
        ]
        text = "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines)
        journal_path(name).write_text(text, encoding="utf-8")
        for stream, each in streams(stored(name)).items():
            print(f'    "{stream}": ({len(each)}, "{each[-1][1]}"),')
    for name in PLAYED:
        belief_path(name).write_text(json.dumps(believed(name), indent=1) + "\n", encoding="utf-8")


def _started(given: Entry, bore_id: str) -> Bore:
    return Bore.start(given, bore_id=bore_id, at="2031-09-02T05:40:00Z", by="I. Varga")


def _recorded(bore: Bore, entry: Entry, clock: Iterator[str]) -> Event:
    answer: Any = bore.record({**entry, "at": next(clock), "by": "I. Varga"})
    kind: StreamKind = next(kind for kind in KINDS if answer["stream"] == str(bore.streams[kind]))
    return bore.events(kind)[-1]


def _release(bore: Bore) -> Entry:
    shown: Any = bore.advise()["release"]
    return {
        "event": "released",
        **{name: shown[name] for name in ("verdict", "probability", "rule", "size", "expanded")},
    }


def _clock() -> Iterator[str]:
    return (f"2031-09-02T{hour:02}:{minute:02}:00Z" for hour in range(6, 24) for minute in range(0, 60, 4))


if __name__ == "__main__":
    main(sys.argv[1:])
