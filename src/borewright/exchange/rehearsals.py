"""Bores that are rehearsed: which simulated machine stands behind one, and how a new one is begun.

Nothing beside the record says so. The bores of the demo are known by their names; the name of any other carries its
kind and its seed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from borewright.errors import EntryError, NotHeldError
from borewright.exchange.demo import DEMO_BORES
from borewright.quantity.length import Unit
from borewright.rehearsal.kinds import KINDS, Kind

MOST_SEED: Final = 999_999
_PREFIX: Final = "rehearsal"
_SLUGS: Final = {re.sub(r"[^a-z]+", "-", name): name for name in KINDS}


@dataclass(frozen=True, slots=True)
class Rehearsal:
    """A bore that is rehearsed.

    Args:
        bore: its name in the record.
        kind: the simulated machine that it is cut on.
        seed: the seed of the hidden truth.
        unit: the unit of the bore.
    """

    bore: str
    kind: Kind
    seed: int
    unit: Unit


def begun(bore: str) -> Rehearsal | None:
    """Say what stands behind a bore of that name, where it was begun as a rehearsal.

    Args:
        bore: its name in the record.

    Returns:
        The rehearsal, or None where the name is none of a rehearsal.
    """
    steps = bore.split(".")
    if len(steps) != 4 or steps[0] != _PREFIX or steps[1] not in _SLUGS or not steps[2].isdecimal():
        return None
    return Rehearsal(bore, KINDS[_SLUGS[steps[1]]], int(steps[2]), "mm")


def of_demo(bore: str) -> Rehearsal | None:
    """Say what stands behind a bore of the demo.

    Args:
        bore: its name in the record.

    Returns:
        The rehearsal, or None where the demo has no such bore.
    """
    for demo in DEMO_BORES:
        if demo.bore().identity == bore:
            return Rehearsal(bore, demo.kind, demo.seed, demo.job().units)
    return None


def next_seed(bores: Iterable[str]) -> int:
    """Choose the seed of a machine that was not met yet, whatever the kind of job.

    Args:
        bores: names of bores in the record.

    Returns:
        One more than the largest seed among those that were begun; 1 where none was.
    """
    seeds = [found.seed for found in map(begun, bores) if found is not None]
    return min(max(seeds, default=0) + 1, MOST_SEED)


def begin(kind: object, seed: object) -> tuple[str, Mapping[str, object]]:
    """Make the name and the opening of a rehearsal.

    Args:
        kind: the kind of job, one of those the simulated machine knows.
        seed: the seed, a whole number from 1.

    Returns:
        The stem of its name in the record, and what ``Bore.start`` takes: what a machinist would be told.

    Raises:
        NotHeldError: there is no such kind.
        EntryError: that is no seed.
    """
    from borewright.rehearsal.advised import start_of
    from borewright.rehearsal.truth import Truth

    if not isinstance(kind, str) or kind not in KINDS:
        known = "; ".join(KINDS)
        raise NotHeldError("There is no such kind of job to rehearse.", given=kind, right=f"Use {known}.", where="kind")
    if isinstance(seed, bool) or not isinstance(seed, int) or not 1 <= seed <= MOST_SEED:
        raise EntryError(
            "That is no machine number.", given=seed, right=f"Use a whole number, 1 to {MOST_SEED}.", where="seed"
        )
    told = Truth.draw(KINDS[kind], seed).told()
    slug = next(slug for slug, name in _SLUGS.items() if name == kind)
    return f"{_PREFIX}.{slug}.{seed}", {
        "name": f"{kind}, machine {seed}",
        "unit": "mm",
        "machine": "simulated",
        **start_of(told),
    }
