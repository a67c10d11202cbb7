"""The belief in cases that can be worked out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from borewright.sizing.ahead import carried, change_for
from borewright.sizing.blunders import Reading, weigh
from borewright.sizing.causes import Circumstances
from borewright.sizing.gaussian import Gaussian, State, unit_row
from borewright.sizing.measuring import UNKNOWN_MASTER, Master, drift_seen, reading_row, setting_told
from borewright.sizing.model import Model, cut, opening_belief, pass_line
from borewright.sizing.pushoff import from_signed_log, signed_log
from borewright.sizing.tool_moves import follow_readout, set_tool, turn_adjuster
from tests.unit.sizing.plain import (
    DIRECT,
    bore,
    mm,
    outlook_for,
    read,
    readings,
    setting,
    temperature,
    with_values,
    with_widths,
    without_widths,
)

TIP = unit_row(State.UNLOCKED, State.LOCK)


def tip_sd(belief: Gaussian) -> float:
    return math.sqrt(float(TIP @ belief.covariance @ TIP))


def ready(model: Model, diameter_mm: float = 39.72) -> Gaussian:
    return set_tool(opening_belief(model), model, diameter_mm, locked=True)


def measured(belief: Gaussian, model: Model, as_read: float, times: int = 400) -> Gaussian:
    return belief.measured(reading_row(model), as_read, model.reading_variance(0.0012) / times)[0]


def test_like_passes_cancel_push_off_and_all_that_stays_the_same() -> None:
    """Bench, push-off and the gauge's setting were one unknown sum; the next like pass meets the same sum again."""
    model = with_widths(bore().model, gain=0.0, lock_scatter=0.0, move=0.0, wander=0.0, wear=0.0)
    model = with_widths(model, exponent=0.0, edge=0.0, pass_scatter=0.0, pass_share=0.0, part_warmth=0.0, ovality=0.0)
    model = with_values(with_widths(model, gauge_step=0.0, blunting=0.0), blunting=0.0, lock_return=1.0)
    before = measured(ready(model), model, 39.4, 40_000)
    first = cut(before, model)
    assert first.belief.sd(State.HOLE) > 0.009
    shown = Reading(1, first.belief.at(State.HOLE) - 0.011, 0)
    known = weigh(first.belief, model, [shown], Circumstances(1e-5, cut_before=True, line=first.line)).belief
    took_off = known.at(State.HOLE) - before.at(State.HOLE)
    aim = known.at(State.HOLE) + took_off
    change = change_for(known, outlook_for(model, tool_set=True), aim)
    assert change == pytest.approx(took_off, abs=2e-4)
    after = carried(known, outlook_for(model, tool_set=True), change)
    as_read = float(reading_row(model) @ after.covariance @ reading_row(model))
    assert math.sqrt(as_read) < 0.0005


def test_the_first_measured_pass_shows_the_sum_and_not_its_parts() -> None:
    model = bore().model
    after = cut(ready(model), model).belief
    known = measured(after, model, after.at(State.HOLE) - 0.008)
    row = reading_row(model)
    assert math.sqrt(float(row @ known.covariance @ row)) < 0.0001
    assert known.sd(State.BENCH) > 0.7 * after.sd(State.BENCH)
    assert known.sd(State.PUSH_OFF) > 0.3 * after.sd(State.PUSH_OFF)
    assert known.sd(State.GAUGE) > 0.9 * after.sd(State.GAUGE)


def test_spring_passes_end_at_the_depth_that_is_all_push_off() -> None:
    """Of an edge part e P nothing comes off: the hole ends at S - e P, and not at S."""
    known = without_widths(bore(min_depth="0.000001 mm").model)
    model = with_values(known, wear=0.0, blunting=0.0)
    belief = ready(model)
    reference, _ = from_signed_log(belief.at(State.PUSH_OFF))
    end = 39.72 - belief.at(State.EDGE) * reference
    gaps = []
    for _ in range(300):
        belief = cut(belief, model).belief
        gaps.append(end - belief.at(State.HOLE))
    assert gaps[0] > 0.005
    assert gaps == sorted(gaps, reverse=True)
    assert gaps[-1] == pytest.approx(0.0, abs=1e-6)


