"""An entry of every kind of event, each with all of its fields; two of them in inches, none of a real bore."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from borewright import Bore
from borewright.record.stream import StreamKind

START: Final[Mapping[str, object]] = {
    "callout": "33.220 ±0.010",
    "unit": "mm",
    "hole": "32.640",
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter"},
    "gauge": {"step": "0.001"},
    "push_off": "0.016",
}
_DIAL: Final = {"kind": "dial", "on": "diameter", "line": "0.002 mm", "lines_per_turn": 50, "split": 2}
_PLACE: Final = {"depth": "12.5", "direction_deg": "-90"}
_REF: Final = {"id": "head-3", "number": 4, "snapshot": {"diameter": "32.900000 mm"}}

ENTRIES: Final[Mapping[tuple[StreamKind, str], Mapping[str, object]]] = {
    ("bore", "opened"): {"event": "opened", **Bore.start(START).events()[0].payload},
    ("bore", "hole_checked"): {"event": "hole_checked", "as_read": "32.641", "place": _PLACE},
    ("bore", "passed"): {"event": "passed", "depth": "trial", "tool": _REF, "gauge": {"id": "bg-1", "number": 0}},
    ("bore", "read"): {"event": "read", "as_read": "32.886", "place": _PLACE},
    ("bore", "temperature"): {"event": "temperature", "of": "part", "celsius": "71.5 F", "when": "cut"},
    ("bore", "clamped"): {"event": "clamped"},
    ("bore", "unclamped"): {"event": "unclamped"},
    ("bore", "waited"): {"event": "waited", "minutes": "60"},
    ("bore", "advised"): {
        "event": "advised",
        "model": "m-1",
        "action": "cut",
        "shown": {"say": "Cut.", "odds": {"oversize": 0.001}, "aims": ["33.2200 mm"], "passes_left": 1, "more": None},
    },
    ("bore", "released"): {
        "event": "released",
        "verdict": "in",
        "probability": 0.9987,
        "rule": "proof at 95 %",
        "size": "33.2190",
        "expanded": "0.0024",
    },
    ("bore", "quarantined"): {"event": "quarantined", "reason": "a score at the mouth"},
    ("bore", "reopened"): {"event": "reopened", "reason": "the score is within the chamfer"},
    ("bore", "noted"): {"event": "noted", "text": "coolant thin today"},
    ("bore", "corrected"): {
        "event": "corrected",
        "event_number": 4,
        "replacement": {"as_read": "32.868"},
        "reason": "two digits swapped",
    },
    ("tool", "assembled"): {"event": "assembled", "adjuster": _DIAL, "name": "the short head"},
    ("tool", "set"): {
        "event": "set",
        "diameter": "1.2953 in",
        "locked": False,
        "length": "140",
        "nose_radius": ".008 in",
        "run_out": "4 µm",
    },
    ("tool", "seated"): {"event": "seated"},
    ("tool", "moved"): {"event": "moved", "lines": "+64,5", "take_up": True},
    ("tool", "edge_changed"): {"event": "edge_changed"},
    ("tool", "proved"): {
        "event": "proved",
        "line": "0.00205",
        "within": "0.00005",
        "backlash": "0.011",
        "lock_shift": "-0.0015",
        "backlash_within": "0.4 µm",
        "lock_shift_within": "0.0006",
        "lock_scatter": "0.0008",
        "stuck_below": "0.002",
        "readings": {
            "lines": 250,
            "step": "0.0005",
            "shown": [{"at": "opened", "shown": "+0.2565"}, {"at": "locked", "shown": "0.2560"}],
        },
    },
    ("tool", "retired"): {"event": "retired", "reason": "the screw is worn"},
    ("tool", "noted"): {"event": "noted", "stream": "tool", "text": "dial stands at 12"},
    ("tool", "corrected"): {"event": "corrected", "stream": "tool", "event_number": 2, "reason": "another tool"},
    ("gauge", "described"): {
        "event": "described",
        "instrument": "dial bore gauge",
        "step": "1 µm",
        "travel": "0.5",
        "needle": "minus",
        "ring_class": "XX",
        "material": "steel",
    },
    ("gauge", "certified"): {
        "event": "certified",
        "size": "33.0012",
        "expanded": "0.8 µm",
        "factor": "2",
        "report": "R-17",
        "dated": "2026-03-01",
        "due": "2027-03-01",
    },
    ("gauge", "set_on"): {
        "event": "set_on",
        "on": "ring",
        "size": "33.0012",
        "celsius": 20.5,
        "gauge_celsius": "21",
        "master": "ring-33",
    },
    ("gauge", "rechecked"): {
        "event": "rechecked",
        "size": "33.0012",
        "as_read": "33.002",
        "celsius": "20.5",
        "master": "ring-33",
    },
    ("gauge", "studied"): {
        "event": "studied",
        "scatter": "0.8 µm",
        "dof": 60,
        "reproducibility": "0.4 µm",
        "method": "average and range",
        "readings": 90,
        "says": "use it",
    },
    ("gauge", "noted"): {"event": "noted", "stream": "gauge", "text": "new anvils"},
    ("gauge", "corrected"): {"event": "corrected", "stream": "gauge", "event_number": 1},
}
"""By stream and kind."""
