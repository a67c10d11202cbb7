"""What the player is told before the first act: what a machinist would know, with its widths."""

from __future__ import annotations

from dataclasses import dataclass

from borewright.rehearsal.kinds import Adjuster


@dataclass(frozen=True, slots=True)
class Told:
    """What is known of a rehearsed bore at its start; mm on the diameter.

    Args:
        kind: the kind of job.
        size_mm: mid size, the middle of the limits.
        lower_mm: the smallest size allowed.
        upper_mm: the largest size allowed.
        material: of the work, in plain words.
        expansion_per_k: its expansion per kelvin.
        adjuster: ``dial``, ``direct`` or ``offset``.
        line_mm: the worth of a dial's line, or the step of a readout or an offset.
        lines_per_turn: of a dial.
        zeroed: ``locked`` for a direct readout set to the bench's figure locked; empty for the others.
        hole_mm: the start hole.
        hole_sd_mm: standard deviation of that.
        push_off_guess_mm: a guess at push-off at the depth set ``push_off_at_mm``.
        push_off_at_mm: that depth set.
        push_off_log_sd: standard deviation of the logarithm of the guess over the truth.
        min_depth_mm: with less depth set, the edge rubs.
        gauge_step_mm: what the gauge shows in.
        gauge_scatter_mm: standard deviation of one reading, before its rounding to the step.
        gauge_bias_sd_mm: standard deviation of the bias of one setting of the gauge.
        bench_sd_mm: standard deviation between the bench and the spindle.
        seat_sd_mm: standard deviation of the seat.
        warm_sd_k: standard deviation of the part's distance from 20 °C, K.
        thermometer_sd_k: standard deviation of the thermometer's error, K.
    """

    kind: str
    size_mm: float
    lower_mm: float
    upper_mm: float
    material: str
    expansion_per_k: float
    adjuster: Adjuster
    line_mm: float
    lines_per_turn: int
    zeroed: str
    hole_mm: float
    hole_sd_mm: float
    push_off_guess_mm: float
    push_off_at_mm: float
    push_off_log_sd: float
    min_depth_mm: float
    gauge_step_mm: float
    gauge_scatter_mm: float
    gauge_bias_sd_mm: float
    bench_sd_mm: float
    seat_sd_mm: float
    warm_sd_k: float
    thermometer_sd_k: float

    @property
    def step_mm(self) -> float:
        """Return the step of the readout or offset, on the diameter."""
        return self.line_mm

    @property
    def stock_mm(self) -> float:
        """Return what is to come off from the hole as told to mid size."""
        return self.size_mm - self.hole_mm
