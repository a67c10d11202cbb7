"""What is told after a rehearsal: the truth beside what was thought, and whether what was signed was right."""

from __future__ import annotations

import json

import pytest

from borewright.cli.debrief import debrief_rows
from borewright.quantity.length import parse_length
from borewright.rehearsal.debrief import Debrief, debrief
from borewright.rehearsal.machine import SimulatedMachine
from borewright.shop.kept import in_effect
from borewright.web.answers import Pages
from borewright.web.signing import release_view
from tests.unit.web.bores import PINION, TRUNNION, Sized


def released(number: int) -> Sized:
    """Size a bore of the demo and release it as advised."""
    sized = Sized(number).until("release")
    sized.record({"event": "released", **json.loads(release_view("b", sized.bore, sized.history()).shown)})
    return sized


def true(told: Debrief, what: str) -> float:
    (row,) = [one for one in told.compared if one.what.startswith(what)]
    return parse_length(row.true, signed=True).mm


def test_the_truth_is_told_as_the_machine_has_it() -> None:
    sized = released(PINION)
    told, truth = debrief(sized.machine, sized.bore), sized.machine.truth()
    assert (told.right, told.decided) == (True, "Released, and rightly: the whole of it is inside the limits.")
    assert f"{truth.hole_mm:.4f} mm" in told.came_out
    for what, value in (
        ("hole", truth.hole_mm),
        ("form", truth.ovality_mm),
        ("tool in the spindle", truth.tool_mm),
        ("push-off", truth.tool.push_off.at_reference_mm),
        ("lock shift", truth.tool.lock_mean_mm),
        ("bench to spindle", truth.tool.bench_mm),
        ("backlash", truth.tool.backlash_mm),
        ("gauge's setting", truth.gauge_bias_mm),
    ):
        assert true(told, what) == pytest.approx(value, abs=0.00006), what
    assert told.mishaps == ("Nothing went wrong unseen.",)


def test_each_pass_is_told_as_it_was_expected_and_as_it_truly_came_out() -> None:
    sized = released(PINION)
    told = debrief(sized.machine, sized.bore)
    assert [one.title for one in told.passes] == ["Pass 1", "Pass 2", "Pass 3"]
    assert [one.expected for one in told.passes] == [f"{one.expected_mm:.4f} mm" for one in sized.bore.belief.history]
    events = in_effect(sized.history())
    cuts = [place for place, (event, _) in enumerate(events, 1) if event == "passed"]
    machine = sized.machine
    holes = [
        SimulatedMachine(machine.kind, machine.seed, machine.unit, lambda end=end: events[:end]).truth().hole_mm  # type: ignore[misc]
        for end in cuts
    ]
    assert [parse_length(one.true).mm for one in told.passes] == pytest.approx(holes, abs=0.00006)
    assert all(one.inside for one in told.passes)


def test_what_went_wrong_unseen_is_told_with_the_act() -> None:
    sized = released(TRUNNION)
    assert debrief(sized.machine, sized.bore).mishaps == ("Act 3, the cut: a built-up edge cut large.",)


def test_a_release_that_was_wrong_is_called_so() -> None:
    """The record of one machine told against another's truth, whose hole came out elsewhere."""
    sized = released(PINION)
    other = [
        debrief(SimulatedMachine(sized.machine.kind, seed, "mm", lambda: in_effect(sized.history())), sized.bore)
        for seed in range(1, 9)
    ]
    wrong = [told for told in other if told.right is False]
    assert wrong
    assert {told.decided for told in wrong} <= {
        "Released, and wrongly: some of it is over the upper limit.",
        "Released, and wrongly: some of it is under the lower limit.",
    }
    assert any(not one.inside for told in wrong for one in told.passes)


def test_a_good_hole_that_was_set_aside_and_one_that_is_not_signed_are_called_so() -> None:
    sized = Sized(PINION).until("release")
    assert debrief(sized.machine, sized.bore).right is None
    sized.record({"event": "quarantined", "reason": "nobody trusts the gauge"})
    told = debrief(sized.machine, sized.bore)
    assert (told.right, told.decided) == (False, "Set aside, though the whole of it is inside the limits.")


def test_terminal_and_browser_tell_the_same() -> None:
    sized = released(PINION)
    told = debrief(sized.machine, sized.bore)
    view = release_view("b", sized.bore, sized.history(), rehearsed=True, machine=sized.machine)
    assert view.debrief == told
    page = " ".join(Pages().render("debrief.html", {"view": view}).replace("&#39;", "'").split())
    rows = " ".join(" ".join(row.text for row in debrief_rows(told, 80)).split())
    for words in (told.came_out, told.said, *told.mishaps, *(one.thought for one in told.compared)):
        assert words in page
        assert words in rows
    assert told.decided in rows


def test_it_is_told_in_the_unit_that_is_shown() -> None:
    sized = released(PINION)
    told = debrief(sized.machine, sized.bore, "in")
    assert " in" in told.came_out
    assert " mm" not in " ".join([told.came_out, told.said, *(one.true for one in told.compared)])


def test_nothing_is_told_before_it_is_signed() -> None:
    sized = Sized(PINION).until("release")
    assert release_view("b", sized.bore, sized.history(), rehearsed=True, machine=sized.machine).debrief is None
