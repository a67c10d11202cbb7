"""What further readings may show of a hole that is not shown in yet, and what finding out costs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

from borewright.gauging.conformity import Rule, normal_cdf
from borewright.gauging.evidence import EXPANSION, SettingReadings, Size, scatter_shown, size_from_settings
from borewright.sizing.belief import Belief
from borewright.sizing.blunders import Reading
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import State, unit_row
from borewright.sizing.measuring import Master, reading_row, setting_sd, thermometer_row
from borewright.sizing.model import Model
from borewright.sizing.waiting import WAIT_MINUTES, waited

READINGS: Final = 2
"""Readings that make a measurement."""

MOST_SETTINGS: Final = 3
"""Settings of the gauge, at most, whose readings a verdict is asked of. Common practice, no source."""

MOST_READINGS: Final = 10
"""Readings after which further ones are no longer asked: what they share they cannot take away."""

UNTAKEN: Final = 1.5
"""A part's warmth known no better than this many times the thermometer's error was not taken since the cut."""

WARM_SHARE: Final = 0.25
"""Share of a size's variance from which on its coefficient of expansion is worth waiting for. Chosen, not measured."""

LIKELY_BLUNDER: Final = 0.5
"""Probability from which on a reading is left out of the evidence for a release."""


How: TypeAlias = Literal["could be shown", "set anew", "temperature", "warm part"]
"""To read again as the gauge is set, to set it on its master anew first, to take the part's temperature, or to let it
stand until it is nearer to 20 °C."""


@dataclass(frozen=True, slots=True)
class Further:
    """A way to go on measuring.

    Args:
        how: which way, as a ground of the choice.
        measurements: how many measurements of two readings, each of a setting of its own where it is set anew.
        shown_in: probability that the bore is then judged in.
    """

    how: How
    measurements: int
    shown_in: float

    def cost(self, costs: Costs, otherwise: float) -> float:
        """Return what it is expected to cost, all in.

        Args:
            costs: what things cost.
            otherwise: what follows where it does not show the bore in.

        Returns:
            The cost.
        """
        waiting = costs.wait if self.how == "warm part" else 0.0
        return waiting + self.measurements * costs.measurement + (1.0 - self.shown_in) * otherwise


def evidence(belief: Belief) -> list[Reading]:
    """Return the readings that count for a release: of the finished hole, and not blunders.

    Of a bore that its clamps may have changed, those taken in them no longer count once they are let go.

    Args:
        belief: what is believed.

    Returns:
        The readings, oldest first.
    """
    if belief.after_trial:
        return []
    return [r for r in belief.readings if r.doubt < LIKELY_BLUNDER and (belief.clamped or not r.in_clamps)]


def independent(belief: Belief, rule: Rule) -> list[Reading]:
    """Return the readings that count for a release by a rule, less those of the machine's own probe.

    Args:
        belief: what is believed.
        rule: the rule; it may let the probe count.

    Returns:
        The readings, oldest first; all that count where only the probe read.
    """
    counted = evidence(belief)
    own = counted if rule.probe_counts else [reading for reading in counted if not reading.probe]
    return own or counted


def by_setting(belief: Belief, model: Model, rule: Rule) -> list[SettingReadings]:
    """Sort the readings that count by the setting of the gauge.

    Args:
        belief: what is believed.
        model: the bore's constants.
        rule: the rule that the bore is judged by.

    Returns:
        One group for each setting, oldest first.
    """
    counted = independent(belief, rule)
    told = {**dict(belief.settings_told), belief.gauge_number: belief.gauge_told(model)}
    masters = {**dict(belief.masters), belief.gauge_number: belief.master}
    return [
        _on_master(tuple(r.as_read_mm for r in counted if r.gauge_number == number), told[number], masters[number])
        for number in dict.fromkeys(r.gauge_number for r in counted)
    ]


def _on_master(as_read_mm: tuple[float, ...], told: tuple[float, float], master: Master) -> SettingReadings:
    """Tell the master's share of a setting's error from the rest, where it is known."""
    u = master.u_mm or 0.0
    return SettingReadings(as_read_mm, told[0], math.sqrt(max(told[1] ** 2 - u**2, 0.0)), master.name if u else "", u)


def _set_anew(belief: Belief, model: Model, mean_mm: float) -> SettingReadings:
    """Return readings of a setting that is yet to be made, on the master that the gauge is set on now."""
    master = replace(belief.master, celsius=None)
    return _on_master((mean_mm,) * READINGS, (0.0, setting_sd(model, master.u_mm)), master)


def size_of(settings: Sequence[SettingReadings], belief: Belief, model: Model, *, once_warm: bool = False) -> Size:
    """Return the size that readings show, with its uncertainty.

    Args:
        settings: the readings by setting.
        belief: what is believed; its temperatures and the gauge's scatter count.
        model: the bore's constants.
        once_warm: with the part's temperature as well known as it will be once it is taken.

    Returns:
        The size.
    """
    warmth = belief.warmth(model, once_taken=once_warm)
    of_one = math.sqrt(model.reading_variance(belief.gauge_scatter_mm))
    scatter = scatter_shown(settings, belief.gauge_scatter_mm, of_one)
    dof = math.inf if belief.gauge_scatter_dof is None else belief.gauge_scatter_dof
    return size_from_settings(settings, scatter, model.priors.gauge_step.value, warmth, dof)


def inside(u_mm: float, model: Model, rule: Rule) -> float:
    """Return how far inside each limit a measured size must lie to be judged in, form and all.

    Args:
        u_mm: its standard uncertainty without form, mm.
        model: the bore's constants.
        rule: the rule.

    Returns:
        The distance, mm.
    """
    form = model.form_mm
    return form + rule.guard(math.hypot(u_mm, form), model.upper_mm - model.lower_mm - 2.0 * form)


