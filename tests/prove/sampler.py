"""The belief against long runs of two general-purpose samplers on the same model, uncut by any straight line.

A rehearsed bore is sized by the advice, and its entries are told to the plain statement of the model in
``tests.prove.story``. Each sampler is run alike where the answer is known; what it gives there is kept with the rest.

Bores with a reading that surprises are passed over, and those in which an edge rubbed or anything else went wrong:
there the belief weighs slips and faults, which this plain statement of the model does not have.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
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

SAMPLERS: Final[dict[str, Callable[[Weighed, Peak, int, int], Drawn]]] = {"ensemble": ensemble, "slices": slices}


def agreement(seed: int, steps: int) -> list[dict[str, object]]:
    """Compare the belief with the sampler, for a bore of each kind before its last pass and at its release."""
    return [case for kind in KINDS for case in _kind(kind, seed, steps)]


def _kind(kind: str, seed: int, steps: int) -> list[dict[str, object]]:
    while True:
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
            break
        seed += 1
    last = max(at for at, entry in enumerate(entries) if _full(entry))
    record = [record for record in bore.belief.history if not record.trial][-1]
    return [
        _case(kind, seed, "last pass, before it is read", bore, entries[: last + 1], steps)
        | _ours(bore, record.expected_mm, record.expected_sd_mm),
        _case(kind, seed, "released", bore, entries, steps)
        | _ours(bore, bore.belief.hole_mm, bore.belief.now.sd(State.HOLE)),
    ]


def _small(model: Model, entry: Entry) -> bool:
    """Tell whether an entry is a move so small that it may stick."""
    change = float(str(entry.get("lines", 0))) * model.adjuster.line_mm
    if "change" in entry:
        change = parse_length(str(entry["change"]), signed=True).mm
    return 0.0 < change < model.priors.stick.value


def _full(entry: Entry) -> bool:
    return entry["event"] == "passed" and entry.get("depth") != "trial"


def _ours(bore: Bore, hole_mm: float, sd_mm: float) -> dict[str, object]:
    over = normal_cdf((hole_mm - bore.model.upper_mm + bore.model.form_mm) / sd_mm)
    return {"ours_mm": hole_mm, "ours_sd_mm": sd_mm, "ours_oversize": over}


def _case(kind: str, seed: int, when: str, bore: Bore, entries: Sequence[Entry], steps: int) -> dict[str, object]:
    posterior = Posterior(told(bore.model, entries))
    about = peak(posterior)
    limit = bore.model.upper_mm - bore.model.form_mm
    return {
        "kind": kind,
        "seed": seed,
        "when": when,
        "dimensions": len(about.moved),
        "limit_mm": limit,
        "theirs": {name: _theirs(posterior, about, name, limit, steps, seed) for name in SAMPLERS},
    }


def _theirs(posterior: Posterior, about: Peak, name: str, limit_mm: float, steps: int, seed: int) -> dict[str, float]:
    """Return what a sampler finds of the hole, and what it makes of a hole that is known."""
    straight, sampled = Straight(posterior, about), SAMPLERS[name]
    found, again = sampled(posterior, about, steps, seed), sampled(straight, about, steps, seed)
    mean, sd = straight.known
    return {
        "mm": found.mean,
        "sd_mm": found.sd,
        "oversize": float(np.mean(found.holes > limit_mm)),
        "independent": round(found.independent),
        "known_off": (again.mean - mean) / sd,
        "known_wide": again.sd / sd,
    }
