"""The kinds of job a rehearsal can be: what differs between them, and what they have in common.

Every figure describes the simulated machine, not a real one: it is chosen, not measured, and has no source but this
page. Figures are in µm on the diameter, as they are spoken of; they are medians where a log-standard deviation stands
beside them, two ends where a range is given, else standard deviations.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Adjuster = Literal["dial", "direct", "offset"]

# Expansion per kelvin. Aluminium and steel: Swyt, J. Res. NIST 99 (1994) 31. The others from memory, good to 10 %.
EXPANSION_PER_K: dict[str, float] = {
    "alloy steel": 11.5e-6,
    "carbon steel": 11.5e-6,
    "grey iron": 10.8e-6,
    "aluminium": 23.1e-6,
    "titanium": 8.6e-6,
    "stainless steel": 17.3e-6,
}


@dataclass(frozen=True, slots=True)
class Common:
    """What all kinds of job have in common; µm on the diameter unless the name says otherwise.

    The first block is the table of the rehearsal. The second completes it where a machine needs a number and the
    table has none; those are chosen so small that the table decides.
    """

    exponent: tuple[float, float] = (0.55, 0.95)  # of push-off over the chip's area
    edge_share: tuple[float, float] = (0.05, 0.25)  # of push-off that stays when the chip's area goes to nothing
    guess_log_sd: float = 0.4  # what the player is told of push-off
    lock_mean_um: float = 2.5  # of one tool's lock shift, about nothing
    lock_scatter_um: float = 1.0  # of a tightening about the tool's own mean; its skewness is 1
    gain_dial: float = 0.006  # of a dial: what it moves more than it says, a share
    gain_other: float = 0.002  # of a readout or an offset, likewise
    backlash_um: tuple[float, float] = (5.0, 25.0)  # play of the screw
    periodic_um: tuple[float, float] = (0.0, 1.5)  # amplitude of the screw's error over a turn
    miscount: float = 0.01  # share of moves on a dial counted a line wrong
    misread: float = 0.004  # share of readings
    built_up_edge: float = 0.01  # share of passes
    built_up_um: float = 3.0  # cut large by a built-up edge
    wear_um: float = 0.15  # lost by the edge in a full pass
    ovality_um: float = 0.8  # largest less smallest diameter, root mean square, added by a pass
    hole_scatter_um: float = 25.0  # of the start hole about what the job sheet says
    hole_known_um: float = 8.0  # of what the player is told of this start hole
    thermometer_k: float = 0.4  # of the thermometer's error, K
    pass_um: float = 0.6  # scatter of a pass with no push-off
    pass_share: float = 0.02  # and the part of its push-off added to it

    lock_return: tuple[float, float] = (0.9, 1.0)  # share of the lock shift given back by unlocking
    lock_seen: tuple[float, float] = (0.7, 1.0)  # share of the lock shift that a direct readout sees
    stick_um: tuple[float, float] = (0.0, 2.0)  # moves smaller than this stick, and come with the next
    slip_share: tuple[float, float] = (0.0, 0.3)  # of backlash left open that the cutting load pushes through the lock
    split_lines: float = 0.1  # of setting between lines by eye
    seat_freedom: float = 5.0  # degrees of freedom of the seat's heavy-tailed (Student) scatter
    bench_set_um: float = 0.5  # of bringing the tool to a figure on the bench
    bench_step_um: float = 1.0  # of the figure the bench shows
    edge_change_um: tuple[float, float] = (10.0, 25.0)  # of changing the edge, one figure a tool
    mouth_um: float = 1.0  # the mouth reads large by the absolute value of this
    hardened: float = 1.25  # a rubbed skin needs so much more depth before it is cut well
    warm_lasting: float = 0.9  # share of the part's warmth that lasts; 0.44 passes, and 0.9² + 0.44² = 1
    warm_memory: float = 0.5  # correlation of the passing warmth from a cut to its reading and on to the next cut
    settled: float = 0.3  # share of the warmth left after waiting


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of job. Change a copy with ``dataclasses.replace`` to rehearse a size, tolerance or unit of your own.

    µm on the diameter unless the name says otherwise.

    Args:
        name: what it is called.
        size_mm: mid size, mm.
        tolerance_um: half the tolerance: limits are mid size, less and more this.
        adjuster: ``dial``, ``direct`` or ``offset``.
        line_um: the worth of a dial's line, or the step of a readout or an offset.
        stock_um: what is to come off in all.
        push_off_um: median push-off at a depth set of 250 µm.
        push_off_log_sd: standard deviation of its logarithm.
        min_depth_um: with less depth set, the edge rubs.
        gauge_scatter_um: of one reading.
        gauge_bias_um: of one setting of the gauge.
        bench_um: between the bench and the spindle, the same for all settings.
        seat_um: of the seat, redrawn each time the tool is put in.
        warm_k: of the part's distance from 20 °C, K.
        material: one of ``EXPANSION_PER_K``.
        lines_per_turn: of a dial.
        gauge_step_um: what the gauge shows in.
        common: what all kinds have in common.
    """

    name: str
    size_mm: float
    tolerance_um: float
    adjuster: Adjuster
    line_um: float
    stock_um: float
    push_off_um: float
    push_off_log_sd: float
    min_depth_um: float
    gauge_scatter_um: float
    gauge_bias_um: float
    bench_um: float
    seat_um: float
    warm_k: float
    material: str
    lines_per_turn: int = 250
    gauge_step_um: float = 1.0
    common: Common = Common()

    @property
    def expansion_per_k(self) -> float:
        """Return the work's expansion per kelvin."""
        return EXPANSION_PER_K[self.material]


# size, tolerance ±; adjuster, line; stock; push-off at 250, ×; min depth; gauge scatter, bias; bench, seat; warm
KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("large bridge, alloy steel", 95, 6, "direct", 1, 800, 13, 0.35, 40, 1.0, 0.9, 3, 2, 1.2, "alloy steel"),
        Kind("middle head, carbon steel", 40, 8, "dial", 2, 600, 20, 0.35, 30, 1.2, 1.0, 4, 4, 1.0, "carbon steel"),
        Kind("slender bar, alloy steel", 14, 9, "dial", 2, 450, 60, 0.40, 30, 1.0, 1.0, 4, 2, 1.0, "alloy steel"),
        Kind("coarse dial, grey iron", 55, 10, "dial", 10, 600, 28, 0.35, 30, 1.2, 1.0, 4, 5, 1.2, "grey iron"),
        Kind("warm aluminium", 120, 11, "direct", 1, 700, 5, 0.40, 20, 1.5, 1.2, 5, 2, 3.0, "aluminium"),
        Kind("titanium", 22, 6.5, "dial", 1, 500, 18, 0.40, 60, 0.8, 0.7, 3, 2, 1.0, "titanium"),
        Kind(
            "slide driven by the control", 150, 12.5, "offset", 1, 900, 10, 0.35, 40, 1.6, 1.4, 6, 3, 1.5, "alloy steel"
        ),
        Kind("thin wall, stainless", 72, 9.5, "direct", 2, 600, 15, 0.40, 60, 1.3, 1.1, 4, 2, 2.0, "stainless steel"),
    )
}
