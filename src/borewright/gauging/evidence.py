"""From readings to a size at 20 °C with its uncertainty, by the gauge's word alone.

What the machine was expected to leave does not count here: a release rests on what was measured.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from borewright.errors import EntryError
from borewright.gauging.quantiles import coverage_factor

SCATTER: Final = "gauge scatter"
SETTING: Final = "gauge setting"
MASTER: Final = "size of the master"
"""Names of parts of an uncertainty that the gauge brings."""

PART_TEMPERATURE: Final = "part temperature"
"""Name of the part of an uncertainty that a thermometer narrows."""

EXPANSION: Final = "expansion coefficient"
"""Name of the part of an uncertainty that goes as the part comes to 20 °C."""


@dataclass(frozen=True, slots=True)
class Warmth:
    """The part's warmth at the reading.

    Args:
        above_20: best estimate of the part's temperature minus 20 °C, K.
        sd: its standard uncertainty, K.
        per_kelvin: the part's coefficient of expansion, 1/K.
        sd_per_kelvin: its standard uncertainty, 1/K.
    """

    above_20: float
    sd: float
    per_kelvin: float
    sd_per_kelvin: float


@dataclass(frozen=True, slots=True)
class Size:
    """A diameter at 20 °C with its uncertainty.

    Args:
        mm: best estimate, mm.
        u_mm: combined standard uncertainty, mm.
        parts_mm: standard uncertainty that each source brings to it, mm, by name, largest first.
        readings: how many readings it rests on.
        dof: effective degrees of freedom of the uncertainty.
        freedom: degrees of freedom of single parts, by name, where they are an estimate from few.
    """

    mm: float
    u_mm: float
    parts_mm: tuple[tuple[str, float], ...]
    readings: int
    dof: float = math.inf
    freedom: tuple[tuple[str, float], ...] = ()

    @property
    def factor(self) -> float:
        """Coverage factor for 95 % at its degrees of freedom."""
        return coverage_factor(self.dof)

    @property
    def expanded_mm(self) -> float:
        """Expanded uncertainty, factor times u, mm."""
        return self.factor * self.u_mm

    @property
    def judged_u_mm(self) -> float:
        """Half the expanded uncertainty, mm: what rules judge by, so that few degrees of freedom make no proof easier.

        Where the factor is 2 it is u itself; else a normal distribution as wide as Student's at 95 %.
        """
        return 0.5 * self.expanded_mm

    def with_part(self, name: str, part_mm: float) -> Size:
        """Return the size with another source of doubt.

        Args:
            name: its name.
            part_mm: standard uncertainty that it brings, mm.

        Returns:
            The size; ``dof`` follows as ``u_c^4 / sum(u_i^4/dof_i)``. Source: [gum] G.4.1.
        """
        u = math.hypot(self.u_mm, part_mm)
        parts = tuple(sorted((*self.parts_mm, (name, part_mm)), key=lambda part: -part[1]))
        dof = self.dof if self.u_mm == 0.0 else self.dof * (u / self.u_mm) ** 4
        return Size(self.mm, u, parts, self.readings, dof, self.freedom)


@dataclass(frozen=True, slots=True)
class SettingReadings:
    """Readings of one setting of a gauge.

    Args:
        as_read_mm: what the gauge showed, mm, at least one.
        shows_more_mm: what the setting is known to show too much, mm.
        sd_mm: standard deviation of the error common to them all and no others, mm.
        master: the name of the master that it was set on, where its size is known so and so well.
        master_sd_mm: standard deviation of that master's size, mm: settings on one master share its error.
    """

    as_read_mm: tuple[float, ...]
    shows_more_mm: float
    sd_mm: float
    master: str = ""
    master_sd_mm: float = 0.0


DISAGREE: Final = (3.841, 5.991, 7.815, 9.488, 11.070, 12.592, 14.067, 15.507, 16.919)
"""Chi-squared that readings which agree exceed 1 time in 20, by degrees of freedom from 1; held against SciPy."""


def scatter_shown(settings: Sequence[SettingReadings], scatter_mm: float, of_one_mm: float) -> float:
    """Return the scatter to reckon with: as it was told, or wider where the readings disagree more than it allows.

    With the squares Q of the readings about the mean of their own setting and f degrees of freedom, ``Q/s^2`` follows
    chi-squared. Where it is more than that is 1 time in 20, the scatter is taken wider by ``sqrt(Q/(f s^2))``, so that
    what disagrees is never signed for as if it agreed.

    Args:
        settings: the readings by setting.
        scatter_mm: standard deviation of one reading as it is believed, mm.
        of_one_mm: the same with all else that makes single readings differ: step, out of round, mm.

    Returns:
        The scatter, mm.

    Source: [birge1932]
    """
    freedom = sum(len(each.as_read_mm) - 1 for each in settings)
    if freedom < 1 or of_one_mm <= 0.0:
        return scatter_mm
    squares = math.fsum(
        (reading - math.fsum(each.as_read_mm) / len(each.as_read_mm)) ** 2
        for each in settings
        for reading in each.as_read_mm
    )
    if squares <= DISAGREE[min(freedom, len(DISAGREE)) - 1] * of_one_mm**2:
        return scatter_mm
    return max(scatter_mm, of_one_mm * math.sqrt(squares / (freedom * of_one_mm**2)))


def size_from_readings(
    readings_mm: Sequence[float], scatter_mm: float, bias_sd_mm: float, step_mm: float, warmth: Warmth
) -> Size:
    """Combine readings of one setting of a gauge into a size at 20 °C, as ``size_from_settings`` does.

    Args:
        readings_mm: what the gauge showed, mm, at least one.
        scatter_mm: standard deviation of one reading, mm.
        bias_sd_mm: standard deviation of the error common to all readings of the setting, mm.
        step_mm: smallest step of the display, mm.
        warmth: the part's warmth and expansion.

    Returns:
        The size with its parts.

    Raises:
        EntryError: there is no reading.
    """
    return size_from_settings([SettingReadings(tuple(readings_mm), 0.0, bias_sd_mm)], scatter_mm, step_mm, warmth)


def size_from_settings(
    settings: Sequence[SettingReadings],
    scatter_mm: float,
    step_mm: float,
    warmth: Warmth,
    scatter_dof: float = math.inf,
) -> Size:
    """Combine readings of one or more settings of a gauge into a size at 20 °C.

    ``D20 = y / (1 + alpha (T - 20))``, where y is the mean of the settings' own means, each corrected for what it is
    known to show too much and weighted by ``w = 1/(bias^2 + scatter^2/n)``. The uncertainty comes from the scatter and
    the bias, which are each setting's own, from the master, which settings on it share, and from the display's step
    (uniform over one step), the temperature and the coefficient, which all readings share. At 20 °C the first order of
    the coefficient vanishes; its product with the temperature, ``D u(alpha) u(T)``, is what is left.

    Args:
        settings: the readings by setting.
        scatter_mm: standard deviation of one reading, mm.
        step_mm: smallest step of the display, mm.
        warmth: the part's warmth and expansion.
        scatter_dof: degrees of freedom of the scatter.

    Returns:
        The size with its parts.

    Raises:
        EntryError: there is no reading.

    Source: [gum] 4.2, 5.1.2 with its note for the product; F.2.2.1 for the step; G.4.1 for the degrees of freedom. The
    weighted mean: common practice, no source.
    """
    settings = [setting for setting in settings if setting.as_read_mm]
    if not settings:
        raise EntryError(
            "There is no reading to make a size of.", given=0, right="Read it at least once.", where="readings"
        )
    weights = _weights(settings, scatter_mm)
    means = [math.fsum(each.as_read_mm) / len(each.as_read_mm) - each.shows_more_mm for each in settings]
    size = _dot(weights, means) / (1.0 + warmth.per_kelvin * warmth.above_20)
    parts = {
        SCATTER: math.hypot(
            *(w * scatter_mm / math.sqrt(len(each.as_read_mm)) for w, each in zip(weights, settings, strict=True))
        ),
        SETTING: math.hypot(*(w * each.sd_mm for w, each in zip(weights, settings, strict=True))),
        MASTER: _of_masters(settings, weights),
        "gauge step": step_mm / math.sqrt(12.0),
        PART_TEMPERATURE: size * warmth.per_kelvin * warmth.sd,
        EXPANSION: size * abs(warmth.above_20) * warmth.sd_per_kelvin,
        f"{PART_TEMPERATURE} × expansion": size * warmth.sd * warmth.sd_per_kelvin,
    }
    u = math.hypot(*parts.values())
    ranked = sorted(parts.items(), key=lambda item: -item[1])
    count = sum(len(each.as_read_mm) for each in settings)
    few = math.isfinite(scatter_dof) and parts[SCATTER] > 0.0
    dof = scatter_dof * (u / parts[SCATTER]) ** 4 if few else math.inf
    freedom = ((SCATTER, scatter_dof),) if few else ()
    return Size(size, u, tuple((name, part) for name, part in ranked if part > 0), count, dof, freedom)


def _of_masters(settings: Sequence[SettingReadings], weights: Sequence[float]) -> float:
    """Return what the masters bring: the weights of settings on one master add up before they are squared."""
    shares: dict[str, float] = {}
    for weight, each in zip(weights, settings, strict=True):
        shares[each.master] = shares.get(each.master, 0.0) + weight * each.master_sd_mm
    return math.hypot(*shares.values())


def _weights(settings: Sequence[SettingReadings], scatter_mm: float) -> list[float]:
    """Weigh each setting by the inverse of its own variance; alike where none has any."""
    variances = [each.sd_mm**2 + each.master_sd_mm**2 + scatter_mm**2 / len(each.as_read_mm) for each in settings]
    if min(variances) <= 0.0:
        return [1.0 / len(settings)] * len(settings)
    total = math.fsum(1.0 / variance for variance in variances)
    return [1.0 / variance / total for variance in variances]


def _dot(weights: Sequence[float], values: Sequence[float]) -> float:
    return math.fsum(weight * value for weight, value in zip(weights, values, strict=True))
