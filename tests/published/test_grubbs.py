"""Adjusting a setting after each part, and aims where being over is dearer: belief and look-ahead reduced to them.

Squared costs and dead bands, which the look-ahead has not, are worked out from the stated formulas.
"""

from __future__ import annotations

from functools import partial

from borewright.running.adjusting import dead_band_run, squared_cost_aim
from tests.analytic.reduced import aim_above_lower, cut_again_until_done, mean_squared_deviation, shares
from tests.published.case import Case, Source, check, each_case

UNKNOWN = 10_000.0
"""Nothing is known of an offset that may be so many times the error."""


def gain(place: int) -> float:
    """The engine's gain where the offset's standard deviation is twice the error."""
    return shares(2.0, 5)[place]


def run(ratio: float, count: int) -> float:
    """The mean squared deviation of a run that starts two errors off and is corrected as the engine believes."""
    return mean_squared_deviation(shares(ratio, count), 2.0)


def run_by(share: float, count: int) -> float:
    """The same with one share of every deviation taken out."""
    return mean_squared_deviation((share,) * count, 2.0)


def recut_aim(sd: float) -> float:
    """The aim where what is too small is cut again until it is done, scrap fifty passes."""
    return cut_again_until_done(sd, 50.0)[0]


def recut_cost(sd: float) -> float:
    """Its whole cost."""
    return cut_again_until_done(sd, 50.0)[1]


RUNS = (
    ("harmonic", partial(run, UNKNOWN), (2.216667, 1.682897, 1.377387), 1e-6),
    ("with the offset's width known", partial(run, 2.0), (2.157486, 1.650516, 1.360536), 1e-6),
    ("never moved", partial(run_by, 0.0), (5.0, 5.0, 5.0), 1e-12),
    ("taken out whole", partial(run_by, 1.0), (2.6, 2.3, 2.15), 1e-12),
)

SOURCE = Source(
    "grubbs1954",
    "Grubbs, adjusting a setting, and aims that follow from costs",
    (
        *(
            Case(f"Gain {t + 1}, s_d/s = 2", partial(gain, t), printed, tolerance=1e-6, standing="exact")
            for t, printed in enumerate((0.8, 0.444444, 0.307692, 0.235294, 0.190476))
        ),
        *(
            Case(f"Run of {n}, {name}", partial(deviation, n), value, tolerance=within, unit="s²", standing="exact")
            for name, deviation, values, within in RUNS
            for n, value in zip((5, 10, 20), values, strict=True)
        ),
        Case(
            "Aim, T 30, s 5, over 10 times as dear", lambda: aim_above_lower(5, 10, 1), 13.0812, 6e-5, standing="exact"
        ),
        Case(
            "Aim, T 30, s 8, over 10 times as dear", lambda: aim_above_lower(8, 10, 1), 10.0878, 6e-5, standing="exact"
        ),
        *(
            Case(
                f"Bias, squared cost, over {dear:g} times as dear",
                partial(squared_cost_aim, dear),
                bias,
                5e-6,
                unit="s",
                standing="exact",
            )
            for dear, bias in ((2.0, -0.27603), (5.0, -0.63603), (10.0, -0.90146))
        ),
        Case("Aim, recut until done, T 30, s 8", partial(recut_aim, 8), 7.30935, 2e-5, standing="exact"),
        Case("Cost of it", partial(recut_cost, 8), 1.359382, 5e-7, standing="exact"),
        Case("Aim, recut until done, T 30, s 5", partial(recut_aim, 5), 11.75329, 2e-5, standing="exact"),
        Case("Cost of it ", partial(recut_cost, 5), 1.016094, 5e-7, standing="exact"),
        *(
            Case(
                f"Average run in a dead band of ±{width:g}",
                partial(dead_band_run, width),
                length,
                5e-6,
                unit="steps",
                standing="exact",
            )
            for width, length in ((1.0, 2.78293), (2.0, 6.91350), (4.0, 21.25016))
        ),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
