"""The sizing session, at a real machine (nobody shows anything) and at the simulated one."""

from __future__ import annotations

import itertools
from collections.abc import Mapping

import pytest

from borewright.cli.session import Session
from borewright.cli.talk import LeftError
from borewright.exchange.demo import DEMO_BORES, DemoBore
from borewright.rehearsal.machine import SimulatedMachine
from borewright.shop.kept import in_effect
from tests.unit.cli.memory_desk import MemoryDesk
from tests.unit.cli.scripted import Scripted

SEAT = DEMO_BORES[0]
LEAST: dict[str, object] = {
    "name": "upper eye",
    "callout": "33.4 H7",
    "unit": "mm",
    "hole": "33.28",
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter"},
    "gauge": {"step": "0.001"},
    "push_off": "0.02",
}

CUT = ["check 33.281", "33.356", "", ""]
"""The hole checked; the tool set, measured at what was advised, put in the spindle; cut."""


def at_machine(answers: list[str], width: int = 80) -> tuple[Scripted, MemoryDesk]:
    """Run a session at a real machine until the answers end."""
    talk, desk = Scripted(answers, width), MemoryDesk(LEAST)
    with pytest.raises(LeftError):
        Session(talk, desk).run()
    return talk, desk


def kept(desk: MemoryDesk) -> list[str]:
    return [event.event for event in desk.history()]


@pytest.mark.parametrize(("bore", "width"), tuple(zip(DEMO_BORES, (60, 80, 60, 80, 60), strict=True)))
def test_pressing_enter_brings_every_demo_bore_to_a_release_inside_its_limits(bore: DemoBore, width: int) -> None:
    desk = MemoryDesk(bore.bore().mapping)
    machine = SimulatedMachine(bore.kind, bore.seed, bore.job().units, lambda: in_effect(desk.history()))
    talk = Scripted(itertools.repeat("", 80), width)
    Session(talk, desk, machine, by="Ada Quill").run()
    assert desk.bore.state == "released"
    assert machine.truth().verdict() == "good"
    for needed in ("VERDICT: IN", "that the whole bore lies inside the limits", "rule proof at 95 %", "± "):
        assert needed in talk.screen
    assert talk.screen.index("VERDICT: IN") < talk.screen.index("Who releases it?")
    assert desk.stored[-1].draft.by == "Ada Quill"


def test_one_bore_at_a_real_machine_from_words_to_a_reading() -> None:
    talk, desk = at_machine([*CUT, "33.356", "r 33.357", "?", "a", "h", "l", "t 21", "n chip wiped"])
    assert kept(desk) == ["opened", "hole_checked", "set", "seated", "passed", "read", "read", "temperature", "noted"]
    for needed in (
        "Arithmetic",
        "backlash 0.0150 mm within",
        "the insert was indexed",
        "kept note: chip wiped",
        "kept read 33.357 mm",
    ):
        assert needed in talk.screen
    assert talk.screen.count("Stop the spindle and lock it out") >= 4


def test_enter_does_not_take_what_was_wanted_of_the_tool_for_what_it_measures() -> None:
    talk, desk = at_machine(["check 33.281", "", "", "33.357"])
    assert kept(desk) == ["opened", "hole_checked", "set"]
    assert desk.stored[-1].payload["diameter"] == "33.357 mm"
    assert talk.screen.count("Type what it shows.") >= 3


def test_enter_enters_no_reading_where_nobody_can_see_one() -> None:
    talk, desk = at_machine([*CUT, "", "", ""])
    assert kept(desk) == ["opened", "hole_checked", "set", "seated", "passed"]
    assert "Type what it shows." in talk.screen


@pytest.mark.parametrize(
    "typed",
    [
        "33,29,6", "33.296 kg", "33.296.1", "banana", "r", "3", "333.1", "read nan", "33.296 thou", "t 400", "t tool",
        "move 1e9", "open", "ring", "-33.296", "33.296 33.297", "recheck 33", "n", "aside", "release", "Ø", "33 1/2",
        "🙂", "a" * 5000,
    ],
)  # fmt: skip
def test_bad_input_gets_a_message_and_is_offered_again_to_be_mended(typed: str) -> None:
    talk, desk = at_machine([*CUT, typed])
    assert kept(desk)[:5] == ["opened", "hole_checked", "set", "seated", "passed"]
    assert len(kept(desk)) == 5
    if typed != "aside":
        assert "Not kept." in talk.screen
        assert talk.offered[-1] == typed


@pytest.mark.parametrize("typed", ["\x00", "\u202e", " \t "])
def test_what_cannot_be_seen_is_nothing(typed: str) -> None:
    talk, desk = at_machine([*CUT, typed])
    assert len(kept(desk)) == 5
    assert talk.offered[-1] == ""


