"""Starting a bore: units, what is kept, what is shared with other bores, and what is left out."""

from __future__ import annotations

from typing import Any

import pytest

from borewright import Bore
from borewright.errors import DamagedRecordError, EntryError, OutOfTurnError
from tests.unit.door.sessions import AT, FULL, LEAST, READOUT, SESSIONS, played


@pytest.mark.parametrize(
    ("callout", "unit", "hole", "bore_unit", "hole_mm"),
    [
        ("27.030 ±0.008", "mm", "26.510", "mm", 26.51),
        ("27.030 ±0.008", " mm ", "26.510", "mm", 26.51),
        ("27.030 mm ±0.008", None, "26.510", "mm", 26.51),
        ("62 H6", None, "61.4", "mm", 61.4),
        ("1.0642 ±.0003", "in", "1.0437", "in", 26.50998),
        ("1.0642 in ±.0003", "mm", "26.510", "mm", 26.51),
        ("27.030 mm ±0.008", "in", "1.0437", "in", 26.50998),
        ("27.030 mm ±0.008", "in", "26.510 mm", "in", 26.51),
    ],
)
def test_lengths_without_a_unit_are_in_the_one_asked_for_else_in_the_callouts(
    callout: str, unit: str | None, hole: str, bore_unit: str, hole_mm: float
) -> None:
    given = {**LEAST, "callout": callout, "unit": unit, "hole": hole, "push_off": "15 µm"}
    bore = Bore.start(
        {**given, "adjuster": {"kind": "dial", "on": "diameter", "line": "2 µm"}, "gauge": {"step": "1 µm"}}
    )
    assert bore.unit == bore.advise()["unit"] == bore_unit
    assert bore.opening.given.hole.size.mm == pytest.approx(hole_mm, abs=1e-9)
    answer: Any = bore.record({"event": "hole_checked", "as_read": hole})
    assert answer["understood"]["as_read"] == (hole if "mm" in hole else f"{hole} {bore_unit}")


def test_the_answer_to_a_start_is_its_opening() -> None:
    bore = Bore.start(LEAST, bore_id="drum", at=AT, by="M. Ostrander")
    answer = bore.recorded(bore.events()[0])
    assert (answer["stream"], answer["number"], answer["event"], answer["state"]) == (
        "bore/drum",
        1,
        "opened",
        "to set",
    )
    assert [(str(event.stream), event.kind) for event in bore.events("tool")] == [("tool/drum.tool", "assembled")]
    assert bore.events("gauge") == ()
    assert {(event.draft.at, event.draft.by) for event in (*bore.events(), *bore.events("tool"))} == {
        (AT, "M. Ostrander")
    }


def test_a_tool_that_is_set_already_is_recorded_as_set() -> None:
    bore = Bore.start({**LEAST, "tool": {"set": "26.780"}})
    assert [event.kind for event in bore.events("tool")] == ["assembled", "set"]
    assert bore.state == "set"


def test_what_is_left_out_is_assumed_and_shown_and_what_is_typed_is_not() -> None:
    least: Any = Bore.start(LEAST).advise()["assumptions"]
    full: Any = Bore.start(FULL).advise()["assumptions"]
    names = {assumed["name"] for assumed in least}
    assert {"part_warmth", "bench", "seat", "rule", "costs"} <= names
    # Only a dial whose turn was told can stand a whole turn off.
    assert {assumed["name"] for assumed in full} - {"turned"} < names
    assert not {"part_warmth", "bench", "seat", "rule", "costs"} & {assumed["name"] for assumed in full}


def test_two_bores_cut_with_one_tool_share_its_record() -> None:
    first = played(SESSIONS["dial, released"])
    second = Bore.start(FULL, bore_id="second", tool_events=first.events("tool"), gauge_events=first.events("gauge"))
    assert second.streams["tool"] == first.streams["tool"]
    assert second.events("tool") == first.events("tool")
    assert second.state != "to set", "the tool stands where the first bore left it"


