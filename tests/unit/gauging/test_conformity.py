"""In or out, by a named rule."""

from __future__ import annotations

import math
from typing import Literal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from borewright.errors import EntryError
from borewright.gauging.conformity import Rule, conformance_probability, normal_cdf, normal_quantile

PROOF = Rule("proof")
SIMPLE = Rule("simple")
GUARDED = Rule("guarded")


def test_probability_splits_into_within_above_and_below() -> None:
    within = conformance_probability(10.001, 0.002, 9.999, 10.004)
    above, below = 1.0 - normal_cdf((10.004 - 10.001) / 0.002), normal_cdf((9.999 - 10.001) / 0.002)
    assert within + above + below == pytest.approx(1.0, abs=1e-15)
    assert within == pytest.approx(0.9331928 - 0.1586553, abs=1e-6)


def test_probability_with_one_limit() -> None:
    assert conformance_probability(1.0, 0.5, -math.inf, 1.0) == 0.5
    assert conformance_probability(1.0, 0.5, 1.0, math.inf) == 0.5


@pytest.mark.parametrize(("u", "lower", "upper"), [(0.0, 0.0, 1.0), (-1.0, 0.0, 1.0), (1.0, 1.0, 1.0), (1.0, 2.0, 1.0)])
def test_probability_wants_a_width_and_limits_in_order(u: float, lower: float, upper: float) -> None:
    with pytest.raises(EntryError):
        conformance_probability(0.5, u, lower, upper)


@pytest.mark.parametrize(
    ("size", "verdict"),
    [
        (0.0, "in"),
        (4.17, "in"),
        (4.18, "not shown"),
        (5.0, "not shown"),
        (5.82, "not shown"),
        (5.83, "out"),
        (-5.83, "out"),
    ],
)
def test_proof_guards_both_limits_and_leaves_a_gap(size: float, verdict: str) -> None:
    """With u = 0.5 about limits at ±5: 1.645 u is 0.822, so in up to 4.178 and out from 5.822."""
    assert PROOF.judge(size, 0.5, -5.0, 5.0)[0] == verdict


@pytest.mark.parametrize(("size", "verdict"), [(5.0, "in"), (-5.0, "in"), (5.001, "out"), (-5.001, "out")])
def test_simple_acceptance_takes_the_limits_as_they_are(size: float, verdict: str) -> None:
    assert SIMPLE.judge(size, 0.5, -5.0, 5.0)[0] == verdict


def test_simple_acceptance_wants_a_capable_measurement() -> None:
    """4:1 over 2U with U = 2u: a tolerance of 10 allows u up to 0.625."""
    assert SIMPLE.judge(0.0, 0.625, -5.0, 5.0)[0] == "in"
    assert SIMPLE.judge(0.0, 0.626, -5.0, 5.0)[0] == "not shown"
    assert SIMPLE.judge(9.0, 0.626, -5.0, 5.0)[0] == "not shown"
    assert Rule("simple", ratio=3.0).judge(0.0, 0.626, -5.0, 5.0)[0] == "in"


@pytest.mark.parametrize(("tolerance", "shown"), [(3.919, False), (3.921, True)])
def test_proof_at_95_percent_wants_a_tolerance_of_3_92_u(tolerance: float, shown: bool) -> None:
    assert PROOF.can_show(1.0, tolerance) is shown


def test_a_rule_names_itself() -> None:
    assert PROOF.text == "proof at 95 %"
    assert Rule("proof", confidence=0.975).text == "proof at 97.5 %"
    assert SIMPLE.text == "simple acceptance, measurement capable 4:1"


@given(st.floats(0.5, 0.999), st.floats(0.05, 3.0), st.floats(1.0, 40.0))
def test_at_the_guarded_limit_the_rule_turns(confidence: float, u: float, tolerance: float) -> None:
    rule = Rule("proof", confidence=confidence)
    assume(rule.can_show(u, 0.999 * tolerance))
    guard = rule.guard(u, tolerance)
    inside, outside = 0.5 * tolerance - guard - 1e-7 * u, 0.5 * tolerance - guard + 1e-5 * u
    assume(inside > 0.0)
    assert rule.judge(inside, u, -tolerance / 2, tolerance / 2)[0] == "in"
    assert rule.judge(outside, u, -tolerance / 2, tolerance / 2)[0] != "in"


@pytest.mark.parametrize("rule", [PROOF, SIMPLE, GUARDED])
def test_where_nothing_can_be_shown_the_guard_takes_all(rule: Rule) -> None:
    assert rule.guard(1.0, 3.0) == 1.5
    assert not rule.can_show(1.0, 3.0)


def test_simple_acceptance_has_no_guard() -> None:
    assert SIMPLE.guard(0.1, 10.0) == 0.0
    assert SIMPLE.guard(0.1) == 0.0


def test_a_guard_of_one_u_keeps_two_standard_uncertainties_off_both_limits() -> None:
    """U = 2u = 2: in from 2 inside, out from 2 outside; its sureness at the band is that of two sigma, 97.7 %."""
    assert GUARDED.text == "guarded by 1 U"
    assert GUARDED.judge(7.99, 1.0, -10.0, 10.0)[0] == "in"
    assert GUARDED.judge(8.01, 1.0, -10.0, 10.0)[0] == "not shown"
    assert GUARDED.judge(12.01, 1.0, -10.0, 10.0)[0] == "out"
    assert GUARDED.judge(8.0, 1.0, -10.0, 10.0)[1] == pytest.approx(0.97725, abs=1e-5)
    assert Rule("guarded", bands=0.0).judge(9.99, 1.0, -10.0, 10.0)[0] == "in"


@given(st.floats(1e-9, 1.0 - 1e-9))
def test_quantile_undoes_the_distribution(probability: float) -> None:
    assert normal_cdf(normal_quantile(probability)) == pytest.approx(probability, rel=1e-9)


@pytest.mark.parametrize("probability", [0.0, 1.0, -0.1, 1.1])
def test_quantile_wants_a_probability(probability: float) -> None:
    with pytest.raises(EntryError):
        normal_quantile(probability)


@given(st.floats(-30.0, 30.0), st.sampled_from(("proof", "simple")), st.floats(0.01, 4.0))
def test_a_verdict_never_contradicts_its_probability(size: float, name: Literal["proof", "simple"], u: float) -> None:
    verdict, probability = Rule(name).judge(size, u, -5.0, 5.0)
    assert 0.0 <= probability <= 1.0
    if name == "proof":
        assert (verdict == "in") == (probability >= 0.95)
        if verdict == "out":
            assert probability <= 0.05 + 1e-12


@pytest.mark.parametrize(
    ("size", "verdict"),
    [(0.0, "in"), (3.0, "in"), (3.1, "not shown"), (5.0, "not shown"), (7.0, "out"), (-7.1, "out"), (-3.0, "in")],
)
def test_a_guarded_rule_keeps_off_both_limits_by_its_band(size: float, verdict: str) -> None:
    rule = Rule("guarded")
    assert rule.judge(size, 1.0, -5.0, 5.0)[0] == verdict
    assert rule.guard(1.0, 10.0) == 2.0
    assert rule.text == "guarded by 1 U"
    assert not rule.can_show(3.0, 10.0)
