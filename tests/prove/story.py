"""A bore's entries told to a plain statement of the model of belief, uncut by any straight line.

Every prior and every chance is a standard normal number, the equations of ``tests.analytic.equations`` make the states
of them, and the readings weigh them. Slips and faults, which the belief weighs where a reading surprises, are not told.
What it has in common with the belief: moves one after the other under the eye of a readout are one, as ``screw`` says,
and the mouth is in error alike at all readings of the land of one trial cut.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from typing import Any

import numpy as np
from numpy.typing import NDArray

from borewright.quantity.length import parse_length
from borewright.sizing.gaussian import State
from borewright.sizing.model import MOUTH_SD_MM, Model, opening_belief
from borewright.sizing.pushoff import SIGN_SCALE_MM
from tests.analytic import equations as eq

Values = NDArray[np.float64]
Entry = Mapping[str, object]
Step = Callable[[Values, Any], Values]
"""Does a step to many points at once: states of shape (22, n) and chances of shape (n,)."""


@dataclass(frozen=True)
class Told:
    """What a bore's entries say, in order: steps with their chances, and what was seen.

    Args:
        model: the bore's constants.
        steps: functions of the states, shape (22, n), and of their chances.
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
    for event, alike in groupby(entries, lambda entry: entry["event"]):
        if event == "moved" and model.adjuster.kind == "direct":
            _follow(story, model, list(alike))
        else:
            for entry in alike:
                _tell(story, model, entry)
    return story


def _tell(story: Told, model: Model, entry: Entry) -> None:
    event = entry["event"]
    if event == "set":
        step = eq.setting(parse_length(str(entry["diameter"])).mm, locked=True)
        story.step(step, eq.widths(model, "lock_scatter", "seat"))
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
        mouth = {"mouth": MOUTH_SD_MM} if trial else {}
        widths = eq.widths(model, "wander", "wander again", "wear", "blunting")
        story.step(cutting(model, trial=trial), widths | {"pass": 1.0} | mouth)
    elif event == "set_on":
        half = math.sqrt(0.5) * model.priors.gauge_setting.width
        story.step(eq.gauging(0.0), {"drift": half, "master": half})
    elif event == "temperature" and entry.get("of") == "part":
        row = _row({State.THERMOMETER: 1.0, State.WARMTH_AT_CUT if entry.get("when") == "cut" else State.WARMTH: 1.0})
        story.see(row, float(str(entry["celsius"])) - 20.0, 0.5 * model.priors.thermometer.width**2)
    elif event in {"read", "hole_checked"}:
        growth = model.diameter_mm * model.priors.part_expansion.value
        trial = event == "read" and story.after_trial[0]
        row = _row({State.TRIAL if trial else State.HOLE: 1.0, State.GAUGE: 1.0, State.WARMTH: growth})
        story.see(row, parse_length(str(entry["as_read"])).mm, model.reading_variance(model.priors.gauge_scatter.value))
    elif event != "seated":
        raise NotImplementedError(f"The sampler is not told of {event}.")


def _follow(story: Told, model: Model, entries: Sequence[Entry]) -> None:
    """Tell of moves one after the other under the eye of a readout: the last is where the tip stands.

    A lock that was loosened again shows the mean of all locks, with its own scatter and the readout's error.
    """
    if model.zeroed_unlocked or not all({"shown_locked", "shown_unlocked"} <= entry.keys() for entry in entries):
        raise NotImplementedError("The sampler is not told of a readout that was not zeroed and noted locked.")
    shown = [
        [parse_length(str(entry[name]), signed=True).mm for name in ("shown_locked", "shown_unlocked")]
        for entry in entries
    ]
    *loosened, last = [locked - unlocked for locked, unlocked in shown]
    priors = model.priors
    for lock in loosened:
        story.see(_row({State.LOCK_MEAN: 1.0}), lock, priors.lock_scatter.width**2 + priors.move.width**2)
    story.step(eq.following(math.fsum(locked for locked, _ in shown)), eq.widths(model, "lock_scatter", "move"))
    story.see(_row({State.LOCK: 1.0}), last, priors.move.width**2)


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
        left = before[State.HOLE] + removed + scatter * chance["pass"]
        if trial:
            x[State.TRIAL] = left + chance["mouth"]
        else:
            x[State.HOLE] = left
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
        if np.abs(excess).max() < 1e-12:
            break
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
        """Return the states after each step, each of shape (22, n), for points of shape (n, size)."""
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

    def holes(self, z: Values) -> Values:
        """Return the hole in the end, mm, shape (n,)."""
        return np.asarray(self.states(z)[-1][State.HOLE])
