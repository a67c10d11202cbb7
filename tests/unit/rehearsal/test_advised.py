"""The advice at work: what is advised is done on the machine as it was meant, and entered as it was shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from borewright.errors import EntryError
from borewright.rehearsal.advised import MOST_ACTIONS, advised, enter, follow, start_of
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.sizing.bore import Bore

DIRECT = KINDS["large bridge, alloy steel"]
DIAL = KINDS["middle head, carbon steel"]
OFFSET = KINDS["slide driven by the control"]


FULL: Mapping[str, Any] = {"action": "cut", "cut": {"depth": "full"}}
MEASURE: Mapping[str, Any] = {"action": "measure", "measure": {"setting": "same"}}


def set_up(kind_name: str, seed: int = 4) -> Truth:
    """A machine with its tool set and seated."""
    truth = Truth.draw(KINDS[kind_name], seed)
    truth.set_tool(truth.told().size_mm - 0.1)
    truth.seat()
    return truth


@pytest.mark.parametrize("name", KINDS)
def test_every_kind_can_be_started_with_what_the_player_is_told(name: str) -> None:
    told = Truth.draw(KINDS[name], 1).told()
    bore = Bore.start(start_of(told))
    assert bore.model.lower_mm == pytest.approx(told.lower_mm, abs=1e-9)
    assert bore.model.upper_mm == pytest.approx(told.upper_mm, abs=1e-9)
    assert bore.model.adjuster.line_mm == pytest.approx(told.line_mm)
    assert bore.belief.hole_mm == pytest.approx(told.hole_mm, abs=1e-9)
    assert bore.model.priors.thermometer.width == told.thermometer_sd_k
    assert bore.model.priors.part_warmth.width == told.warm_sd_k
    assert bore.model.priors.part_expansion.value == pytest.approx(told.expansion_per_k)


def test_a_readout_is_turned_from_its_zero_while_locked() -> None:
    """Turned from the zero while unlocked, the lock shift of the last setting would be lost or doubled."""
    truth = set_up(DIRECT.name)
    before = truth.readout_mm
    assert before is not None
    entry = follow(truth, {"action": "move_and_cut", "move": {"unlocked": "+0.0500 mm", "change": "+0.051 mm"}})
    assert entry[0]["shown_unlocked"] == "0.0500 mm"
    assert truth.readout_mm is not None
    assert entry[0]["shown_locked"] == f"{truth.readout_mm - before:.4f} mm"


def test_a_dial_is_turned_by_its_lines_and_an_offset_entered_by_its_change() -> None:
    dial, offset = set_up(DIAL.name), set_up(OFFSET.name)
    turned = follow(dial, {"action": "move_and_cut", "move": {"lines": "-3", "change": "-0.006 mm"}})
    assert turned == [{"event": "moved", "lines": "-3"}]
    assert dial.acts[-1].given["lines"] == -3.0
    entered = follow(offset, {"action": "move_and_cut", "move": {"change": "+0.040 mm", "locked": "+0.040 mm"}})
    assert entered == [{"event": "moved", "change": "+0.040 mm"}]
    assert offset.acts[-1].given["change_mm"] == pytest.approx(0.04)


def test_two_readings_of_a_measurement_are_taken_a_quarter_apart() -> None:
    truth = set_up(DIAL.name)
    follow(truth, FULL)
    for _ in range(2):
        follow(truth, MEASURE)
    one, other = (act.given["direction_deg"] for act in truth.acts[-2:])
    assert {one, other} == {0.0, 90.0}


def test_the_part_is_taken_the_temperature_of_as_cut_and_as_read() -> None:
    truth = set_up(DIAL.name)
    entries = follow(truth, FULL)
    assert [entry["event"] for entry in entries] == ["passed", "temperature", "temperature"]
    assert entries[1]["when"] == "cut"
    assert "when" not in entries[2]
    assert len(follow(truth, FULL, with_temperature=False)) == 1


def test_a_trial_is_cut_at_the_mouth_alone() -> None:
    truth = set_up(DIAL.name)
    before = truth.hole_mm
    entries = follow(truth, {"action": "cut", "cut": {"depth": "trial"}})
    assert entries[0] == {"event": "passed", "depth": "trial"}
    assert truth.hole_mm == before
    assert truth.acts[-3].given == {"depth": "trial"}


def test_a_gauge_to_be_set_anew_is_set_on_a_ring_before_it_is_read() -> None:
    truth = set_up(DIAL.name)
    follow(truth, FULL)
    bias = truth.gauge_bias_mm
    entries = follow(truth, {"action": "measure", "measure": {"setting": "anew"}})
    assert entries == [{"event": "set_on", "on": "ring", "size": f"{truth.told().size_mm:.4f} mm"}]
    assert truth.gauge_bias_mm != bias


def test_a_bore_ends_and_its_ending_is_told_apart() -> None:
    outcome = advised(Truth.draw(DIAL, 3))
    assert outcome.ending == "released"
    assert outcome.passes >= 2
    hopeless = replace(DIAL, tolerance_um=0.5)
    lost = advised(Truth.draw(hopeless, 3))
    assert lost.ending in {"quarantined", "scrapped"}
    assert lost.passes + lost.readings < MOST_ACTIONS


def test_a_reading_that_cannot_be_true_is_taken_again() -> None:
    bore = Bore.start(start_of(Truth.draw(DIAL, 3).told()))
    assert not enter(bore, {"event": "hole_checked", "as_read": "19.4000 mm"})
    assert enter(bore, {"event": "hole_checked", "as_read": "39.4000 mm"})
    with pytest.raises(EntryError):
        enter(bore, {"event": "set", "diameter": "19.4 mm"})
    assert len(bore.events()) == 2
