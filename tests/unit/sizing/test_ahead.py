"""What is foreseen of a pass in one product is what the same pass carried through the whole belief leaves."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from borewright.sizing.ahead import LOCKING, MOVE, PASS, SEATING, Foreseen, carried, foresee, move
from borewright.sizing.gaussian import SIZE, Gaussian, State, unit_row
from borewright.sizing.model import cut
from borewright.sizing.outlook import Outlook
from borewright.sizing.proving import READINGS
from borewright.sizing.screw import CLOSED, TAKEN_UP, Play
from tests.unit.sizing.plain import ADJUSTERS, bore, outlook_for, with_widths

PLAYS = (TAKEN_UP, CLOSED, Play(1, -0.004), Play(0, 0.003))
CHANGES = (-0.02, 0.0, 0.012, 0.03, 0.11, 0.4)


def tangled(seed: int) -> Gaussian:
    """A belief in which everything has to do with everything: no zero hides a term that is left out."""
    draws = np.random.default_rng(seed)
    widths = np.full(SIZE, 0.002)
    widths[[State.PUSH_OFF, State.WARMTH, State.WARMTH_AT_CUT, State.THERMOMETER]] = 0.3
    widths[[State.EXPONENT, State.EDGE, State.GAIN]] = 0.05, 0.03, 0.004
    factor = draws.normal(size=(SIZE, SIZE)) * widths[:, None] / math.sqrt(SIZE)
    mean = np.zeros(SIZE)
    mean[State.HOLE], mean[State.UNLOCKED] = 39.9, 39.918
    mean[State.LOCK], mean[State.LOCK_MEAN], mean[State.BACKLASH] = 0.002, 0.0025, 0.014
    mean[State.PUSH_OFF], mean[State.EXPONENT], mean[State.EDGE] = 2.4, 0.75, 0.15
    mean[State.WARMTH], mean[State.GAUGE], mean[State.THERMOMETER] = 1.3, 0.0007, 0.2
    mean[State.BENCH], mean[State.GAIN] = 0.003, 0.005
    return Gaussian(mean, factor @ factor.T)


def seen_plainly(belief: Gaussian, outlook: Outlook) -> tuple[float, float]:
    """How the size that a measurement gives lies about the hole, from the belief after the pass."""
    model = outlook.model
    row = unit_row(State.HOLE, State.GAUGE)
    row[State.THERMOMETER] = -model.growth
    once = 0.5 * (model.growth * model.priors.thermometer.width) ** 2
    variance = float(row @ belief.covariance @ row) + once + model.reading_variance(outlook.scatter_mm) / READINGS
    return float(row @ belief.mean) - belief.at(State.HOLE) - outlook.known_mm, math.sqrt(variance)


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("play", PLAYS)
@pytest.mark.parametrize("adjuster", ADJUSTERS)
def test_a_move_and_a_pass_are_foreseen_as_they_are_carried_through(adjuster: str, play: Play, change: float) -> None:
    model = with_widths(bore(adjuster=ADJUSTERS[adjuster]).model, wander=0.4)
    outlook = replace(outlook_for(model), play=play, known_mm=0.0004)
    for seed in range(5):
        foreseen_as_carried(tangled(seed), outlook, change)


def test_a_tool_to_be_set_is_foreseen_as_it_is_carried_through() -> None:
    model = with_widths(bore().model, wander=0.4)
    for seed in range(5):
        for diameter in (39.92, 39.95, 40.1):
            foreseen_as_carried(tangled(seed), outlook_for(model, tool_set=False), diameter)


def foreseen_as_carried(belief: Gaussian, outlook: Outlook, change: float) -> None:
    moved = move(belief, outlook, change)
    done = cut(moved, outlook.model)
    step, plainly = foresee(belief, outlook, change).step, seen_plainly(done.belief, outlook)
    assert step.aim_mm == pytest.approx(done.belief.at(State.HOLE), abs=1e-12)
    assert step.tool_mm == pytest.approx(moved.at(State.UNLOCKED) + moved.at(State.LOCK), abs=1e-12)
    assert (step.depth_mm, step.push_off_mm) == pytest.approx((done.line.depth_mm, done.line.push_off_mm), abs=1e-12)
    assert step.sd_mm == pytest.approx(done.belief.sd(State.HOLE), rel=1e-9)
    assert (step.seen.off_mm, step.seen.sd_mm) == pytest.approx(plainly, rel=1e-9)
    assert step.follows == pytest.approx(done.line.follows)
    assert (step.rubs, step.change_mm) == (done.rubs, change)
    assert carried(belief, outlook, change).mean == pytest.approx(done.belief.mean)


@pytest.mark.parametrize(
    ("adjuster", "tool_set", "width", "chance"),
    [
        ("dial", True, "pass_scatter", PASS),
        ("dial", True, "lock_scatter", LOCKING),
        ("dial", True, "move", MOVE),
        ("direct", True, "move", MOVE),
        ("dial", False, "seat", SEATING),
    ],
)
def test_a_chance_is_what_the_width_loses_without_it(adjuster: str, tool_set: bool, width: str, chance: str) -> None:
    model = with_widths(bore(adjuster=ADJUSTERS[adjuster]).model, pass_share=0.0)
    change = 0.1 if tool_set else 40.02
    belief, outlook = tangled(1), outlook_for(model, tool_set=tool_set)
    quiet = replace(outlook, model=with_widths(model, **{width: 0.0}))
    whole: Foreseen = foresee(belief, outlook, change)
    less = whole.step.sd_mm**2 - foresee(belief, quiet, change).step.sd_mm ** 2
    assert less > 1e-9
    assert whole.chances[chance] == pytest.approx(less, rel=1e-6)


def test_what_a_fact_would_tell_is_what_the_width_loses_once_it_is_known() -> None:
    model = bore().model
    belief, outlook = tangled(2), outlook_for(model)
    whole = foresee(belief, outlook, 0.1)
    for states in ((State.PUSH_OFF,), (State.UNLOCKED, State.LOCK), (State.WARMTH,)):
        row = unit_row(*states)
        own = float(row @ belief.covariance @ row)
        known = belief.narrowed(row, 1e-12 * own)
        less = whole.step.sd_mm**2 - foresee(known, outlook, 0.1).step.sd_mm ** 2
        assert float(row @ whole.shared) ** 2 / own == pytest.approx(less, rel=1e-6)
