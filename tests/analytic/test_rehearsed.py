"""Rehearsed bores sized by the advice: how they end, and whether what was stated came true as often as stated.

Two hundred bores of each kind, always the same, with bounds of four standard errors: enough to catch a wrong sign, a
width that is a tenth off, or advice that loses one bore in thirty; too few to tell 98 % from 99 %. `make prove` is the
same at full size. What is held of a kind stands in one test, so that no processor sizes a bore twice.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
import pytest

from borewright.rehearsal.advised import start_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.watched import Watched, watched
from borewright.sizing.bore import Bore
from tests.unit.rehearsal.four_sigma import assert_mean

BORES = 200
FIRST_SEED = 5000


def size(kind: str, seed: int) -> Watched:
    truth = Truth.draw(KINDS[kind], seed)
    return watched(truth, Bore.start(start_of(truth.told())), "advised")


def assert_at_least(hits: int, of: int, share: float) -> None:
    assert hits >= of * share - 4.0 * math.sqrt(of * share * (1.0 - share)), f"{hits} of {of}"


def assert_at_most(hits: int, of: int, share: float) -> None:
    assert hits <= of * share + 4.0 * math.sqrt(of * share * (1.0 - share)), f"{hits} of {of}"


def assert_as_often_as_stated(pairs: Iterable[tuple[float, bool]]) -> None:
    """Hold how often something came true against the sum of its odds, within four standard errors of that sum."""
    odds, came = (np.array(column, dtype=float) for column in zip(*pairs, strict=True))
    off = came.sum() - odds.sum()
    # Beyond the binomial error, one more: for the rarest things the sum of a few odds is less than one bore.
    assert abs(off) <= 4.0 * math.sqrt(float((odds * (1.0 - odds)).sum())) + 1.0, f"{came.sum()} for {odds.sum():.2f}"


@pytest.mark.parametrize("kind", KINDS)
def test_bores_of_a_kind_end_well_and_as_often_as_stated(kind: str) -> None:
    bores = [size(kind, FIRST_SEED + number) for number in range(BORES)]
    ends = [one.outcome for one in bores]

    assert_at_least(sum(end.released_good for end in ends), BORES, 0.97)
    assert_at_most(sum(end.escaped for end in ends), BORES, 0.005)
    assert_at_most(sum(end.verdict == "over" for end in ends), BORES, 0.01)
    assert np.mean([end.passes for end in ends]) < 4.0
    assert np.mean([end.readings for end in ends]) < 10.0

    # A readout shows what the lock did, and now and then that is worth mending; a dial shows nothing new.
    actions = [[step.action for step in one.known] for one in bores]
    again = sum(pair == ("move_and_cut", "move_and_cut") for each in actions for pair in pairwise(each))
    assert again <= (2 * BORES if KINDS[kind].adjuster == "direct" else BORES // 15)

    innovations = [value for one in bores for value in one.innovations]
    assert_mean((value * value for value in innovations), 1.0, sharp=0.5)
    holes = np.array([value for one in bores for value in one.holes])
    covered = int((np.abs(holes) < 1.959964).sum())
    assert_at_least(covered, len(holes), 0.95)
    assert_at_most(covered, len(holes), 0.95)

    passes = [each for one in bores for each in one.stated if each.of == "pass"]
    assert_as_often_as_stated((each.oversize, each.came == "over") for each in passes)
    assert_as_often_as_stated((each.in_tolerance, each.came == "good") for each in passes)
    unsure = [(each.in_tolerance, each.came == "good") for each in passes if 0.05 < each.in_tolerance < 0.99]
    if unsure:
        assert_as_often_as_stated(unsure)
