"""The evidence of a release and the order of the actions before it."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from borewright.errors import EntryError
from borewright.gauging.conformity import Rule
from borewright.sizing.bore import Bore
from borewright.sizing.choice import outlook_of
from borewright.sizing.costs import Costs
from borewright.sizing.holding_back import proof_frees
from borewright.sizing.judging import judge
from borewright.sizing.outlook import Outlook
from borewright.sizing.proving import evidence
from tests.unit.sizing.plain import DIRECT, Entry, bore, expected_reading_mm, mm, read, readings, setting, temperature

PASS: Entry = {"event": "passed"}
PROOF = Rule("proof")


def test_evidence_is_what_the_gauge_says_and_nothing_the_machine_was_expected_to_leave() -> None:
    """Two bores with other expectations and the same readings are judged alike."""
    one, other = bore(*setting(39.72), PASS), bore(*setting(39.71), PASS, push_off="0.01 mm")
    judged = []
    for worked in (one, other):
        for entry in (temperature(21.0), *readings([39.700, 39.702])):
            worked.record(entry)
        found = judge(worked.belief, worked.model, PROOF)
        assert found is not None
        judged.append(found)
    assert judged[0] == judged[1]
    assert judged[0].size.mm == pytest.approx(39.701 / (1.0 + 11.5e-6), abs=1e-9)


def test_out_of_round_eats_into_both_limits() -> None:
    round_, oval = bore(*setting(39.72), PASS, ovality="0 mm"), bore(*setting(39.72), PASS, ovality="0.004 mm")
    for worked in (round_, oval):
        for entry in readings([39.7, 39.7]):
            worked.record(entry)
    sizes = [judge(worked.belief, worked.model, PROOF) for worked in (round_, oval)]
    assert sizes[0] is not None
    assert sizes[1] is not None
    form = 0.25 * math.sqrt(math.pi) * 0.004
    assert sizes[1].size.u_mm == pytest.approx(math.hypot(sizes[0].size.u_mm, form), rel=1e-9)
    assert sizes[1].size.parts_mm[0][0] == "out of round"
    assert outlook_of(oval.belief, oval.model, Costs(), PROOF).accepted[1] < 40.008 - form


def test_readings_of_several_settings_count_each_with_its_own_error() -> None:
    worked = bore(*setting(39.72), PASS, *readings([39.7, 39.7]))
    before = judge(worked.belief, worked.model, PROOF)
    worked.record({"event": "set_on", "size": "40 mm", "celsius": "25"})
    assert judge(worked.belief, worked.model, PROOF) == before
    for entry in readings([39.7, 39.7]):
        worked.record(entry)
    found = judge(worked.belief, worked.model, PROOF)
    assert before is not None
    assert found is not None
    assert found.size.readings == 4
    # Set on a master that was 5 K warm, the gauge reads 2.3 µm low; the thermometer of it counts for less.
    own, warm = 0.001**2 + 0.0012**2 / 2, 0.001**2 + 0.0012**2 / 2 + (40 * 11.5e-6 * 0.4) ** 2
    assert found.size.mm == pytest.approx(39.7 + 0.0023 * own / (own + warm), abs=1e-6)
    assert dict(found.size.parts_mm)["gauge setting"] < 0.75 * dict(before.size.parts_mm)["gauge setting"]


def test_the_land_of_a_trial_cut_is_no_evidence() -> None:
    worked = bore(*setting(39.72), {"event": "passed", "depth": "trial"}, *readings([39.7, 39.7]))
    assert evidence(worked.belief) == []


def test_what_is_accepted_is_what_judges_in() -> None:
    worked = bore(*setting(39.72), PASS, temperature(20.0))
    lowest, largest = outlook_of(worked.belief, worked.model, Costs(), PROOF).accepted_at_once
    for as_read, verdict in ((largest - 1e-4, "in"), (largest + 1e-4, "not shown"), (lowest + 1e-4, "in")):
        shown = bore(*setting(39.98), PASS, temperature(20.0), hole={"size": "39.75 mm", "within": "0.004 mm"})
        for entry in readings([as_read, as_read]):
            shown.record(entry)
        found = judge(shown.belief, shown.model, PROOF)
        assert found is not None
        assert found.verdict == verdict, as_read


def test_a_pass_is_measured_twice_a_quarter_apart() -> None:
    worked = bore(*setting(39.72), PASS)
    advice = worked.advise()
    assert advice["action"] == "measure"
    worked.record(read(round(expected_reading_mm(worked), 3)))
    again = worked.advise()
    assert again["action"] == "measure"
    assert "quarter round" in str(again["steps"])
    worked.record(read(round(expected_reading_mm(worked), 3)))
    assert worked.advise()["action"] == "move_and_cut"


def test_a_trial_cut_is_measured_before_anything_else() -> None:
    advice = bore(*setting(39.72), {"event": "passed", "depth": "trial"}).advise()
    assert advice["action"] == "measure"
    assert "trial cut" in str(advice["why"])


def test_the_parts_temperature_is_asked_for_where_it_is_the_largest_doubt_and_not_for_ever() -> None:
    """120 mm of aluminium, 3 K unknown: 8 µm; asked for, and not again after ten readings."""
    worked = bore(
        *setting(119.99),
        PASS,
        callout="120 ±0.011 mm",
        hole={"size": "119.8 mm", "within": "0.004 mm"},
        material="aluminium",
        push_off="0.002 mm",
        temperature={"spread": "3"},
    )
    asked = []
    for _ in range(12):
        advice = worked.advise()
        if advice["action"] != "measure":
            break
        asked.append("temperature" in str(advice["say"]))
        worked.record(read(119.998))
    assert asked == [False, False, *[True] * 7]
    told = bore(
        *setting(119.99),
        PASS,
        temperature(20.5),
        *readings([119.998, 119.999]),
        callout="120 ±0.011 mm",
        hole={"size": "119.8 mm", "within": "0.004 mm"},
        material="aluminium",
        push_off="0.002 mm",
    )
    assert told.advise()["action"] == "release"


def test_a_move_is_rounded_to_what_the_adjuster_can_be_set_to() -> None:
    for adjuster, grain in (
        ({"kind": "dial", "line": "0.01 mm", "on": "diameter"}, 0.01),
        ({"kind": "dial", "line": "0.01 mm", "on": "diameter", "split": 2}, 0.005),
        ({"kind": "dial", "line": "0.01 mm", "on": "radius"}, 0.02),
        ({"kind": "offset", "step": "0.001 mm", "on": "radius"}, 0.002),
    ):
        worked = bore(*setting(39.72), PASS, *readings([39.7, 39.7]), adjuster=adjuster)
        advice = worked.advise()
        assert advice["action"] == "move_and_cut"
        move = advice["move"]
        assert isinstance(move, dict)
        change = float(str(move["change"]).split()[0])
        assert change / grain == pytest.approx(round(change / grain), abs=1e-6)


@pytest.mark.parametrize(
    ("line", "on", "land"),
    [("0.02 mm", "diameter", 39.908), ("0.02 mm", "radius", 39.92), ("0.05 mm", "radius", 39.936)],
)
def test_a_move_that_rounds_to_nothing_leaves_the_lock_alone(line: str, on: str, land: float) -> None:
    """The tool stands where the pass wants it, as near as it can be set: loosening its lock could only shift it."""
    trial, dial = {"event": "passed", "depth": "trial"}, {"kind": "dial", "line": line, "on": on}
    worked = bore(*setting(39.92), trial, *readings([land, land]), adjuster=dial)
    advice = worked.advise()
    assert (advice["action"], advice["say"]) == ("cut", "Cut.")
    assert "move" not in advice or not advice["move"]


def test_a_readout_that_came_out_as_asked_is_not_turned_again() -> None:
    worked = bore(*setting(39.72), PASS, *readings([39.7, 39.7]), adjuster=DIRECT)
    advice = worked.advise()
    move = advice["move"]
    assert isinstance(move, dict)
    worked.record({"event": "moved", "shown_locked": move["locked"], "shown_unlocked": move["unlocked"]})
    assert worked.advise()["action"] == "cut"


def checked(*as_read_mm: float) -> list[Entry]:
    return [{"event": "hole_checked", "as_read": mm(value)} for value in as_read_mm]


def test_a_hole_that_is_over_already_is_not_set_for_but_measured_and_set_aside() -> None:
    over = bore(*checked(40.02), hole={"size": "39.99 mm", "within": "0.03 mm"})
    assert over.advise()["action"] == "measure"
    for entry in readings((40.021,)):
        over.record(entry)
    advice: Any = over.advise()
    assert (advice["action"], advice["measure"]["setting"]) == ("measure", "anew")
    for entry in ({"event": "set_on", "on": "ring", "size": "40 mm"}, *readings((40.02, 40.021))):
        over.record(entry)
    assert over.advise()["action"] == "quarantine"


def test_a_hole_that_is_to_size_already_is_measured_and_released_uncut() -> None:
    good = bore(hole={"size": "40 mm", "within": "0.006 mm"})
    assert good.advise()["action"] == "check_hole"
    for entry in checked(40.0, 40.0):
        good.record(entry)
    advice: Any = good.advise()
    assert advice["action"] == "release"
    shown = {name: advice["release"][name] for name in ("verdict", "probability", "rule", "size", "expanded")}
    assert good.record({"event": "released", **shown})["state"] == "released"


def test_much_stock_is_set_for_as_it_is_advised() -> None:
    rough = bore(hole={"size": "32 mm", "within": "0.016 mm"})
    advised: Any = rough.advise()
    assert rough.record({"event": "set", "diameter": advised["set"]["diameter"]})["state"] == "set"
    with pytest.raises(EntryError, match="looks like the radius"):
        bore(hole={"size": "32 mm", "within": "0.1 mm"}).record({"event": "set", "diameter": "20 mm"})


@pytest.mark.parametrize("line", ["0.002 mm", "0.01 mm"])
@pytest.mark.parametrize("hole", [39.700, 39.703, 39.705, 39.707])
@pytest.mark.parametrize("proved", [True, False])
def test_what_a_move_was_advised_for_is_advised_after_it(line: str, hole: float, proved: bool) -> None:
    """A dial shows nothing new: the next screen must not ask for a trial, or another move, in place of the cut."""
    dial = {"kind": "dial", "line": line, "on": "diameter"}
    done = (*setting(39.72), PASS, temperature(20.0), *readings([hole, hole]))
    worked = bore(*done, adjuster=dial, tool={"proved": proved})
    advised = worked.advise()
    worked.record({"event": "moved", "lines": advised["move"]["lines"]})  # type: ignore[index]  # plain values
    after = worked.advise()
    assert (after["action"], after["cut"]) == ("cut", advised["cut"])


def test_a_move_that_was_not_advised_is_thought_over_afresh() -> None:
    worked = bore(*setting(39.72), PASS, temperature(20.0), *readings([39.7, 39.7]), tool={"proved": True})
    worked.record({"event": "moved", "lines": "190"})
    assert worked.advise()["action"] == "move_and_cut"
    assert str(worked.advise()["move"]["lines"]).startswith("-")  # type: ignore[index]  # plain values


def test_what_is_learned_after_a_move_may_change_the_cut() -> None:
    worked = bore(*setting(39.72), PASS, *readings([39.7, 39.7]), tool={"proved": True})
    worked.record({"event": "moved", "lines": worked.advise()["move"]["lines"]})  # type: ignore[index]  # plain values
    assert worked.belief.moved_from is not None
    worked.record(temperature(26.0))
    before = worked.belief.moved_from
    assert before is not None
    assert before.part_told == worked.belief.part_told
    assert before.moves == 0
    worked.record(PASS)
    assert worked.belief.moved_from is None


def moved_once(**changed: object) -> Bore:
    """A bore on an unproved dial that was moved once and cut: what its lines are worth is open."""
    worked = bore(*setting(39.72), PASS, temperature(20.0), *readings([39.7, 39.7]), **changed)
    for entry in ({"event": "moved", "lines": "3"}, PASS, *readings([39.709, 39.709])):
        worked.record(entry)
    return worked


def test_a_bore_is_not_set_aside_for_what_its_dial_may_mean(monkeypatch: pytest.MonkeyPatch) -> None:
    """Held back to nothing, a bore far under size is lost, but for a quarter of an hour with an indicator."""
    worked = moved_once()
    assert worked.belief.others
    assert worked.advise()["action"] != "prove"

    def held(_: object, outlook: Outlook) -> Outlook:
        return replace(outlook, widest_opening_mm=0.0)

    monkeypatch.setattr("borewright.sizing.choice.held_back", held)
    monkeypatch.setattr("borewright.sizing.choice._best_or_cut_again", lambda *_: None)
    advice = worked.advise()
    assert advice["action"] == "prove"
    assert advice["say"] == "Prove the adjuster with an indicator on the tip, before it is opened further."
    assert len(advice["steps"]) == 3  # type: ignore[arg-type]  # plain values


def test_a_proof_frees_only_what_is_held_back_and_pays_only_where_the_part_is_worth_it() -> None:
    worked = moved_once()
    costs, rule = worked.costs, worked.rule
    outlook = replace(outlook_of(worked.belief, worked.model, costs, rule), widest_opening_mm=0.0)
    assert proof_frees(worked.belief, outlook)
    assert not proof_frees(replace(worked.belief, others=()), outlook)
    assert not proof_frees(replace(worked.belief, proved=True), outlook)
    assert not proof_frees(worked.belief, replace(outlook, costs=replace(costs, scrap=3.0)))