def best_u(belief: Belief, model: Model, settings: int) -> float:
    """Return the standard uncertainty of a size that was measured with some settings of the gauge, two readings each.

    Args:
        belief: what is believed; of the gauge, and of the thermometer.
        model: the bore's constants.
        settings: how many.

    Returns:
        The uncertainty that it is judged by, mm.
    """
    mid = (model.diameter_mm,) * READINGS
    first = _on_master(mid, (0.0, belief.gauge_told(model)[1]), belief.master)
    fresh = _set_anew(belief, model, model.diameter_mm)
    return size_of([first, *[fresh] * (settings - 1)], belief, model, once_warm=True).judged_u_mm


def ways_on(belief: Belief, model: Model, rule: Rule) -> list[Further]:
    """List the ways to go on measuring a hole.

    Args:
        belief: what is believed.
        model: the bore's constants.
        rule: the rule by which it is judged.

    Returns:
        The ways, each with its chance to show the bore in; none where enough was measured.
    """
    settings, read = by_setting(belief, model, rule), len(belief.readings)
    if not settings:
        return []
    measurements = (MOST_READINGS - read) // READINGS
    ways = [_further(belief, model, rule, settings, anew=False, count=n) for n in (1, 2) if n <= measurements]
    fresh = min(measurements, MOST_SETTINGS - len(settings))
    ways += [_further(belief, model, rule, settings, anew=True, count=n) for n in range(1, fresh + 1)]
    if measurements and belief.part_told[1] > UNTAKEN * model.priors.thermometer.width:
        ways.append(_warmth_taken(belief, model, rule, settings))
    if not belief.waited and _warm(size_of(settings, belief, model)):
        ways.append(_cooled(belief, model, rule))
    return ways


def _warm(size: Size) -> bool:
    """Tell whether the part's coefficient brings much of what is not known of a size: only that goes as it cools."""
    return dict(size.parts_mm).get(EXPANSION, 0.0) ** 2 > WARM_SHARE * size.u_mm**2


def _cooled(belief: Belief, model: Model, rule: Rule) -> Further:
    """Foresee the size that one measurement gives once the part has stood and its temperature is taken.

    The thermometer's own error shifts it by ``D a``; the coefficient's counts by the warmth that is left.
    """
    after = waited(belief, model, WAIT_MINUTES)
    row, once = thermometer_row(model)
    of_hole = unit_row(State.HOLE, State.GAUGE)
    seen = of_hole - model.growth * (row - unit_row(State.WARMTH))
    own = model.reading_variance(belief.gauge_scatter_mm) / READINGS + model.growth**2 * once
    sd = math.sqrt(float(seen @ after.now.covariance @ seen) + own)
    as_read = float(of_hole @ after.now.mean) + model.growth * after.part_told[0]
    last = _on_master((as_read,) * READINGS, belief.gauge_told(model), belief.master)
    size = size_of([last], after, model, once_warm=True)
    return Further("warm part", 1, _within(size.mm, sd, size.judged_u_mm, model, rule))


def _warmth_taken(belief: Belief, model: Model, rule: Rule, settings: Sequence[SettingReadings]) -> Further:
    """Foresee the size that the readings so far give once the part's temperature T is taken: ``y - D a (T - told)``."""
    row, once = thermometer_row(model)
    size = size_of(settings, belief, model, once_warm=True)
    off = model.growth * (float(row @ belief.now.mean) - belief.part_told[0])
    sd = model.growth * math.sqrt(float(row @ belief.now.covariance @ row) + once)
    return Further("temperature", 1, _within(size.mm - off, sd, size.judged_u_mm, model, rule))


def _within(mean_mm: float, sd_mm: float, u_mm: float, model: Model, rule: Rule) -> float:
    """Return the probability that a coming size is judged in."""
    off = inside(u_mm, model, rule)
    low, high = model.lower_mm + off, model.upper_mm - off
    if high <= low or sd_mm <= 0.0:
        return 0.0
    return normal_cdf((high - mean_mm) / sd_mm) - normal_cdf((low - mean_mm) / sd_mm)


def _further(
    belief: Belief, model: Model, rule: Rule, settings: Sequence[SettingReadings], *, anew: bool, count: int
) -> Further:
    """Foresee the size that all readings together will give, and judge it.

    The mean of the coming readings is ``H + gauge + D a T`` as believed, with the scatter of their own; a setting that
    is yet to be made errs independently.
    """
    row, own = reading_row(model), model.reading_variance(belief.gauge_scatter_mm) / READINGS
    if anew:
        row[State.GAUGE] = 0.0
        own += setting_sd(model, belief.master.u_mm) ** 2
    expected = float(row @ belief.now.mean)
    sd = math.sqrt(float(row @ belief.now.covariance @ row) + own / count)

    def seen(mean_mm: float) -> Size:
        return size_of(_with(settings, belief, model, mean_mm, anew=anew, count=count), belief, model)

    size = seen(expected)
    spread = abs(seen(expected + sd).mm - size.mm)
    shown_in = _within(size.mm, spread, size.judged_u_mm, model, rule)
    return Further("set anew" if anew else "could be shown", count, shown_in)


def _with(
    settings: Sequence[SettingReadings], belief: Belief, model: Model, mean_mm: float, *, anew: bool, count: int
) -> list[SettingReadings]:
    """Add readings that have not been taken yet."""
    if anew:
        return [*settings, *[_set_anew(belief, model, mean_mm)] * count]
    last = settings[-1]
    return [*settings[:-1], replace(last, as_read_mm=(*last.as_read_mm, *(mean_mm,) * READINGS * count))]
