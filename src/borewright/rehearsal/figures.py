"""What a comparison says: how each policy ended its bores, at what cost, and how much of the gap the advice closes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.random import Generator

from borewright.errors import EntryError
from borewright.rehearsal.compare import ADVICE, PRACTICE, TWIN
from borewright.rehearsal.intervals import Figure, Values, between, ratio, resampled, share
from borewright.rehearsal.outcome import TARIFF, Outcome, Tariff

ALL_KINDS: Final = "all kinds"
SHARES: Final = ("released_good", "escaped", "scrapped", "quarantined")
MEANS: Final = ("passes", "trial_cuts", "measurements", "cost")


@dataclass(frozen=True, slots=True)
class PolicyFigures:
    """How one policy did, a bore.

    Args:
        released_good: share released and good.
        escaped: share released and bad.
        scrapped: share over the upper limit, and found to be.
        quarantined: share set aside as not shown good.
        passes: full passes.
        trial_cuts: trial cuts.
        measurements: measurements of two readings.
        cost: cost, in passes.
        saved: what it costs less than the practice on the same bores, in passes; None where that was not compared.
    """

    released_good: Figure
    escaped: Figure
    scrapped: Figure
    quarantined: Figure
    passes: Figure
    trial_cuts: Figure
    measurements: Figure
    cost: Figure
    saved: Figure | None


@dataclass(frozen=True, slots=True)
class KindFigures:
    """How the policies did with one kind, or with all.

    Args:
        kind: the kind of job, or ``all kinds``, each counting alike.
        bores: how many bores.
        policies: the figures by policy.
        closed: the share of the gap from temperature-corrected equal passes to the knowing twin that the advice closes;
            None where one of the three was not compared.
    """

    kind: str
    bores: int
    policies: Mapping[str, PolicyFigures]
    closed: Figure | None


def figures_of(outcomes: Iterable[Outcome], draws: Generator, tariff: Tariff = TARIFF) -> tuple[KindFigures, ...]:
    """Put the outcomes of a comparison into figures.

    Intervals of means come from bores resampled with all that their policies did, so that differences are paired; those
    of shares are Wilson's. Of all kinds together, each kind counts alike and is resampled by itself.

    Args:
        outcomes: the outcomes, in any order; every policy has sized every bore.
        draws: the chance of the resampling.
        tariff: what things cost.

    Returns:
        The figures, kind by kind in the order in which they came, and of all together where there are several.

    Raises:
        EntryError: the policies have not sized the same bores.
    """
    tables = [_table(kind, rows, tariff, draws) for kind, rows in _sorted_out(outcomes).items()]
    found = [table.figures() for table in tables]
    return (*found, _together(tables).figures()) if len(tables) > 1 else tuple(found)


def figures_plain(figures: Iterable[KindFigures]) -> list[dict[str, object]]:
    """Return figures as plain values.

    Args:
        figures: what ``figures_of`` returned.

    Returns:
        One mapping a kind.
    """
    return [
        {
            "kind": each.kind,
            "bores": each.bores,
            "gap_closed": each.closed.plain() if each.closed is not None else None,
            "policies": {
                name: {
                    column: figure.plain()
                    for column in (*SHARES, *MEANS, "saved")
                    if (figure := getattr(done, column)) is not None
                }
                for name, done in each.policies.items()
            },
        }
        for each in figures
    ]


def figures_read(plain: Iterable[Mapping[str, Any]]) -> tuple[KindFigures, ...]:
    """Read figures back from plain values.

    Args:
        plain: what ``figures_plain`` returned.

    Returns:
        The figures.
    """
    return tuple(
        KindFigures(
            each["kind"],
            each["bores"],
            {name: _policy_read(done) for name, done in each["policies"].items()},
            None if each["gap_closed"] is None else Figure.read(each["gap_closed"]),
        )
        for each in plain
    )


def _policy_read(done: Mapping[str, Mapping[str, float | None]]) -> PolicyFigures:
    saved = Figure.read(done["saved"]) if "saved" in done else None
    return PolicyFigures(**{column: Figure.read(done[column]) for column in (*SHARES, *MEANS)}, saved=saved)


_Rows = dict[str, list[Outcome]]


def _sorted_out(outcomes: Iterable[Outcome]) -> dict[str, _Rows]:
    """Sort outcomes by kind and policy, each policy's by seed."""
    kinds: dict[str, _Rows] = {}
    for each in outcomes:
        kinds.setdefault(each.kind, {}).setdefault(each.policy, []).append(each)
    for kind, rows in kinds.items():
        for done in rows.values():
            done.sort(key=lambda outcome: outcome.seed)
        seeds = [[outcome.seed for outcome in done] for done in rows.values()]
        if any(each != seeds[0] for each in seeds):
            raise EntryError("Policies are compared on the same bores.", given=kind, right="Size each bore by all.")
    return kinds


