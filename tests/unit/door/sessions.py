"""Bores of an invented shop, played through the door: dial, readout and offset, both units, to a release or aside."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from borewright import Bore

Entry = Mapping[str, object]

AT = "2031-05-06T07:08:00Z"
LEAST: Entry = {
    "callout": "27.030 ±0.008",
    "unit": "mm",
    "hole": "26.510",
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter"},
    "gauge": {"step": "0.001"},
    "push_off": "0.015",
}
"""As little as a bore can be started with."""

FULL: Entry = {
    "name": "Latch drum, pivot",
    "callout": "27.030 ±0.008",
    "unit": "mm",
    "hole": {"size": "26.510", "within": "0.02"},
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter", "lines_per_turn": 50, "split": 2},
    "gauge": {"step": "0.001", "scatter": "0.0008", "bias": "0.0010"},
    "push_off": {"guess": "0.015", "at": "0.25", "factor": "1.6"},
    "material": "carbon steel",
    "tool": {
        "id": "head-9",
        "bench": "0.008",
        "seat": "0.002",
        "lock": "0.001",
        "backlash": "0.012",
        "proved": True,
        "material": "steel",
    },
    "temperature": {"part": "21.5", "tool": "20.5", "within": "0.5", "spread": "2"},
    "min_depth": "0.02",
    "ovality": "0.001",
    "rule": {"name": "proof", "confidence": "0.95"},
    "costs": {"pass_": "1", "measurement": "0.3", "scrap": "60", "escape": "300"},
    "gauge_id": "bore-gauge-2",
}
"""Everything that a bore can be started with, but a tool that is set already or that cut the hole."""

WARM: Entry = {
    "callout": "200 ±0.007",
    "unit": "mm",
    "hole": {"size": "199.4", "within": "0.01"},
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter"},
    "gauge": {"step": "0.001", "scatter": "0.001", "bias": "0.001"},
    "push_off": {"guess": "0.010", "at": "0.25"},
    "material": "aluminium",
    "tool": {"proved": True},
    "temperature": {"within": "0.2"},
}
"""A large bore in aluminium that stands warm: its coefficient keeps it from being shown in."""

READOUT: Entry = {
    "name": "Reel cheek",
    "callout": "1.8740 ±.0004",
    "unit": "in",
    "hole": "1.8480",
    "adjuster": {"kind": "direct", "step": ".0001", "on": "radius", "zeroed": "locked"},
    "gauge": {"step": ".00005"},
    "push_off": "7 tenths",
    "rule": {"name": "simple", "ratio": 4},
}
LOOSE: Entry = {**READOUT, "adjuster": {"kind": "direct", "step": ".0001", "on": "diameter", "zeroed": "unlocked"}}
OFFSET: Entry = {
    "callout": "41.250 +0.020 / 0",
    "unit": "mm",
    "hole": "40.700",
    "adjuster": {"kind": "offset", "step": "0.001", "on": "radius"},
    "gauge": {"step": 0.001},
    "push_off": {"guess": 0.012},
    "tool": {"cut_hole": {"depth": "0.5"}},
}

CUT: tuple[Entry, ...] = (
    {"event": "hole_checked", "as_read": "26.511", "place": {"depth": "5", "direction_deg": 0}},
    {"event": "set", "diameter": "26.780", "locked": True, "nose_radius": "0.2 mm", "run_out": "4 µm"},
    {"event": "seated"},
    {"event": "passed", "depth": "full"},
)
"""What is recorded of the latch drum up to its first pass."""

FINISHED: tuple[Entry, ...] = (
    *CUT,
    {"event": "temperature", "of": "part", "celsius": "21.5"},
    {"event": "read", "as_read": "26.766"},
    {"event": "read", "as_read": "26.765", "place": {"direction_deg": "90"}},
    {"event": "moved", "lines": "+132", "take_up": True},
    {"event": "passed"},
    {"event": "read", "as_read": "27.031", "at": AT, "by": "M. Ostrander"},
    {"event": "read", "as_read": "27.030"},
    {"event": "read", "as_read": "27.031"},
)
"""What is recorded of it until it can be released."""


@dataclass(frozen=True, slots=True)
class Session:
    """A bore and what is recorded of it.

    Args:
        start: what it is started with.
        entries: what happens, in order.
        released: whether it is released at the end, on the numbers that the advice then shows.
    """

    start: Entry
    entries: tuple[Entry, ...]
    released: bool = False


SESSIONS: Mapping[str, Session] = {
    "least": Session(LEAST, ()),
    "dial, released": Session(FULL, FINISHED, released=True),
    "set already": Session({**LEAST, "tool": {"set": "26.800"}}, ({"event": "passed"},)),
    "readout in inches, set aside and taken up again": Session(
        READOUT,
        (
            {"event": "set_on", "stream": "gauge", "on": "ring", "size": "1.8750", "celsius": "70 F"},
            {"event": "studied", "scatter": "20 microinch"},
            {"event": "rechecked", "size": "1.8750", "as_read": "1.87505", "celsius": "70 F"},
            {"event": "set", "diameter": "1.8610"},
            {"event": "seated"},
            {"event": "proved", "line": "2 tenths", "within": ".00001", "backlash": ".0003", "lock_shift": "-.00005"},
            {"event": "clamped"},
            {"event": "passed", "depth": "trial"},
            {"event": "read", "as_read": "1.86030", "place": {"depth": ".05"}},
            {"event": "passed"},
            {"event": "unclamped"},
            {"event": "read", "as_read": "1.86035"},
            {"event": "moved", "shown_unlocked": "+.0066", "shown_locked": "+.0065", "take_up": False},
            {"event": "noted", "text": "the readout jumped on locking"},
            {"event": "edge_changed"},
            {"event": "passed"},
            {"event": "read", "as_read": "1.87330"},
            {"event": "quarantined", "reason": "the bar left marks"},
            {"event": "reopened", "reason": "the marks clean up"},
            {"event": "noted", "stream": "tool", "text": "new insert"},
            {"event": "noted", "stream": "gauge", "text": "battery changed"},
            {"event": "retired", "reason": "the cartridge is worn"},
        ),
    ),
    "readout zeroed with the lock loose": Session(
        LOOSE,
        (
            {"event": "set", "diameter": "1.8610"},
            {"event": "passed"},
            {"event": "read", "as_read": "1.86030"},
            {"event": "read", "as_read": "1.86030"},
        ),
    ),
    "offset, the tool as it cut the hole": Session(
        OFFSET,
        (
            {"event": "moved", "change": "+0.300"},
            {"event": "passed"},
            {"event": "read", "as_read": "40.990"},
            {"event": "moved", "change": "-0.010", "take_up": False},
        ),
    ),
    "too little left to cut": Session(
        LEAST,
        (
            {"event": "set", "diameter": "26.900"},
            {"event": "seated"},
            {"event": "passed"},
            {"event": "read", "as_read": "26.886"},
            {"event": "read", "as_read": "26.886"},
            {"event": "moved", "lines": 68},
            {"event": "passed"},
            {"event": "read", "as_read": "27.018"},
            {"event": "read", "as_read": "27.018"},
        ),
    ),
    "read by the machine's own probe, then by a gauge that was studied": Session(
        {**LEAST, "gauge": {"step": "0.001"}},
        (
            {"event": "studied", "scatter": "0.0012", "dof": 6},
            {"event": "set", "diameter": "26.900"},
            {"event": "seated"},
            {"event": "passed"},
            {"event": "read", "as_read": "26.886"},
            {"event": "read", "as_read": "26.886"},
            {"event": "moved", "lines": 72},
            {"event": "passed"},
            {"event": "temperature", "of": "part", "celsius": 20},
            {"event": "read", "as_read": "27.030", "probe": True, "state": "in the machine"},
            {"event": "read", "as_read": "27.030", "probe": True},
            {"event": "read", "as_read": "27.031", "state": "free"},
        ),
    ),
    "a thin wall, read in its clamps, then free": Session(
        {**LEAST, "clamps": "0.006"},
        (
            {"event": "set", "diameter": "27.045"},
            {"event": "seated"},
            {"event": "passed"},
            *({"event": "read", "as_read": "27.030"},) * 4,
            {"event": "unclamped"},
            {"event": "read", "as_read": "27.031"},
        ),
    ),
    "too warm to be shown in, left to stand": Session(
        WARM,
        (
            {"event": "temperature", "of": "part", "celsius": "35"},
            {"event": "set", "diameter": "200.080"},
            {"event": "seated"},
            {"event": "passed"},
            {"event": "temperature", "of": "part", "celsius": "35"},
            {"event": "read", "as_read": "200.072"},
            {"event": "read", "as_read": "200.072"},
            {"event": "waited", "minutes": "60"},
            {"event": "temperature", "of": "part", "celsius": "24.5"},
            {"event": "read", "as_read": "200.024"},
        ),
    ),
    "a reading that surprises, then too large": Session(
        LEAST,
        (
            {"event": "set", "diameter": "26.780"},
            {"event": "seated"},
            {"event": "passed"},
            {"event": "read", "as_read": "26.766"},
            {"event": "read", "as_read": "26.816"},
            {"event": "corrected", "event_number": 4, "replacement": {"as_read": "26.767"}, "reason": "misread"},
            {"event": "corrected", "event_number": 3, "reason": "of another bore"},
            {"event": "moved", "lines": 140},
            {"event": "passed"},
            {"event": "read", "as_read": "27.052"},
            {"event": "read", "as_read": "27.052"},
            {"event": "quarantined", "reason": "too large"},
        ),
    ),
}


def released(bore: Bore) -> dict[str, object]:
    """Make the entry that releases a bore on what its advice shows now."""
    shown: Any = bore.advise()["release"]
    return {
        "event": "released",
        **{name: shown[name] for name in ("verdict", "probability", "rule", "size", "expanded")},
    }


def play(session: Session) -> Iterator[tuple[str, Bore, Mapping[str, object]]]:
    """Play a session; yield what is answered: ``start``, then an advice and a record in turn, an advice at the end."""
    bore = Bore.start(session.start)
    yield "start", bore, bore.recorded(bore.events()[0])
    for entry in session.entries:
        yield "advise", bore, bore.advise()
        yield "record", bore, bore.record(entry)
    if session.released:
        advice = bore.advise()
        yield "advise", bore, advice
        yield "record", bore, bore.record(bore.advised(advice))
        yield "record", bore, bore.record(released(bore))
    yield "advise", bore, bore.advise()


def played(session: Session) -> Bore:
    """Play a session to its end, without asking for advice on the way."""
    bore = Bore.start(session.start)
    for entry in session.entries:
        bore.record(entry)
    if session.released:
        bore.record(released(bore))
    return bore
