"""The evidence of the readings, judged by the rule and the gauge's word alone."""

from __future__ import annotations

from dataclasses import dataclass

from borewright.gauging.conformity import Rule, Verdict, normal_cdf
from borewright.gauging.evidence import Size
from borewright.sizing.belief import Belief
from borewright.sizing.form import beyond_mean
from borewright.sizing.model import Model
from borewright.sizing.proving import by_setting, evidence, size_of


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
    """

    verdict: Verdict
    probability: float
    rule: Rule
    size: Size
    over: float
    as_read_mm: tuple[float, ...]


def judge(belief: Belief, model: Model, rule: Rule) -> Judged | None:
    """Judge the readings since the last full pass, by the gauge's word alone.

    Args:
        belief: what is believed; only its readings and temperatures count.
        model: the bore's constants.
        rule: the rule.

    Returns:
        The verdict, or None where there is no reading that counts.
    """
    counted = evidence(belief)
    if not counted:
        return None
    size = size_of(by_setting(belief, model), belief, model)
    above, below = _form_read(belief, model)
    form = 0.5 * (above + below)
    whole = size.with_part("out of round", form)
    u = whole.judged_u_mm
    verdict, probability = rule.judge(size.mm, u, model.lower_mm + below, model.upper_mm - above)
    over = normal_cdf((size.mm - model.upper_mm + above) / u)
    as_read = tuple(reading.as_read_mm for reading in counted)
    return Judged(verdict, probability, rule, whole, over, as_read)


def _form_read(belief: Belief, model: Model) -> tuple[float, float]:
    """Return how far the hole reaches above and below its mean, by the places that were read since the last cut."""
    read = [reading.place for reading in belief.readings]
    along = any(place.depth_mm is not None for place in read) and model.priors.taper.width > 0.0
    across = any(place.direction_deg is not None for place in read) and model.priors.taper.width > 0.0
    return beyond_mean(belief.now, model, along=along, across=across)
