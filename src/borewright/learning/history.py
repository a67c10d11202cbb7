"""From finished bores to what the next one begins with."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Final

import numpy as np

from borewright.learning.evidence import at_depth
from borewright.learning.gauge import learned_scatter
from borewright.learning.groups import Group, fitted, pooled
from borewright.learning.parts import (
    LEVELS,
    NAMES,
    OF_MATERIAL,
    PLACE,
    level_variances,
    never_told,
    size_of,
    start_means,
    start_widths,
)
from borewright.learning.taught import Taught
from borewright.learning.words import origin_of
from borewright.record.payloads.opened import Start
from borewright.sizing.gaussian import Matrix, Vector
from borewright.sizing.known import Known, Pair
from borewright.sizing.priors import LEARNED, Prior, Priors, priors_of

HALF_LIFE_BORES, HALF_LIFE_DAYS = 50.0, 365.0
"""After so many later bores of the tool, and after so many days, a bore counts half. Chosen, not measured."""

OPEN_WIDE: Final = 1e4
"""Variance, in prior variances, of a part that a bore is to say nothing of by itself."""

HARDLY_NARROWER, HARDLY_MOVED = 0.98, 0.05
"""What is narrower by less than this, and moved by less than this share of its width, was not learned."""

RANGE: Final[Mapping[str, tuple[float, float]]] = {"exponent": (0.2, 1.2), "edge": (0.0, 0.6)}
"""Where the shape of push-off's curve can be: it grows with depth, and some of it stays at none."""


@dataclass(frozen=True, slots=True)
class Learned:
    """What is learned for a bore of one tool.

    Args:
        known: what it begins with.
        same: the bores of this tool in this material that it rests on, the one finished first at the front.
        tool: those of this tool in other materials.
        like: those of other tools with the same kind of adjuster.
        other: the rest.
        left_out: finished bores that it does not rest on.
    """

    known: Known
    same: tuple[Taught, ...] = ()
    tool: tuple[Taught, ...] = ()
    like: tuple[Taught, ...] = ()
    other: tuple[Taught, ...] = ()
    left_out: tuple[Taught, ...] = ()


@dataclass(slots=True)
class _Tree:
    """Groups as they are met: each named by the way to it."""

    groups: list[Group] = field(default_factory=lambda: [Group(-1, 0)])
    places: dict[tuple[object, ...], int] = field(default_factory=lambda: {(): 0})

    def place(self, *way: object) -> int:
        if way not in self.places:
            parent = self.place(*way[:-1])
            self.places[way] = len(self.groups)
            self.groups.append(Group(parent, len(way)))
        return self.places[way]

    def bore(self, way: tuple[object, ...], information: Matrix, linear: Vector) -> None:
        self.groups.append(Group(self.place(*way), len(LEVELS) - 1, information, linear))


def learn(
    start: Start, tool: str, gauge: str, taught: Sequence[Taught], *, edges: int = 0, now: str | None = None
) -> Learned:
    """Learn what a bore of a tool begins with.

    What simulated machines taught is for simulated machines alone, and what metal taught for metal.

    Args:
        start: what is typed as it is opened.
        tool: the name of its tool's record.
        gauge: the name of its gauge's record.
        taught: what finished bores taught, the one finished first at the front.
        edges: how often the tool's edge was changed so far.
        now: when it is opened, ISO 8601, or None where age in days is not to count.

    Returns:
        What it begins with and what that rests on. Where nothing was learned, nothing is known.
    """
    taught = [each for each in taught if each.start.simulated == start.simulated]
    counted = _with_records([each for each in taught if each.evidence is not None], tool)
    own = [each for each in counted if each.tool == tool]
    kind, material = start.adjuster.kind, start.material or ""
    learned = Learned(
        Known(),
        same=tuple(each for each in own if each.material == material),
        tool=tuple(each for each in own if each.material != material),
        like=tuple(each for each in counted if each.tool != tool and each.start.adjuster.kind == kind),
        other=tuple(each for each in counted if each.tool != tool and each.start.adjuster.kind != kind),
        left_out=tuple(each for each in taught if each.evidence is None),
    )
    priors = priors_of(start)
    found: dict[str, Prior] = {}
    together: tuple[Pair, ...] = ()
    if counted:
        found, together = _parts(start, priors, tool, counted, learned, edges, now)
    if any(each.moves_shown for each in own) and (start.tool is None or start.tool.proved is None):
        found["proved"] = replace(priors.proved, value=1.0, origin=f"{LEARNED}: moves of this tool were read")
    if start.gauge.scatter is None:
        scatter = learned_scatter(priors.gauge_scatter, [each for each in counted if each.gauge == gauge])
        found |= {} if scatter is None else {"gauge_scatter": scatter}
    return replace(learned, known=Known(found, together))


def _with_records(counted: Sequence[Taught], tool: str) -> list[Taught]:
    """Count in what the records of the other tools say by themselves, each once: the last bore's holds the others'."""
    last = {each.tool: each for each in counted}
    return [each.with_record() if each.tool != tool and last[each.tool] is each else each for each in counted]


