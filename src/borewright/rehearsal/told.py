"""What the player is told before the first act: what a machinist would know, with its widths."""

from __future__ import annotations

from dataclasses import dataclass

from borewright.rehearsal.kinds import Adjuster


@dataclass(frozen=True, slots=True)
class Told:
    """What is known of a rehearsed bore at its start; mm on the diameter.

    Fields: ``line_mm`` is the worth of a dial's line, and ``step_mm`` (the same figure) the step of a readout or an
    offset; ``zeroed`` says how a direct readout was set to the bench, and is empty for the others; ``gauge_scatter_mm``
    is of one reading, ``gauge_bias_sd_mm`` of one setting; ``push_off_guess_mm`` is for the depth set
    ``push_off_at_mm`` and right within a factor of exp(±``push_off_log_sd``); ``hole_sd_mm`` is the standard deviation
    of ``hole_mm``; widths ending in ``_sd`` are standard deviations.
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
