"""The steps of the joint belief against the equations written down a second time, and against samples of them."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from borewright.sizing.gaussian import SIZE, Gaussian, Matrix, State, mixed, unit_row
from borewright.sizing.measuring import UNKNOWN_MASTER, Master, gauge_set, reading_row, warmth_taken
from borewright.sizing.model import Model, cut, drawn_again, gauge_anew, locked_anew, opening_belief, pass_line
from borewright.sizing.tool_moves import follow_readout, set_tool, tool_widened, turn_adjuster
from tests.analytic import equations as eq
from tests.unit.sizing.plain import DIAL, DIRECT, bore, with_values, with_widths

SEEDS = range(3)
SAMPLES = 4000


def model_of(**changed: object) -> Model:
    return bore(**changed).model


def tangled(model: Model, seed: int, *, wide: float = 1.0) -> Gaussian:
    """A belief before a pass in which everything hangs together, as wide as a bore's usual one times ``wide``."""
    draws = np.random.default_rng(seed)
    usual = set_tool(opening_belief(model), model, 39.72, locked=True)
    sds = wide * np.maximum(np.sqrt(np.diag(usual.covariance)), 1e-4)
    mixing = draws.standard_normal((SIZE, SIZE)) / np.sqrt(SIZE)
    covariance = sds[:, None] * (mixing @ mixing.T + 0.1 * np.eye(SIZE)) * sds[None, :]
    mean = usual.mean.copy()
    mean[State.WARMTH] = 1.5
    mean[State.GAIN] = 0.004
    mean[State.LOCK_MEAN], mean[State.LOCK], mean[State.BENCH], mean[State.GAUGE] = 0.002, 0.0031, -0.0024, 0.0007
    return Gaussian(mean, covariance)


def assert_alike(ours: Gaussian, theirs: Gaussian, *, relative: float = 1e-6) -> None:
    """Hold two beliefs against each other, each covariance on the scale of its standard deviations."""
    sds = np.sqrt(np.diag(theirs.covariance)) + 1e-9
    np.testing.assert_allclose((ours.mean - theirs.mean) / sds, 0.0, atol=relative)
    np.testing.assert_allclose((ours.covariance - theirs.covariance) / np.outer(sds, sds), 0.0, atol=relative)


def assert_sampled(ours: Gaussian, cloud: Matrix) -> None:
    """Hold a belief against samples: means, variances and covariances within four of their standard errors."""
    count = len(cloud)
    sds = np.sqrt(np.diag(ours.covariance)) + 1e-12
    z = (cloud - ours.mean) / sds
    assert np.abs(z.mean(axis=0)).max() < 4.0 / np.sqrt(count)
    products = z.T @ z / count
    correlation = ours.covariance / np.outer(sds, sds)
    error = np.sqrt((1.0 + correlation**2) / count)
    alive = np.outer(sds > 1e-11, sds > 1e-11)
    assert np.abs((products - correlation) / error)[alive].max() < 4.0


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("locked", [True, False])
def test_setting_the_tool(seed: int, locked: bool) -> None:
    model = model_of()
    before = tangled(model, seed)
    step, sds = eq.setting(39.71, locked=locked), eq.widths(model, "lock_scatter", "seat")
    ours = set_tool(before, model, 39.71, locked=locked)
    assert_alike(ours, eq.carried(before, step, sds))
    assert_sampled(ours, eq.sampled(before, step, sds, SAMPLES, seed))


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("change", "backlash", "play"), [(0.2, 0, 0.0), (-0.05, 1, 0.0), (0.06, -1, 0.004)])
def test_turning_the_adjuster(seed: int, change: float, backlash: int, play: float) -> None:
    model = model_of()
    before = tangled(model, seed)
    step, sds = (
        eq.turning(change, backlash, play),
        eq.move_widths(model),
    )
    ours = turn_adjuster(before, model, change, backlash, play)
    assert_alike(ours, eq.carried(before, step, sds))
    assert_sampled(ours, eq.sampled(before, step, sds, SAMPLES, seed))


