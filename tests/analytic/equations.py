"""The equations of a bore at the machine written down a second time, plainly, one state and one chance at a time.

Nothing here is taken from the program but the names of the states and the constants of a bore. A step is a function of
the states before and of the chances of that step; what it does to a joint Gaussian follows by finite differences,
``C' = F C F^T + G Q G^T``, and to a cloud of samples by doing it to each.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from scipy.optimize import brentq

from borewright.sizing.gaussian import SIZE, Gaussian, Matrix, State, Vector
from borewright.sizing.model import Model
from borewright.sizing.pushoff import SIGN_SCALE_MM

Chances = Mapping[str, float]
Step = Callable[[Vector, Chances], Vector]


def push_off_curve(removed_mm: float, x: Vector, model: Model) -> float:
    """g(q) = P (e + (1 - e)(q/q0)^m), with P believed as asinh(P/a)."""
    reference = SIGN_SCALE_MM * np.sinh(x[State.PUSH_OFF])
    edge, exponent, at = x[State.EDGE], x[State.EXPONENT], model.priors.push_off_depth.value
    return float(reference * (edge + (1.0 - edge) * (removed_mm / at) ** exponent))


def taken_off(depth_mm: float, x: Vector, model: Model) -> float:
    """What comes off, q with q + g(q) = s, by a root finder of another library."""
    return float(brentq(lambda q: q + push_off_curve(q, x, model) - depth_mm, 1e-12, 4.0 * depth_mm, xtol=1e-15))


def setting(diameter_mm: float, *, locked: bool) -> Step:
    """The bench shows the diameter; the spindle has it with the bench's error and a seat."""

    def step(before: Vector, chance: Chances) -> Vector:
        x = before.copy()
        x[State.LOCK] = x[State.LOCK_MEAN] + chance["lock_scatter"]
        tip = diameter_mm + x[State.BENCH] + chance["seat"]
        x[State.UNLOCKED] = tip - x[State.LOCK] if locked else tip
        return x

    return step


def turning(change_mm: float, backlash: int = 0, play_mm: float = 0.0, given_back: float = 0.98) -> Step:
    """Unlocking gives most of the lock shift back, the screw moves the tip, and the lock is drawn anew."""

    def step(before: Vector, chance: Chances) -> Vector:
        x = before.copy()
        x[State.UNLOCKED] += (1.0 - given_back) * x[State.LOCK] + chance["unlocking"] + x[State.STUCK]
        x[State.UNLOCKED] += change_mm * (1.0 + x[State.GAIN]) + backlash * x[State.BACKLASH] + play_mm
        x[State.UNLOCKED] += chance["move"]
        x[State.STUCK] = 0.0
        x[State.LOCK] = x[State.LOCK_MEAN] + chance["lock_scatter"]
        return x

    return step


def locking() -> Step:
    """The lock is drawn anew, and nothing else."""

    def step(before: Vector, chance: Chances) -> Vector:
        x = before.copy()
        x[State.LOCK] = x[State.LOCK_MEAN] + chance["lock_scatter"]
        return x

    return step


def following(locked_mm: float) -> Step:
    """The readout shows how far the locked tip has come; how that parts into tip and lock is left to the lock."""

    def step(before: Vector, chance: Chances) -> Vector:
        x = before.copy()
        tip = before[State.UNLOCKED] + before[State.LOCK] + locked_mm * (1.0 + before[State.GAIN]) + chance["move"]
        x[State.LOCK] = before[State.LOCK_MEAN] + chance["lock_scatter"]
        x[State.UNLOCKED] = tip - x[State.LOCK]
        return x

    return step


def following_unlocked(unlocked_mm: float) -> Step:
    """The readout shows the tip before locking, from its zero while locked; the lock comes on top."""

    def step(before: Vector, chance: Chances) -> Vector:
        x = before.copy()
        x[State.UNLOCKED] += before[State.LOCK] + unlocked_mm * (1.0 + before[State.GAIN]) + chance["move"]
        x[State.LOCK] = before[State.LOCK_MEAN] + chance["lock_scatter"]
        return x

    return step


def seating(name: str) -> Step:
    """The tool's diameter is another by a seat or an edge."""

    def step(before: Vector, chance: Chances) -> Vector:
        x = before.copy()
        x[State.UNLOCKED] += chance[name]
        return x

    return step


FORM = (State.TAPER, State.BELL, State.OVAL_0, State.OVAL_45)


