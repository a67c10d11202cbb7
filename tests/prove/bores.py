"""The rehearsed bores of the proof: each policy on the same bore, the advice watched while it works."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from borewright.cli.spread import spread
from borewright.rehearsal.advised import start_of
from borewright.rehearsal.compare import ADVICE, POLICIES, Task, size_all, tasks_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.outcome import Outcome
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.watched import Watched, watched
from borewright.sizing.bore import Bore

OTHERS = tuple(name for name in POLICIES if name != ADVICE)


@dataclass(frozen=True, slots=True)
class Proved:
    """One bore of the proof.

    Args:
        outcomes: how each policy ended it.
        advice: how it went by the advice.
    """

    outcomes: tuple[Outcome, ...]
    advice: Watched


def prove_one(task: Task) -> Proved:
    """Size one bore by every policy, watching the advice."""
    truth = Truth.draw(KINDS[task.kind], task.seed)
    advice = watched(truth, Bore.start(start_of(truth.told())), ADVICE)
    outcomes = {each.policy: each for each in (*size_all(task), advice.outcome)}
    return Proved(tuple(outcomes[policy] for policy in POLICIES), advice)


def proved(bores: int, seed: int, workers: int) -> Iterator[Proved]:
    """Size so many bores of every kind, in the order of the tasks however many workers there are."""
    return spread(prove_one, list(tasks_of(tuple(KINDS), bores, seed, OTHERS)), workers)
