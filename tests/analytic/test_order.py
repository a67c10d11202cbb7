"""Several like bores, reduced to cases with a closed form, and held against a machine that is simulated plainly."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import pytest

from borewright.sizing.ahead import change_for, move
from borewright.sizing.among import OWN, OWN_PART, Among, among
from borewright.sizing.gaussian import SIZE, Gaussian, Matrix, State, Vector
from borewright.sizing.losses import losses
from borewright.sizing.measuring import reading_row
from borewright.sizing.model import Model, cut, opening_belief
from borewright.sizing.order import Pace, compare_orders
from borewright.sizing.outlook import Outlook, Step
from borewright.sizing.plan import SPLITS, TRIAL_SPLITS, Cut, plan_by, with_under_cost
from borewright.sizing.side_by_side import minutes_of
from borewright.sizing.tool_moves import set_tool
from borewright.sizing.walk import Like, Walk
from tests.analytic.equations import cutting, following, move_widths, pass_widths
from tests.unit.sizing.plain import bore, outlook_for, with_widths, without_widths

SCATTER_MM, WIDE_MM = 0.0012, 0.05


def only_the_tool() -> Model:
    """All is known but the tool's diameter, of which next to nothing is, and a pass scatters; nothing pushes off."""
    model = with_widths(without_widths(bore().model), seat=WIDE_MM, pass_scatter=SCATTER_MM)
    values = {"push_off": 0.0, "gauge_step": 0.0}
    changed = {name: replace(getattr(model.priors, name), value=value) for name, value in values.items()}
    return replace(model, priors=replace(model.priors, **changed))


def exact(model: Model, *, tool_set: bool) -> Outlook:
    return replace(outlook_for(model, tool_set=tool_set), scatter_mm=1e-7, form_mm=0.0, thermometer=False)


def at_size(hole_mm: float, model: Model) -> Gaussian:
    """A bore of that hole with the tool set by the bench."""
    opened = opening_belief(model).redrawn(State.HOLE, hole_mm, 0.0)
    return set_tool(opened, model, hole_mm + 0.3, locked=True)


@pytest.mark.parametrize("measured", [1, 2, 4])
def test_after_n_bores_at_one_setting_the_next_is_as_wide_as_scatter_and_their_mean(measured: int) -> None:
    """Each reading shows S + e_i, so that S is known to scatter²/n, and the next comes to scatter² (1 + 1/n).

    What was thought of S before, wide as it is, counts as one more reading of that width.
    """
    model = only_the_tool()
    likes = [Like(at_size(39.4, model), exact(model, tool_set=True)) for _ in range(measured + 1)]
    walk = Walk(likes, among([like.now for like in likes], 0, OWN), likes[0].outlook)
    cut_first = range(measured)
    assert walk.through(list(cut_first), 0.5, measured=list(cut_first))
    assert walk.to_size([measured])
    tool = 1.0 / (measured / SCATTER_MM**2 + 1.0 / WIDE_MM**2)
    assert walk.cuts[-1].step.sd_mm == pytest.approx(math.sqrt(SCATTER_MM**2 + tool), rel=1e-6)
    assert walk.cuts[-1].step.sd_mm == pytest.approx(SCATTER_MM * math.sqrt(1.0 + 1.0 / measured), rel=1e-3)


def test_with_the_tool_found_exactly_the_second_is_as_wide_as_scatter_and_hole_alone() -> None:
    """The first is cut without scatter and measured; then only the second pass's own scatter is left."""
    model = with_widths(only_the_tool(), pass_scatter=0.0)
    likes = [Like(at_size(39.4, model), exact(model, tool_set=True)) for _ in range(2)]
    walk = Walk(likes, among([like.now for like in likes], 0, OWN), likes[0].outlook)
    assert walk.through([0], 0.5, measured=[0])
    noisy = with_widths(model, pass_scatter=SCATTER_MM)
    walk._tool = replace(walk._tool, model=noisy)
    assert walk.to_size([1])
    assert walk.cuts[-1].step.sd_mm == pytest.approx(SCATTER_MM, rel=1e-6)


