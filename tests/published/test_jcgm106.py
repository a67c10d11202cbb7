"""JCGM 106: the probability that what was measured conforms, and the guarded limits that follow from it."""

from __future__ import annotations

import math
from collections.abc import Callable

from scipy.stats import gamma

from borewright.gauging.conformity import Rule, conformance_probability, normal_quantile
from borewright.gauging.risks import Risks, risks
from borewright.gauging.settling import least_tolerance
from tests.published.case import Case, Source, check, each_case


def probability(size: float, u: float, lower: float, upper: float) -> Callable[[], float]:
    """Ours: the probability of lying within limits."""
    return lambda: conformance_probability(size, u, lower, upper)


def guarded_speed() -> float:
    """Ours: the measured speed from which 100 km/h is exceeded at 99.9 %, with a standard uncertainty of 2 % of it."""
    return 100.0 / (1.0 - 0.02 * normal_quantile(0.999))


def verdict_at(speed: float) -> Callable[[], str]:
    """Ours: the verdict of proof at 99.9 % on a measured speed against a limit of 100 km/h."""
    rule = Rule("proof", confidence=0.999)
    return lambda: rule.judge(speed, 0.02 * speed, -math.inf, 100.0)[0]


def factor(tolerance: float) -> Callable[[], float]:
    """Ours: the guard band of proof at 95 % over u, for a tolerance given in u."""
    return lambda: Rule("proof").guard(1.0, tolerance)


def best(tolerance: float) -> Callable[[], float]:
    """Ours: the probability of a size in the middle of its limits."""
    return lambda: Rule("proof").judge(0.0, 1.0, -tolerance / 2.0, tolerance / 2.0)[1]


def gamma_risks() -> Risks:
    """Ours: both risks of accepting at the limit 2, where the process has mean 1 and standard deviation 0.5."""
    return risks(gamma(4.0, scale=0.25).pdf, (0.0, 15.0), (-math.inf, 2.0), (-math.inf, 2.0), 0.25)


SOURCE = Source(
    "jcgm106",
    "JCGM 106:2012, conformity assessment",
    (
        Case(
            "Breakdown voltage, one limit",
            probability(-5.47, 0.05, -math.inf, -5.40),
            0.919,
            tolerance=0.0005,
            place="7.3.3",
            standing="recomputed",
        ),
        Case(
            "Two limits",
            probability(13.6, 1.8, 12.5, 16.3),
            0.663,
            tolerance=0.0005,
            place="7.4",
            standing="recomputed",
        ),
        Case(
            "Speed that proves the limit exceeded",
            guarded_speed,
            106.59,
            tolerance=0.005,
            unit="km/h",
            place="8.3.3.2",
            standing="recomputed",
        ),
        Case("Verdict at 107 km/h", verdict_at(107.0), "out", place="8.3.3.2", standing="recomputed"),
        Case("Verdict at 106 km/h", verdict_at(106.0), "not shown", place="8.3.3.2", standing="recomputed"),
        *(
            Case(
                f"Guard band at 95 %, tolerance {tolerance} u",
                factor(tolerance),
                printed,
                tolerance=within,
                unit="u",
                place="7.4 solved for the limit",
                standing="exact",
            )
            for tolerance, printed, within in (
                (4, 1.7962, 0.00005),
                (5, 1.6488, 0.00005),
                (6, 1.64492, 0.000005),
                (8, 1.64485, 0.000005),
                (40, 1.64485, 0.000005),
            )
        ),
        Case(
            "Narrowest tolerance in which 95 % can be shown",
            lambda: least_tolerance(Rule("proof")),
            3.92,
            tolerance=0.005,
            unit="u",
            place="7.4 solved for the tolerance",
            standing="exact",
        ),
        Case(
            "Producer's risk, gamma process",
            lambda: gamma_risks().producers,
            0.01744,
            tolerance=0.000005,
            place="9.5.4 form, inputs from memory",
            standing="exact",
        ),
        Case(
            "Consumer's risk, gamma process",
            lambda: gamma_risks().consumers,
            0.00802,
            tolerance=0.000005,
            place="9.5.4 form, inputs from memory",
            standing="exact",
        ),
        Case("Largest probability, tolerance 3 u", best(3.0), 0.8664, tolerance=0.00005, place="7.4", standing="exact"),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
