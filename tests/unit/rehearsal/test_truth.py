"""The acts of the machine, each with the other faults taken away."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from borewright.errors import EntryError, OutOfTurnError
from borewright.rehearsal.acts import Act, Shown
from borewright.rehearsal.kinds import KINDS, Kind
from borewright.rehearsal.truth import Truth
from tests.unit.rehearsal.plain import DIAL, DIRECT, FAULTLESS, OFFSET, faultless

EVERY = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)


def seated(kind: Kind, seed: int = 1, *, below_mm: float = 0.3) -> Truth:
    """Return a machine with its tool set below mid size and in the spindle."""
    truth = Truth.draw(kind, seed)
    truth.set_tool(kind.size_mm - below_mm)
    truth.seat()
    return truth


@pytest.mark.parametrize("name", [DIAL, DIRECT, OFFSET])
def test_a_faultless_machine_does_as_it_is_told(name: str) -> None:
    truth = seated(faultless(name))
    set_at = truth.tool_mm
    assert set_at == pytest.approx(truth.kind.size_mm - 0.3, abs=1e-9)
    if name == DIAL:
        truth.move(lines=50)
    else:
        truth.move(change_mm=0.1)
    step = truth.told().step_mm
    assert truth.tool_mm - set_at == pytest.approx(0.1, abs=0.5 * step if name == DIRECT else 1e-9)
    before = truth.hole_mm
    truth.cut()
    depth_set = truth.tool_mm - before
    assert truth.hole_mm == pytest.approx(truth.tool_mm - truth.tool.push_off.of_depth(depth_set), abs=1e-9)
    assert truth.read() == pytest.approx(truth.hole_mm, abs=0.000005)
    assert truth.part_celsius() == 20.0


def test_told_a_faultless_hole_and_guess_are_the_truth() -> None:
    truth = Truth.draw(faultless(), 4)
    told = truth.told()
    assert told.hole_mm == pytest.approx(truth.hole_mm, abs=1e-9)
    assert told.push_off_guess_mm == pytest.approx(truth.tool.push_off.at_reference_mm, abs=0.0001)


@EVERY
def test_readings_are_whole_steps_of_the_gauge(kind: Kind) -> None:
    truth = seated(kind)
    truth.cut()
    for reading in (truth.check_hole(), truth.read(), truth.read(45.0), truth.read(place="mouth")):
        steps = reading / truth.told().gauge_step_mm
        assert steps == pytest.approx(round(steps), abs=1e-6)
        assert reading == round(reading, 9)


@EVERY
def test_cutting_never_makes_a_hole_smaller(kind: Kind) -> None:
    truth = seated(kind, 6)
    sizes = [truth.hole_mm]
    for _ in range(12):
        truth.cut()
        sizes.append(truth.hole_mm)
    assert sizes == sorted(sizes)
    assert sizes[-1] > sizes[0] + 0.1


def test_not_even_a_wild_pass_makes_a_hole_smaller() -> None:
    truth = seated(faultless(common=replace(FAULTLESS, pass_um=20.0)))
    sizes = []
    for _ in range(30):
        truth.cut()
        sizes.append(truth.hole_mm)
    assert sizes == sorted(sizes)
    assert sizes[-1] > sizes[0]


def test_a_tool_smaller_than_the_hole_cuts_nothing() -> None:
    truth = seated(faultless(), below_mm=0.7)
    before = truth.hole_mm
    assert truth.tool_mm < before
    truth.cut()
    assert truth.hole_mm == before
    assert [mishap.what for mishap in truth.mishaps] == ["the edge rubbed"]


def test_an_edge_wears_a_little_each_pass_and_a_new_one_does_not_remember() -> None:
    truth = seated(faultless(common=replace(FAULTLESS, wear_um=0.15)))
    start = truth.tool_mm
    for _ in range(4):
        truth.cut()
    assert truth.tool_mm == pytest.approx(start - 4 * 0.00015, abs=1e-12)
    truth.cut("trial")
    assert truth.tool_mm == pytest.approx(start - 4 * 0.00015, abs=1e-12)
    truth.set_tool(start)
    truth.seat()
    assert truth.tool_mm == pytest.approx(start, abs=1e-12)


def test_a_changed_edge_is_somewhere_else() -> None:
    truth = seated(faultless())
    start = truth.tool_mm
    truth.change_edge()
    assert 0.0001 < abs(truth.tool_mm - start) < 0.1


def test_a_built_up_edge_cuts_large_by_as_much_as_said() -> None:
    plain = seated(faultless())
    built_up = seated(faultless(common=replace(FAULTLESS, built_up_edge=1.0)))
    for truth in (plain, built_up):
        truth.cut()
    assert built_up.hole_mm - plain.hole_mm == pytest.approx(0.003, abs=1e-9)
    assert [mishap.what for mishap in built_up.mishaps] == ["a built-up edge cut large"]


def test_a_trial_cut_leaves_the_hole_and_opens_only_the_mouth() -> None:
    truth = seated(faultless())
    before = truth.hole_mm
    truth.cut("trial")
    assert truth.hole_mm == before
    assert truth.mouth_mm == pytest.approx(truth.tool_mm - truth.tool.push_off.of_depth(truth.tool_mm - before))
    assert truth.read() == pytest.approx(truth.mouth_mm, abs=0.000005)
    assert truth.read(place="hole") == pytest.approx(before, abs=0.000005)
    mouth = truth.mouth_mm
    truth.cut()
    assert truth.hole_mm == pytest.approx(mouth, abs=1e-9)
    assert truth.read() == pytest.approx(truth.hole_mm, abs=0.000005)


def test_a_mouth_stays_as_large_as_its_trial_cut() -> None:
    truth = seated(faultless())
    truth.cut("trial")
    mouth = truth.mouth_mm
    truth.move(lines=-30)
    truth.cut()
    assert truth.hole_mm < mouth - 0.05
    assert truth.mouth_mm == mouth
    assert truth.read(place="mouth") == pytest.approx(mouth, abs=0.000005)


def test_a_mouth_reads_large() -> None:
    truth = seated(faultless(common=replace(FAULTLESS, mouth_um=1.0)))
    truth.cut("trial")
    assert 0.00001 < truth.read() - truth.mouth_mm < 0.01


def test_a_thin_chip_is_cut_now_more_now_less_and_hardens_what_it_rubs() -> None:
    kind = replace(faultless(), min_depth_um=100.0)
    shares = []
    for seed in range(300):
        truth = seated(kind, seed, below_mm=0.55)
        before = truth.hole_mm
        depth_set = truth.tool_mm - before
        assert depth_set == pytest.approx(0.05)
        truth.cut()
        shares.append((truth.hole_mm - before) / truth.tool.push_off.taken(depth_set))
    assert all(0.0 <= share <= 1.0 for share in shares)
    assert sum(shares) / len(shares) == pytest.approx(0.5, abs=4 * math.sqrt(1 / 12 / 300))
    hardened = seated(kind, below_mm=0.55)
    hardened.cut()
    hardened.move(lines=round((hardened.hole_mm + 0.11 - hardened.tool_mm) / 0.002))
    before, depth_set = hardened.hole_mm, hardened.tool_mm - hardened.hole_mm
    hardened.cut()
    assert depth_set > 0.1
    assert hardened.hole_mm - before < 0.999 * hardened.tool.push_off.taken(depth_set)


def test_ovality_eats_into_the_limits_and_shows_across() -> None:
    truth = seated(faultless(common=replace(FAULTLESS, ovality_um=3.0)), 3)
    truth.cut()
    readings = [truth.read(float(direction)) for direction in range(180)]
    assert max(readings) == pytest.approx(truth.largest_mm, abs=0.00002)
    assert min(readings) == pytest.approx(truth.smallest_mm, abs=0.00002)
    assert truth.ovality_mm > 0.0005
    assert truth.read(10.0) + truth.read(100.0) == pytest.approx(2 * truth.hole_mm, abs=0.00002)


def test_before_the_first_cut_it_is_the_hole_that_is_read() -> None:
    truth = Truth.draw(faultless(common=replace(FAULTLESS, ovality_um=10.0)), 3)
    assert truth.read(0.0) == truth.check_hole(0.0)
    assert max(truth.read(float(way)) for way in range(180)) == pytest.approx(truth.largest_mm, abs=0.00002)
    assert truth.ovality_mm > 0.001


@pytest.mark.parametrize(("aim_um", "verdict"), [(-8.5, "under"), (-7.5, "good"), (7.5, "good"), (8.5, "over")])
def test_the_verdict_is_of_the_whole_hole(aim_um: float, verdict: str) -> None:
    round_hole = seated(faultless())
    oval_hole = seated(faultless(common=replace(FAULTLESS, ovality_um=5.0)), 3)
    for truth in (round_hole, oval_hole):
        wanted = truth.kind.size_mm + 1e-3 * aim_um
        push_off = truth.tool.push_off.of_chip(wanted - truth.hole_mm)
        truth.set_tool(wanted + push_off)
        truth.seat()
        truth.cut()
        assert truth.hole_mm == pytest.approx(wanted, abs=1e-9)
    assert round_hole.verdict() == verdict
    assert oval_hole.ovality_mm > 0.001
    if verdict == "good":
        assert oval_hole.verdict() == ("over" if aim_um > 0 else "under")


def test_a_gauge_set_again_has_another_bias_and_keeps_it() -> None:
    truth = Truth.draw(replace(faultless(), gauge_bias_um=2.0), 2)
    first = truth.check_hole() - truth.hole_mm
    assert truth.check_hole() - truth.hole_mm == pytest.approx(first, abs=1e-9)
    assert first == pytest.approx(truth.gauge_bias_mm, abs=0.000006)
    truth.set_gauge()
    assert abs(truth.check_hole() - truth.hole_mm - first) > 0.0001


def test_a_thermometer_errs_alike_on_one_occasion() -> None:
    truth = seated(replace(faultless(common=replace(FAULTLESS, thermometer_k=0.4)), warm_k=0.0))
    truth.cut()
    assert truth.part_celsius() == truth.part_celsius()
    shown = {truth.part_celsius("cut"), truth.part_celsius()}
    for _ in range(5):
        truth.cut()
        shown |= {truth.part_celsius("cut"), truth.part_celsius()}
    assert len(shown) > 5


def test_cut_and_reading_have_their_own_temperatures() -> None:
    truth = seated(replace(faultless(), warm_k=3.0))
    truth.cut()
    at_cut = truth.celsius
    assert truth.part_celsius("cut") == round(at_cut, 1)
    truth.read()
    assert truth.celsius != at_cut
    assert truth.part_celsius() == round(truth.celsius, 1)
    assert truth.part_celsius("cut") == round(at_cut, 1)
    away = abs(truth.celsius - 20.0)
    truth.wait()
    assert abs(truth.celsius - 20.0) == pytest.approx(0.3 * away)


def test_a_direct_readout_shows_what_the_lock_does() -> None:
    kind = replace(KINDS[DIRECT], seat_um=0.0)
    truth = seated(kind, 5)
    shown = truth.move(change_mm=0.05)
    assert shown.before_mm is not None
    assert shown.freed_mm is not None
    assert shown.unlocked_mm is not None
    assert shown.locked_mm is not None
    assert shown.unlocked_mm == pytest.approx(shown.freed_mm + 0.05, abs=1e-9)
    lock = truth.tool.lock_mean_mm * truth.tool.lock_seen
    assert shown.locked_mm - shown.unlocked_mm == pytest.approx(lock, abs=0.005)
    again = truth.move(to_mm=95.0)
    assert again.unlocked_mm == pytest.approx(95.0)
    assert again.before_mm == shown.locked_mm


def test_the_other_adjusters_show_nothing() -> None:
    assert seated(KINDS[DIAL]).move(lines=3) == Shown()
    assert seated(KINDS[OFFSET]).move(change_mm=0.01) == Shown()


def test_the_bench_shows_the_lock_shift_too() -> None:
    truth = Truth.draw(faultless(common=replace(FAULTLESS, lock_mean_um=40.0)), 1)
    shown = truth.set_tool(39.7)
    assert shown == pytest.approx(39.7 + truth.tool.lock_mean_mm, abs=0.0005)
    assert abs(shown - 39.7) > 0.005
    truth.seat()
    assert truth.tool_mm == pytest.approx(shown, abs=0.0005)


def test_the_bench_shows_whole_micrometres_and_the_setter_comes_near() -> None:
    truth = Truth.draw(faultless(common=replace(FAULTLESS, bench_set_um=0.5)), 3)
    shown = [truth.set_tool(39.7004) for _ in range(50)]
    assert all(1e3 * each == pytest.approx(round(1e3 * each), abs=1e-6) for each in shown)
    assert len(set(shown)) > 1
    assert max(shown) - min(shown) < 0.005


def test_the_spindle_finds_another_diameter_than_the_bench_and_always_by_as_much() -> None:
    truth = Truth.draw(replace(faultless(), bench_um=4.0), 3)
    assert abs(truth.tool.bench_mm) > 0.0005
    for diameter in (39.5, 39.8):
        truth.set_tool(diameter)
        truth.seat()
        assert truth.tool_mm == pytest.approx(diameter + truth.tool.bench_mm, abs=1e-9)


def test_a_tool_taken_to_the_bench_is_out_of_the_spindle() -> None:
    truth = seated(faultless())
    truth.cut()
    truth.set_tool(39.8)
    with pytest.raises(OutOfTurnError, match="spindle"):
        truth.cut()


def test_a_cut_takes_up_a_part_of_the_backlash_left_open() -> None:
    kind = faultless(common=replace(FAULTLESS, backlash_um=(20.0, 20.0), slip_share=(0.25, 0.25)))
    left, taken = seated(kind), seated(kind)
    left.move(lines=-15, take_up=False)
    taken.move(lines=-15)
    before = left.tool_mm, taken.tool_mm
    for truth in (left, taken):
        truth.cut()
    assert left.tool_mm - before[0] == pytest.approx(-0.005, abs=1e-9)
    assert taken.tool_mm == pytest.approx(before[1], abs=1e-12)


def test_lines_miscounted_are_one_line() -> None:
    for seed in range(10):
        truth = seated(faultless(common=replace(FAULTLESS, miscount=1.0)), seed)
        start = truth.tool_mm
        truth.move(lines=20)
        assert abs(truth.tool_mm - start - 0.04) == pytest.approx(0.002, abs=1e-9)
        assert truth.mishaps[-1].what == "a line miscounted"


def test_between_lines_the_eye_errs_and_on_a_line_it_does_not() -> None:
    on, between = (seated(faultless(common=replace(FAULTLESS, split_lines=0.1))) for _ in range(2))
    start = on.tool_mm
    on.move(lines=20)
    between.move(lines=20.5)
    assert on.tool_mm == pytest.approx(start + 0.040, abs=1e-9)
    assert between.tool_mm != pytest.approx(start + 0.041, abs=1e-6)
    assert between.tool_mm == pytest.approx(start + 0.041, abs=0.001)


def test_backlash_is_lost_through_the_acts_too() -> None:
    kind = faultless(common=replace(FAULTLESS, backlash_um=(20.0, 20.0)))
    lost, kept = seated(kind), seated(kind)
    start = lost.tool_mm
    lost.move(lines=-15, take_up=False)
    kept.move(lines=-15)
    assert lost.tool_mm - start == pytest.approx(-0.010, abs=1e-9)
    assert lost.slack_mm == pytest.approx(0.020)
    assert kept.tool_mm - start == pytest.approx(-0.030, abs=1e-9)
    assert kept.slack_mm == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(
    ("name", "given"),
    [
        (DIAL, {"change_mm": 0.1}),
        (DIAL, {"to_mm": 39.9}),
        (DIAL, {}),
        (DIRECT, {"lines": 5.0}),
        (DIRECT, {"change_mm": 0.1, "to_mm": 94.9}),
        (OFFSET, {"lines": 5.0}),
        (OFFSET, {"to_mm": 149.9}),
        (DIAL, {"lines": math.nan}),
        (DIRECT, {"to_mm": math.inf}),
    ],
)
def test_a_move_in_other_terms_is_refused_and_changes_nothing(name: str, given: dict[str, float]) -> None:
    truth = seated(KINDS[name])
    before, acts = truth.tool_mm, len(truth.acts)
    with pytest.raises(EntryError, match="adjuster"):
        Truth.replay(truth.kind, 1, [*truth.acts, Act("move", given)])
    with pytest.raises(EntryError, match="adjuster"):
        truth.move(given.get("lines"), given.get("change_mm"), given.get("to_mm"))
    assert truth.tool_mm == before
    assert len(truth.acts) == acts


def test_acts_out_of_turn_are_refused() -> None:
    truth = Truth.draw(KINDS[DIAL], 1)
    with pytest.raises(OutOfTurnError, match="spindle"):
        truth.cut()
    with pytest.raises(OutOfTurnError, match="never set"):
        truth.seat()
    with pytest.raises(OutOfTurnError, match="never set"):
        truth.move(lines=1)
    with pytest.raises(OutOfTurnError, match="Nothing was cut"):
        truth.part_celsius("cut")
    with pytest.raises(OutOfTurnError):
        _ = truth.tool_mm
    truth.set_tool(39.7)
    with pytest.raises(OutOfTurnError, match="spindle"):
        truth.cut()
    assert [act.name for act in truth.acts] == ["set_tool"]


def test_nonsense_is_refused() -> None:
    with pytest.raises(EntryError, match="seed"):
        Truth.draw(KINDS[DIAL], -1)
    with pytest.raises(EntryError, match="64 bits"):
        Truth.draw(KINDS[DIAL], 1, 2**64)
    truth = seated(KINDS[DIAL])
    with pytest.raises(EntryError):
        truth.set_tool(math.nan)
    with pytest.raises(EntryError):
        truth.set_tool(0.0)
    with pytest.raises(EntryError):
        truth.cut("half")  # type: ignore[arg-type]
    with pytest.raises(EntryError):
        truth.part_celsius("later")  # type: ignore[arg-type]
    with pytest.raises(EntryError, match="no such act"):
        Truth.replay(KINDS[DIAL], 1, [Act("hole_mm", {})])