@pytest.mark.parametrize("seed", SEEDS)
def test_following_a_readout_locked(seed: int) -> None:
    model = model_of(adjuster=DIRECT)
    before = tangled(model, seed)
    step, sds = eq.following(0.15), eq.widths(model, "lock_scatter", "move")
    ours = follow_readout(before, model, 0.15, None)
    assert_alike(ours, eq.carried(before, step, sds))
    assert_sampled(ours, eq.sampled(before, step, sds, SAMPLES, seed))


@pytest.mark.parametrize("seed", SEEDS)
def test_following_a_readout_unlocked(seed: int) -> None:
    model = model_of(adjuster=DIRECT)
    before = tangled(model, seed)
    step, sds = eq.following_unlocked(0.148), eq.widths(model, "lock_scatter", "move")
    assert_alike(follow_readout(before, model, None, 0.148), eq.carried(before, step, sds))


@pytest.mark.parametrize("seed", SEEDS)
def test_following_a_readout_both_ways_sees_the_lock(seed: int) -> None:
    model = model_of(adjuster=DIRECT)
    before = tangled(model, seed)
    after = eq.carried(before, eq.following(0.15), eq.widths(model, "lock_scatter", "move"))
    seen = eq.conditioned(
        after, unit_row(State.LOCK)[None, :], np.array([0.002]), np.array([model.priors.move.width**2])
    )
    assert_alike(follow_readout(before, model, 0.15, 0.148), seen)


@pytest.mark.parametrize("seed", SEEDS)
def test_locking_anew_and_seating(seed: int) -> None:
    model = model_of()
    before = tangled(model, seed)
    locking = eq.carried(before, eq.locking(), eq.widths(model, "lock_scatter"))
    assert_alike(locked_anew(before, model), locking)
    seat = eq.carried(before, eq.seating("seat"), eq.widths(model, "seat"))
    assert_alike(tool_widened(before, model.priors.seat.width), seat)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("trial", [False, True])
@pytest.mark.parametrize("guess", ["0.02 mm", "-0.006 mm"])
def test_cutting_a_pass(seed: int, trial: bool, guess: str) -> None:
    """To first order; the scatter of a pass grows with its push-off, as it was expected at the mean."""
    model = model_of(push_off={"guess": guess, "at": "0.25 mm", "factor": "1.5"}, temperature={"tool": 23})
    before = tangled(model, seed)
    ours = cut(before, model, trial=trial)
    share = model.priors.pass_share.width * abs(ours.line.push_off_mm)
    sds = eq.pass_widths(model)
    sds["pass_scatter"] += share
    assert_alike(ours.belief, eq.carried(before, eq.cutting(model, before.mean, trial=trial), sds), relative=1e-5)
    assert not ours.rubs


@pytest.mark.parametrize("seed", SEEDS)
def test_cutting_a_pass_against_samples_of_a_narrow_belief(seed: int) -> None:
    model = model_of()
    before = tangled(model, seed, wide=0.1)
    ours = cut(before, model)
    sds = eq.pass_widths(model)
    sds["pass_scatter"] += model.priors.pass_share.width * abs(ours.line.push_off_mm)
    assert_sampled(ours.belief, eq.sampled(before, eq.cutting(model, before.mean), sds, SAMPLES, seed))


@pytest.mark.parametrize("seed", SEEDS)
def test_setting_the_gauge(seed: int) -> None:
    model = model_of()
    before = tangled(model, seed)
    half = model.priors.gauge_setting.width * np.sqrt(0.5)
    step = eq.gauging(-0.0013)
    ours = gauge_anew(before, -0.0013, float(half), float(np.hypot(half, 0.0004)))
    sds = {"drift": float(half), "master": float(np.hypot(half, 0.0004))}
    assert_alike(ours, eq.carried(before, step, sds))
    assert_sampled(ours, eq.sampled(before, step, sds, SAMPLES, seed))


