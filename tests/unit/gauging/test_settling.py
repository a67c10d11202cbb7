"""What would settle a verdict, and what a gauge can show at all."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from borewright.gauging.comparison import Body, Comparison
from borewright.gauging.conformity import Rule
from borewright.gauging.settling import capable, least_tolerance, settled_by, ways_to_know_better

LIMITS = (62.000, 62.019)
NEAR = Comparison(
    master_mm=62.0,
    u_master_mm=0.0009,
    over_mm=0.0172,
    readings=1,
    master_readings=1,
    scatter_mm=0.0012,
    step_mm=0.001,
    part=Body(above_20=2.0, u_own=1.5, u_per_kelvin=0.4e-6),
    master=Body(above_20=0.5, u_own=1.0, u_per_kelvin=0.4e-6),
)


def test_ways_narrow_and_all_together_narrow_most() -> None:
    ways = ways_to_know_better(NEAR, certificate_u_mm=0.0003)
    u = {way.name: way.after.budget().u_mm for way in ways}
    assert set(u) == {
        "read 4 times more",
        "use a master with a better certificate",
        "take the temperature of part and master",
        "let part and master soak at 20 °C",
        "all of these",
    }
    assert all(each < NEAR.budget().u_mm for each in u.values())
    assert min(u, key=lambda name: u[name]) == "all of these"
    for way in ways:
        assert way.after.budget().size_mm == pytest.approx(NEAR.budget().size_mm, abs=1e-9)


def test_what_helps_nothing_is_not_offered() -> None:
    known = replace(NEAR, part=Body(above_20=0.1, u_own=0.1), master=Body(above_20=0.0, u_own=0.1))
    assert [way.name for way in ways_to_know_better(known)] == ["read 4 times more"]


def test_chances_of_a_verdict_are_those_of_drawn_estimates() -> None:
    rule, now = Rule("proof"), NEAR.budget()
    rng = np.random.default_rng(6)
    for settled in settled_by(NEAR, ways_to_know_better(NEAR, certificate_u_mm=0.0003), rule, *LIMITS):
        spread = math.sqrt(now.u_mm**2 - settled.u_mm**2)
        verdicts = [rule.judge(y, settled.u_mm, *LIMITS)[0] for y in rng.normal(now.size_mm, spread, 4000)]
        assert settled.shown_in == pytest.approx(verdicts.count("in") / 4000, abs=0.035)
        assert settled.shown_out == pytest.approx(verdicts.count("out") / 4000, abs=0.02)
        assert settled.settles == settled.shown_in + settled.shown_out


def test_the_likeliest_to_settle_comes_first() -> None:
    found = settled_by(NEAR, ways_to_know_better(NEAR), Rule("proof"), *LIMITS)
    assert [each.settles for each in found] == sorted((each.settles for each in found), reverse=True)


def test_a_tolerance_too_narrow_is_said_before_cutting() -> None:
    assert capable(0.001, 62.0, 62.019, Rule("proof")) == ""
    says = capable(0.003, 62.0, 62.010, Rule("proof"))
    assert "10 µm" in says
    assert "3.3 standard uncertainties" in says
    assert "3.92" in says


@pytest.mark.parametrize(
    ("rule", "least"),
    [
        (Rule("proof"), 2.0 * 1.959963984540054),
        (Rule("proof", confidence=0.99), 2.0 * 2.5758293035489),
        (Rule("simple"), 16.0),
        (Rule("guarded"), 4.0),
        (Rule("guarded", bands=0.5), 2.0),
    ],
)
def test_the_narrowest_tolerance(rule: Rule, least: float) -> None:
    assert least_tolerance(rule) == pytest.approx(least, rel=1e-9)
