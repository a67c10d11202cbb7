"""The evidence of the readings, judged by the rule and the gauge's word alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from borewright.gauging.conformity import Rule, Verdict, normal_cdf
from borewright.gauging.evidence import Size
from borewright.sizing.belief import Belief
from borewright.sizing.blunders import Reading
from borewright.sizing.form import beyond_mean
from borewright.sizing.model import Model
from borewright.sizing.proving import by_setting, independent, size_of


@dataclass(frozen=True, slots=True)
class Judged:
    """The evidence of the readings, judged.

    Args:
        verdict: in, out or not shown.
        probability: that the whole bore is within limits, by the gauge's word alone.
        rule: the rule.
        size: the size with its uncertainty.
        over: probability that any of it is above the upper limit, by the gauge's word alone.
        as_read_mm: the readings that it rests on, as the gauge showed them, mm.
        why: what keeps readings that would show it in from doing so, in a sentence; empty where nothing does.
        held: how the part was held at those readings, in words; empty where nobody said.
    """

    verdict: Verdict
    probability: float
    rule: Rule
    size: Size
    over: float
    as_read_mm: tuple[float, ...]
    why: str = ""
    held: str = ""


OWN_PROBE: Final = (
    "Only the machine's own probe measured it: it measures with the slides that cut the bore and does not see their "
    "errors."
)
"""Why readings of the machine's own probe release no bore, where the rule does not say that they do."""

IN_CLAMPS: Final = "It was measured in its clamps, and letting them go may change it."
"""Why readings of a bore that its clamps may have changed do not release it."""


def judge(belief: Belief, model: Model, rule: Rule) -> Judged | None:
    """Judge the readings since the last full pass, by the gauge's word alone.

    Args:
        belief: what is believed; only its readings and temperatures count.
        model: the bore's constants.
        rule: the rule.

    Returns:
        The verdict, or None where there is no reading that counts.
    """
    counted = independent(belief, rule)
    if not counted:
        return None
    size = size_of(by_setting(belief, model, rule), belief, model)
    above, below = _form_read(belief, model)
    form = 0.5 * (above + below)
    whole = size.with_part("out of round", form)
    u = whole.judged_u_mm
    verdict, probability = rule.judge(size.mm, u, model.lower_mm + below, model.upper_mm - above)
    over = normal_cdf((size.mm - model.upper_mm + above) / u)
    as_read = tuple(reading.as_read_mm for reading in counted)
    if verdict == "in" and any(reading.in_clamps for reading in counted):
        return Judged("not shown", probability, rule, whole, over, as_read, IN_CLAMPS, _held(counted))
    if verdict == "in" and not rule.probe_counts and all(reading.probe for reading in counted):
        return Judged("not shown", probability, rule, whole, over, as_read, OWN_PROBE, _held(counted))
    return Judged(verdict, probability, rule, whole, over, as_read, held=_held(counted))


def _held(counted: Sequence[Reading]) -> str:
    """Say how the part was held, and at how many readings where they differ."""
    found = Counter(reading.state or "not said" for reading in counted)
    if set(found) == {"not said"}:
        return ""
    if len(found) == 1:
        return next(iter(found))
    return ", ".join(f"{state} ({count} of {len(counted)})" for state, count in found.items())


def _form_read(belief: Belief, model: Model) -> tuple[float, float]:
    """Return how far the hole reaches above and below its mean, by the places that were read since the last cut."""
    read = [reading.place for reading in belief.readings]
    along = any(place.depth_mm is not None for place in read) and model.priors.taper.width > 0.0
    across = any(place.direction_deg is not None for place in read) and model.priors.taper.width > 0.0
    return beyond_mean(belief.now, model, along=along, across=across)
