"""How rehearsed bores went, against what equal passes would have done on the same machine with the same fortune."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from borewright.rehearsal.kinds import Kind
    from borewright.rehearsal.outcome import Outcome
    from borewright.rehearsal.truth import Truth

OWN: Final = "as signed"

LIES: Final = {"good": "good", "over": "over size", "under": "under size"}


@dataclass(frozen=True, slots=True)
class Tally:
    """What several bores came to under one way of sizing them.

    Args:
        bores: how many.
        released_good: how many were released and good.
        escaped: how many were released and bad.
        lost: how many were scrapped or set aside.
        passes: full passes in all.
        measurements: measurements of two readings in all.
        cost: cost in all, in passes.
    """

    bores: int
    released_good: int
    escaped: int
    lost: int
    passes: int
    measurements: float
    cost: float


def signed(truth: Truth, state: str) -> Outcome | None:
    """Return how a bore ended.

    Args:
        truth: its machine as the record has it.
        state: the state of the bore.

    Returns:
        The outcome; None where nothing is signed.
    """
    from borewright.rehearsal.outcome import outcome

    if state == "released":
        return outcome(OWN, truth, "released")
    if state == "quarantined":
        return outcome(OWN, truth, "scrapped" if truth.verdict() == "over" else "quarantined")
    return None


def practised(kind: Kind, seed: int) -> Outcome:
    """Return how three equal passes, corrected for the part's temperature, end on the same machine.

    Args:
        kind: the kind of job.
        seed: the seed of the machine.

    Returns:
        The outcome.
    """
    from borewright.rehearsal.practice import equal_passes
    from borewright.rehearsal.truth import Truth

    return equal_passes(Truth.draw(kind, seed))


def ending_words(done: Outcome) -> str:
    """Say how a bore ended.

    Args:
        done: its outcome.

    Returns:
        Such as ``released, good``.
    """
    if done.ending == "released":
        return f"released, {LIES[done.verdict]}"
    return "scrapped, over size" if done.ending == "scrapped" else f"set aside, {LIES[done.verdict]}"


def practice_words(done: Outcome) -> str:
    """Say in a sentence what equal passes would have done.

    Args:
        done: how they end.

    Returns:
        The sentence.
    """
    work = f"{_count(done.passes, 'pass', 'passes')} and {_count(done.readings, 'reading', 'readings')}"
    return f"Equal passes on the same machine: {ending_words(done)}, after {work}; cost {done.cost():.1f} passes."


def tally(outcomes: Sequence[Outcome]) -> Tally:
    """Add up what several bores came to.

    Args:
        outcomes: how they ended.

    Returns:
        The sums.
    """
    return Tally(
        bores=len(outcomes),
        released_good=sum(each.released_good for each in outcomes),
        escaped=sum(each.escaped for each in outcomes),
        lost=sum(each.lost for each in outcomes),
        passes=sum(each.passes for each in outcomes),
        measurements=0.5 * sum(each.readings for each in outcomes),
        cost=sum(each.cost() for each in outcomes),
    )


def _count(number: int, one: str, several: str) -> str:
    return f"{number} {one if number == 1 else several}"
