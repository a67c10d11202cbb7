"""The belief against a long run of a general-purpose sampler on the same model, uncut by any straight line.

A rehearsed bore is sized by the advice. Its entries are then told to a plain statement of the same model: every prior
and every chance is a standard normal number, the equations of ``tests.analytic.equations`` make the states of them, and
the readings weigh them. The sampler knows nothing of the program; it moves an ensemble of points.

Bores with a reading that surprises are passed over, and those in which an edge rubbed or anything else went wrong:
there the belief weighs slips and faults, which this plain statement of the model does not have.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import emcee
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from borewright.gauging.conformity import normal_cdf
from borewright.quantity.length import parse_length
from borewright.rehearsal.advised import follow, start_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.watched import watched
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.model import MOUTH_SD_MM, Model, opening_belief
from borewright.sizing.pushoff import SIGN_SCALE_MM
from tests.analytic import equations as eq

Values = NDArray[np.float64]
Entry = Mapping[str, object]
Step = Callable[[Values, Any], Values]
"""Does a step to many points at once: states of shape (16, n) and chances of shape (n,)."""

WALKERS_A_DIMENSION: Final = 3
BURNT: Final = 0.25
"""Share of the steps that is thrown away."""

CALM: Final = 1.5
"""Readings of the bores compared lie less far than this from what was expected, in standard deviations."""

THIN: Final = 5
"""One of so many steps is kept."""


@dataclass(frozen=True)
class Told:
    """What a bore's entries say, in order: steps with their chances, and what was seen.

    Args:
        model: the bore's constants.
        steps: functions of the states, shape (16, n), and of their chances.
        chances: the standard deviation of each chance, step by step.
        seen: after how many steps, what it is made of, what was seen, and the variance.
        after_trial: whether the last pass was a trial cut.
    """

    model: Model
    steps: list[Step] = field(default_factory=list)
    chances: list[dict[str, float]] = field(default_factory=list)
    seen: list[tuple[int, Values, float, float]] = field(default_factory=list)
    after_trial: list[bool] = field(default_factory=lambda: [False])

    def step(self, function: Step, sds: Mapping[str, float]) -> None:
        """Add a step."""
        self.steps.append(function)
        self.chances.append(dict(sds))

    def see(self, row: Values, value: float, variance: float) -> None:
        """Add what was seen after the steps so far."""
        self.seen.append((len(self.steps), row, value, variance))


def told(model: Model, entries: Sequence[Entry]) -> Told:
    """Tell entries to the plain statement of the model."""
    story = Told(model)
    for entry in entries:
        _tell(story, model, entry)
    return story


def _tell(story: Told, model: Model, entry: Entry) -> None:
    event = entry["event"]
    if event == "set":
        step = eq.setting(parse_length(str(entry["diameter"])).mm, locked=True)
        story.step(step, eq.widths(model, "lock_scatter", "seat"))
    elif event == "moved" and model.adjuster.kind == "direct":
        _follow(story, model, entry)
    elif event == "moved":
        lines = entry.get("lines")
        change = parse_length(str(entry["change"]), signed=True).mm if lines is None else 0.0
        change = change if lines is None else float(str(lines)) * model.adjuster.line_mm
        if 0.0 < change < model.priors.stick.value:
            raise NotImplementedError("The sampler is not told of moves that may stick.")
        story.step(eq.turning(change, given_back=model.priors.lock_return.value), eq.move_widths(model))
    elif event == "passed":
        trial = entry.get("depth") == "trial"
        story.after_trial[0] = trial
        story.step(
            cutting(model, trial=trial), eq.widths(model, "wander", "wander again", "wear", "blunting") | {"pass": 1.0}
        )
    elif event == "set_on":
        half = math.sqrt(0.5) * model.priors.gauge_setting.width
        story.step(eq.gauging(0.0), {"drift": half, "master": half})
    elif event == "temperature":
        row = _row({State.THERMOMETER: 1.0, State.WARMTH_AT_CUT if entry.get("when") == "cut" else State.WARMTH: 1.0})
        story.see(row, float(str(entry["celsius"])) - 20.0, 0.5 * model.priors.thermometer.width**2)
    elif event in {"read", "hole_checked"}:
        growth = model.diameter_mm * model.priors.part_expansion.value
        trial = event == "read" and story.after_trial[0]
        row = _row({State.TRIAL if trial else State.HOLE: 1.0, State.GAUGE: 1.0, State.WARMTH: growth})
        variance = model.reading_variance(model.priors.gauge_scatter.value) + (MOUTH_SD_MM**2 if trial else 0.0)
        story.see(row, parse_length(str(entry["as_read"])).mm, variance)
    elif event != "seated":
        raise NotImplementedError(f"The sampler is not told of {event}.")


def _follow(story: Told, model: Model, entry: Entry) -> None:
    locked, unlocked = (parse_length(str(entry[name]), signed=True).mm for name in ("shown_locked", "shown_unlocked"))
    story.step(eq.following(locked), eq.widths(model, "lock_scatter", "move"))
    story.see(_row({State.LOCK: 1.0}), locked - unlocked, model.priors.move.width**2)


def _row(parts: Mapping[State, float]) -> Values:
    row = np.zeros(len(State))
    for state, part in parts.items():
        row[state] = part
    return row


def cutting(model: Model, *, trial: bool) -> Step:
    """Return the step of a pass, for many points at once; the scatter grows with push-off."""

    def step(before: Values, chance: Mapping[str, Values]) -> Values:
        x = before.copy()
        x[State.WARMTH_AT_CUT] = before[State.WARMTH] + chance["wander"]
        x[State.WARMTH] = x[State.WARMTH_AT_CUT] + chance["wander again"]
        size = model.diameter_mm
        warm_tool = size * model.priors.tool_expansion.value * model.priors.tool_warmth.value
        warm_part = size * model.priors.part_expansion.value * x[State.WARMTH_AT_CUT]
        depth = before[State.UNLOCKED] + before[State.LOCK] + warm_tool - warm_part - before[State.HOLE]
        removed = taken_off(depth, x, model)
        scatter = model.priors.pass_scatter.width + model.priors.pass_share.width * np.abs(depth - removed)
        x[State.TRIAL if trial else State.HOLE] = before[State.HOLE] + removed + scatter * chance["pass"]
        x[State.UNLOCKED] = before[State.UNLOCKED] - model.priors.wear.value + chance["wear"]
        blunter = model.priors.blunting.value + chance["blunting"]
        x[State.PUSH_OFF] = before[State.PUSH_OFF] + blunter * model.by_share
        return x

    return step


def taken_off(depth: Values, x: Values, model: Model) -> Values:
    """Return q with q + g(q) = s by Newton's steps from below, for many points at once; g is concave."""
    reference = SIGN_SCALE_MM * np.sinh(x[State.PUSH_OFF])
    edge, exponent, at = x[State.EDGE], x[State.EXPONENT], model.priors.push_off_depth.value
    removed = np.maximum(np.maximum(depth - np.abs(reference), 0.05 * depth), 1e-9)
    for _ in range(12):
        grown = reference * (1.0 - edge) * (removed / at) ** exponent
        excess = removed + reference * edge + grown - depth
        removed = np.maximum(removed - excess / (1.0 + exponent * grown / removed), 1e-9)
    return np.asarray(removed)