def test_a_pass_follows_the_tool_by_the_share_that_is_not_bent_away() -> None:
    """C/(C + k): of an error of the old hole dp/ds is copied, of a move of the tool 1 - dp/ds arrives."""
    model = bore().model
    line = pass_line(ready(model).mean, model)
    copied = line.row[State.HOLE]
    assert 0.0 < copied < 0.2
    assert line.row[State.UNLOCKED] == pytest.approx(1.0 - copied, abs=1e-12)
    assert line.follows == pytest.approx(1.0 - copied, abs=1e-12)


def test_a_bore_of_60_mm_in_aluminium_cut_5_k_warm_is_small_by_6_9_um() -> None:
    told = {"callout": "60 ±0.01 mm", "hole": "59.5", "material": "aluminium"}
    cold, warm = (
        without_widths(bore(**told, temperature={"part": celsius, "within": "0.4"}).model, "push_off")
        for celsius in (20, 25)
    )
    sizes = [cut(ready(model, 59.8), model).belief.at(State.HOLE) for model in (cold, warm)]
    share = cut(ready(cold, 59.8), cold).line.follows
    assert (sizes[0] - sizes[1]) / share == pytest.approx(0.00693, abs=2e-6)


def test_a_warm_reading_is_taken_back_to_20_degrees() -> None:
    model = bore(callout="60 ±0.01 mm", hole="59.5", material="aluminium").model
    row = reading_row(model)
    assert row[State.WARMTH] == pytest.approx(60.0 * 23.1e-6)


def test_a_tool_as_warm_as_its_part_cuts_its_own_size() -> None:
    told = {"part": 27, "tool": 27, "within": "0.4"}
    model = without_widths(bore(material="steel", temperature=told).model)
    cold = without_widths(bore(material="steel", temperature={"part": 20, "within": "0.4"}).model)
    assert cut(ready(model), model).belief.at(State.HOLE) == pytest.approx(
        cut(ready(cold), cold).belief.at(State.HOLE), abs=1e-9
    )


def test_a_tools_temperature_counts_from_when_it_was_taken() -> None:
    """40 mm of steel, 5 K warmer: 2.3 µm, of which 1 - dp/ds arrives."""
    entry = {"event": "temperature", "of": "tool", "celsius": "25"}
    cold, warm = bore(*setting(39.72), {"event": "passed"}), bore(*setting(39.72), entry, {"event": "passed"})
    assert warm.belief.hole_mm - cold.belief.hole_mm == pytest.approx(0.0023, abs=0.0002)


def test_from_locked_to_locked_the_mean_lock_shift_cancels_and_its_scatter_comes_twice() -> None:
    """Where unlocking gives the whole of it back."""
    model = with_values(with_widths(bore().model, gain=0.0, lock_return=0.0), lock_return=1.0)
    start = ready(model)
    moved = turn_adjuster(start, model, 0.1)
    scatter, move = model.priors.lock_scatter.width, model.priors.move.width
    added = tip_sd(moved) ** 2 - tip_sd(start) ** 2
    assert added == pytest.approx(2.0 * scatter**2 + move**2, rel=1e-9)
    assert float(TIP @ (moved.mean - start.mean)) == pytest.approx(0.1, abs=1e-12)


def test_what_unlocking_does_not_give_back_stays_in_the_tool() -> None:
    """Of a lock shift of 4 µm a tenth stays each time: ten moves on, the tip stands 4 µm further than moved."""
    model = with_values(without_widths(bore().model), lock_mean=0.004, lock_return=0.9)
    start = moved = ready(model)
    for _ in range(10):
        moved = turn_adjuster(moved, model, 0.01)
    assert float(TIP @ (moved.mean - start.mean)) == pytest.approx(0.1 + 0.004, abs=1e-12)


def test_set_unlocked_and_cut_locked_the_lock_shift_comes_in_whole() -> None:
    model = bore().model
    open_, locked = (set_tool(opening_belief(model), model, 39.72, locked=is_locked) for is_locked in (False, True))
    lock = math.hypot(model.priors.lock_mean.width, model.priors.lock_scatter.width)
    assert tip_sd(open_) ** 2 - tip_sd(locked) ** 2 == pytest.approx(lock**2, rel=1e-9)


def test_a_readout_sees_the_tip_and_leaves_out_the_lock() -> None:
    model = with_widths(bore(adjuster=DIRECT).model, gain=0.0)
    start = ready(model)
    moved = follow_readout(start, model, 0.153, 0.150)
    assert tip_sd(moved) ** 2 - tip_sd(start) ** 2 == pytest.approx(model.priors.move.width**2, rel=0.05)
    assert float(TIP @ (moved.mean - start.mean)) == pytest.approx(0.153, abs=0.0003)


