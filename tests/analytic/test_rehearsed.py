"""Rehearsed bores sized by the advice: how they end, and whether what was stated came true as often as stated.

Thirty bores of each kind, always the same: enough for a bound of four standard errors to catch a wrong sign, a width
that is a quarter off, or advice that loses one bore in ten; too few to tell 98 % from 99 %.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache

import numpy as np
import pytest

from borewright.quantity.length import parse_length
from borewright.rehearsal.advised import MOST_ACTIONS, advised, enter, follow, start_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.outcome import Ending, Outcome, outcome
from borewright.rehearsal.truth import Truth
from borewright.sizing.bore import Bore
from borewright.sizing.measuring import reading_row
from tests.unit.rehearsal.four_sigma import assert_mean

BORES = 30
FIRST_SEED = 5000


@dataclass
class Sized:
    """One bore as it went: the outcome, and what was stated before it was known."""

    outcome: Outcome
    innovations: list[float] = field(default_factory=list)
    holes: list[float] = field(default_factory=list)
    oversize: list[tuple[float, bool]] = field(default_factory=list)
    in_tolerance: list[tuple[float, bool]] = field(default_factory=list)
    moves_again: int = 0


def size(kind: str, seed: int) -> Sized:
    """Size a bore as the advice says, noting each reading against what was expected and each hole against its odds."""
    truth = Truth.draw(KINDS[kind], seed)
    bore = Bore.start(start_of(truth.told()))
    innovations, holes, oversize, within = [], [], [], []
    moves_again, before = 0, ""
    advice = bore.advise()
    while advice["action"] not in {"release", "quarantine"}:
        assert len(truth.acts) < 4 * MOST_ACTIONS
        moves_again += advice["action"] == before == "move_and_cut"
        before = str(advice["action"])
        for entry in follow(truth, advice):
            if entry["event"] == "read" and not misread(truth):
                innovations.append(innovation(bore, str(entry["as_read"])))
            enter(bore, entry)
            if entry["event"] == "passed":
                done = bore.belief.history[-1]
                holes.append((truth.hole_mm - done.expected_mm) / done.expected_sd_mm)
                odds, verdict = advice["odds"], truth.verdict()
                assert isinstance(odds, dict)
                oversize.append((odds["oversize"], verdict == "over"))
                within.append((odds["in_tolerance"], verdict == "good"))
        advice = bore.advise()
    lost: Ending = "scrapped" if truth.verdict() == "over" else "quarantined"
    ending = "released" if advice["action"] == "release" else lost
    return Sized(outcome("advised", truth, ending), innovations, holes, oversize, within, moves_again)


def misread(truth: Truth) -> bool:
    """Whether the last act was a reading with a slip in it."""
    return any(mishap.act == len(truth.acts) and mishap.what.startswith("misread") for mishap in truth.mishaps)


def innovation(bore: Bore, as_read: str) -> float:
    """A reading less what was expected of it, in standard deviations of that."""
    belief, row = bore.belief, reading_row(bore.model, trial=bore.belief.after_trial)
    variance = row @ belief.now.covariance @ row + bore.model.reading_variance(belief.gauge_scatter_mm)
    return float((parse_length(as_read).mm - row @ belief.now.mean) / math.sqrt(variance))


@cache
def sized(kind: str) -> tuple[Sized, ...]:
    return tuple(size(kind, FIRST_SEED + number) for number in range(BORES))


def every() -> list[Sized]:
    return [one for kind in KINDS for one in sized(kind)]


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
def test_nine_in_ten_of_every_kind_are_released_good(kind: str) -> None:
    ends = [one.outcome for one in sized(kind)]
    assert_at_least(sum(end.released_good for end in ends), BORES, 0.97)
    assert np.mean([end.passes for end in ends]) < 4.0
    assert np.mean([end.readings for end in ends]) < 10.0


def test_of_all_kinds_together_nearly_all_are_released_good_and_hardly_one_escapes() -> None:
    ends = [one.outcome for one in every()]
    assert_at_least(sum(end.released_good for end in ends), len(ends), 0.985)
    assert_at_most(sum(end.escaped for end in ends), len(ends), 0.002)
    assert_at_most(sum(end.verdict == "over" for end in ends), len(ends), 0.01)


@pytest.mark.parametrize("kind", KINDS)
def test_a_tool_just_moved_is_seldom_moved_again(kind: str) -> None:
    """A readout shows what the lock did, and now and then that is worth mending; a dial shows nothing new."""
    again = sum(one.moves_again for one in sized(kind))
    assert again <= (2 * BORES if KINDS[kind].adjuster == "direct" else 2)


@pytest.mark.parametrize("kind", KINDS)
def test_readings_lie_about_what_was_expected_as_widely_as_was_stated(kind: str) -> None:
    """The normalised innovations of each kind have the variance 1, within four of their standard errors."""
    values = [value for one in sized(kind) for value in one.innovations]
    assert_mean((value * value for value in values), 1.0, sharp=0.75)


def test_so_do_those_of_all_kinds_together() -> None:
    values = [value for one in every() for value in one.innovations]
    assert len(values) > 1000
    assert_mean((value * value for value in values), 1.0, sharp=0.25)


def test_the_hole_lies_in_its_interval_before_reading_95_times_in_100() -> None:
    values = np.array([value for one in every() for value in one.holes])
    covered = int((np.abs(values) < 1.959964).sum())
    assert_at_least(covered, len(values), 0.95)
    assert_at_most(covered, len(values), 0.95)


def test_odds_of_oversize_come_true_as_often_as_stated() -> None:
    assert_as_often_as_stated(pair for one in every() for pair in one.oversize)


def test_odds_of_lying_in_tolerance_come_true_as_often_as_stated() -> None:
    pairs = [pair for one in every() for pair in one.in_tolerance]
    assert_as_often_as_stated(pairs)
    assert_as_often_as_stated(pair for pair in pairs if 0.05 < pair[0] < 0.99)


def test_sizing_here_is_what_advised_does() -> None:
    for kind in list(KINDS)[:3]:
        assert advised(Truth.draw(KINDS[kind], FIRST_SEED)) == sized(kind)[0].outcome