def test_a_tool_with_another_adjuster_on_record_is_refused() -> None:
    first = Bore.start(FULL)
    other = {**FULL, "adjuster": {"kind": "dial", "line": "0.005", "on": "diameter"}}
    with pytest.raises(EntryError) as caught:
        Bore.start(other, tool_events=first.events("tool"))
    assert caught.value.where == "adjuster"
    assert caught.value.right


def test_events_that_do_not_follow_are_damage() -> None:
    bore = played(SESSIONS["dial, released"])
    other = Bore.start(READOUT)
    for event in (bore.events()[-1], other.events()[0]):
        with pytest.raises(DamagedRecordError):
            bore.accept(event)
    with pytest.raises(DamagedRecordError, match="begins with its opening"):
        Bore.from_events(bore.events("tool"))
    with pytest.raises(DamagedRecordError, match="begins with its opening"):
        Bore.from_events([])


def test_what_is_answered_can_be_changed_without_changing_the_record() -> None:
    bore = Bore.start(LEAST)
    answer: Any = bore.record({"event": "hole_checked", "as_read": "26.511", "place": {"depth": "5"}})
    answer["understood"]["place"]["depth"] = "9 mm"
    answer["warnings"].append("x")
    payload: Any = bore.events()[-1].payload
    assert payload["place"] == {"depth": "5 mm"}
    assert bore.recorded(bore.events()[-1])["warnings"] == []


def test_what_was_given_can_be_changed_without_changing_the_record() -> None:
    shown: Any = {"odds": {"oversize": 0.5}, "aims": ["27.0300 mm"]}
    bore = Bore.start(LEAST)
    bore.record({"event": "advised", "model": "m", "action": "cut", "shown": shown})
    shown["odds"]["oversize"], shown["aims"][0] = 1.0, "x"
    payload: Any = bore.events()[-1].payload
    assert payload["shown"] == {"odds": {"oversize": "0.5"}, "aims": ["27.0300 mm"]}


@pytest.mark.parametrize("null", [{}, {"at": None, "by": None}])
def test_when_and_who_come_from_the_entry_or_else_from_who_records(null: dict[str, None]) -> None:
    bore = Bore.start(LEAST)
    draft = bore.prepare({"event": "noted", "text": "dry", **null}, at=AT, by="M. Ostrander")
    assert (draft.at, draft.by) == (AT, "M. Ostrander")
    other = {"at": "2031-01-01T00:00Z", "by": "I. Varga"}
    draft = bore.prepare({"event": "noted", "text": "dry", **other}, at=AT, by="M. Ostrander")
    assert {"at": draft.at, "by": draft.by} == other


def test_a_release_needs_evidence_that_shows_the_bore_in() -> None:
    bore = played(SESSIONS["set already"])
    bore.record({"event": "read", "as_read": "26.790"})
    shown: Any = bore.advise()["release"]
    named = {name: shown[name] for name in ("probability", "rule", "size", "expanded")}
    with pytest.raises(OutOfTurnError) as caught:
        bore.record({"event": "released", "verdict": "in", **named})
    assert caught.value.where == "release"
    assert caught.value.wrong.startswith("By proof at 95 % the bore is out: ")
    assert caught.value.right


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        ({"name": "guarded"}, "guarded by 1 U"),
        ({"name": "guarded", "bands": "0.5"}, "guarded by 0.5 U"),
        ({"name": "guarded", "bands": 0}, "guarded by 0 U"),
        ({"name": "simple"}, "simple acceptance, measurement capable 4:1"),
        ({"name": "proof", "probe": "counts"}, "proof at 95 %; the machine's own probe counts"),
    ],
)
def test_a_bore_is_judged_by_the_rule_of_its_start(rule: dict[str, object], text: str) -> None:
    bore = Bore.start({**LEAST, "tool": {"set": "26.800"}, "rule": rule})
    bore.record({"event": "passed"})
    bore.record({"event": "read", "as_read": "26.790"})
    shown: Any = bore.advise()["release"]
    assert shown["rule"] == text
