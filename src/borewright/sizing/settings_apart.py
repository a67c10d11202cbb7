"""Settings of the gauge that contradict each other, or their own master: nothing is lost or released on such a one.

A chip under a foot, a gauge that was knocked or a ring that was not wiped shows in every reading of one setting alike:
no further reading of that setting tells it from the hole. Another setting does.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from borewright.sizing.belief import Belief
from borewright.sizing.blunders import FAULT_SD_MM, Reading, log_blunder_density
from borewright.sizing.gaussian import State
from borewright.sizing.measuring import reading_row, shares
from borewright.sizing.model import Model, gauge_anew
from borewright.sizing.proving import LIKELY_BLUNDER, MOST_READINGS, MOST_SETTINGS, READINGS

FAR_OFF: Final = 4.0
"""A re-check this many standard deviations off what is believed of the gauge tells that it is no longer as it was set.
Chosen, not measured."""

ANEW: Final = frozenset({"set anew", "sure it is lost", "settings differ", "gauge off"})
"""Grounds on which the gauge is set on its master again before it is read."""


def setting_wanted(belief: Belief, *, lost: bool) -> str:
    """Say what the gauge's settings leave to be asked before a verdict is acted upon.

    Args:
        belief: what is believed, with the readings since the last full pass.
        lost: whether the verdict is that the hole is lost.

    Returns:
        A ground on which to measure; empty where nothing is to be asked.
    """
    read = belief.readings
    if not read or belief.after_trial or len(read) >= MOST_READINGS:
        return ""
    numbers = {reading.gauge_number for reading in read}
    apart = any(each.doubt >= LIKELY_BLUNDER for each in read if each.gauge_number != belief.gauge_number)
    if (lost or apart) and sum(each.gauge_number == belief.gauge_number for each in read) < READINGS:
        return "fresh setting"
    if apart and len(numbers) < MOST_SETTINGS:
        return "settings differ"
    return "sure it is lost" if lost and len(numbers) == 1 else ""


def weighed_apart(belief: Belief, model: Model) -> Belief:
    """Doubt the settings before the present one whose readings what was read since makes improbable.

    With ``m`` the odds of a blunder, here of one that all readings of a setting share, its doubt is
    ``m b / (m b + (1 - m) n)``: ``b`` the density of a blunder of that size, ``n`` that of the readings' mean.

    Args:
        belief: what is believed after a reading.
        model: the bore's constants.

    Returns:
        The belief, the readings of such a setting doubted.
    """
    older = {each.gauge_number for each in belief.readings} - {belief.gauge_number}
    doubted = {number for number in older if _doubt(belief, model, number) >= LIKELY_BLUNDER}
    if not doubted:
        return belief
    readings = tuple(replace(r, doubt=1.0) if r.gauge_number in doubted else r for r in belief.readings)
    return replace(belief, readings=readings)


def _doubt(belief: Belief, model: Model, number: int) -> float:
    """Return how likely it is that all readings of a setting have a blunder in common."""
    read = _ordinary([each for each in belief.readings if each.gauge_number == number])
    read = [each for each in read if belief.clamped or not each.in_clamps]
    if not read:
        return 0.0
    known, sd = dict(belief.settings_told).get(number, belief.set_told)
    row = reading_row(model)
    row[State.GAUGE] = 0.0
    off = math.fsum(each.as_read_mm for each in read) / len(read) - known - float(row @ belief.now.mean)
    own = model.reading_variance(belief.gauge_scatter_mm) / len(read)
    variance = float(row @ belief.now.covariance @ row) + sd**2 + own
    odds = model.priors.misread.value
    plain = (1.0 - odds) * math.exp(-0.5 * off**2 / variance) / math.sqrt(2.0 * math.pi * variance)
    blunder = odds * math.exp(log_blunder_density(off))
    return blunder / (blunder + plain) if blunder + plain > 0.0 else 1.0


def _ordinary(readings: Sequence[Reading]) -> list[Reading]:
    return [each for each in readings if each.doubt < LIKELY_BLUNDER]


def found_off(belief: Belief, model: Model, drift_mm: float, variance: float) -> Belief | None:
    """Take in a re-check that tells that the gauge is no longer as it was set.

    When it came to be so nobody knows. So its readings since the pass count for nothing, what they taught is taken
    back, and its error is any until it is set anew.

    Args:
        belief: the belief before.
        model: the bore's constants.
        drift_mm: the drift that the re-check showed, mm.
        variance: the variance of what was seen of it, mm^2.

    Returns:
        The belief after it; None where the re-check is one that may be.
    """
    own, of_master = shares(model, belief.master.u_mm)
    if abs(drift_mm) <= FAR_OFF * math.sqrt(own**2 + variance):
        return None
    kept = tuple(each for each in belief.readings if each.gauge_number != belief.gauge_number)
    now = gauge_anew(belief.before_readings or belief.now, belief.set_told[0], math.hypot(own, FAULT_SD_MM), of_master)
    return replace(
        belief, now=now, readings=kept, apart=len(kept), before_readings=None, line=None, doubts=(), gauge_off=True
    )
