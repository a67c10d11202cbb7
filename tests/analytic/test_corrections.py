"""A correction gives what would have been believed had the right thing been entered at once; two ways to one belief."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from borewright import Bore
from borewright.errors import BorewrightError, OutOfTurnError
from borewright.record.effect import NEVER_CORRECTED
from borewright.record.stream import Event, StreamKind
from tests.golden.beliefs import differences, hold_same, plain
from tests.unit.door.sessions import FULL, SESSIONS, Session, play, played, released

Entry = Mapping[str, object]
KINDS: tuple[StreamKind, ...] = ("bore", "tool", "gauge")

ENTRIES: tuple[Entry, ...] = (
    {"event": "set_on", "on": "ring", "size": "27.0005", "celsius": "21.0"},
    {"event": "studied", "scatter": "0.0007"},
    {"event": "hole_checked", "as_read": "26.511"},
    {"event": "set", "diameter": "26.780"},
    {"event": "seated"},
    {"event": "proved", "line": "0.00202", "within": "0.00003", "backlash": "0.010", "lock_shift": "0.001"},
    {"event": "passed", "depth": "trial"},
    {"event": "read", "as_read": "26.768"},
    {"event": "passed"},
    {"event": "temperature", "of": "part", "celsius": "22.0", "when": "cut"},
    {"event": "read", "as_read": "26.766"},
    {"event": "rechecked", "size": "27.0005", "as_read": "27.001"},
    {"event": "read", "as_read": "26.767"},
    {"event": "temperature", "of": "part", "celsius": "21.5"},
    {"event": "moved", "lines": "+131"},
    {"event": "passed"},
    {"event": "read", "as_read": "27.031"},
    {"event": "read", "as_read": "27.030"},
    {"event": "read", "as_read": "27.030"},
)
"""A bore on which every kind of entry stands that teaches something; at its end it can be released."""

WRONG: Mapping[int, Entry] = {
    0: {"on": "ring", "size": "27.0000", "celsius": "25.0"},
    1: {"scatter": "0.0020"},
    2: {"as_read": "26.530"},
    3: {"diameter": "26.700"},
    5: {"line": "0.00190", "within": "0.00003"},
    6: {"depth": "full"},
    7: {"as_read": "26.708"},
    8: {"depth": "trial"},
    9: {"of": "part", "celsius": "29.0", "when": "cut"},
    10: {"as_read": "26.776"},
    11: {"size": "27.0005", "as_read": "27.004"},
    12: {"as_read": "26.676"},
    13: {"of": "part", "celsius": "31.5", "when": "now"},
    14: {"lines": "+113"},
    15: {"depth": "trial"},
    17: {"as_read": "27.003"},
}
"""By place in the entries, what else might have been entered there."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where an entry stands in the record.

    Args:
        stream: the kind of stream.
        number: its number there.
    """

    stream: StreamKind
    number: int


def corrected(place: Place, replacement: Entry | None = None) -> Entry:
    entry: Entry = {"event": "corrected", "stream": place.stream, "event_number": place.number}
    return entry if replacement is None else {**entry, "replacement": replacement}


def payload(entry: Entry) -> Entry:
    return {name: value for name, value in entry.items() if name not in {"event", "stream"}}


def recorded(entries: Sequence[Entry]) -> tuple[Bore, list[Place]]:
    """Record entries; return where each of them stands too."""
    bore = Bore.start(FULL)
    places = []
    for entry in entries:
        answer: Any = bore.record(entry)
        places.append(Place(answer["stream"].partition("/")[0], answer["number"]))
    return bore, places


def events(bore: Bore) -> list[Event]:
    return [event for kind in KINDS for event in bore.events(kind)]


def hold_as_replayed(bore: Bore) -> None:
    """Hold that the belief that was carried along is the one that the events give when they are folded afresh."""
    hold_same(bore.belief, Bore.from_events(events(bore)).belief)


@pytest.mark.parametrize("where", WRONG, ids=lambda where: f"{where} {ENTRIES[where]['event']}")
def test_a_replacement_gives_what_the_right_entry_at_once_would_have_given(where: int) -> None:
    wrong = {**ENTRIES[where], **dict.fromkeys(payload(ENTRIES[where])), **WRONG[where]}
    bore, places = recorded([*ENTRIES[:where], wrong, *ENTRIES[where + 1 :]])
    right, _ = recorded(ENTRIES)
    assert differences(plain(bore.belief), plain(right.belief)), "the wrong entry must have taught something else"
    bore.record(corrected(places[where], payload(ENTRIES[where])))
    hold_same(bore.belief, right.belief)
    hold_as_replayed(bore)
    assert bore.advise() == right.advise()


@pytest.mark.parametrize(
    "where", [0, 1, 2, 5, 6, 9, 10, 11, 12, 13, 17, 18], ids=lambda where: str(ENTRIES[where]["event"])
)
def test_a_withdrawal_gives_what_nothing_entered_would_have_given(where: int) -> None:
    bore, places = recorded(ENTRIES)
    without, _ = recorded([*ENTRIES[:where], *ENTRIES[where + 1 :]])
    bore.record(corrected(places[where]))
    hold_as_replayed(bore)
    found = differences(plain(bore.belief), plain(without.belief))
    assert not [line for line in found if "number" not in line and ".event" not in line]


def test_of_two_corrections_of_one_entry_the_latest_holds() -> None:
    bore, places = recorded(ENTRIES)
    right, _ = recorded([*ENTRIES[:-2], {"event": "read", "as_read": "27.032"}, ENTRIES[-1]])
    for replacement in ({"as_read": "27.025"}, None, {"as_read": "27.032"}):
        bore.record(corrected(places[-2], replacement))
        hold_as_replayed(bore)
    hold_same(bore.belief, right.belief)
    with pytest.raises(OutOfTurnError, match="stands as it was done"):
        bore.record(corrected(Place("bore", len(bore.events()))))


def test_several_entries_corrected_in_any_order_give_one_belief() -> None:
    wrong = [{**entry, **WRONG.get(where, {})} for where, entry in enumerate(ENTRIES)]
    right, _ = recorded(ENTRIES)
    orders: tuple[list[int], ...] = (
        list(WRONG),
        list(WRONG)[::-1],
        sorted(WRONG, key=lambda place: place * 7 % 19),
    )
    for order in orders:
        bore, places = recorded(wrong)
        for where in order:
            bore.record(corrected(places[where], payload(ENTRIES[where])))
        hold_same(bore.belief, right.belief)
        hold_as_replayed(bore)


@pytest.mark.parametrize("session", SESSIONS.values(), ids=SESSIONS)
def test_what_is_carried_along_is_what_is_folded_afresh_after_every_entry(session: Session) -> None:
    for asked, bore, _ in play(session):
        if asked != "advise":
            hold_as_replayed(bore)


@pytest.mark.parametrize("where", range(len(ENTRIES)), ids=lambda where: f"{where} {ENTRIES[where]['event']}")
def test_whatever_is_withdrawn_there_is_a_state_and_an_advice(where: int) -> None:
    bore, places = recorded(ENTRIES)
    bore.record(corrected(places[where]))
    hold_as_replayed(bore)
    assert bore.advise()["say"]
    assert bore.in_effect(places[where].stream)[places[where].number - 1].withdrawn


RELEASED = Session(FULL, ENTRIES, released=True)
BEFORE = [where for where in WRONG if where not in {6, 8, 15}]  # those make the finished bore a trial


@pytest.mark.parametrize("where", BEFORE, ids=lambda where: f"{where} {ENTRIES[where]['event']}")
def test_a_release_is_void_after_a_correction_in_any_stream_until_it_is_signed_again(where: int) -> None:
    bore = played(RELEASED)
    _, places = recorded(ENTRIES)
    assert bore.state == "released"
    answer = bore.record(corrected(places[where], WRONG[where]))
    assert answer["state"] == bore.state == "measured"
    hold_as_replayed(bore)
    bore.record(corrected(places[where], payload(ENTRIES[where])))
    assert bore.state == "measured", "putting it right again does not sign it"
    assert bore.record(released(bore))["state"] == "released"
    hold_as_replayed(bore)


def test_a_correction_of_what_came_after_a_release_leaves_it() -> None:
    bore = played(RELEASED)
    entries: tuple[Entry, ...] = ({"event": "edge_changed"}, {"event": "studied", "scatter": "0.001"})
    for entry in entries:
        answer: Any = bore.record(entry)
        place = Place(answer["stream"].partition("/")[0], answer["number"])
        assert bore.record(corrected(place))["state"] == "released"
    hold_as_replayed(bore)


def test_a_release_is_void_where_another_bore_finds_a_shared_tool_was_set_wrong() -> None:
    first = played(RELEASED)
    second = Bore.start(FULL, bore_id="second", tool_events=first.events("tool"), gauge_events=first.events("gauge"))
    answer = second.record(corrected(Place("tool", 2), {"diameter": "26.784"}))
    assert answer["state"] == second.state != "released"
    seen = Bore.from_events([*first.events(), *second.events("tool"), *second.events("gauge")])
    assert seen.state == "measured"
    assert seen.record(released(seen))["state"] == "released"


def test_a_correction_that_would_be_refused_as_an_entry_is_refused_and_changes_nothing() -> None:
    bore, places = recorded(ENTRIES)
    before = bore.belief
    for where, replacement in ((3, {"diameter": "13.4"}), (10, {"as_read": "2.6766"}), (14, {"change": "0.2"})):
        with pytest.raises(BorewrightError) as caught:
            bore.record(corrected(places[where], replacement))
        assert caught.value.where.startswith("replacement")
    assert bore.belief is before


def test_what_stands_as_it_was_done_is_not_corrected() -> None:
    bore = played(RELEASED)
    bore.record({"event": "reopened", "reason": "a second look"})
    bore.record(bore.advised(bore.advise()))
    bore.record({"event": "quarantined", "reason": "a score"})
    bore.record({"event": "reopened", "reason": "it cleans up"})
    bore.record({"event": "noted", "text": "dry"})
    bore.record(corrected(Place("bore", len(bore.events()))))
    acts = [event for event in events(bore) if event.kind in NEVER_CORRECTED]
    assert {event.kind for event in acts} == NEVER_CORRECTED
    for event in acts:
        with pytest.raises(OutOfTurnError, match="stands as it was done"):
            bore.record(corrected(Place(event.stream.kind, event.number)))


CORRECTIONS = st.lists(
    st.tuples(st.sampled_from(list(WRONG)), st.sampled_from(["wrong", "right", "withdrawn"])), max_size=6
)


@given(CORRECTIONS, st.booleans())
@settings(max_examples=25, deadline=None)
def test_any_corrections_in_any_order_fold_the_same_afresh(corrections: list[tuple[int, str]], release: bool) -> None:
    bore, places = recorded(ENTRIES)
    if release:
        bore.record(released(bore))
    for where, how in corrections:
        replacement = {"wrong": WRONG[where], "right": payload(ENTRIES[where]), "withdrawn": None}[how]
        try:
            bore.record(corrected(places[where], replacement))
        except BorewrightError:
            continue  # it stands there already, is withdrawn already, or does not fit what else was corrected
        assert bore.state != "released"
    hold_as_replayed(bore)
    assert bore.advise()["say"]