class Posterior:
    """The posterior of a story over standard normal numbers: what was drawn at the opening, then every chance."""

    def __init__(self, story: Told) -> None:
        self.story = story
        opening = opening_belief(story.model)
        values, vectors = np.linalg.eigh(opening.covariance)
        alive = values > 1e-18
        self.mean, self.root = opening.mean, vectors[:, alive] * np.sqrt(values[alive])
        self.size = self.root.shape[1] + sum(len(sds) for sds in story.chances)

    def states(self, z: Values) -> list[Values]:
        """Return the states after each step, each of shape (16, n), for points of shape (n, size)."""
        used = self.root.shape[1]
        x = self.mean[:, None] + self.root @ z[:, :used].T
        states = [x]
        for step, sds in zip(self.story.steps, self.story.chances, strict=True):
            chance = {name: sd * z[:, used + at] for at, (name, sd) in enumerate(sds.items())}
            used += len(sds)
            x = step(x, chance)
            states.append(x)
        return states

    def residuals(self, z: Values) -> Values:
        """Return all residuals in standard deviations, shape (n, size + seen)."""
        states = self.states(z)
        seen = [(row @ states[after] - value) / math.sqrt(variance) for after, row, value, variance in self.story.seen]
        return np.column_stack([z, *seen])

    def log_probability(self, z: Values) -> Values:
        """Return the logarithm of the posterior but for a constant, shape (n,)."""
        residuals = self.residuals(z)
        found = -0.5 * (residuals * residuals).sum(axis=1)
        return np.where(np.isfinite(found), found, -np.inf)


