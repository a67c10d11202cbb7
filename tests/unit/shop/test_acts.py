"""The acts of people, through the record and back."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

from borewright.errors import ConflictError, EntryError, NotHeldError, OutOfTurnError
from borewright.record.stream import StreamId
from borewright.shop import acts, bores
from borewright.shop.store import Store
from borewright.sizing.bore import Bore

AT = "2027-03-01T06:00:00Z"
GIVEN: Mapping[str, object] = {
    "name": "Sluice hub, Nº 2",
    "callout": "53.150 ±0.012",
    "unit": "mm",
    "hole": "52.480",
    "adjuster": {"kind": "dial", "on": "diameter", "line": "0.002", "lines_per_turn": 50},
    "gauge": {"step": "0.001"},
    "push_off": "0.018",
    "tool": {"id": "head-4"},
    "gauge_id": "gauge-2",
}
CUT_AND_READ: tuple[Mapping[str, object], ...] = (
    {"event": "set", "diameter": "52.800"},
    {"event": "seated"},
    {"event": "passed"},
    {"event": "read", "as_read": "52.783"},
    {"event": "read", "as_read": "52.784"},
)


@pytest.fixture
def hub(store: Store) -> str:
    """A bore, cut once and read twice."""
    bore = str(acts.open_bore(store, GIVEN, at=AT, by="R. Amberley")["bore"])
    for entry in CUT_AND_READ:
        acts.record(store, bore, entry, at=AT, by="R. Amberley")
    return bore


def in_memory(entries: tuple[Mapping[str, object], ...]) -> Bore:
    bore = Bore.start(GIVEN, bore_id="sluice-hub-no-2", at=AT, by="R. Amberley")
    for entry in entries:
        bore.record({**entry, "at": AT, "by": "R. Amberley"})
    return bore


def test_opening_stores_the_bore_and_what_is_new_of_its_tool_at_once(store: Store) -> None:
    answer = acts.open_bore(store, GIVEN, key="k", at=AT)
    assert answer["bore"] == "sluice-hub-no-2"
    assert answer["streams"] == {"bore": "bore/sluice-hub-no-2", "tool": "tool/head-4", "gauge": "gauge/gauge-2"}
    assert answer["event"] == "opened"
    assert answer["state"] == "to set"
    stored = bores.history(store, "sluice-hub-no-2")
    assert [(str(event.stream), event.number, event.kind) for event in stored] == [
        ("tool/head-4", 1, "assembled"),
        ("bore/sluice-hub-no-2", 1, "opened"),
    ]


def test_what_is_stored_is_what_the_door_makes_in_memory_to_the_last_hash(store: Store, hub: str) -> None:
    same = in_memory(CUT_AND_READ)
    assert store.head(same.streams["bore"]).hash == same.events("bore")[-1].hash
    assert store.head(same.streams["tool"]).hash == same.events("tool")[-1].hash
    assert bores.view(store, hub).advise() == same.advise()


def test_the_answer_is_that_of_the_door(store: Store) -> None:
    acts.open_bore(store, GIVEN, at=AT, by="R. Amberley")
    same = Bore.start(GIVEN, bore_id="sluice-hub-no-2", at=AT, by="R. Amberley")
    for entry in CUT_AND_READ:
        answer = acts.record(store, "sluice-hub-no-2", entry, at=AT, by="R. Amberley")
        told = same.record({**entry, "at": AT, "by": "R. Amberley"})
        assert answer == {**told, "after": bores.numbers(same)}


def test_the_clock_is_read_at_this_edge_where_nobody_says_when(store: Store) -> None:
    acts.open_bore(store, GIVEN)
    acts.record(store, "sluice-hub-no-2", {"event": "noted", "text": "x"})
    acts.record(store, "sluice-hub-no-2", {"event": "noted", "text": "x", "at": "2027-01-01T06:00:00+01:00"})
    times = [event.draft.at for event in store.stream(StreamId("bore", "sluice-hub-no-2"))]
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", str(at)) for at in times[:2])
    assert times[2] == "2027-01-01T06:00:00+01:00"


def test_an_entry_sent_again_gets_the_first_answer_even_after_others(store: Store, hub: str) -> None:
    entry = {"event": "read", "as_read": "52.785"}
    seen = bores.numbers(bores.view(store, hub))
    first = acts.record(store, hub, entry, key="r3", saw=seen)
    acts.record(store, hub, {"event": "noted", "text": "later"})
    assert acts.record(store, hub, entry, key="r3", saw=seen) == first
    with pytest.raises(ConflictError):
        acts.record(store, hub, {"event": "read", "as_read": "52.786"}, key="r3")
    assert [event.kind for event in store.stream(StreamId("bore", hub))].count("read") == 3


def test_a_bore_opened_again_with_the_same_key_is_the_same_bore(store: Store) -> None:
    first = acts.open_bore(store, GIVEN, key="open")
    assert acts.open_bore(store, GIVEN, key="open") == first
    assert len(bores.list_bores(store)) == 1


def test_a_name_taken_gets_a_number_or_is_a_conflict_where_it_was_chosen(store: Store) -> None:
    other = {name: value for name, value in GIVEN.items() if name != "tool"}
    assert acts.open_bore(store, GIVEN)["bore"] == "sluice-hub-no-2"
    assert acts.open_bore(store, other)["bore"] == "sluice-hub-no-2-2"
    assert acts.open_bore(store, {**other, "name": "孔"})["bore"] == "bore"
    assert acts.open_bore(store, other, bore="front.left")["bore"] == "front.left"
    with pytest.raises(ConflictError) as caught:
        acts.open_bore(store, other, bore="front.left")
    assert caught.value.since[0]["event"] == "opened"
    with pytest.raises(EntryError):
        acts.open_bore(store, other, bore="front left")


def test_what_cannot_be_opened_stores_nothing(store: Store) -> None:
    with pytest.raises(EntryError):
        acts.open_bore(store, {**GIVEN, "hole": "53.9"}, key="k")
    with pytest.raises(NotHeldError):
        acts.open_bore(store, {**GIVEN, "callout": "4000 H6"}, key="k")
    assert store.token() == 0
    assert acts.open_bore(store, GIVEN, key="k")["number"] == 1


@pytest.mark.parametrize(
    ("entry", "error"),
    [
        ({"event": "read", "as_read": "5.2784"}, EntryError),
        ({"event": "read"}, EntryError),
        ({"event": "polished"}, EntryError),
        ({"event": "hole_checked", "as_read": "52.480"}, OutOfTurnError),
        ({"event": "corrected", "event_number": 99}, NotHeldError),
        ({"event": "corrected", "event_number": 1}, OutOfTurnError),
    ],
)
def test_what_cannot_be_recorded_stores_nothing(
    store: Store, hub: str, entry: Mapping[str, object], error: type[Exception]
) -> None:
    before = store.token()
    with pytest.raises(error):
        acts.record(store, hub, entry, key="k")
    assert store.token() == before


def test_a_bore_nobody_opened_is_said(store: Store) -> None:
    for act in (bores.view, bores.history, bores.advise):
        with pytest.raises(NotHeldError, match="no bore of that name"):
            act(store, "nobody")
    with pytest.raises(NotHeldError):
        acts.record(store, "nobody", {"event": "passed"})


def test_an_act_on_a_state_that_was_overtaken_is_refused_with_what_came_since(
    store: Store, hub: str, folder: Path
) -> None:
    seen = bores.advise(store, hub)["saw"]
    assert seen == {"bore": 4, "tool": 3, "gauge": 0}
    with Store.open(folder) as other:
        acts.record(other, hub, {"event": "moved", "lines": "20"})
    with pytest.raises(ConflictError) as caught:
        acts.record(store, hub, {"event": "moved", "lines": "20"}, saw={"bore": 4, "tool": 3})
    assert [event["event"] for event in caught.value.since] == ["moved"]
    assert caught.value.where == "tool/head-4"
    with pytest.raises(EntryError):
        acts.record(store, hub, {"event": "passed"}, saw={"spindle": 1})


def test_advice_acted_upon_is_stored_with_the_numbers_shown(store: Store, hub: str) -> None:
    shown = bores.advise(store, hub)
    seen: Any = shown["saw"]
    acts.record(store, hub, {"event": "moved", "lines": "30"}, saw=seen, on_advice=True)
    advised, moved = bores.history(store, hub)[-2:]
    assert (advised.kind, moved.kind) == ("advised", "moved")
    assert advised.payload["action"] == shown["action"]
    kept: Any = advised.payload["shown"]
    assert kept["say"] == shown["say"]
    assert kept["expect"] == shown["expect"]


def test_a_correction_gives_what_would_have_been_had_it_been_right_at_once(store: Store, hub: str) -> None:
    acts.record(store, hub, {"event": "moved", "lines": "50"}, at=AT, by="R. Amberley")
    acts.record(store, hub, {"event": "passed"}, at=AT, by="R. Amberley")
    acts.correct(store, hub, "bore", 2, {"depth": "trial"}, reason="only the mouth", by="R. Amberley")
    acts.correct(store, hub, "bore", 3, {"as_read": "52.779"})
    acts.correct(store, hub, "tool", 4, {"lines": "60"})
    right = in_memory(
        (
            *CUT_AND_READ[:2],
            {"event": "passed", "depth": "trial"},
            {"event": "read", "as_read": "52.779"},
            *CUT_AND_READ[4:],
            {"event": "moved", "lines": "60"},
            {"event": "passed"},
        )
    )
    assert bores.view(store, hub).advise() == right.advise()
    assert store.check().faults == ()


def test_a_withdrawal_gives_what_would_have_been_without_and_both_stay_in_the_record(store: Store, hub: str) -> None:
    acts.record(store, hub, {"event": "read", "as_read": "52.700"})
    acts.withdraw(store, hub, "bore", 5, reason="chip under the anvil", by="R. Amberley")
    assert bores.view(store, hub).advise() == in_memory(CUT_AND_READ).advise()
    assert [event.kind for event in bores.history(store, hub)[-2:]] == ["read", "corrected"]
    with pytest.raises(OutOfTurnError, match="withdrawn already"):
        acts.withdraw(store, hub, "bore", 5)


def to_size(store: Store, bore: str) -> dict[str, object]:
    """Do what is advised, on metal that gives way by 16 µm, until a release is shown."""
    hole, tool = 52.784, 52.800
    advice: Any = bores.advise(store, bore)
    while advice["action"] != "release":
        if advice["action"] in {"move_and_cut", "cut"}:
            if "move" in advice:
                acts.record(store, bore, {"event": "moved", "lines": advice["move"]["lines"]})
                tool += 0.002 * float(advice["move"]["lines"])
            acts.record(store, bore, {"event": "passed"})
            hole = max(hole, tool - 0.016)
        acts.record(store, bore, {"event": "read", "as_read": f"{hole:.3f}"})
        assert store.token() < 60, "no release in sight"
        advice = bores.advise(store, bore)
    shown: dict[str, object] = advice["release"]
    return shown


def test_a_release_stands_on_the_numbers_in_view_and_a_correction_before_it_voids_it(store: Store, hub: str) -> None:
    shown = to_size(store, hub)
    with pytest.raises(EntryError, match="evidence now gives"):
        acts.release(store, hub, {**shown, "size": "53.151 mm"}, by="I. Thorne")
    with pytest.raises(EntryError, match="missing"):
        acts.release(store, hub, {}, by="I. Thorne")
    answer = acts.release(store, hub, shown, by="I. Thorne", key="sign")
    assert answer["state"] == "released"
    with pytest.raises(OutOfTurnError):
        acts.record(store, hub, {"event": "passed"})
    acts.correct(store, hub, "bore", 3, {"as_read": "52.782"})
    assert bores.view(store, hub).state != "released"


def test_a_bore_is_set_aside_and_taken_up_again_with_reasons(store: Store, hub: str) -> None:
    with pytest.raises(EntryError):
        acts.quarantine(store, hub, "  ")
    assert acts.quarantine(store, hub, "bell mouth", by="I. Thorne")["state"] == "quarantined"
    with pytest.raises(OutOfTurnError):
        acts.quarantine(store, hub, "again")
    assert acts.reopen(store, hub, "measured free of the clamps", by="I. Thorne")["state"] != "quarantined"
    with pytest.raises(OutOfTurnError):
        acts.reopen(store, hub, "again")


def test_two_bores_share_a_tool_and_each_sees_what_the_other_did_to_it(store: Store, hub: str) -> None:
    answer = acts.open_bore(store, {**GIVEN, "name": "Sluice hub, Nº 3"})
    second = str(answer["bore"])
    assert [str(event.stream) for event in bores.history(store, second)][:2] == ["tool/head-4", "tool/head-4"]
    acts.record(store, second, {"event": "moved", "lines": "10"})
    assert bores.numbers(bores.view(store, hub))["tool"] == bores.numbers(bores.view(store, second))["tool"] == 4
    with pytest.raises(EntryError, match="another adjuster"):
        acts.open_bore(store, {**GIVEN, "adjuster": {"kind": "direct", "on": "diameter", "step": "0.001"}})


def test_bores_are_listed_in_the_order_in_which_they_were_opened(store: Store, hub: str) -> None:
    acts.open_bore(store, {**GIVEN, "name": None, "tool": None}, at=AT)
    first, second = bores.list_bores(store)
    assert (first.bore, first.name, first.callout, first.state) == (
        hub,
        "Sluice hub, Nº 2",
        "53.150 ±0.012",
        bores.view(store, hub).state,
    )
    assert (first.opened_at, first.events) == (AT, 4)
    assert (second.bore, second.name, second.state) == ("bore", None, "to set")


def test_every_act_is_kept_apart_by_its_key(store: Store, hub: str) -> None:
    """A key used for one act is a conflict for any other, with the same words in it."""
    doings: list[Callable[[], object]] = [
        lambda: acts.record(store, hub, {"event": "noted", "text": "x"}, key="k"),
        lambda: acts.record(store, hub, {"event": "noted", "text": "x"}, key="k", by="I. Thorne"),
        lambda: acts.record(store, hub, {"event": "noted", "text": "x"}, key="k", on_advice=True),
        lambda: acts.withdraw(store, hub, "bore", 3, key="k"),
        lambda: acts.quarantine(store, hub, "x", key="k"),
        lambda: acts.open_bore(store, {**GIVEN, "name": "x"}, key="k"),
    ]
    doings[0]()
    before = store.token()
    for doing in itertools.islice(doings, 1, None):
        with pytest.raises(ConflictError):
            doing()
    assert store.token() == before
