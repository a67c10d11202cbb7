"""Adjusters of the simulated machine, proved with an indicator on the tip by somebody who reads a line to a tenth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from borewright.record.fields import read_payload
from borewright.record.payloads.shared import Adjuster
from borewright.record.payloads.tool import ProofReadings
from borewright.rehearsal.hidden import HiddenTool, build_slide, draw_tool
from borewright.rehearsal.kinds import KINDS
from borewright.sizing.adjuster_proof import lines_opened, places

STEP_MM = 0.0005
NOISE_MM = 0.0002
"""The indicator's step, and its scatter besides, on the radius."""

DIAL: dict[str, object] = {"kind": "dial", "line": "0.002 mm", "on": "diameter", "lines_per_turn": 250}


@dataclass(frozen=True)
class Proved:
    """A proof of a simulated adjuster.

    Args:
        adjuster: the adjuster as it is told.
        tool: its hidden constants.
        readings: what the indicator showed.
        wave_mm: what the screw's own error over a turn added to the lines opened, mm on the diameter.
    """

    adjuster: Adjuster
    tool: HiddenTool
    readings: ProofReadings
    wave_mm: float


def adjuster(**fields: object) -> Adjuster:
    return read_payload(Adjuster, {**DIAL, **fields}, "mm")


def readings(told: Adjuster, radii_mm: list[float], step_mm: float = STEP_MM) -> ProofReadings:
    """Write down what an indicator showed."""
    given: dict[str, Any] = {
        "lines": lines_opened(told),
        "step": f"{step_mm:.7f} mm",
        "shown": [{"at": at, "shown": f"{radius:+.7f} mm"} for at, radius in zip(places(told), radii_mm, strict=False)],
    }
    return read_payload(ProofReadings, given, None)


def prove(kind: str, seed: int, *, worth: float = 1.0) -> Proved:
    """Prove the adjuster of a hidden tool.

    Args:
        kind: the kind of job.
        seed: the seed of the hidden tool.
        worth: how many times what is told a line is worth.
    """
    job = KINDS[kind]
    draws = np.random.default_rng([seed, 5])
    tool = draw_tool(job, seed)
    slide = build_slide(job, tool)
    line_mm = 1e-3 * job.line_um
    told_line = line_mm / worth
    own = {"line": f"{told_line:.7f} mm", "lines_per_turn": job.lines_per_turn}
    told = read_payload(
        Adjuster,
        {
            "kind": job.adjuster,
            "on": "diameter",
            **(own if job.adjuster == "dial" else {"step": f"{told_line:.7f} mm"}),
        },
        "mm",
    )
    opened = lines_opened(told) * line_mm
    slide.set_at(0.0, 0.0)
    zero = slide.at_rest_mm
    stood = 0.0

    def eye() -> float:
        return 0.1 * line_mm * draws.standard_normal() if job.adjuster == "dial" else 0.0

    def to(dial_mm: float) -> None:
        """Bring the dial to a line, as near as the eye does; a readout is followed till it shows its figure."""
        nonlocal stood
        if job.adjuster == "direct":
            slide.turn_until(slide.readout_mm + dial_mm - stood, take_up=True)
        else:
            slide.turn(dial_mm + eye() - slide.dial_mm, take_up=False)
        stood = dial_mm

    def look() -> float:
        radius = 0.5 * (slide.at_rest_mm - zero) + NOISE_MM * draws.standard_normal()
        return float(np.round(radius / STEP_MM) * STEP_MM)

    seen: list[float] = []
    for at in places(told):
        if at == "opened":
            to(opened)
        elif at == "locked":
            skewed = tool.lock_sense * (draws.standard_gamma(4.0) - 4.0) / 2.0
            slide.lock(tool.lock_mean_mm + 1e-3 * job.common.lock_scatter_um * skewed)
        elif at == "back":
            slide.unlock()
            to(0.0)
        elif at == "home":
            to(-0.06)
            to(0.0)
        else:
            to(stood + line_mm)
        seen.append(look())
    periods = np.sin(np.array([opened, 0.0]) * 2.0 * np.pi / slide.turn_mm + slide.phase) * slide.periodic_mm
    return Proved(told, tool, readings(told, seen), float(periods[0] - periods[1]))
