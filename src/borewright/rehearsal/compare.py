"""Policies side by side: the same bores, with the same fortune, sized by each of them.

A bore is a kind and a seed, and nothing else: who sizes it, in which order and on how many processors changes nothing.
Kinds have seeds of their own, so that no fortune counts twice in what is said of all together.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from borewright.errors import EntryError, NotHeldError
from borewright.rehearsal.advised import advised
from borewright.rehearsal.chance import SEEDS
from borewright.rehearsal.clairvoyant import clairvoyant
from borewright.rehearsal.harmonic import harmonic
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.outcome import Outcome
from borewright.rehearsal.practice import equal_passes
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.twin import knowing_twin

Policy = Callable[[Truth], Outcome]

PRACTICE: Final = "equal passes, temperature corrected"
ADVICE: Final = "advised"
TWIN: Final = "knowing twin"

POLICIES: Final[Mapping[str, Policy]] = {
    "equal passes": partial(equal_passes, with_temperature=False),
    PRACTICE: equal_passes,
    "harmonic rule": harmonic,
    ADVICE: advised,
    TWIN: knowing_twin,
    "clairvoyant": clairvoyant,
}
"""What sizes a bore, by the name that its outcomes carry: the common practice first, what sees everything last."""

MOST_BORES: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class Task:
    """One bore for several policies.

    Args:
        kind: the kind of job.
        seed: the seed of the bore.
        policies: what sizes it, each anew.
    """

    kind: str
    seed: int
    policies: tuple[str, ...]


def tasks_of(kinds: Sequence[str], bores: int, seed: int, policies: Sequence[str]) -> Iterator[Task]:
    """List the bores of a comparison, one of each kind in turn.

    Bore n of a kind has the seed ``seed + 8 n + k``, k being the place of the kind among the eight: the same whichever
    kinds are asked for.

    Args:
        kinds: names of kinds of job.
        bores: how many bores of each.
        seed: the first seed.
        policies: names of policies.

    Returns:
        The tasks.

    Raises:
        NotHeldError: a kind or a policy is not known.
        EntryError: a number makes no sense.
    """
    _check("kind of job to rehearse", kinds, KINDS, "kinds")
    _check("policy", policies, POLICIES, "policies")
    if not 2 <= bores <= MOST_BORES:
        raise EntryError("That many bores make no comparison.", given=bores, right=f"2 to {MOST_BORES}.", where="bores")
    if not 0 <= seed < SEEDS - len(KINDS) * bores:
        right = "Give a whole number from 0; 2^64 less eight for each bore is the most."
        raise EntryError("A seed is a whole number of 64 bits.", given=seed, right=right, where="seed")
    places = {kind: place for place, kind in enumerate(KINDS)}
    named = tuple(policies)
    return (Task(kind, seed + len(KINDS) * number + places[kind], named) for number in range(bores) for kind in kinds)


def size_all(task: Task) -> tuple[Outcome, ...]:
    """Size one bore by every policy of a task, each on a machine of its own with the same fortune.

    Args:
        task: the bore.

    Returns:
        The outcomes, in the order of the policies.
    """
    return tuple(POLICIES[policy](Truth.draw(KINDS[task.kind], task.seed)) for policy in task.policies)


def _check(what: str, given: Iterable[str], known: Iterable[str], where: str) -> None:
    named, held = list(given), list(known)
    right = f"Use {'; '.join(held)}."
    if not named or len(set(named)) != len(named):
        raise EntryError(f"Name each {what} once, and one at least.", given=named, right=right, where=where)
    for name in named:
        if name not in held:
            raise NotHeldError(f"There is no such {what}.", given=name, right=right, where=where)