def test_the_lock_shift_seen_on_a_readout_is_learned() -> None:
    model = bore(adjuster=DIRECT).model
    belief = ready(model)
    for _ in range(30):
        belief = follow_readout(belief, model, 0.013, 0.010)
    assert belief.at(State.LOCK_MEAN) == pytest.approx(0.003, abs=0.0002)
    assert belief.sd(State.LOCK_MEAN) < 0.0003


def test_a_readout_before_locking_stands_off_the_tip_by_the_lock() -> None:
    """Zeroed locked, then unlocked: where the tip stands unlocked is known, where it will lock is not."""
    model = with_widths(bore(adjuster=DIRECT).model, gain=0.0, move=0.0)
    start = ready(model)
    moved = follow_readout(start, model, None, 0.150)
    assert moved.at(State.UNLOCKED) - float(TIP @ start.mean) == pytest.approx(0.150, abs=1e-12)
    assert moved.covariance[State.UNLOCKED, State.UNLOCKED] == pytest.approx(tip_sd(start) ** 2, rel=1e-9)


def test_several_readings_narrow_their_scatter_and_never_the_setting() -> None:
    worked = bore(*setting(39.72), {"event": "passed"}, temperature={"part": 20, "within": "0.01", "spread": "0.01"})
    hole = worked.belief.hole_mm
    for entry in readings([hole] * 200):
        worked.record(entry)
    assert 0.0007 < worked.belief.now.sd(State.HOLE) < 0.00102
    assert bore(*setting(39.72)).model.priors.gauge_setting.width == 0.001


def test_a_recheck_shows_the_drift_and_never_the_masters_own_error() -> None:
    """However often it is done, half the variance of the setting stays."""
    recheck = {"event": "rechecked", "size": "40 mm", "as_read": "40.0000 mm"}
    once, often = bore(recheck), bore(*[recheck] * 400)
    unseen = 0.001 * math.sqrt(0.5)
    assert once.belief.now.sd(State.GAUGE) > unseen
    assert often.belief.now.sd(State.GAUGE) == pytest.approx(unseen, rel=0.01)
    assert often.belief.gauge_told(often.model)[1] == pytest.approx(unseen, rel=0.01)


def test_a_drift_that_a_recheck_shows_is_taken_off_belief_and_evidence_alike() -> None:
    """Seen again and again, 3 µm of drift are 3 µm off every reading; belief and evidence share the equation."""
    worked = bore(*[{"event": "rechecked", "size": "40 mm", "as_read": "40.0030 mm"}] * 400)
    assert worked.belief.now.at(State.GAUGE) == pytest.approx(0.003, abs=3e-5)
    assert worked.belief.gauge_told(worked.model) == pytest.approx(
        (worked.belief.now.at(State.GAUGE), worked.belief.now.sd(State.GAUGE)), rel=1e-6
    )


def test_a_recheck_on_a_warm_master_is_no_drift() -> None:
    model = bore().model
    growth = 40.0 * 11.5e-6 * 4.0
    assert drift_seen(model, growth, Master(celsius=24.0), 0.0, 0.0012)[0] == pytest.approx(0.0, abs=1e-12)
    assert drift_seen(model, 0.0, Master(celsius=24.0), -growth, 0.0012)[0] == pytest.approx(0.0, abs=1e-12)
    assert drift_seen(model, 0.001, UNKNOWN_MASTER, -growth, 0.0012)[0] == 0.001
    assert setting_told(0.001 * math.sqrt(0.5), (0.0, 0.001), ()) == (0.0, 0.001)


def test_readings_say_the_same_before_a_thermometer_and_after() -> None:
    first = bore(*setting(39.72), {"event": "passed"}, temperature(21.5), *readings([39.67, 39.671]))
    last = bore(*setting(39.72), {"event": "passed"}, *readings([39.67, 39.671]), temperature(21.5), read(39.6705))
    between = bore(*setting(39.72), {"event": "passed"}, read(39.67), temperature(21.5), read(39.671))
    np.testing.assert_allclose(between.belief.now.mean, first.belief.now.mean, rtol=1e-9, atol=1e-9)
    first.record(read(39.6705))
    np.testing.assert_allclose(last.belief.now.mean, first.belief.now.mean, rtol=1e-9, atol=1e-9)