def test_at_one_setting_an_error_of_the_tool_is_had_by_all() -> None:
    """Unmoved and unread between, each is S + e_i: variances w² + scatter², covariances w²."""
    wide = 0.004
    model = with_widths(only_the_tool(), seat=wide)
    likes = [Like(at_size(39.4, model), exact(model, tool_set=True)) for _ in range(3)]
    walk = Walk(likes, among([like.now for like in likes], 0, OWN), likes[0].outlook)
    assert walk.to_size([0, 1, 2])
    by_hand = np.full((3, 3), wide**2) + SCATTER_MM**2 * np.eye(3)
    assert walk.covariance == pytest.approx(by_hand, rel=1e-6)
    assert [round(one.step.sd_mm, 9) for one in walk.cuts] == [round(math.sqrt(wide**2 + SCATTER_MM**2), 9)] * 3


def test_a_bore_by_itself_is_planned_as_a_single_bore_is() -> None:
    of = bore()
    outlook = replace(outlook_for(of.model, tool_set=False), readout=None)
    like = Like(of.belief.now, outlook)
    pace = Pace(minutes_of(outlook, None, None), 1.0, 1.0)
    judged = with_under_cost(of.belief.now, outlook)
    for ordered in compare_orders([like], pace, one_part=True).ways:
        if ordered.way.kind == "each":
            splits = [one for one in (*SPLITS, *TRIAL_SPLITS) if _passes(one) == ordered.way.first]
            plans = [plan for one in splits if (plan := plan_by(of.belief.now, judged, one)) is not None]
            cheapest = min(plans, key=lambda plan: plan.cost)
            assert tuple(one.step for one in ordered.cuts) == cheapest.steps
            assert ordered.cost == pytest.approx(cheapest.cost, rel=1e-9)


def _passes(split: tuple[Cut, ...]) -> int:
    return 1 + sum(not one.trial for one in split)


@pytest.mark.parametrize("correlation", [-0.6, 0.0, 0.5, 0.9])
def test_two_holes_at_even_odds(correlation: float) -> None:
    """The orthant of two normals: 1/4 + arcsin(r)/(2 pi)."""
    found = losses([0.5, 0.5], np.array([[1.0, correlation], [correlation, 1.0]]))
    both = 0.25 + math.asin(correlation) / (2.0 * math.pi)
    assert found.several == pytest.approx(both, abs=1e-6)
    assert found.any == pytest.approx(1.0 - both, abs=1e-6)


def test_holes_apart_and_holes_that_err_as_one() -> None:
    odds = [0.01, 0.02, 0.005, 0.03]
    apart = losses(odds, np.diag([1.0, 4.0, 2.0, 1.0]))
    none = math.prod(1.0 - one for one in odds)
    one = math.fsum(p * none / (1.0 - p) for p in odds)
    assert apart.any == pytest.approx(1.0 - none, rel=1e-6)
    assert apart.several == pytest.approx(1.0 - none - one, rel=1e-4)


def test_holes_that_err_as_one_are_lost_together_but_for_the_hundredth_that_is_held_back() -> None:
    """At most 0.99 of a variance is taken as common: at five holes of 2 % any comes to 2.6 % and not 2 %."""
    as_one = losses([0.02] * 5, np.ones((5, 5)))
    rng = np.random.default_rng(1)
    errors = math.sqrt(0.99) * rng.standard_normal((400_000, 1)) + 0.1 * rng.standard_normal((400_000, 5))
    over = (errors > 2.053749).sum(axis=1)
    assert as_one.any == pytest.approx((over >= 1).mean(), abs=0.001)
    assert as_one.several == pytest.approx((over >= 2).mean(), abs=0.001)
    assert 0.02 < as_one.several < as_one.any < 0.027


