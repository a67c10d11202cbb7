"""The part's temperature from act to act."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.rehearsal.warmth import Warmth
from tests.unit.rehearsal.four_sigma import assert_mean, assert_normal

DRAWS = np.random.default_rng(11).standard_normal((6000, 4)).tolist()


def histories() -> list[tuple[float, float, float]]:
    """Return what each of many parts is above 20 °C at the start, at a cut, and at its reading, in K."""
    found = []
    for lasting, passing, cut, reading in DRAWS:
        warmth = Warmth(3.0, 0.8, 0.5, lasting, passing)
        start = warmth.celsius
        warmth.pass_on(cut)
        cut_at = warmth.celsius
        warmth.pass_on(reading)
        found.append((start - 20.0, cut_at - 20.0, warmth.celsius - 20.0))
    return found


def test_at_every_act_the_part_is_as_warm_as_said() -> None:
    for act in range(3):
        assert_normal((history[act] for history in histories()), 3.0)


def test_cut_and_reading_are_alike_but_not_the_same() -> None:
    drawn = histories()
    assert_mean((cut * read / 9.0 for _, cut, read in drawn), 0.8**2 + 0.5 * 0.6**2, sharp=0.1)
    assert_mean((start * read / 9.0 for start, _, read in drawn), 0.8**2 + 0.25 * 0.6**2, sharp=0.1)
    assert_mean(((cut - read) ** 2 for _, cut, read in drawn), 9.0 * 0.6**2, sharp=0.3)


def test_waiting_brings_it_nearer_and_the_next_cut_warms_only_what_passes() -> None:
    warmth = Warmth(2.0, 0.8, 0.5, 1.0, -2.0)
    before = warmth.celsius - 20.0
    warmth.settle(0.3)
    assert warmth.celsius - 20.0 == pytest.approx(0.3 * before)
    assert warmth.occasion == 1
    warmth.pass_on(0.0)
    assert warmth.celsius - 20.0 == pytest.approx(2.0 * (0.8 * 0.3 * 1.0 + 0.6 * 0.5 * 0.3 * -2.0))
