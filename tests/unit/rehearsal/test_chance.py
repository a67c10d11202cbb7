"""Fortune comes from the seed, the act, and how often it was done, and from nothing else."""

from __future__ import annotations

import pytest
from numpy.random import Generator

from borewright.rehearsal.chance import SUBJECTS, Chance, generator
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.practice import equal_passes
from borewright.rehearsal.truth import Truth


def first(seed: int, subject: str, count: int = 0) -> float:
    return float(generator(seed, subject, count).random())


def test_the_same_three_give_the_same_draw() -> None:
    assert first(4, "cut", 2) == first(4, "cut", 2)


def test_each_of_the_three_matters() -> None:
    drawn = {first(seed, subject, count) for seed in range(20) for subject in SUBJECTS for count in range(20)}
    assert len(drawn) == 400 * len(SUBJECTS)


def test_an_act_is_counted_by_itself() -> None:
    one, other = Chance(8), Chance(8)
    for _ in range(3):
        one.draw("read")
    assert one.draw("cut").random() == other.draw("cut").random() == first(8, "cut", 0)
    assert one.draw("cut").random() == first(8, "cut", 1)
    assert one.draw("read").random() == first(8, "read", 3)


@pytest.mark.parametrize("kind", KINDS)
def test_no_act_draws_on_when_another_has_begun(kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """One generator serves a bore's acts in turn: with a fresh one for each the same bores come out."""
    shared = [equal_passes(Truth.draw(KINDS[kind], seed)) for seed in range(20)]
    monkeypatch.setattr(Chance, "at", fresh)
    assert [equal_passes(Truth.draw(KINDS[kind], seed)) for seed in range(20)] == shared


def fresh(self: Chance, subject: str, count: int) -> Generator:
    return generator(self.seed, subject, count)