def test_states_that_are_put_aside_are_those_of_one_whole_distribution() -> None:
    """Steps and measurements with bores changed between them, against the whole covariance at once."""
    rng = np.random.default_rng(4)
    factor = rng.normal(size=(SIZE, SIZE))
    beliefs = [Gaussian(rng.normal(size=SIZE), factor @ factor.T) for _ in range(3)]
    joint = among(beliefs, 1, OWN_PART)
    whole, where = _whole(joint), {1: 0, 0: SIZE, 2: SIZE + len(OWN_PART)}
    for taken, kind in ((0, "read"), (2, "step"), (1, "read"), (0, "step"), (2, "read")):
        joint = joint.taken_up(taken)
        row = rng.normal(size=SIZE)
        spread = _spread(row, where[taken], len(whole))
        if kind == "read":
            joint = joint.narrowed(row, 0.3)
            across = whole @ spread
            whole = whole - np.outer(across, across) / (spread @ across + 0.3)
        else:
            joint = joint.carried(joint.mean, {State.UNLOCKED: row}, {State.UNLOCKED: 0.2})
            turned = np.eye(len(whole))
            turned[State.UNLOCKED] = spread
            whole = turned @ whole @ turned.T
            whole[State.UNLOCKED, State.UNLOCKED] += 0.2
    joint = joint.taken_up(1)
    assert joint.there == (0, 2)
    assert _whole(joint) == pytest.approx(whole, rel=1e-9, abs=1e-12)


def _whole(joint: Among) -> Matrix:
    return np.block([[joint.covariance, joint.beside], [joint.beside.T, joint.between]])


def _spread(row: Vector, own_at: int, size: int) -> Vector:
    """The row over the whole: what is a bore's own stands at its place there."""
    whole = np.zeros(size)
    whole[:SIZE] = row
    if own_at:
        for index, state in enumerate(OWN_PART):
            whole[own_at + index] = row[state]
            whole[state] = 0.0
    return whole


@dataclass(frozen=True)
class Act:
    """A cut of a plan as it is done at the machine: what is aimed at, whether the tool moves, who is read when."""

    bore: int
    aim_mm: float
    moved: bool
    read_after: tuple[int, ...]


RUNS, BORES = 1500, 3
READOUT = {"kind": "direct", "step": "0.001 mm", "on": "diameter", "zeroed": "locked"}
TOLD = {"guess": "0.02 mm", "at": "0.25 mm", "factor": "1.1"}
MODEL = with_widths(bore(adjuster=READOUT, push_off=TOLD).model, pass_share=0.0, taper=0.0, bell=0.0, ovality=0.0)
"""Push-off is known well enough for its curve to be straight over what is not known of it; the holes are round."""

OUTLOOK = replace(outlook_for(MODEL), thermometer=False)
ROUGHED_MM = (39.40, 39.38, 39.41)


def belief_of(index: int) -> Gaussian:
    hole = opening_belief(MODEL).redrawn(State.HOLE, ROUGHED_MM[index], 0.008)
    return set_tool(hole, MODEL, 39.7, locked=True)


def joined() -> Among:
    return among([belief_of(index) for index in range(BORES)], 0, OWN)


@cache
def planned(kind: str) -> tuple[tuple[Act, ...], tuple[Step, ...], Matrix]:
    """Walk a way: the acts, the last cut of each bore, and the covariance of their sizes."""
    walk = Walk([Like(belief_of(index), OUTLOOK) for index in range(BORES)], joined(), OUTLOOK)
    if kind == "each":
        for one in range(BORES):
            assert walk.bring(one, [(Cut(0.6),)]) is not None
        read: list[tuple[int, ...]] = [(one.bore,) for one in walk.cuts]
    else:
        assert walk.through([0, 1, 2], 0.6, measured=[0, 1, 2])
        assert walk.to_size([0])
        assert walk.to_size([1, 2])
        read = [(), (), (0, 1, 2), (0,), (), (1, 2)]
    acts = tuple(Act(one.bore, one.step.aim_mm, one.moved, after) for one, after in zip(walk.cuts, read, strict=True))
    return acts, tuple(one.step for one in walk.cuts if one.last), walk.covariance