@pytest.mark.parametrize("seed", SEEDS)
def test_measurements_one_by_one_are_all_at_once(seed: int) -> None:
    model = model_of()
    before = tangled(model, seed)
    reading, thermometer = reading_row(model), unit_row(State.WARMTH, State.THERMOMETER)
    variance = model.reading_variance(0.0012)
    ours = before
    for value in (39.7012, 39.7031):
        ours = ours.measured(reading, value, variance)[0]
    ours = warmth_taken(ours, model, 21.3, at_cut=False)
    rows, values = np.array([reading, reading, thermometer]), np.array([39.7012, 39.7031, 1.3])
    theirs = eq.conditioned(before, rows, values, np.array([variance, variance, 0.5 * 0.4**2]))
    assert_alike(ours, theirs, relative=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_measurement_tells_how_far_off_it_was(seed: int) -> None:
    model = model_of()
    before, row = tangled(model, seed), reading_row(model)
    _, innovation, variance = before.measured(row, 39.7, 4e-6)
    assert innovation == pytest.approx(39.7 - float(row @ before.mean), abs=1e-15)
    assert variance == pytest.approx(float(row @ before.covariance @ row) + 4e-6, rel=1e-12)
    narrowed = before.narrowed(row, 4e-6)
    np.testing.assert_array_equal(narrowed.covariance, before.measured(row, 12.3, 4e-6)[0].covariance)
    np.testing.assert_array_equal(narrowed.mean, before.mean)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_mixture_has_the_mean_and_covariance_of_its_samples(seed: int) -> None:
    model = model_of()
    parts = [tangled(model, seed), tangled(model, seed + 50)]
    parts[1].mean[State.HOLE] += 0.03
    draws = np.random.default_rng(seed)
    chosen = draws.random(SAMPLES) < 0.3
    cloud = np.where(
        chosen[:, None],
        draws.multivariate_normal(parts[0].mean, parts[0].covariance, SAMPLES),
        draws.multivariate_normal(parts[1].mean, parts[1].covariance, SAMPLES),
    )
    ours = mixed(parts, [0.3, 0.7])
    z = (cloud.mean(axis=0) - ours.mean) / np.sqrt(np.diag(ours.covariance) / SAMPLES)
    assert np.abs(z).max() < 4.0
    # A mixture of two humps is flatter than a normal distribution: its variance is told at least as sharply.
    ratio = cloud.var(axis=0) / np.diag(ours.covariance)
    assert np.abs(ratio - 1.0).max() < 4.0 * np.sqrt(2.0 / SAMPLES)


def test_redrawing_forgets_one_state_and_what_hung_on_it() -> None:
    before = tangled(model_of(), 1)
    after = before.redrawn(State.GAIN, 0.01, 0.002)
    assert (after.at(State.GAIN), after.sd(State.GAIN)) == (0.01, 0.002)
    others = [state for state in State if state is not State.GAIN]
    assert not after.covariance[State.GAIN, others].any()
    np.testing.assert_array_equal(after.covariance[np.ix_(others, others)], before.covariance[np.ix_(others, others)])
    np.testing.assert_array_equal(after.mean[others], before.mean[others])


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("trial", [False, True])
def test_a_line_drawn_again_is_the_line_that_would_have_been_drawn(seed: int, trial: bool) -> None:
    """Where hole and wear are known, carrying on from one line to another is to have cut along the other at once."""
    model = with_values(with_widths(model_of(), wear=0.0, blunting=0.0), blunting=0.0)
    before = tangled(model, seed).redrawn(State.HOLE, 39.4, 0.0)
    done = cut(before, model, trial=trial)
    believed = done.belief.mean.copy()
    believed[State.PUSH_OFF] += 0.5
    believed[State.EXPONENT] -= 0.05
    believed[State.UNLOCKED] += 0.003
    again = drawn_again(done.belief, done.line, believed, model, trial=trial)
    # The same by finite differences about the states before the pass through which the new line goes.
    point = believed.copy()
    point[State.HOLE] = 39.4
    point[State.UNLOCKED] += model.priors.wear.value
    line = pass_line(point, model)
    target = State.TRIAL if trial else State.HOLE
    away = before.mean.copy()
    away[State.WARMTH_AT_CUT] = done.belief.mean[State.WARMTH_AT_CUT]
    expected = line.size_mm + line.row @ (away - point)
    assert again.mean[target] == pytest.approx(expected, abs=1e-12)
    row = line.row.copy()
    row[State.HOLE] = 0.0
    scatter = model.priors.pass_scatter.width + model.priors.pass_share.width * done.line.push_off_mm
    variance = row @ done.belief.covariance @ row + scatter**2
    assert again.covariance[target, target] == pytest.approx(variance, rel=1e-9)


@given(
    st.floats(-0.03, 0.1),
    st.floats(0.4, 0.98),
    st.floats(0.02, 0.35),
    st.floats(0.05, 0.6),
)
@settings(max_examples=60, deadline=None)
def test_the_line_of_a_pass_has_the_slopes_of_the_equations(
    push_off: float, exponent: float, edge: float, depth: float
) -> None:
    model = model_of()
    point = tangled(model, 0).mean
    point[State.PUSH_OFF] = np.arcsinh(push_off / 0.003)
    point[State.EXPONENT], point[State.EDGE] = exponent, edge
    point[State.WARMTH_AT_CUT] = point[State.WARMTH]
    point[State.UNLOCKED] = 39.4 + depth + max(push_off, 0.0) * edge
    line = pass_line(point, model)
    still = dict.fromkeys(eq.pass_widths(model), 0.0)
    step = eq.cutting(model, point)
    for state in State:
        if state in {State.WARMTH, State.WARMTH_AT_CUT}:
            continue
        small = np.zeros(SIZE)
        small[state] = 1e-7
        slope = (step(point + small, still)[State.HOLE] - step(point - small, still)[State.HOLE]) / 2e-7
        assert line.row[state] == pytest.approx(slope, rel=2e-4, abs=2e-7), state
    small = np.zeros(SIZE)
    small[State.WARMTH] = 1e-5
    slope = (step(point + small, still)[State.HOLE] - step(point - small, still)[State.HOLE]) / 2e-5
    assert line.row[State.WARMTH_AT_CUT] == pytest.approx(slope, rel=2e-4, abs=1e-9)


def test_a_gauge_set_on_a_warm_master_reads_low() -> None:
    """40 mm · 11.5e-6/K · 5 K = 2.3 µm, and as much less sure as the thermometer makes it."""
    model = model_of()
    warm, cold = (
        gauge_set(opening_belief(model), model, Master(celsius=25.0)),
        gauge_set(opening_belief(model), model, UNKNOWN_MASTER),
    )
    assert warm.at(State.GAUGE) == pytest.approx(-0.0023, abs=1e-9)
    assert warm.sd(State.GAUGE) == pytest.approx(np.hypot(0.001, 40.0 * 11.5e-6 * 0.4), rel=1e-9)
    assert cold.at(State.GAUGE) == 0.0
    assert cold.sd(State.GAUGE) == pytest.approx(0.001, rel=1e-12)


@pytest.mark.parametrize("adjuster", [DIAL, DIRECT])
def test_the_opening_belief_holds_the_priors(adjuster: object) -> None:
    model = model_of(adjuster=adjuster)
    belief, priors = opening_belief(model), model.priors
    for state, prior in (
        (State.HOLE, priors.hole),
        (State.BENCH, priors.bench),
        (State.GAIN, priors.gain),
        (State.GAUGE, priors.gauge_setting),
        (State.EXPONENT, priors.exponent),
        (State.WARMTH, priors.part_warmth),
    ):
        assert belief.at(state) == prior.value
        assert belief.sd(state) == pytest.approx(prior.width, rel=1e-12)
    lock = np.hypot(priors.lock_mean.width, priors.lock_scatter.width)
    assert belief.sd(State.LOCK) == pytest.approx(lock, rel=1e-12)
