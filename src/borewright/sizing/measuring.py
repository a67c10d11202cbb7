"""What readings, settings of the gauge and thermometers tell."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from borewright.materials.expansion import expansion_of
from borewright.sizing.form import NOWHERE, Place, add_form
from borewright.sizing.gaussian import Gaussian, State, Vector, unit_row
from borewright.sizing.model import Model, gauge_anew
from borewright.sizing.priors import TYPED, Prior

MASTER_EXPANSION: Final = 11.5e-6
"""Growth of a master of steel, 1/K. Source: [swyt1994]"""


@dataclass(frozen=True, slots=True)
class Master:
    """What a gauge was set on, as far as it is known.

    Args:
        name: its name on record, or its size; settings on one master share its error.
        u_mm: standard uncertainty of its size by its certificate or class, mm; None where nobody knows it.
        celsius: its temperature, or None where it was not taken.
        material: what it is made of; steel where nothing is said.
    """

    name: str = ""
    u_mm: float | None = None
    celsius: float | None = None
    material: str | None = None


UNKNOWN_MASTER: Final = Master()
"""The master of a setting that nobody told of."""


def reading_row(model: Model, *, trial: bool = False, place: Place = NOWHERE) -> Vector:
    """Return what a reading is made of: the hole, the part's growth, the error of the gauge's setting.

    Args:
        model: the bore's constants.
        trial: whether the reading is of the land of a trial cut.
        place: where in the bore it was taken; the land of a trial cut is one place.

    Returns:
        Shape (22,).
    """
    row = unit_row(State.TRIAL if trial else State.HOLE, State.GAUGE)
    row[State.WARMTH] = model.growth
    if place is not NOWHERE and not trial:
        add_form(row, model, place)
    return row


def shares(model: Model, master_u_mm: float | None) -> tuple[float, float]:
    """Return what of a setting's error is its own, which a re-check sees, and what is the master's.

    Where nobody knows the master, each is half the variance of the setting as it was typed or assumed. Where its
    certificate or class tells, the master's share is what that says. The setting's own share then stays half of an
    assumed variance; of a typed one, which is known for the whole, it is what the master leaves, and half at least.

    Args:
        model: the bore's constants.
        master_u_mm: standard uncertainty of the master's size, mm, or None.

    Returns:
        Both standard deviations, mm.
    """
    setting = model.priors.gauge_setting
    half = 0.5 * setting.width**2
    if master_u_mm is None:
        return math.sqrt(half), math.sqrt(half)
    own = max(half, setting.width**2 - master_u_mm**2) if setting.origin == TYPED else half
    return math.sqrt(own), master_u_mm


def freedom_of(scatter: Prior) -> float | None:
    """Return the degrees of freedom of a scatter by its width: ``(s/w)^2 / 2``.

    Args:
        scatter: the scatter of one reading.

    Returns:
        The degrees of freedom; None where it has no width and counts as known for good.

    Source: [gum] G.4.2.
    """
    return None if scatter.width == 0.0 else 0.5 * (scatter.value / scatter.width) ** 2


def setting_sd(model: Model, master_u_mm: float | None) -> float:
    """Return the standard deviation of the whole error of a setting on such a master.

    Args:
        model: the bore's constants.
        master_u_mm: standard uncertainty of the master's size, mm, or None.

    Returns:
        The standard deviation, mm.
    """
    return model.priors.gauge_setting.width if master_u_mm is None else math.hypot(*shares(model, master_u_mm))


def master_growth(model: Model, master: Master) -> tuple[float, float]:
    """Return what a master of the bore's size is larger than its mark, and how well that is known.

    Args:
        model: the bore's constants.
        master: the master.

    Returns:
        ``D a (T - 20)`` and its standard deviation by the thermometer and, where its material is told, by what is not
        known of that material's growth, mm; nothing where the temperature was not taken.
    """
    if master.celsius is None:
        return 0.0, 0.0
    grows, sd = MASTER_EXPANSION, 0.0
    if master.material is not None:
        told = expansion_of(master.material)
        grows, sd = told.per_kelvin, told.sd_per_kelvin
    above = master.celsius - 20.0
    per_kelvin = model.diameter_mm * grows
    return per_kelvin * above, math.hypot(per_kelvin * model.priors.thermometer.width, model.diameter_mm * sd * above)


def gauge_set(belief: Gaussian, model: Model, master: Master) -> Gaussian:
    """Set the gauge on a master: its common error is drawn anew.

    A master warmer than 20 degrees is larger than its mark, so that the gauge then reads low by ``D a (T - 20)``.

    Args:
        belief: the belief before.
        model: the bore's constants.
        master: what it was set on.

    Returns:
        The belief after.
    """
    larger, sd = master_growth(model, master)
    own, of_master = shares(model, master.u_mm)
    return gauge_anew(belief, -larger, own, math.hypot(of_master, sd))


def drift_seen(
    model: Model, off_mm: float, master: Master, set_low_mm: float, scatter_mm: float
) -> tuple[float, float]:
    """Return how far the gauge has drifted since its setting, as a re-check on the master shows it.

    Args:
        model: the bore's constants.
        off_mm: what the gauge showed on the master less the master's size, mm.
        master: the master; where its temperature was not taken it is as it was at the setting.
        set_low_mm: what the setting is known to show too much, mm.
        scatter_mm: scatter of one reading, mm.

    Returns:
        The drift, and the variance of what was seen of it, mm and mm^2.
    """
    larger, sd = master_growth(model, master)
    drift = off_mm if master.celsius is None else off_mm - larger - set_low_mm
    return drift, scatter_mm**2 + model.priors.gauge_step.value**2 / 12.0 + sd**2


def setting_told(
    own_sd_mm: float, told: tuple[float, float], drifts: tuple[tuple[float, float], ...]
) -> tuple[float, float]:
    """Return what the gauge's setting is known to show too much, by its re-checks and nothing else.

    Args:
        own_sd_mm: standard deviation of the setting's own error, which a re-check sees, mm.
        told: the same before any re-check, and its standard deviation, mm.
        drifts: the drifts that re-checks showed since, with their variances, mm and mm^2.

    Returns:
        What it shows too much, and its standard deviation, mm: the part that a re-check does not see stays.
    """
    before = own_sd_mm**2
    if not drifts or before == 0.0:
        return told
    weight = math.fsum(1.0 / variance for _, variance in drifts)
    after = 1.0 / (1.0 / before + weight)
    mean = after * math.fsum(drift / variance for drift, variance in drifts)
    return told[0] + mean, math.sqrt(max(told[1] ** 2 - before + after, 0.0))


def thermometer_row(model: Model, *, at_cut: bool = False) -> tuple[Vector, float]:
    """Return what a thermometer shows, and the variance of one look at it: half of its error is always the same.

    Args:
        model: the bore's constants.
        at_cut: whether it shows the warmth at the last cut and not now.

    Returns:
        The row, shape (22,), and the variance, K^2.
    """
    row = unit_row(State.WARMTH_AT_CUT if at_cut else State.WARMTH, State.THERMOMETER)
    return row, 0.5 * model.priors.thermometer.width**2


def warmth_taken(belief: Gaussian, model: Model, celsius: float, *, at_cut: bool) -> Gaussian:
    """Take in the part's temperature by a thermometer, half of whose variance is an error that stays.

    Args:
        belief: the belief before.
        model: the bore's constants.
        celsius: what it showed, °C.
        at_cut: whether it held at the last cut and not now.

    Returns:
        The belief after.
    """
    row, variance = thermometer_row(model, at_cut=at_cut)
    return belief.measured(row, celsius - 20.0, variance)[0]