def _parts(
    start: Start,
    priors: Priors,
    tool: str,
    counted: Sequence[Taught],
    learned: Learned,
    edges: int,
    now: str | None,
) -> tuple[dict[str, Prior], tuple[Pair, ...]]:
    origin, scale = start_means(priors), np.maximum(start_widths(priors), 1e-12)
    shares = level_variances(start, priors)
    variances = np.array([shares[level] for level in LEVELS]) / scale**2
    depth, kind, material = priors.push_off_depth.value, start.adjuster.kind, start.material or ""
    guesses = {(each.tool, each.material): _guess_at(each, depth) for each in counted}
    guesses[tool, material] = priors.push_off.value
    tree = _Tree()
    for each, weight in zip(counted, _weights(counted, now), strict=True):
        assert each.evidence is not None
        evidence = at_depth(each.evidence, each.depth_mm, depth)
        information, linear = evidence.about(*_from_guess(origin, scale, guesses[each.tool, each.material]))
        untold = set() if each.start.adjuster.kind == kind else set(NAMES) - OF_MATERIAL
        if _seated_before(each, counted):
            untold.add("bench")
        information, linear = _without(information, linear, untold)
        way = (each.start.adjuster.kind, each.tool, each.material, each.edges)
        tree.bore(way, weight * information, weight * linear)
    tree.bore((kind, tool, material, edges), np.zeros((len(NAMES),) * 2), np.zeros(len(NAMES)))
    believed = pooled(tree.groups, fitted(tree.groups, variances))
    mean, covariance = believed.means[-1], believed.covariances[-1]
    covariance = covariance + np.diag(_of_another_guess(start, learned.same, depth, scale))
    means = origin + scale * mean
    room = 1.0 - np.diag(covariance).clip(0.0, 1.0)
    covariance = covariance + np.diag(np.minimum(never_told(start, means) / scale**2, room))
    return _as_priors(priors, learned, means, scale, covariance)


def _from_guess(origin: Vector, scale: Vector, guess_mm: float) -> tuple[Vector, Vector]:
    """Count push-off from the guess of a tool in a material, in proportion to its size.

    What tools have in common is how far their guesses are off, not how much they push off: groups wider than a tool in
    one material speak of that. Within a tool in one material push-off itself is spoken of, whatever was guessed when:
    it is one thing, and a guess is another each time.
    """
    place = PLACE["push_off"]
    there, unit = origin.copy(), scale.copy()
    there[place] = guess_mm
    unit[place] *= size_of(guess_mm) / size_of(float(origin[place]))
    return there, unit


def _guess_at(each: Taught, depth_mm: float) -> float:
    start = priors_of(each.start)
    edge, exponent = start.edge.value, start.exponent.value
    return each.guess_mm * (edge + (1.0 - edge) * float((depth_mm / start.push_off_depth.value) ** exponent))


def _weights(counted: Sequence[Taught], now: str | None) -> list[float]:
    """Return what each bore counts: half for so many later bores of its tool, and half for so many days."""
    return [
        0.5 ** (sum(later.tool == each.tool for later in counted[place + 1 :]) / HALF_LIFE_BORES)
        * 0.5 ** (_days(each.at, now) / HALF_LIFE_DAYS)
        for place, each in enumerate(counted)
    ]


def _days(at: str | None, now: str | None) -> float:
    if at is None or now is None:
        return 0.0
    return max((_moment(now) - _moment(at)).total_seconds() / 86_400.0, 0.0)


def _moment(at: str) -> datetime:
    return datetime.fromisoformat(at)


def _seated_before(each: Taught, counted: Sequence[Taught]) -> bool:
    """Tell whether an earlier bore was cut at the same seating: it has told of the bench what this one could."""
    for earlier in counted:
        if earlier is each:
            return False
        if earlier.seating == each.seating:
            return True
    return False


def _without(information: Matrix, linear: Vector, untold: Collection[str]) -> tuple[Matrix, Vector]:
    """Let evidence say nothing of some parts, and of the others what it says whatever those are."""
    if not untold:
        return information, linear
    wide = np.zeros(len(linear))
    wide[[PLACE[name] for name in untold]] = OPEN_WIDE
    spread = np.linalg.inv(np.eye(len(linear)) + information * wide)
    return spread @ information, spread @ linear


def _of_another_guess(start: Start, same: Sequence[Taught], depth_mm: float, scale: Vector) -> Vector:
    """Widen push-off where its guess is not what it was: somebody knows better, or something is not as it was."""
    wider = np.zeros(len(NAMES))
    if same:
        before = float(np.mean([_guess_at(each, depth_mm) for each in same]))
        off = priors_of(start).push_off.value - before
        wider[PLACE["push_off"]] = (0.5 * off / scale[PLACE["push_off"]]) ** 2
    return wider


def _as_priors(
    priors: Priors, learned: Learned, mean: Vector, scale: Vector, covariance: Matrix
) -> tuple[dict[str, Prior], tuple[Pair, ...]]:
    """Write what is believed of the parts as priors with their correlations."""
    widths, start = np.sqrt(np.diag(covariance)), start_means(priors)
    found: dict[str, Prior] = {}
    for place, name in enumerate(NAMES):
        before: Prior = getattr(priors, name)
        moved = abs(mean[place] - start[place]) / scale[place]
        if not before.width or (widths[place] > HARDLY_NARROWER and moved < HARDLY_MOVED):
            continue
        value, width = float(mean[place]), float(widths[place] * scale[place])
        if name in RANGE:
            value = min(max(value, RANGE[name][0]), RANGE[name][1])
        groups = (learned.same, learned.tool, learned.like, learned.other)
        origin = origin_of(before, *groups, of_material=name in OF_MATERIAL)
        found[name] = replace(before, value=value, width=width, origin=origin)
    unit = covariance / np.outer(widths, widths)
    together = tuple(
        (first, second, float(unit[PLACE[first], PLACE[second]]))
        for place, first in enumerate(found)
        for second in list(found)[place + 1 :]
    )
    return found, together
