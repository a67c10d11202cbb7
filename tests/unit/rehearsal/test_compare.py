"""Which bores are compared, and that a bore is the same bore for every policy."""

from __future__ import annotations

import pytest

from borewright.cli.spread import spread
from borewright.errors import EntryError, NotHeldError
from borewright.rehearsal.compare import POLICIES, PRACTICE, Task, size_all, tasks_of
from borewright.rehearsal.kinds import KINDS

QUICK = ("equal passes", PRACTICE, "harmonic rule", "clairvoyant")
TWO = ("titanium", "warm aluminium")


def test_a_bore_keeps_its_seed_whichever_kinds_are_asked_for() -> None:
    every = {(task.kind, task.seed) for task in tasks_of(tuple(KINDS), 3, 40, QUICK)}
    few = [(task.kind, task.seed) for task in tasks_of(TWO, 3, 40, QUICK)]
    assert len(every) == 24
    assert len({seed for _, seed in every}) == 24
    assert set(few) < every
    assert [kind for kind, _ in few] == [*TWO] * 3


def test_every_policy_sizes_the_bore_under_its_own_name() -> None:
    outcomes = size_all(Task("thin wall, stainless", 8, tuple(POLICIES)))
    assert [each.policy for each in outcomes] == list(POLICIES)
    assert {(each.kind, each.seed) for each in outcomes} == {("thin wall, stainless", 8)}


def test_the_outcomes_do_not_depend_on_the_number_of_workers() -> None:
    tasks = list(tasks_of(TWO, 4, 0, QUICK))
    alone = list(spread(size_all, tasks, 1))
    assert list(spread(size_all, tasks, 2)) == alone
    assert len({each for outcomes in alone for each in outcomes}) > 8


@pytest.mark.parametrize(
    ("kinds", "bores", "seed", "policies", "where"),
    [
        (("lead",), 3, 0, QUICK, "kinds"),
        (TWO, 3, 0, ("luck",), "policies"),
        ((), 3, 0, QUICK, "kinds"),
        (("titanium", "titanium"), 3, 0, QUICK, "kinds"),
        (TWO, 1, 0, QUICK, "bores"),
        (TWO, 3, -1, QUICK, "seed"),
    ],
)
def test_what_cannot_be_compared_is_refused(
    kinds: tuple[str, ...], bores: int, seed: int, policies: tuple[str, ...], where: str
) -> None:
    with pytest.raises((EntryError, NotHeldError)) as caught:
        tasks_of(kinds, bores, seed, policies)
    assert caught.value.where == where
    assert caught.value.right
