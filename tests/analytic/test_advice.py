"""The traps that advice must not walk into, and what it refuses."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from borewright.errors import BorewrightError, EntryError, OutOfTurnError
from borewright.quantity.length import parse_length
from borewright.rehearsal.advised import follow, start_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.sizing.bore import Bore
from tests.unit.sizing.plain import (
    DIAL,
    DIRECT,
    OFFSET,
    Entry,
    bore,
    expected_reading_mm,
    mm,
    read,
    readings,
    setting,
)

SOON = 12  # acts after which a bore of these tests is done


def length(text: object) -> float:
    return parse_length(str(text), signed=True).mm


def act(worked: Bore) -> dict[str, Any]:
    return worked.advise()


def measured(worked: Bore, off_mm: float = 0.0, times: int = 2) -> Bore:
    """Read the hole where it is expected, or off it."""
    for entry in readings([round(expected_reading_mm(worked) + off_mm, 3)] * times):
        worked.record(entry)
    return worked


def ready_for_second_pass(**changed: object) -> Bore:
    return measured(bore(*setting(39.72), {"event": "passed"}, **changed))


def finished(off_um: float = 0.0, **changed: object) -> Bore:
    """The last pass is cut and measured about the middle of the limits."""
    worked = ready_for_second_pass(**changed)
    for _ in range(4):
        advice = act(worked)
        if advice["action"] == "move_and_cut":
            worked.record({"event": "moved", "lines": advice["move"]["lines"]})
        elif advice["action"] == "cut":
            last = advice["passes_left"] == 1
            worked.record({"event": "passed"})
            measured(worked, off_um / 1000.0 if last else 0.0)
            if last:
                return worked
        else:
            return worked
    return worked


def keep_measuring(worked: Bore) -> None:
    """Read the same again as long as another reading is asked for."""
    last = worked.belief.readings[-1].as_read_mm
    for _ in range(SOON):
        if act(worked)["action"] != "measure":
            return
        worked.record(read(last))
    raise AssertionError("asked for readings without end")


# The first aim.


@given(
    push_off=st.floats(-0.01, 0.12),
    stock=st.floats(0.05, 0.9),
    factor=st.floats(1.1, 2.0),
    tolerance=st.floats(0.004, 0.03),
)
@settings(max_examples=40, deadline=None)
def test_the_first_aim_stays_under_the_upper_limit_even_with_no_push_off(
    push_off: float, stock: float, factor: float, tolerance: float
) -> None:
    worked = bore(
        callout=f"40 ±{tolerance:.4f} mm",
        hole={"size": mm(40.0 - stock), "within": "0.016 mm"},
        push_off={"guess": mm(push_off), "at": "0.25 mm", "factor": f"{factor:.3f}"},
    )
    if act(worked)["action"] == "check_hole":
        worked.record({"event": "hole_checked", "as_read": mm(40.0 - stock)})
    advice = act(worked)
    assert advice["action"] == "set"
    assert length(advice["set"]["diameter"]) <= 40.0 + tolerance - 2.0 * math.hypot(0.004, 0.004) + 1e-9


def test_with_little_stock_the_first_aim_is_the_last_and_still_stays_under() -> None:
    worked = bore(hole={"size": "39.95 mm", "within": "0.004 mm"})
    advice = act(worked)
    assert advice["action"] == "set"
    assert advice["passes_left"] == 1
    assert length(advice["set"]["diameter"]) < 40.008


def test_an_inch_bench_is_given_a_diameter_it_can_show_and_never_rounded_up() -> None:
    worked = bore(
        callout="2.3622 ±.0003",
        unit="in",
        hole={"size": "2.3425 in", "within": "0.0001 in"},
        adjuster={"kind": "dial", "line": "0.0001 in", "on": "diameter"},
        gauge={"step": "0.00005 in"},
        push_off="0.0008 in",
        tool={"bench": "0.0001 in", "seat": "0.0001 in"},
    )
    advice = act(worked)
    diameter = str(advice["set"]["diameter"])
    assert diameter.endswith(" in")
    assert len(diameter.removesuffix(" in").split(".")[1]) == 4
    assert length(diameter) <= length(advice["arithmetic"][-1].split("to ")[1].rstrip(".")) + 1e-9


# The first move.


@pytest.mark.parametrize("line", ["0.002 mm", "0.01 mm", "0.025 mm"])
def test_the_first_move_of_an_unproved_dial_spends_at_most_half_the_way(line: str) -> None:
    worked = ready_for_second_pass(adjuster={**DIAL, "line": line})
    half = 0.5 * (40.008 - worked.belief.tool_mm)
    advice = act(worked)
    assert advice["action"] == "move_and_cut"
    assert 0.0 < length(advice["move"]["change"]) <= half + 1e-9


def test_nor_is_it_moved_on_before_a_reading_has_shown_the_move() -> None:
    worked = ready_for_second_pass()
    first = act(worked)
    worked.record({"event": "moved", "lines": first["move"]["lines"]})
    assert act(worked)["action"] == "cut"


def test_who_stopped_short_is_told_to_go_on_but_not_past_half_the_way() -> None:
    told = {"hole": {"size": "39.78 mm", "within": "0.004 mm"}}
    short = measured(bore(*setting(39.84), {"event": "passed"}, **told))
    half = 0.5 * (40.008 - short.belief.tool_mm)
    short.record({"event": "moved", "lines": "16"})
    again = act(short)
    assert again["action"] == "move_and_cut"
    assert 0.0 < length(again["move"]["change"]) <= half - 0.032 + 1e-9


@pytest.mark.parametrize("how", ["typed", "proof", "reading", "not at all"])
def test_a_dial_may_spend_more_once_it_is_proved(how: str) -> None:
    proof: Entry = {"event": "proved", "line": "0.002 mm", "within": "0.000005 mm"}
    tool = {"bench": "0.004 mm", "seat": "0.004 mm", "proved": how == "typed"}
    told = {"hole": {"size": "39.78 mm", "within": "0.004 mm"}, "tool": tool}
    worked = measured(bore(*setting(39.84), {"event": "passed"}, **told))
    if how == "proof":
        worked.record(proof)
    if how == "reading":
        worked.record({"event": "moved", "lines": "20"})
        worked.record({"event": "passed"})
        measured(worked)
    half = 0.5 * (40.008 - worked.belief.tool_mm)
    assert (length(act(worked)["move"]["change"]) > half) == (how != "not at all")


# A tool too large.


def test_a_tool_that_stands_too_large_is_closed_and_taken_up_and_not_cut_with() -> None:
    worked = ready_for_second_pass()
    worked.record({"event": "moved", "lines": "200"})
    assert worked.belief.tool_mm > 40.1
    advice = act(worked)
    assert advice["action"] == "move_and_cut"
    move = advice["move"]
    assert move["direction"] == "close"
    lines, back = float(move["lines"]), float(move["back_lines"])
    assert lines < 0.0
    backlash = 0.015 + 3.0 * 0.006
    assert back * 0.002 >= -lines * 0.002 + backlash - 1e-9
    assert any(step.startswith("Close") for step in advice["steps"])
    assert any("takes it up" in step for step in advice["steps"])
    assert length(advice["expect"]["high"]) < 40.008


@pytest.mark.parametrize("adjuster", [DIAL, DIRECT, OFFSET])
def test_a_tool_set_too_large_is_closed_before_the_first_cut(adjuster: Mapping[str, object]) -> None:
    worked = bore(*setting(40.05), adjuster=adjuster)
    advice = act(worked)
    assert advice["action"] == "move_and_cut"
    assert advice["move"]["direction"] == "close"
    assert length(advice["move"]["change"]) < -0.04


# Stock.


@pytest.mark.parametrize("line", ["0.002 mm", "0.01 mm"])
@pytest.mark.parametrize("hole_mm", [39.70, 39.85, 39.90, 39.94, 39.955])
def test_stock_is_not_left_too_thin_to_cut(line: str, hole_mm: float) -> None:
    """Whatever is left after the next pass is nothing, or enough for another."""
    worked = bore(hole={"size": mm(hole_mm), "within": "0.003 mm"}, adjuster={**DIAL, "line": line}, min_depth="0.04")
    for entry in setting(hole_mm + 0.01):
        worked.record(entry)
    advice = act(worked)
    assert advice["action"] in {"move_and_cut", "cut"}
    if advice["passes_left"] > 1:
        left = 40.0 - length(advice["expect"]["high"])
        assert left > 0.03
    else:
        assert abs(length(advice["expect"]["size"]) - 40.0) < 0.008


def test_nothing_is_advised_that_rubs_while_it_can_be_avoided() -> None:
    for name in ("middle head, carbon steel", "titanium", "coarse dial, grey iron"):
        for seed in range(40, 43):
            truth = Truth.draw(KINDS[name], seed)
            worked = Bore.start(start_of(truth.told()))
            for _ in range(60):
                advice = act(worked)
                if advice["action"] in {"release", "quarantine"}:
                    break
                for entry in follow(truth, advice):
                    worked.record(entry)
            assert not any(record.rubbed for record in worked.belief.history[:-1]), (name, seed)


def test_a_hole_near_the_upper_limit_is_not_cut_again_for_the_sake_of_other_readings() -> None:
    worked = finished(off_um=6.0)
    assert act(worked)["release"]["verdict"] == "not shown"
    keep_measuring(worked)
    assert act(worked)["action"] == "quarantine"
    assert "a cut can only make it larger" in act(worked)["why"]


def test_a_hole_over_the_upper_limit_is_set_aside() -> None:
    worked = finished(off_um=25.0)
    keep_measuring(worked)
    assert act(worked)["action"] == "quarantine"
    assert "metal cannot be put back" in act(worked)["why"]


def test_where_nothing_can_be_shown_it_is_said_before_cutting() -> None:
    worked = bore(callout="40 ±0.002 mm")
    assert "no reading with this gauge can show" in act(worked)["cautions"][0]
    assert not any("can show" in caution for caution in act(bore())["cautions"])
    blunt = bore(rule={"name": "simple"}, gauge={"step": "0.001 mm", "scatter": "0.003 mm", "bias": "0.003 mm"})
    assert "simple acceptance" in act(blunt)["cautions"][0]


def test_more_out_of_round_than_tolerance_is_answered_and_not_refused() -> None:
    worked = bore(ovality="0.05 mm")
    assert "can show" in act(worked)["cautions"][0]


# Readings that surprise.


def test_a_misread_asks_for_another_reading_and_then_goes_on() -> None:
    slipped = ready_for_second_pass()
    for entry in ({"event": "moved", "lines": "60"}, {"event": "passed"}):
        slipped.record(entry)
    good = round(expected_reading_mm(slipped), 3)
    warned = slipped.record(read(good + 0.2))["warnings"]
    assert isinstance(warned, list)
    assert "whole turn" in warned[0]
    advice = act(slipped)
    assert advice["action"] == "measure"
    assert advice["questions"][0]["cause"] == "The needle was a whole turn away."
    assert advice["questions"][0]["check"]
    assert slipped.record(read(good))["warnings"] == []
    slipped.record(read(good))
    assert act(slipped)["action"] == "move_and_cut"
    assert act(slipped)["questions"][0]["reading"] == slipped.events()[-3].number


def test_readings_that_do_not_agree_are_said_not_to() -> None:
    worked = ready_for_second_pass()
    for entry in ({"event": "moved", "lines": "60"}, {"event": "passed"}):
        worked.record(entry)
    good = round(expected_reading_mm(worked), 3)
    worked.record(read(round(good + 0.010, 3)))
    answer = worked.record(read(round(good + 0.002, 3)))
    assert worked.belief.unsettled
    assert worked.belief.doubts[0].reading != answer["number"]
    assert "The readings do not agree." in str(answer["warnings"])


def test_a_slip_in_the_last_readings_is_not_in_the_evidence() -> None:
    worked = finished()
    good = round(expected_reading_mm(worked), 3)
    before = act(worked)["release"]
    worked.record(read(good + 0.1))
    after = act(worked)["release"]
    assert after["readings"] == before["readings"]
    assert length(after["size"]) == pytest.approx(length(before["size"]), abs=1e-4)


# Release.


def release_of(worked: Bore) -> dict[str, object]:
    shown = act(worked)["release"]
    return {
        "event": "released",
        **{name: shown[name] for name in ("verdict", "probability", "rule", "size", "expanded")},
    }


def test_a_bore_is_released_on_the_numbers_in_view() -> None:
    worked = finished()
    assert act(worked)["action"] == "release"
    assert worked.record(release_of(worked))["state"] == "released"
    assert act(worked)["action"] == "none"


@pytest.mark.parametrize("missing", ["verdict", "probability", "rule", "size", "expanded"])
def test_a_release_wants_every_number_in_view(missing: str) -> None:
    worked = finished()
    entry = release_of(worked)
    del entry[missing]
    with pytest.raises(BorewrightError):
        worked.record(entry)
    assert worked.state == "measured"


@pytest.mark.parametrize(
    ("name", "stale"),
    [("probability", "0.99"), ("rule", "proof at 90 %"), ("size", "40.0031 mm"), ("expanded", "0.0001 mm")],
)
def test_a_release_is_refused_on_other_numbers(name: str, stale: str) -> None:
    worked = finished()
    with pytest.raises(EntryError, match="evidence now gives") as refused:
        worked.record({**release_of(worked), name: stale})
    assert refused.value.where == name
    assert worked.state == "measured"


def test_numbers_go_stale_with_the_next_reading_or_setting() -> None:
    worked = finished()
    entry = release_of(worked)
    worked.record(read(round(expected_reading_mm(worked) + 0.002, 3)))
    with pytest.raises(EntryError):
        worked.record(entry)
    worked = finished()
    entry = release_of(worked)
    worked.record({"event": "rechecked", "size": "40 mm", "as_read": "40.002 mm"})
    with pytest.raises(EntryError):
        worked.record(entry)


def test_what_the_gauge_showed_stands_when_it_is_set_anew() -> None:
    worked = finished()
    entry = release_of(worked)
    worked.record({"event": "set_on", "size": "40 mm"})
    worked.record(entry)
    assert worked.state == "released"


def test_a_release_wants_the_bore_shown_in() -> None:
    worked = ready_for_second_pass()
    with pytest.raises(OutOfTurnError, match="out"):
        worked.record({**release_of(worked), "verdict": "in"})
    fresh = bore(*setting(39.72))
    entry = {"verdict": "in", "probability": "0.99", "rule": "proof at 95 %", "size": "40 mm", "expanded": "0.003 mm"}
    with pytest.raises(OutOfTurnError, match="no reading"):
        fresh.record({"event": "released", **entry})


def test_a_correction_voids_a_release_until_it_is_signed_again() -> None:
    worked = finished()
    worked.record(release_of(worked))
    number = next(event.number for event in reversed(worked.events()) if event.kind == "read")
    replacement = {"as_read": mm(round(expected_reading_mm(worked) + 0.001, 3))}
    worked.record({"event": "corrected", "stream": "bore", "event_number": number, "replacement": replacement})
    assert worked.state == "measured"
    assert worked.record(release_of(worked))["state"] == "released"


# Out of turn.


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"event": "passed"}, "A pass needs a tool that was set."),
        ({"event": "moved", "lines": "3"}, "The tool was not set yet."),
        ({"event": "seated"}, "The tool was not set yet."),
        ({"event": "reopened", "reason": "why not"}, "The bore is open already."),
    ],
)
def test_before_the_tool_is_set(entry: Entry, words: str) -> None:
    with pytest.raises(OutOfTurnError) as refused:
        bore().record(entry)
    assert refused.value.wrong == words


def test_after_the_first_pass_there_is_no_hole_to_check() -> None:
    with pytest.raises(OutOfTurnError, match="cut already"):
        bore(*setting(39.72), {"event": "passed"}).record({"event": "hole_checked", "as_read": "39.7 mm"})


@pytest.mark.parametrize("entry", [{"event": "passed"}, {"event": "read", "as_read": "40 mm"}])
def test_a_released_or_set_aside_bore_is_reopened_first(entry: Entry) -> None:
    worked = finished()
    worked.record({"event": "quarantined", "reason": "to the inspector"})
    with pytest.raises(OutOfTurnError, match="quarantined") as refused:
        worked.record(entry)
    assert "Reopen" in refused.value.right
    worked.record({"event": "reopened", "reason": "the inspector is back"})
    worked.record(entry)


def test_a_retired_tool_cuts_no_more() -> None:
    worked = bore(*setting(39.72), {"event": "retired", "reason": "chipped"})
    for entry in ({"event": "passed"}, {"event": "moved", "lines": "1"}, {"event": "seated"}, setting(39.7)[0]):
        with pytest.raises(OutOfTurnError, match="retired"):
            worked.record(entry)


# What stands beside it.


def test_odds_add_up_and_the_interval_holds_the_size() -> None:
    for worked in (bore(), ready_for_second_pass(), finished()):
        advice = act(worked)
        assert sum(advice["odds"].values()) == pytest.approx(1.0, abs=2e-6)
        assert length(advice["expect"]["low"]) <= length(advice["expect"]["size"]) <= length(advice["expect"]["high"])
        assert advice["say"]
        assert advice["why"]


def test_the_assumption_list_tells_what_was_not_typed_and_nothing_else() -> None:
    few = {entry["name"] for entry in act(bore())["assumptions"]}
    more = {entry["name"] for entry in act(bore(tool={}, temperature={}))["assumptions"]}
    assert {"bench", "seat", "thermometer", "part_warmth"} <= more - few
    assert "hole" not in few
    assert "gauge_scatter" not in few


def test_parts_of_the_width_are_largest_first_and_no_wider_than_the_whole() -> None:
    advice = act(ready_for_second_pass())
    widths = [length(part["width"]) for part in advice["parts"]]
    assert widths == sorted(widths, reverse=True)
    whole = (length(advice["expect"]["high"]) - length(advice["expect"]["low"])) / 3.92
    assert widths[0] <= whole + 1e-4


def test_a_bore_told_the_least_gets_through() -> None:
    worked = Bore.start(
        {
            "callout": "40 H7",
            "hole": "39.5",
            "adjuster": {"kind": "dial", "line": "0.005", "on": "diameter"},
            "gauge": {"step": "0.001"},
            "push_off": "0.02",
        }
    )
    done: list[str] = []
    for _ in range(3 * SOON):
        advice = act(worked)
        done.append(str(advice["action"]))
        if advice["action"] in {"release", "quarantine"}:
            break
        if advice["action"] == "set":
            for entry in setting(length(advice["set"]["diameter"])):
                worked.record(entry)
        elif advice["action"] == "check_hole":
            worked.record({"event": "hole_checked", "as_read": "39.5 mm"})
        elif advice["action"] == "move_and_cut":
            worked.record({"event": "moved", "lines": advice["move"]["lines"]})
        elif advice["action"] == "cut":
            worked.record({"event": "passed"})
        else:
            measured(worked, times=1)
    assert done[-1] == "release"
    assert done.count("cut") <= 4