def test_what_is_read_as_expected_on_another_setting_moves_nothing() -> None:
    """The first reading drew the line of the pass again; after another setting it is not drawn again from the start."""
    worked = bore(*setting(39.72), {"event": "passed"}, read(39.6700), {"event": "set_on", "size": "40 mm"})
    before = worked.belief.now
    worked.record(read(round(float(reading_row(worked.model) @ before.mean), 4)))
    lengths = [State.HOLE, State.UNLOCKED, State.BENCH, State.GAUGE]
    np.testing.assert_allclose(worked.belief.now.mean[lengths], before.mean[lengths], atol=6e-5)
    assert worked.belief.now.sd(State.HOLE) < before.sd(State.HOLE)


@pytest.mark.parametrize("truth", [0.010, 0.028, 0.045, 0.060])
def test_push_off_far_from_its_guess_is_learned_as_by_the_bent_curve_itself(truth: float) -> None:
    """Against quadrature over the one thing that is not known: the mean within 0.15 of its width, the width within 5 %.

    Where the curve bends, what is believed is its likeliest value, and not quite its mean.
    """
    model = without_widths(bore().model, "push_off")
    before = ready(model)
    done = cut(before, model)
    point = before.mean.copy()
    point[State.PUSH_OFF] = signed_log(truth)
    point[State.WARMTH_AT_CUT] = 0.0
    as_read = round(pass_line(point, model).size_mm, 3)
    scatter = 0.0012
    weighed = weigh(
        done.belief, model, [Reading(1, as_read, 0)], Circumstances(scatter, cut_before=True, line=done.line)
    )
    nodes = np.linspace(-5.0, 5.0, 4001)
    values = before.at(State.PUSH_OFF) + before.sd(State.PUSH_OFF) * nodes
    sizes = []
    for value in values:
        point[State.PUSH_OFF] = value
        sizes.append(pass_line(point, model).size_mm)
    off = (as_read - np.array(sizes)) ** 2 / model.reading_variance(scatter)
    likely = np.exp(-0.5 * (nodes**2 + off))
    likely /= likely.sum()
    mean = float(likely @ values)
    sd = math.sqrt(float(likely @ (values - mean) ** 2))
    assert weighed.belief.at(State.PUSH_OFF) == pytest.approx(mean, abs=0.15 * sd)
    assert weighed.belief.sd(State.PUSH_OFF) == pytest.approx(sd, rel=0.05)


def test_a_tool_that_cut_the_hole_stands_over_it_by_its_push_off() -> None:
    worked = bore(tool={"cut_hole": {"depth": "0.25 mm"}})
    assert worked.state == "set"
    assert worked.belief.tool_mm - worked.belief.hole_mm == pytest.approx(0.02, abs=0.0005)
    assert worked.belief.tool_sd_mm > worked.belief.now.sd(State.HOLE)


def test_an_inch_bore_is_the_same_bore() -> None:
    """2.3622 in is 59.99988 mm; told in inches or in millimetres, the belief is one."""
    told = {
        "hole": "2.3425 in",
        "adjuster": {"kind": "dial", "line": "0.0001 in", "on": "radius"},
        "gauge": {"step": "0.00005 in", "scatter": "0.00005 in", "bias": "0.00004 in"},
        "push_off": {"guess": "0.0008 in", "at": "0.01 in", "factor": "1.5"},
        "tool": {"bench": "0.00016 in", "seat": "0.00016 in"},
    }
    entries = (
        {"event": "set", "diameter": "2.3560 in"},
        {"event": "seated"},
        {"event": "passed"},
        {"event": "read", "as_read": "2.35505 in"},
        {"event": "moved", "lines": "+9.5"},
    )
    inch = bore(*entries, callout="2.3622 ±.0003", unit="in", **told)
    metric = bore(*entries, callout="59.99226-60.0075 mm", unit="mm", **told)
    assert inch.model.upper_mm == pytest.approx(60.0075, abs=1e-9)
    np.testing.assert_allclose(inch.belief.now.mean, metric.belief.now.mean, atol=1e-9)
    np.testing.assert_allclose(inch.belief.now.covariance, metric.belief.now.covariance, atol=1e-12)
    before = bore(*entries[:-1], callout="2.3622 ±.0003", unit="in", **told)
    # A line on the radius is worth two on the diameter: 9.5 lines are 19 tenths.
    assert (inch.belief.tool_mm - before.belief.tool_mm) / 25.4 == pytest.approx(0.0019, abs=0.00003)
    assert mm(inch.model.adjuster.line_mm) == "0.0051 mm"
