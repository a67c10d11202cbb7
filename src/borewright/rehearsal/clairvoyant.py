"""The clairvoyant: sees the hole, the tool and push-off as they are, and shows what no knowledge can take away.

What is left to it is the scatter of what has not happened yet: the lock, the pass, the part's warmth while cut.
"""

from __future__ import annotations

from borewright.rehearsal.outcome import Outcome, outcome
from borewright.rehearsal.practice import move_by
from borewright.rehearsal.truth import Truth

MOST_PASSES = 5


def clairvoyant(truth: Truth) -> Outcome:
    """Size a bore seeing everything: half the stock, then to mid size, and again while enough is left to cut.

    Args:
        truth: the machine, before its first act; it is used up.

    Returns:
        How it ended; nothing bad is ever released.
    """
    told, tool = truth.told(), truth.tool
    half_way = 0.5 * (truth.hole_mm + told.size_mm)
    truth.set_tool(round(_tool_for(truth, half_way) - tool.bench_mm - tool.lock_mean_mm, 3))
    truth.seat()
    for _ in range(MOST_PASSES):
        truth.cut()
        verdict = truth.verdict()
        if verdict != "under":
            return outcome("clairvoyant", truth, "released" if verdict == "good" else "scrapped")
        wanted = max(_tool_for(truth, told.size_mm), truth.hole_mm + told.min_depth_mm)
        move_by(truth, told, (wanted - truth.tool_mm) / (1.0 + tool.gain))
    return outcome("clairvoyant", truth, "quarantined")


def _tool_for(truth: Truth, size_mm: float) -> float:
    """Return the tool that leaves a size, if the part is as warm as is to be expected at the next cut."""
    kind, bore = truth.kind, truth.bore
    lasting = kind.warm_k * kind.common.warm_lasting * bore.warm_lasting_z
    warm = lasting + kind.common.warm_memory * (truth.celsius - 20.0 - lasting)
    push_off = truth.tool.push_off.of_chip(max(0.0, size_mm - truth.hole_mm))
    return (size_mm + push_off) * (1.0 + kind.expansion_per_k * warm)
