"""What the first plan of a bore foresees against what the bore then costs: what its approximations come to.

The look-ahead carries widths through the passes to come, not readings: slips and faults in them, the adjuster's steps
and the bend of the push-off curve are left out. If that were dear, bores would cost more than was foreseen of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from borewright.cli.spread import spread
from borewright.rehearsal.advised import follow, start_of
from borewright.rehearsal.compare import ADVICE, Task, tasks_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.watched import watched
from borewright.sizing.bore import Bore
from tests.prove.calibration import mean_of


@dataclass(frozen=True, slots=True)
class Spent:
    """One bore.

    Args:
        kind: the kind of job.
        foreseen: what its first plan was expected to cost, all in, in passes.
        spent: what it came to, in passes: losses and escapes too.
        lost: whether it was lost, or released and bad.
    """

    kind: str
    foreseen: float
    spent: float
    lost: bool


def spent_one(task: Task) -> Spent:
    """Size one bore by the advice, and keep what its first plan foresaw."""
    truth = Truth.draw(KINDS[task.kind], task.seed)
    bore = Bore.start(start_of(truth.told()))
    checked, advice = 0, bore.advise()
    while "cost" not in advice:  # the hole is measured before anything is planned
        for entry in follow(truth, advice):
            bore.record(entry)
            checked += 1
        advice = bore.advise()
    foreseen = 0.5 * checked * bore.costs.measurement + float(str(advice["cost"]))
    ended = watched(truth, bore, ADVICE).outcome
    return Spent(task.kind, foreseen, ended.cost(), not ended.released_good)


def all_spent(bores: int, seed: int, workers: int) -> Iterator[Spent]:
    """Size so many bores of every kind."""
    return spread(spent_one, list(tasks_of(tuple(KINDS), bores, seed, (ADVICE,))), workers)


def by_kind(done: Iterable[Spent]) -> dict[str, dict[str, object]]:
    """Return, by kind and together, what was foreseen, what was spent, and how much more, with intervals."""
    done = list(done)
    groups = {kind: [each for each in done if each.kind == kind] for kind in KINDS} | {"all kinds": done}
    found: dict[str, dict[str, object]] = {}
    for kind, each in groups.items():
        foreseen = np.array([one.foreseen for one in each])
        spent = np.array([one.spent for one in each])
        kept = np.array([not one.lost for one in each])
        found[kind] = {
            "bores": len(each),
            "lost": int((~kept).sum()),
            "foreseen": mean_of(foreseen).plain(),
            "spent": mean_of(spent).plain(),
            "more": mean_of(spent - foreseen).plain(),
        }
    return found
