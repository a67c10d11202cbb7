"""What a comparison says, on outcomes whose figures are known."""

from __future__ import annotations

import json
import math

import numpy as np
import pytest
from numpy.random import default_rng

from borewright.errors import EntryError
from borewright.rehearsal.acts import Verdict
from borewright.rehearsal.compare import ADVICE, PRACTICE, TWIN
from borewright.rehearsal.figures import ALL_KINDS, figures_of, figures_plain, figures_read
from borewright.rehearsal.outcome import Ending, Outcome

BORES = 400


def ended(
    policy: str, kind: str, seed: int, passes: int, ending: Ending = "released", verdict: Verdict = "good"
) -> Outcome:
    return Outcome(policy, kind, seed, ending, verdict, passes, trial_cuts=0, readings=2 * passes)


def compared(kind: str = "titanium", scrapped: int = 8) -> list[Outcome]:
    """The practice takes three passes and scraps a few, the advice two or three, the twin two."""
    practice = [
        ended(PRACTICE, kind, seed, 3, *(("scrapped", "over") if seed < scrapped else ())) for seed in range(BORES)
    ]
    advice = [ended(ADVICE, kind, seed, 2 + seed % 2) for seed in range(BORES)]
    twin = [ended(TWIN, kind, seed, 2) for seed in range(BORES)]
    return [*practice, *advice, *twin]


def test_shares_means_and_the_gap_are_as_counted_by_hand() -> None:
    (found,) = figures_of(compared(), default_rng(1))
    practice, advice = found.policies[PRACTICE], found.policies[ADVICE]
    assert practice.scrapped.value == 8 / 400
    assert practice.released_good.value == 392 / 400
    assert practice.cost.value == pytest.approx(3.6 + 60 * 8 / 400)
    assert advice.passes.value == 2.5
    assert advice.measurements.value == 2.5
    assert advice.saved is not None
    assert advice.saved.value == pytest.approx(4.8 - 3.0)
    assert practice.saved is None
    assert found.closed is not None
    assert found.closed.value == pytest.approx(1.8 / 2.4)
    assert found.closed.low < 0.75 < found.closed.high


def test_intervals_are_as_wide_as_the_normal_theory_says() -> None:
    (found,) = figures_of(compared(), default_rng(2))
    costs = np.array([each.cost() for each in compared() if each.policy == PRACTICE])
    half = 1.96 * costs.std() / math.sqrt(BORES)
    cost = found.policies[PRACTICE].cost
    assert 0.5 * (cost.high - cost.low) == pytest.approx(half, rel=0.15)


def test_differences_are_paired() -> None:
    """Where the twin costs just a pass less on each bore, what it saves is certain however the costs scatter."""
    outcomes = [ended(PRACTICE, "titanium", seed, 3 + seed % 7) for seed in range(BORES)]
    outcomes += [ended(TWIN, "titanium", seed, 2 + seed % 7) for seed in reversed(range(BORES))]
    (found,) = figures_of(outcomes, default_rng(3))
    saved, cost = found.policies[TWIN].saved, found.policies[TWIN].cost
    assert saved is not None
    assert saved.high - saved.low < 1e-9
    assert cost.high - cost.low > 0.1
    assert found.closed is None


def test_no_gap_is_said_to_be_none_and_a_gap_that_may_be_none_is_not_bounded() -> None:
    level = [ended(policy, "titanium", seed, 3) for policy in (PRACTICE, ADVICE, TWIN) for seed in range(BORES)]
    (found,) = figures_of(level, default_rng(4))
    assert found.closed is not None
    assert math.isnan(found.closed.value)
    unsure = [ended(PRACTICE, "titanium", seed, 3 - (seed == 0)) for seed in range(BORES)]
    unsure += [
        ended(policy, "titanium", seed, 3 - 2 * (seed == 1)) for policy in (ADVICE, TWIN) for seed in range(BORES)
    ]
    (found,) = figures_of(unsure, default_rng(4))
    assert found.closed is not None
    assert found.closed.value == pytest.approx(1.0)
    assert (found.closed.low, found.closed.high) == (-math.inf, math.inf)


def test_of_all_kinds_together_each_counts_alike() -> None:
    first, second, together = figures_of([*compared(), *compared("warm aluminium", 40)], default_rng(5))
    assert (together.kind, together.bores) == (ALL_KINDS, 2 * BORES)
    costs = [found.policies[PRACTICE].cost.value for found in (first, second, together)]
    assert costs[2] == pytest.approx(0.5 * (costs[0] + costs[1]))
    assert together.policies[PRACTICE].scrapped.value == 48 / 800


def test_bores_that_only_one_policy_has_sized_are_refused() -> None:
    with pytest.raises(EntryError):
        figures_of([*compared(), ended(TWIN, "titanium", BORES, 2)], default_rng(6))


def test_figures_come_back_from_plain_values() -> None:
    found = figures_of([*compared(), *compared("warm aluminium", 0)], default_rng(7))
    plain = json.loads(json.dumps(figures_plain(found)))
    assert figures_plain(figures_read(plain)) == plain
    assert plain[0]["policies"][ADVICE]["passes"]["value"] == 2.5


def test_the_same_chance_gives_the_same_figures_in_whichever_order_the_bores_came() -> None:
    policies = [PRACTICE, ADVICE, TWIN]
    turned = sorted(compared(), key=lambda each: (policies.index(each.policy), -each.seed))
    assert figures_of(compared(), default_rng(8)) == figures_of(turned, default_rng(8))
    assert figures_of(compared(), default_rng(8)) != figures_of(compared(), default_rng(9))
