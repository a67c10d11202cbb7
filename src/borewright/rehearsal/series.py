"""Series of bores cut with one tool, each begun with what those before it taught, or without."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from borewright.learning.history import learn
from borewright.learning.taught import Taught, taught_by
from borewright.rehearsal.advised import sized, start_of
from borewright.rehearsal.kinds import Kind
from borewright.rehearsal.outcome import Outcome
from borewright.rehearsal.truth import Truth
from borewright.sizing.bore import Bore
from borewright.sizing.known import Known
from borewright.sizing.opening import read_start


@dataclass(frozen=True, slots=True)
class Sized:
    """One bore of a series.

    Args:
        outcome: how it ended.
        known: what it began with from those before it.
        truth: its machine, after the last act.
    """

    outcome: Outcome
    known: Known
    truth: Truth


class Series:
    """Bores cut with one tool, one after the other; before each it is set on the bench, and its record begins anew.

    Args:
        kind: the kind of job.
        tool_seed: the seed of the tool.
    """

    def __init__(self, kind: Kind, tool_seed: int) -> None:
        self.kind = kind
        self.tool_seed = tool_seed
        self.tool = f"tool-{tool_seed}"
        self.taught: list[Taught] = []

    def next(self, seed: int) -> Sized:
        """Size the next bore; the one after it begins with what it taught.

        Args:
            seed: its seed.

        Returns:
            How it went.
        """
        bore, sized_bore = self._size(seed)
        taught = taught_by(bore)
        assert taught is not None
        self.taught.append(replace(taught.with_record(), tool=self.tool))
        return sized_bore

    def apart(self, seed: int) -> Sized:
        """Size a bore that begins with what those before it taught, as if it were the next; no other hears of it.

        Args:
            seed: its seed.

        Returns:
            How it went.
        """
        return self._size(seed)[1]

    def known(self, given: Mapping[str, object]) -> Known:
        """Say what the next bore begins with.

        Args:
            given: what it is started with.

        Returns:
            What those before it taught.
        """
        return learn(read_start(given)[0], self.tool, "", self.taught).known

    def _size(self, seed: int) -> tuple[Bore, Sized]:
        truth = Truth.draw(self.kind, seed, self.tool_seed)
        given = start_of(truth.told())
        known = self.known(given)
        bore = Bore.start(given, bore_id=f"bore-{seed}", known=known)
        return bore, Sized(sized(bore, truth), known, truth)


def series(kind: Kind, tool_seed: int, seeds: Iterable[int]) -> Iterator[Sized]:
    """Size a series of bores with one tool, each begun with what those before it taught.

    Args:
        kind: the kind of job.
        tool_seed: the seed of the tool.
        seeds: the seeds of the bores.

    Yields:
        How each went.
    """
    running = Series(kind, tool_seed)
    for seed in seeds:
        yield running.next(seed)