def at_the_machine(acts: tuple[Act, ...], rng: np.random.Generator) -> Vector:
    """Do a plan at a machine drawn from what is believed, the tool moved by what was read; the sizes it leaves."""
    truth = rng.multivariate_normal(belief_of(0).mean, belief_of(0).covariance, method="eigh")
    holes = [size + 0.008 * rng.standard_normal() for size in ROUGHED_MM]
    joint: Gaussian = joined()
    own = math.sqrt(MODEL.reading_variance(OUTLOOK.scatter_mm) / 2.0)
    row = reading_row(MODEL)
    for act in acts:
        assert isinstance(joint, Among)
        joint = joint.taken_up(act.bore)
        truth[State.HOLE] = holes[act.bore]
        if act.moved:
            change = change_for(joint, OUTLOOK, act.aim_mm)
            joint = move(joint, OUTLOOK, change)
            truth = following(change)(truth, drawn(rng, move_widths(MODEL)))
        truth = cutting(MODEL, joint.mean)(truth, drawn(rng, pass_widths(MODEL)))
        joint = cut(joint, MODEL).belief
        holes[act.bore] = truth[State.HOLE]
        for other in act.read_after:
            assert isinstance(joint, Among)
            joint = joint.taken_up(other)
            truth[State.HOLE] = holes[other]
            joint = joint.measured(row, float(row @ truth) + own * rng.standard_normal(), own**2)[0]
    return np.array(holes)


def drawn(rng: np.random.Generator, sds: Mapping[str, float]) -> dict[str, float]:
    return {name: sd * rng.standard_normal() for name, sd in sds.items()}


@cache
def sizes(kind: str) -> Matrix:
    acts, _, _ = planned(kind)
    rng = np.random.default_rng(7)
    return np.array([at_the_machine(acts, rng) for _ in range(RUNS)])


@pytest.mark.parametrize("kind", ["each", "together"])
def test_sizes_come_as_wide_and_as_much_in_common_as_they_were_foreseen(kind: str) -> None:
    """Against machines whose push-off is curved; 4 standard errors, and 3 % of a width for the straight line."""
    came = sizes(kind)
    _, _, covariance = planned(kind)
    sd = np.sqrt(np.diag(covariance))
    ratio = came.std(axis=0, ddof=1) / sd
    assert ratio == pytest.approx(np.ones(BORES), abs=4.0 / math.sqrt(2.0 * RUNS) + 0.03)
    correlation = covariance / np.outer(sd, sd)
    assert np.corrcoef(came.T) == pytest.approx(correlation, abs=4.0 / math.sqrt(RUNS) + 0.03)


@pytest.mark.parametrize("kind", ["each", "together"])
def test_as_many_are_lost_together_as_were_foreseen(kind: str) -> None:
    """Limits drawn one and a half deviations above each aim, so that losses are frequent enough to count."""
    came = sizes(kind)
    _, lasts, covariance = planned(kind)
    aims = np.array([step.aim_mm for step in lasts])
    limits = aims + 1.5 * np.sqrt(np.diag(covariance))
    over = (came > limits).sum(axis=1)
    foreseen = losses([0.0668072] * BORES, covariance)
    for odds, least in ((foreseen.any, 1), (foreseen.several, 2)):
        assert (over >= least).mean() == pytest.approx(odds, abs=4.0 * math.sqrt(odds * (1.0 - odds) / RUNS) + 0.01)


def test_what_was_learned_with_one_setting_is_carried_by_all_at_once() -> None:
    """Brought along together, the bores err together far more than finished one by one: that is what loses several."""
    common = {kind: losses([0.0668072] * BORES, planned(kind)[2]).several for kind in ("each", "together")}
    assert common["together"] > 1.2 * common["each"]