class MovingDesk(MemoryDesk):
    """Advises to open by so many lines, whatever is known."""

    def advise(self) -> Mapping[str, object]:
        return {**super().advise(), "action": "move_and_cut", "move": {"direction": "open", "lines": "+9.5"}}


@pytest.mark.parametrize(("typed", "asked"), [("33.357", True), ("12.5", False), ("13", True), ("9", False)])
def test_a_reading_typed_where_lines_are_asked_for_is_asked_about(typed: str, asked: bool) -> None:
    talk, desk = Scripted(["set 33.36", "", typed, "n"]), MovingDesk(LEAST)
    with pytest.raises(LeftError):
        Session(talk, desk).run()
    assert (f"taken as opened {typed} lines" in talk.screen) is asked
    assert ("moved" in kept(desk)) is not asked


class ResettingDesk(MemoryDesk):
    """Advises to set the gauge anew, whatever is known."""

    def advise(self) -> Mapping[str, object]:
        return {**super().advise(), "action": "measure", "measure": {"setting": "anew"}}


def test_a_gauge_to_be_set_anew_is_asked_for_its_ring() -> None:
    talk, desk = Scripted(["", "33.400"]), ResettingDesk(LEAST)
    with pytest.raises(LeftError):
        Session(talk, desk).run()
    assert kept(desk) == ["opened", "set_on"]
    assert {"on": "ring", "size": "33.400 mm"}.items() <= desk.stored[-1].payload.items()
    assert "Which ring is the gauge set on, as marked?" in talk.screen


def test_a_number_where_yes_is_asked_for_is_not_taken_for_yes() -> None:
    talk, desk = at_machine([*CUT[:3], "33.356"])
    assert "No number is asked for here. Type r before what the gauge shows." in talk.screen
    assert "passed" not in kept(desk)


def test_undo_withdraws_the_last_entry_of_whichever_stream_after_showing_it() -> None:
    talk, desk = at_machine(["check 33.281", "33.356", "u", "n", "u", "", "u", ""])
    assert kept(desk) == ["opened", "hole_checked", "set", "corrected", "corrected"]
    assert [str(event.stream).partition("/")[0] for event in desk.stored[4:]] == ["tool", "bore"]
    assert "undo set to 33" in talk.screen
    assert "undo hole read 33.281 mm" in talk.screen
    nothing, _ = at_machine(["u"])
    assert "There is nothing to undo." in nothing.screen


def test_each_entry_has_a_key_of_its_own() -> None:
    _, desk = at_machine([*CUT, "33.356"])
    assert len(desk.keys) == len(set(desk.keys)) == 5


def test_only_moves_made_on_the_advice_keep_it() -> None:
    _, desk = at_machine([*CUT, "33.356", "33.357"])
    assert desk.on_advice == [False, True, False, False, False, False]


def test_a_reading_that_surprises_is_shown_before_it_counts() -> None:
    start = [*CUT, "33.356", "33.356"]
    talk, desk = at_machine([*start, "r 33.456", "n"])
    assert kept(desk).count("read") == 2
    assert "This reading does not fit" in talk.screen
    assert "taken as read 33.456 mm" in talk.screen
    talk, desk = at_machine([*start, "r 33.456", "", "r 33.356"])
    assert kept(desk).count("read") == 4
    assert talk.screen.count("Keep it?") == 1


def test_nothing_is_released_without_evidence_or_without_a_name() -> None:
    talk, desk = at_machine(["release"])
    assert "Nothing is shown yet that could be released." in talk.screen
    assert kept(desk) == ["opened"]
    bench = MemoryDesk(SEAT.bore().mapping)
    machine = SimulatedMachine(SEAT.kind, SEAT.seed, "mm", lambda: in_effect(bench.history()))
    talk = Scripted([""] * 60)
    with pytest.raises(LeftError):
        Session(talk, bench, machine).run()
    assert "VERDICT: IN" in talk.screen
    assert "Not signed." in talk.screen
    assert bench.bore.state == "measured"
    assert "released" not in kept(bench)


def test_a_bore_is_set_aside_with_a_reason_and_a_name_and_taken_up_again() -> None:
    talk, desk = Scripted(["aside torn mouth", "torn mouth", "", "aside", "torn mouth", "Ada Quill"]), MemoryDesk(LEAST)
    Session(talk, desk).run()
    assert desk.bore.state == "quarantined"
    assert desk.stored[-1].draft.by == "Ada Quill"
    assert desk.stored[-1].payload["reason"] == "torn mouth"
    assert talk.offered[:5] == ["", "torn mouth", "", "", "torn mouth"]
    again = Scripted(["reopen", "reopen measured again", "q"])
    with pytest.raises(LeftError):
        Session(again, desk).run()
    assert desk.bore.state == "to set"


def test_leaving_needs_no_other_word() -> None:
    for word in ("q", "quit", "leave"):
        with pytest.raises(LeftError):
            Session(Scripted([word]), MemoryDesk(LEAST)).run()
