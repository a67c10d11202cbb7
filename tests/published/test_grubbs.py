"""Adjusting a setting after each part, and aims where being over is dearer; worked out from the stated formulas."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from borewright.running.adjusting import (
    dead_band_run,
    harmonic_gains,
    known_gains,
    mean_squared_deviation,
    recut_aim,
    squared_cost_aim,
    step_cost_aim,
)
from tests.published.case import Case, Source, check, each_case


def run(gains: Callable[[int], tuple[float, ...]], count: int) -> Callable[[], float]:
    """Ours: the mean squared deviation of a run that starts two standard deviations off."""
    return lambda: mean_squared_deviation(2.0, 1.0, gains(count))


def bayes(count: int) -> tuple[float, ...]:
    """Gains where the offset's standard deviation is twice the scatter."""
    return known_gains(count, 2.0, 1.0)


def bayes_gain(place: int) -> float:
    """One of those gains."""
    return bayes(5)[place]


def nothing(count: int) -> tuple[float, ...]:
    """Never move."""
    return (0.0,) * count


def everything(count: int) -> tuple[float, ...]:
    """Take out each deviation whole."""
    return (1.0,) * count


RUNS: tuple[tuple[str, Callable[[int], tuple[float, ...]], tuple[float, ...], float], ...] = (
    ("harmonic", harmonic_gains, (2.216667, 1.682897, 1.377387), 5e-7),
    ("with the offset's width known", bayes, (2.157486, 1.650516, 1.360536), 5e-7),
    ("never moved", nothing, (5.0, 5.0, 5.0), 1e-12),
    ("taken out whole", everything, (2.6, 2.3, 2.15), 1e-12),
)

SOURCE = Source(
    "grubbs1954",
    "Grubbs, adjusting a setting, and aims that follow from costs",
    (
        *(
            Case(f"Gain {t + 1}, s_d/s = 2", partial(bayes_gain, t), gain, tolerance=5e-7, standing="exact")
            for t, gain in enumerate((0.8, 0.444444, 0.307692, 0.235294, 0.190476))
        ),
        *(
            Case(f"Run of {n}, {name}", run(gains, n), value, tolerance=within, unit="s²", standing="exact")
            for name, gains, values, within in RUNS
            for n, value in zip((5, 10, 20), values, strict=True)
        ),
        Case(
            "Aim, T 30, s 5, over 10 times as dear", lambda: step_cost_aim(30, 5, 10), 13.0812, 5e-5, standing="exact"
        ),
        Case(
            "Aim, T 30, s 8, over 10 times as dear", lambda: step_cost_aim(30, 8, 10), 10.0878, 5e-5, standing="exact"
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
        Case("Aim, recut until done, T 30, s 8", lambda: recut_aim(30, 8, 1, 50)[0], 7.30935, 5e-6, standing="exact"),
        Case("Cost of it", lambda: recut_aim(30, 8, 1, 50)[1], 1.359382, 5e-7, standing="exact"),
        Case("Aim, recut until done, T 30, s 5", lambda: recut_aim(30, 5, 1, 50)[0], 11.75329, 5e-6, standing="exact"),
        Case("Cost of it ", lambda: recut_aim(30, 5, 1, 50)[1], 1.016094, 5e-7, standing="exact"),
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
