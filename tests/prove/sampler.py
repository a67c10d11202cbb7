"""The belief against long runs of two general-purpose samplers on the same model, uncut by any straight line.

A rehearsed bore is sized by the advice, and its entries are told to the plain statement of the model in
``tests.prove.story``. Each sampler is run alike where the answer is known; what it gives there is kept with the rest.

Bores with a reading that surprises are passed over, those with a move so small that it may stick, and those in which an
edge rubbed or anything else went wrong: there the belief weighs slips and faults, which the plain statement has not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count, islice
from typing import Any, Final

import numpy as np

from borewright.gauging.conformity import normal_cdf
from borewright.quantity.length import parse_length
from borewright.rehearsal.advised import follow, start_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.watched import watched
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.model import Model
from tests.prove.drawing import Drawn, Peak, Straight, Weighed, ensemble, peak, slices
from tests.prove.story import Entry, Posterior, told

CALM: Final = 1.5
"""Readings of the bores compared lie less far than this from what was expected, in standard deviations."""

FURTHER: Final = 12
"""Bores of each kind, beside the first, that are held against the slices alone."""

SHORTER: Final = 3
"""How much shorter the runs for these are."""

SAMPLERS: Final[dict[str, Callable[[Weighed, Peak, int, int], Drawn]]] = {"ensemble": ensemble, "slices": slices}


@dataclass(frozen=True, slots=True)
class Calm:
    """A rehearsed bore, sized by the advice, in which nothing surprised and nothing went wrong.

    Args:
        kind: its kind.
        seed: its seed.
        bore: the bore at its release.
        entries: what was entered.
    """

    kind: str
    seed: int
    bore: Bore
    entries: list[Entry]


def agreement(seed: int, steps: int) -> dict[str, list[dict[str, object]]]:
    """Compare the belief with the samplers for bores of each kind, before their last pass is read and released."""
    cases: list[dict[str, object]] = []
    further: list[dict[str, object]] = []
    for kind in KINDS:
        first, *others = islice(_calm(kind, seed), 1 + FURTHER)
        cases += _cases(first, tuple(SAMPLERS), steps, known=True)
        for each in others:
            further += _cases(each, ("slices",), steps // SHORTER, known=False)
    return {"cases": cases, "further": further}


def _calm(kind: str, first: int) -> Iterator[Calm]:
    for seed in count(first):
        truth = Truth.draw(KINDS[kind], seed)
        bore = Bore.start(start_of(truth.told()))
        entries: list[Entry] = []

        def do(machine: Truth, advice: Mapping[str, Any], kept: list[Entry] = entries) -> list[dict[str, object]]:
            done = follow(machine, advice)
            kept.extend(done)
            return done

        went = watched(truth, bore, "advised", do)
        plain = not any(record.rubbed for record in bore.belief.history) and went.outcome.ending == "released"
        plain = plain and not any(_small(bore.model, entry) for entry in entries)
        if plain and not truth.mishaps and max(map(abs, went.innovations)) < CALM:
            yield Calm(kind, seed, bore, entries)


def _small(model: Model, entry: Entry) -> bool:
    """Tell whether an entry is a move so small that it may stick."""
    change = float(str(entry.get("lines", 0))) * model.adjuster.line_mm
    if "change" in entry:
        change = parse_length(str(entry["change"]), signed=True).mm
    return 0.0 < change < model.priors.stick.value


def _cases(calm: Calm, by: Sequence[str], steps: int, *, known: bool) -> list[dict[str, object]]:
    bore, entries = calm.bore, calm.entries
    last = max(at for at, entry in enumerate(entries) if _full(entry))
    record = [record for record in bore.belief.history if not record.trial][-1]
    cut = _ours(bore, record.expected_mm, record.expected_sd_mm)
    released = _ours(bore, bore.belief.hole_mm, bore.belief.now.sd(State.HOLE))
    found = []
    for when, told_of, ours in (
        ("last pass, before it is read", entries[: last + 1], cut),
        ("released", entries, released),
    ):
        posterior = Posterior(told(bore.model, told_of))
        about = peak(posterior)
        theirs = {name: _theirs(posterior, about, name, bore, steps, calm.seed, known=known) for name in by}
        dimensions = {"dimensions": len(about.moved), "limit_mm": _limit(bore)}
        found.append({"kind": calm.kind, "seed": calm.seed, "when": when, **dimensions, **ours, "theirs": theirs})
    return found


def _full(entry: Entry) -> bool:
    return entry["event"] == "passed" and entry.get("depth") != "trial"


def _limit(bore: Bore) -> float:
    """Return the size from which on the hole is oversize, for what out of round takes, mm."""
    return bore.model.upper_mm - bore.model.form_mm


def _ours(bore: Bore, hole_mm: float, sd_mm: float) -> dict[str, float]:
    return {"ours_mm": hole_mm, "ours_sd_mm": sd_mm, "ours_oversize": normal_cdf((hole_mm - _limit(bore)) / sd_mm)}


def _theirs(
    posterior: Posterior, about: Peak, name: str, bore: Bore, steps: int, seed: int, *, known: bool
) -> dict[str, float]:
    """Return what a sampler finds of the hole and, where asked, what it makes of a hole that is known."""
    found = SAMPLERS[name](posterior, about, steps, seed)
    theirs = {
        "mm": found.mean,
        "sd_mm": found.sd,
        "oversize": float(np.mean(found.holes > _limit(bore))),
        "independent": round(found.independent),
    }
    if not known:
        return theirs
    straight = Straight(posterior, about)
    mean, sd = straight.known
    again = SAMPLERS[name](straight, about, steps, seed)
    return {**theirs, "known_off": (again.mean - mean) / sd, "known_wide": again.sd / sd}
