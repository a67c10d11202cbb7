"""Bores of a tool that has cut twenty before: by the practice, and by the advice without and with what those taught."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from borewright.cli.spread import spread
from borewright.rehearsal.advised import advised
from borewright.rehearsal.compare import ADVICE, POLICIES, PRACTICE, TWIN
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.outcome import Outcome
from borewright.rehearsal.series import Series
from borewright.rehearsal.truth import Truth

BEFORE: Final = 20
"""Bores of the tool that are finished when the bore that counts is begun."""

ALONE: Final = "advised, history left out"
STRIDE: Final = 32
"""Seeds set aside for one tool: its bores, and room between them and the next tool's."""


@dataclass(frozen=True, slots=True)
class Tool:
    """One tool of the proof.

    Args:
        kind: the kind of job.
        seed: the seed of the tool; its bores have the seeds after it.
    """

    kind: str
    seed: int


def after_twenty(tool: Tool) -> tuple[Outcome, ...]:
    """Size twenty bores with a tool, then the one that counts: by each policy on the same machine.

    Args:
        tool: the tool.

    Returns:
        The outcomes of the bore that counts, the practice first, the twin last.
    """
    kind, last = KINDS[tool.kind], tool.seed + BEFORE
    series = Series(kind, tool.seed)
    for seed in range(tool.seed, last):
        series.next(seed)

    def machine() -> Truth:
        return Truth.draw(kind, last, tool.seed)

    return (
        POLICIES[PRACTICE](machine()),
        replace(advised(machine()), policy=ALONE),
        replace(series.apart(last).outcome, policy=ADVICE),
        POLICIES[TWIN](machine()),
    )


def proved_tools(tools: int, seed: int, workers: int) -> Iterator[tuple[Outcome, ...]]:
    """Prove so many tools of every kind.

    Args:
        tools: tools of each kind.
        seed: the first seed.
        workers: processes.

    Yields:
        The outcomes for each tool.
    """
    places = {kind: place for place, kind in enumerate(KINDS)}
    tasks = [
        Tool(kind, seed + STRIDE * (len(KINDS) * number + places[kind])) for number in range(tools) for kind in KINDS
    ]
    return spread(after_twenty, tasks, workers)