def cutting(model: Model, expected: Vector, *, trial: bool = False) -> Step:
    """A pass deep enough to cut well; it copies form by dp/ds, as expected at the means."""
    size = 0.5 * (model.lower_mm + model.upper_mm)
    grown = size * model.priors.tool_expansion.value * model.priors.tool_warmth.value
    grown -= size * model.priors.part_expansion.value * expected[State.WARMTH]
    depth = expected[State.UNLOCKED] + expected[State.LOCK] + grown - expected[State.HOLE]
    removed = [taken_off(depth + off, expected, model) for off in (-1e-6, 1e-6)]
    copied = 1.0 - (removed[1] - removed[0]) / 2e-6

    def step(before: Vector, chance: Chances) -> Vector:
        x = before.copy()
        x[State.WARMTH_AT_CUT] = before[State.WARMTH] + chance["wander"]
        x[State.WARMTH] = x[State.WARMTH_AT_CUT] + chance["wander again"]
        size = 0.5 * (model.lower_mm + model.upper_mm)
        warm_tool = size * model.priors.tool_expansion.value * model.priors.tool_warmth.value
        warm_part = size * model.priors.part_expansion.value * x[State.WARMTH_AT_CUT]
        traced = before[State.UNLOCKED] + before[State.LOCK] + warm_tool - warm_part
        removed = taken_off(traced - before[State.HOLE], x, model)
        x[State.TRIAL if trial else State.HOLE] = before[State.HOLE] + removed + chance["pass_scatter"]
        x[State.UNLOCKED] += -model.priors.wear.value + chance["wear"]
        # The edge blunts: P grows by a share, in asinh(P/a) by tanh of it times as much, as at its guess.
        blunter = model.priors.blunting.value + chance["blunting"]
        x[State.PUSH_OFF] += blunter * np.tanh(np.arcsinh(model.priors.push_off.value / SIGN_SCALE_MM))
        for state in () if trial else FORM:
            x[state] = copied * before[state] + chance[state.name]
        return x

    return step


def gauging(shows_more_mm: float) -> Step:
    """The gauge is set anew: a drift that a re-check would show, and the master's own error, which it would not."""

    def step(before: Vector, chance: Chances) -> Vector:
        x = before.copy()
        x[State.DRIFT] = chance["drift"]
        x[State.GAUGE] = shows_more_mm + chance["drift"] + chance["master"]
        return x

    return step


def widths(model: Model, *names: str) -> dict[str, float]:
    """The standard deviations of the chances of a step, by the names of the priors they stand in."""
    known = {"wander again": "wander"}
    return {name: getattr(model.priors, known.get(name, name)).width for name in names}


def move_widths(model: Model) -> dict[str, float]:
    """The standard deviations of the chances of a turn of the screw."""
    unlocking = model.priors.lock_return.width * model.priors.lock_mean.width
    return {**widths(model, "lock_scatter", "move"), "unlocking": unlocking}


def pass_widths(model: Model) -> dict[str, float]:
    """The standard deviations of the chances of a pass."""
    form = {"TAPER": model.priors.taper.width, "BELL": model.priors.bell.width}
    form |= dict.fromkeys(("OVAL_0", "OVAL_45"), model.priors.ovality.width * np.sqrt(0.5))
    return {**widths(model, "wander", "wander again", "pass_scatter", "wear", "blunting"), **form}


def carried(belief: Gaussian, step: Step, sds: Mapping[str, float]) -> Gaussian:
    """Carry a joint Gaussian through a step by central differences in every state and every chance."""
    still = dict.fromkeys(sds, 0.0)
    mean = step(belief.mean, still)
    by_state = np.empty((SIZE, SIZE))
    for state in State:
        small = np.zeros(SIZE)
        small[state] = 1e-6
        by_state[:, state] = (step(belief.mean + small, still) - step(belief.mean - small, still)) / 2e-6
    covariance = by_state @ belief.covariance @ by_state.T
    for name, sd in sds.items():
        up, down = step(belief.mean, {**still, name: 1e-6}), step(belief.mean, {**still, name: -1e-6})
        by_chance = (up - down) / 2e-6
        covariance += sd * sd * np.outer(by_chance, by_chance)
    return Gaussian(mean, covariance)


def conditioned(belief: Gaussian, rows: Matrix, values: Vector, variances: Vector) -> Gaussian:
    """Take measurements in all at once, by solving the normal equations of the joint distribution."""
    across = belief.covariance @ rows.T
    within = rows @ across + np.diag(variances)
    mean = belief.mean + across @ np.linalg.solve(within, values - rows @ belief.mean)
    return Gaussian(mean, belief.covariance - across @ np.linalg.solve(within, across.T))


def sampled(belief: Gaussian, step: Step, sds: Mapping[str, float], count: int, seed: int) -> Matrix:
    """Do a step to each of a cloud of samples; shape (count, 16)."""
    draws = np.random.default_rng(seed)
    values, vectors = np.linalg.eigh(belief.covariance)
    root = vectors * np.sqrt(np.clip(values, 0.0, None))
    cloud = belief.mean + draws.standard_normal((count, SIZE)) @ root.T
    chances = {name: sd * draws.standard_normal(count) for name, sd in sds.items()}
    return np.array([step(x, {name: chance[i] for name, chance in chances.items()}) for i, x in enumerate(cloud)])
