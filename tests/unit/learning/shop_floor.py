"""Finished bores made up for the tests of learning."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from borewright.learning.evidence import Evidence
from borewright.learning.parts import NAMES, PLACE
from borewright.learning.taught import Repeated, Taught
from borewright.record.payloads.opened import Start
from borewright.sizing.gaussian import Vector
from borewright.sizing.opening import read_start
from borewright.sizing.priors import priors_of

GIVEN: dict[str, object] = {
    "callout": "40 ±0.008",
    "unit": "mm",
    "hole": "39.4",
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter"},
    "gauge": {"step": "0.001"},
    "push_off": {"guess": "0.020", "at": "0.25", "factor": "1.5"},
    "material": "carbon steel",
}
TRUE: Vector = np.array([0.003, 0.001, -0.002, 0.012, 0.030, 0.70, 0.12])
"""What the bores were cut with, part by part."""


def start(**changes: object) -> Start:
    """What a bore is started with."""
    return read_start({**GIVEN, **changes})[0]


def evidence(value: Vector, sd: Vector) -> Evidence:
    """Say of every part by itself that it is so, within so much."""
    return Evidence(value, np.diag(1.0 / sd**2), np.zeros(len(NAMES)))


SHARP: Vector = np.array([0.002, 0.001, 0.002, 0.003, 0.004, 0.1, 0.05])
OPEN: Vector = np.full(len(NAMES), 1e3)


def only(name: str, sd: float) -> Vector:
    """Widths by which evidence says something of one part alone."""
    widths = OPEN.copy()
    widths[PLACE[name]] = sd
    return widths


def taught(number: int, **changes: object) -> Taught:
    """A finished bore."""
    made = Taught(
        bore=f"bore-{number}",
        start=start(),
        tool="head",
        gauge="gauge",
        at=f"2031-{1 + number // 28:02}-{1 + number % 28:02}T10:00:00Z",
        evidence=evidence(TRUE, SHARP),
        record=None,
        depth_mm=0.25,
        guess_mm=priors_of(start()).push_off.value,
        edges=0,
        seating=("head", number),
        moves_shown=True,
        repeated=Repeated(),
        floor_mm2=1e-7,
    )
    return replace(made, **changes)  # type: ignore[arg-type]  # each test names fields of the class
