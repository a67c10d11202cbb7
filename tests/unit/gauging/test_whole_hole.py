"""The whole hole: every place that was read."""

from __future__ import annotations

import math

import pytest
from scipy.stats import norm
from scipy.stats import t as student

from borewright.gauging.budget import Budget, Cause
from borewright.gauging.conformity import Rule
from borewright.gauging.form import Placed, form_of
from borewright.gauging.whole_hole import judge_hole

BUDGET = Budget(50.01, (Cause("master", 0.0006), Cause("scatter", 0.0008 / 2.0)))
RULE, LIMITS = Rule("proof"), (50.0, 50.02)


def hole(*sizes: float) -> list[Placed]:
    return [Placed(size, 5.0 + 10.0 * place, 0.0) for place, size in enumerate(sizes)]


@pytest.mark.parametrize(
    ("sizes", "verdict"),
    [
        ((50.008, 50.010, 50.012), "in"),
        ((50.0005, 50.010, 50.012), "not shown"),
        ((50.008, 50.010, 50.0195), "not shown"),
        ((50.008, 50.010, 50.023), "out"),
        ((49.990, 50.010, 50.019), "out"),
    ],
)
def test_the_worst_place_decides(sizes: tuple[float, ...], verdict: str) -> None:
    found = judge_hole(BUDGET, form_of(hole(*sizes), 0.0008), "scatter", RULE, LIMITS)
    assert found.verdict == verdict
    assert (found.smallest_mm, found.largest_mm) == (min(sizes), max(sizes))
    assert found.rule == "proof at 95 %"


def test_one_place_scatters_more_than_the_mean() -> None:
    found = judge_hole(BUDGET, form_of(hole(50.008, 50.010, 50.012), 0.0008), "scatter", RULE, LIMITS)
    assert found.u_mm == pytest.approx(math.hypot(0.0006, 0.0008))
    assert found.u_mm > BUDGET.u_mm


def test_few_degrees_of_freedom_make_no_proof_easier() -> None:
    few = Budget(50.01, (Cause("master", 0.0001), Cause("scatter", 0.0004, dof=3.0)))
    places = hole(50.0018, 50.010, 50.012)
    assert judge_hole(BUDGET, form_of(places, 0.0008), "scatter", RULE, LIMITS).verdict == "in"
    found = judge_hole(few, form_of(places, 0.0008, 3.0), "scatter", RULE, LIMITS)
    assert found.verdict == "not shown"
    assert found.u_mm == pytest.approx(math.hypot(0.0001, 0.0008))
    t = float(student.ppf(0.975, 3))
    assert found.probability == pytest.approx(float(norm.cdf(0.0018 / (0.5 * t * found.u_mm))))