@dataclass(frozen=True)
class _Table:
    """The bores of one kind, or of all: how often each policy ended how, its means, and the same resampled."""

    kind: str
    policies: tuple[str, ...]
    bores: int
    hits: Mapping[str, Mapping[str, int]]
    means: Values
    drawn: Values

    def figures(self) -> KindFigures:
        """Return the figures of the table."""
        return KindFigures(self.kind, self.bores, {name: self._policy(name) for name in self.policies}, self._closed())

    def _policy(self, name: str) -> PolicyFigures:
        shares = {column: share(hits, self.bores) for column, hits in self.hits[name].items()}
        means = {column: between(float(self.means[at]), self.drawn[:, at]) for column, at in self._places(name)}
        saved = between(*self._less(PRACTICE, name)) if PRACTICE in self.policies and name != PRACTICE else None
        return PolicyFigures(**shares, **means, saved=saved)

    def _closed(self) -> Figure | None:
        if not {PRACTICE, ADVICE, TWIN} <= set(self.policies):
            return None
        over, drawn_over = self._less(PRACTICE, ADVICE)
        under, drawn_under = self._less(PRACTICE, TWIN)
        return ratio(over, under, drawn_over, drawn_under)

    def _less(self, dearer: str, cheaper: str) -> tuple[float, Values]:
        """Return by how much one policy's cost is above another's, and the same resampled."""
        one, other = (dict(self._places(name))["cost"] for name in (dearer, cheaper))
        return float(self.means[one] - self.means[other]), self.drawn[:, one] - self.drawn[:, other]

    def _places(self, name: str) -> list[tuple[str, int]]:
        start = self.policies.index(name) * len(MEANS)
        return [(column, start + at) for at, column in enumerate(MEANS)]


def _table(kind: str, rows: _Rows, tariff: Tariff, draws: Generator) -> _Table:
    values = np.column_stack([_values(column, done, tariff) for done in rows.values() for column in MEANS])
    hits = {name: {column: _hits(column, done) for column in SHARES} for name, done in rows.items()}
    return _Table(kind, tuple(rows), values.shape[0], hits, values.mean(axis=0), resampled(values, draws))


def _together(tables: Sequence[_Table]) -> _Table:
    """Put the kinds together, each counting alike."""
    if any((table.policies, table.bores) != (tables[0].policies, tables[0].bores) for table in tables):
        raise EntryError("Kinds are put together over the same policies and as many bores.", where="outcomes")
    policies = tables[0].policies
    return _Table(
        kind=ALL_KINDS,
        policies=policies,
        bores=sum(table.bores for table in tables),
        hits={
            name: {column: sum(table.hits[name][column] for table in tables) for column in SHARES} for name in policies
        },
        means=np.mean([table.means for table in tables], axis=0),
        drawn=np.mean([table.drawn for table in tables], axis=0),
    )


def _values(column: str, done: Sequence[Outcome], tariff: Tariff) -> Values:
    if column == "cost":
        return np.array([each.cost(tariff) for each in done], dtype=np.float64)
    if column == "measurements":
        return np.array([0.5 * each.readings for each in done], dtype=np.float64)
    return np.array([getattr(each, column) for each in done], dtype=np.float64)


def _hits(column: str, done: Sequence[Outcome]) -> int:
    if column in {"scrapped", "quarantined"}:
        return sum(each.ending == column for each in done)
    return sum(bool(getattr(each, column)) for each in done)
