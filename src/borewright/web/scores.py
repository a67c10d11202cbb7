"""The scoreboard of the rehearsals: each bore as it was signed, beside what equal passes would have done."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from borewright.rehearsal.outcome import Outcome
from borewright.rehearsal.scoreboard import Tally, ending_words, practised, signed, tally
from borewright.shop.stands import Stand
from borewright.web.plain import which_of
from borewright.web.records import Records

MOST: Final = 40
"""Bores on the scoreboard, those begun last: each machine is rebuilt to look."""


@dataclass(frozen=True, slots=True)
class Went:
    """How a bore went.

    Args:
        ending: how it ended, in words.
        work: passes and measurements.
        cost: its cost, in passes.
        bad: whether it was lost or got away.
    """

    ending: str
    work: str
    cost: str
    bad: bool


@dataclass(frozen=True, slots=True)
class Score:
    """A line of the scoreboard.

    Args:
        bore: the bore's name in the record.
        name: what it is called.
        which: its name in the record where what it is called does not tell it; else empty.
        own: as it was signed.
        practice: what equal passes would have done.
    """

    bore: str
    name: str
    which: str
    own: Went
    practice: Went


@dataclass(frozen=True, slots=True)
class ScoresView:
    """The scoreboard.

    Args:
        scores: its lines.
        own: the bores as they were signed, in all.
        practice: the same by equal passes.
    """

    scores: tuple[Score, ...]
    own: Went
    practice: Went


def scores_view(records: Records, stands: Iterable[tuple[str, Stand]]) -> ScoresView | None:
    """Make the scoreboard.

    Args:
        records: the records.
        stands: the rehearsed bores as they stand, those begun last first.

    Returns:
        The view; None where no rehearsal is signed.
    """
    lines: list[Score] = []
    own: list[Outcome] = []
    practice: list[Outcome] = []
    for bore, stand in stands:
        if len(lines) == MOST:
            break
        if stand.bore.state not in {"released", "quarantined"}:
            continue
        machine = records.machine(bore)
        done, usual = signed(machine.truth(), stand.bore.state), practised(machine.kind, machine.seed)
        assert done is not None
        own.append(done)
        practice.append(usual)
        name = stand.bore.opening.given.name
        lines.append(Score(bore, name or bore, which_of(bore, name), _went(done), _went(usual)))
    if not lines:
        return None
    return ScoresView(tuple(lines), _in_all(tally(own)), _in_all(tally(practice)))


def _went(done: Outcome) -> Went:
    return Went(
        ending_words(done), _work(done.passes, 0.5 * done.readings), f"{done.cost():.1f}", not done.released_good
    )


def _in_all(sums: Tally) -> Went:
    ending = f"{sums.released_good} of {sums.bores} released, good"
    return Went(ending, _work(sums.passes, sums.measurements), f"{sums.cost:.1f}", sums.released_good < sums.bores)


def _work(passes: int, measurements: float) -> str:
    return f"{passes} {'pass' if passes == 1 else 'passes'}, measured {measurements:g} times"