@dataclass(frozen=True, slots=True)
class Drawn:
    """What a run of the sampler gives.

    Args:
        points: shape (n, size).
        moved: how many of the numbers the sampler moved; nothing that was seen rests on the others.
        independent: how many independent points they are worth, for the hole.
    """

    points: Values
    moved: int
    independent: float


def run(posterior: Posterior, steps: int, seed: int) -> Drawn:
    """Run the sampler, begun about the most probable point; what nothing seen rests on is drawn as it was believed."""

    def residuals(z: Values) -> Values:
        return np.asarray(posterior.residuals(z[None, :])[0])

    best = least_squares(residuals, np.zeros(posterior.size))
    slopes = np.asarray(best.jac)
    moved = np.flatnonzero(np.abs(slopes[posterior.size :]).max(axis=0) > 0.0)

    def whole(points: Values) -> Values:
        z = np.zeros((len(points), posterior.size))
        z[:, moved] = points
        return z

    draws = np.random.default_rng(seed)
    about = np.linalg.cholesky(np.linalg.inv((slopes.T @ slopes)[np.ix_(moved, moved)]))
    walkers = 2 * (WALKERS_A_DIMENSION * len(moved) // 2 + 1)
    start = best.x[moved] + draws.standard_normal((walkers, len(moved))) @ about.T
    sampler = emcee.EnsembleSampler(
        walkers,
        len(moved),
        lambda points: posterior.log_probability(whole(points)),
        moves=[(emcee.moves.DEMove(), 0.8), (emcee.moves.DESnookerMove(), 0.2)],
        vectorize=True,
    )
    # The library draws from a generator of NumPy's older kind.
    sampler.run_mcmc(emcee.State(start, random_state=np.random.RandomState(seed).get_state()), steps)
    chain = sampler.get_chain(discard=int(BURNT * steps), thin=THIN)
    points = whole(chain.reshape(-1, len(moved)))
    still = np.setdiff1d(np.arange(posterior.size), moved)
    points[:, still] = draws.standard_normal((len(points), len(still)))
    # The hole without what was drawn fresh: that would hide how slowly the rest moves.
    holes = posterior.states(whole(chain.reshape(-1, len(moved))))[-1][State.HOLE].reshape(chain.shape[:2])
    lag = float(emcee.autocorr.integrated_time(holes[:, :, None], tol=0)[0])
    return Drawn(points, len(moved), holes.size / lag)


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
    drawn = run(posterior, steps, seed)
    holes = posterior.states(drawn.points)[-1][State.HOLE]
    return {
        "kind": kind,
        "seed": seed,
        "when": when,
        "dimensions": drawn.moved,
        "independent": round(drawn.independent),
        "limit_mm": bore.model.upper_mm - bore.model.form_mm,
        "theirs_mm": float(holes.mean()),
        "theirs_sd_mm": float(holes.std()),
        "theirs_oversize": float((holes > bore.model.upper_mm - bore.model.form_mm).mean()),
    }
