"""Suppositions side by side: their shares by Bayes' rule, the likeliest in front, the rest counted until it is gone."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from scipy import stats

from borewright.sizing.belief import Other
from borewright.sizing.causes import Supposition
from borewright.sizing.supposing import NEXT_TO_NOTHING, between, held, parted, parts, stepped
from tests.unit.sizing.plain import bore

OTHERWISE = Supposition("It is otherwise.", "Look.")
THIRD = Supposition("It is something else.", "Look again.")
START = bore().belief


def test_parting_keeps_the_whole() -> None:
    found = parted(START, [(OTHERWISE, 0.2, lambda each: each), (THIRD, 0.1, lambda each: each)])
    assert [share for share, _ in parts(found)] == pytest.approx([0.7, 0.2, 0.1])
    assert found.supposed == ()
    assert [other.belief.supposed for other in found.others] == [(OTHERWISE,), (THIRD,)]
    again = parted(found, [(THIRD, 0.5, lambda each: each)])
    assert math.fsum(share for share, _ in parts(again)) == pytest.approx(1.0)
    assert len(parts(again)) == 6


def test_where_there_is_nothing_to_suppose_nothing_is_parted() -> None:
    assert parted(START, ()) is START
    assert parts(START) == ((1.0, START),)


def test_readings_weigh_by_the_rule_of_bayes() -> None:
    """Odds of 0.8 to 0.2, and readings five times as likely under the second: 0.8 to 1.0."""
    both = parted(START, [(OTHERWISE, 0.2, lambda each: each)])
    likely = {(): math.log(0.1), (OTHERWISE,): math.log(0.5)}

    def read(each: object) -> object:
        return replace(each, before_readings=START.now, log_evidence=likely[each.supposed])  # type: ignore[type-var, attr-defined]

    once = stepped(both, read)  # type: ignore[arg-type]
    assert once.supposed == (OTHERWISE,)
    assert once.share == pytest.approx(1.0 / 1.8)
    # The evidence is that of all readings weighed together: said again, it is not counted twice.
    assert stepped(once, read).share == pytest.approx(1.0 / 1.8)  # type: ignore[arg-type]


def test_what_is_next_to_nothing_is_dropped() -> None:
    kept = held([Other(1.0, 1.0, START), Other(0.5 * NEXT_TO_NOTHING, 0.5, START)])
    assert kept.others == ()
    assert kept.share == 1.0


def test_of_two_alike_the_first_is_taken() -> None:
    other = replace(START, supposed=(OTHERWISE,))
    assert held([Other(0.5, 0.5, START), Other(0.5, 0.5, other)]).supposed == ()


@pytest.mark.parametrize("share", [0.025, 0.3, 0.975])
def test_a_mixture_has_the_quantiles_of_its_cdf(share: float) -> None:
    spread = [(0.7, 40.0, 0.002), (0.3, 40.05, 0.004)]
    value = between(spread, share)
    below = sum(part * stats.norm.cdf(value, mean, sd) for part, mean, sd in spread)
    assert below == pytest.approx(share, abs=1e-5)
    assert between([(1.0, 40.0, 0.002)], share) == pytest.approx(stats.norm.ppf(share, 40.0, 0.002), abs=1e-7)
