"""Stated odds against what came, by kind of job."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import Final

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from borewright.rehearsal.intervals import Figure, between, share
from borewright.rehearsal.watched import Stated, Watched

Values = NDArray[np.float64]
Plain = dict[str, object]

BINS: Final = 10
TAILS: Final = ((0.0, 0.01), (0.01, 0.02), (0.02, 0.05))
RESAMPLES: Final = 1000

EVENTS: Final[dict[str, tuple[Callable[[Stated], bool], Callable[[Stated], float], str]]] = {
    "oversize, every pass": (lambda each: each.of == "pass", lambda each: each.oversize, "over"),
    "in tolerance, every pass": (lambda each: each.of == "pass", lambda each: each.in_tolerance, "good"),
    "oversize, last pass": (lambda each: each.of == "pass" and each.last, lambda each: each.oversize, "over"),
    "in tolerance, last pass": (lambda each: each.of == "pass" and each.last, lambda each: each.in_tolerance, "good"),
    "in tolerance, at the release": (lambda each: each.of == "release", lambda each: each.in_tolerance, "good"),
}
"""What odds are stated of: which of them, the odds, and the verdict that makes them come true."""


def calibrated(bores: Sequence[Watched], draws: Generator) -> Plain:
    """Hold what was stated of some bores against what came."""
    innovations = np.array([value for bore in bores for value in bore.innovations])
    holes = np.array([value for bore in bores for value in bore.holes])
    covered = int((np.abs(holes) < 1.959964).sum())
    return {
        "bores": len(bores),
        "odds": {name: reliability(*columns(bores, name), draws) for name in EVENTS},
        "tail": [tail(bores, low, high) for low, high in TAILS],
        "innovations": {
            "count": len(innovations),
            "mean": mean_of(innovations).plain(),
            "variance": variance_of(innovations).plain(),
        },
        "holes": {"count": len(holes), "variance": variance_of(holes).plain()},
        "coverage of 95 % intervals": share(covered, len(holes)).plain(),
    }


def columns(bores: Sequence[Watched], name: str) -> tuple[Values, Values, NDArray[np.int64]]:
    """Return the odds of an event, whether it came, and the bore that each belongs to."""
    wanted, odds, verdict = EVENTS[name]
    rows = [
        (odds(each), float(each.came == verdict), place)
        for place, bore in enumerate(bores)
        for each in bore.stated
        if wanted(each)
    ]
    table = np.array(rows, dtype=float).reshape(-1, 3)
    return table[:, 0], table[:, 1], table[:, 2].astype(np.int64)


def reliability(odds: Values, came: Values, bore: NDArray[np.int64], draws: Generator) -> Plain:
    """Return the expected calibration error over ten bins of equal count, its interval, and the bins.

    ``sum over bins of (n_b/n) |mean of odds - share that came|``; bores are resampled whole, as the odds of one belong
    together. With odds that are exactly right it is still above nothing, by chance.
    """
    order = np.argsort(odds, kind="stable")
    bins = np.empty(len(odds), dtype=np.int64)
    bins[order] = np.arange(len(odds)) * BINS // max(len(odds), 1)
    whole = np.ones(len(odds))
    bores = int(bore.max()) + 1 if len(bore) else 1
    drawn = []
    for _ in range(RESAMPLES):
        weights = draws.multinomial(bores, np.full(bores, 1.0 / bores))[bore].astype(float)
        if weights.any():
            drawn.append(error_of(odds, came, bins, weights))
    shown = []
    for each in range(BINS):
        inside = bins == each
        if inside.any():
            seen = share(int(came[inside].sum()), int(inside.sum()))
            shown.append({"count": int(inside.sum()), "stated": round(float(odds[inside].mean()), 6), **seen.plain()})
    error = between(error_of(odds, came, bins, whole), np.array(drawn))
    return {
        "stated": len(odds),
        "mean": round(float(odds.mean()), 6),
        "came": round(float(came.mean()), 6),
        "error": error.plain(),
        "bins": shown,
    }


def error_of(odds: Values, came: Values, bins: NDArray[np.int64], weights: Values) -> float:
    """Return the expected calibration error with weights."""
    stated = np.bincount(bins, weights * odds, BINS)
    seen = np.bincount(bins, weights * came, BINS)
    return float(np.abs(stated - seen).sum() / weights.sum())


def tail(bores: Iterable[Watched], low: float, high: float) -> Plain:
    """Return how often holes came out oversize of those whose odds of it were stated between two."""
    inside = [each for bore in bores for each in bore.stated if each.of == "pass" and low <= each.oversize < high]
    # Where oversize is out of reach its odds are nothing to many digits, and say nothing of the tail.
    inside = [each for each in inside if each.oversize > 1e-6]
    if not inside:
        return {"from": low, "to": high, "count": 0}
    stated = math.fsum(each.oversize for each in inside) / len(inside)
    came = share(sum(each.came == "over" for each in inside), len(inside))
    return {"from": low, "to": high, "count": len(inside), "stated": round(stated, 6), "came": came.plain()}


def mean_of(values: Values) -> Figure:
    """Return a mean with its interval."""
    mean, half = float(values.mean()), 1.959964 * float(values.std(ddof=1)) / math.sqrt(len(values))
    return Figure(mean, mean - half, mean + half)


def variance_of(values: Values) -> Figure:
    """Return the mean square, which is 1 where widths are right, with its interval."""
    return mean_of(values**2)
