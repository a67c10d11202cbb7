"""Whether the whole hole lies within its limits, and not only its mean: every place that was read is judged."""

from __future__ import annotations

from dataclasses import dataclass, replace

from borewright.gauging.budget import Budget
from borewright.gauging.conformity import Rule, Verdict
from borewright.gauging.form import Form


@dataclass(frozen=True, slots=True)
class HoleVerdict:
    """A hole judged by its smallest and its largest place.

    Args:
        verdict: in where both are, out where either is, else not shown.
        probability: of lying within limits, the smaller of both places'.
        smallest_mm: smallest size read at any place, mm at 20 °C.
        largest_mm: largest, mm.
        u_mm: standard uncertainty of either, mm.
        rule: the rule by its words.
    """

    verdict: Verdict
    probability: float
    smallest_mm: float
    largest_mm: float
    u_mm: float
    rule: str


def judge_hole(budget: Budget, form: Form, scatter_part: str, rule: Rule, limits: tuple[float, float]) -> HoleVerdict:
    """Judge a hole by the smallest and the largest place that was read.

    The uncertainty of one place is that of the mean with the scatter of its own few readings in place of the mean's.
    Where that rests on few degrees of freedom it is judged by a wider one.

    Args:
        budget: the mean size's budget.
        form: the form found from the same readings.
        scatter_part: the name of the gauge's scatter in the budget.
        rule: the rule.
        limits: lower and upper limit, mm.

    Returns:
        The verdict.

    Source: [jcgm106] 7.4 for each place; that every local size must conform, ISO 14405-1:2016, from memory.
    """
    causes = tuple(
        replace(cause, u=form.u_mm, sensitivity=1.0) if cause.name == scatter_part else cause for cause in budget.causes
    )
    place = replace(budget, causes=causes)
    judged = [rule.judge(size, place.judged_u_mm, *limits) for size in (form.smallest_mm, form.largest_mm)]
    verdicts = {verdict for verdict, _ in judged}
    verdict: Verdict = "out" if "out" in verdicts else "in" if verdicts == {"in"} else "not shown"
    smaller = min(probability for _, probability in judged)
    return HoleVerdict(verdict, smaller, form.smallest_mm, form.largest_mm, place.u_mm, rule.text)
