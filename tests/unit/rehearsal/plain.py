"""A machine with some or all of its faults taken away, so that a test can look at one thing."""

from __future__ import annotations

from dataclasses import replace

from borewright.rehearsal.kinds import KINDS, Common, Kind

FAULTLESS = Common(
    guess_log_sd=0.0,
    lock_mean_um=0.0,
    lock_scatter_um=0.0,
    gain_dial=0.0,
    gain_other=0.0,
    backlash_um=(0.0, 0.0),
    periodic_um=(0.0, 0.0),
    miscount=0.0,
    misread=0.0,
    built_up_edge=0.0,
    wear_um=0.0,
    ovality_um=0.0,
    hole_scatter_um=0.0,
    hole_known_um=0.0,
    thermometer_k=0.0,
    pass_um=0.0,
    pass_share=0.0,
    stick_um=(0.0, 0.0),
    slip_share=(0.0, 0.0),
    split_lines=0.0,
    bench_set_um=0.0,
    mouth_um=0.0,
)
"""Nothing left to chance but push-off's shape."""

DIAL = "middle head, carbon steel"
DIRECT = "large bridge, alloy steel"
OFFSET = "slide driven by the control"


def faultless(name: str = DIAL, common: Common = FAULTLESS) -> Kind:
    """Return a kind whose machine does as it is told and whose gauge tells the truth to a hundredth of a micrometre.

    Args:
        name: the kind of job to begin from.
        common: the faults left in.

    Returns:
        The kind.
    """
    return replace(
        KINDS[name],
        push_off_log_sd=0.0,
        min_depth_um=0.0,
        gauge_scatter_um=0.0,
        gauge_bias_um=0.0,
        gauge_step_um=0.01,
        bench_um=0.0,
        seat_um=0.0,
        warm_k=0.0,
        common=common,
    )
