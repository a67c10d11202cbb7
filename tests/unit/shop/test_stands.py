"""How bores stand, remembered: never another answer than the record itself gives."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from borewright.record.stream import StreamId
from borewright.shop import acts, bores, stands
from borewright.shop.stands import Stand
from borewright.shop.store import Store
from borewright.sizing.bore import Bore

GIVEN: Mapping[str, object] = {
    "name": "upper eye",
    "callout": "33.4 H7",
    "unit": "mm",
    "hole": "33.28",
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter"},
    "gauge": {"step": "0.001"},
    "push_off": "0.02",
}
WORK: tuple[Mapping[str, object], ...] = (
    {"event": "hole_checked", "as_read": "33.281"},
    {"event": "set", "diameter": "33.300"},
    {"event": "seated"},
    {"event": "passed"},
    {"event": "temperature", "of": "part", "when": "cut", "celsius": "22.5"},
    {"event": "read", "as_read": "33.282"},
    {"event": "noted", "text": "chip under the foot", "stream": "bore"},
    {"event": "read", "as_read": "33.281"},
    {"event": "temperature", "of": "part", "celsius": "21.0"},
    {"event": "moved", "lines": "+25"},
    {"event": "clamped"},
    {"event": "passed"},
    {"event": "set_on", "on": "ring", "size": "33.400"},
    {"event": "read", "as_read": "33.330"},
    {"event": "corrected", "stream": "bore", "replacement": {"as_read": "33.283"}, "reason": "misread"},
    {"event": "edge_changed"},
    {"event": "moved", "lines": "+10"},
    {"event": "corrected", "stream": "tool"},
    {"event": "passed"},
    {"event": "read", "as_read": "33.352"},
)
"""A bore's life with everything in it that could make a remembered bore differ from one built anew.

A correction is of the first reading, or of the last move.
"""


def same(one: Stand, other: Stand) -> None:
    """Hold two stands against each other, to the last bit of the belief."""
    assert one.numbers == other.numbers
    assert one.history == other.history
    assert one.bore.state == other.bore.state
    assert (one.bore.belief.now.mean == other.bore.belief.now.mean).all()
    assert (one.bore.belief.now.covariance == other.bore.belief.now.covariance).all()
    assert one.advice == other.advice


def whole(store: Store, bore: str, entry: Mapping[str, object]) -> Mapping[str, object]:
    """Say which event a correction is of."""
    if entry["event"] != "corrected":
        return entry
    history = bores.stand(store, bore).history
    reads = [kept.number for kept in history if kept.event == "read"]
    moves = [kept.number for kept in history if kept.event == "moved"]
    return {**entry, "event_number": reads[0] if entry["stream"] == "bore" else moves[-1]}


def anew(store: Store, bore: str) -> Stand:
    events = bores.history(store, bore)
    return Stand(Bore.from_events(events), events)


def test_a_remembered_bore_stands_as_one_built_anew_after_every_entry(store: Store) -> None:
    bore = str(acts.open_bore(store, GIVEN)["bore"])
    same(bores.stand(store, bore), anew(store, bore))
    for entry in WORK:
        acts.record(store, bore, whole(store, bore, entry), on_advice=True)
        same(bores.stand(store, bore), anew(store, bore))


def test_what_has_not_changed_is_not_built_again_and_what_has_is(store: Store, folder: Path) -> None:
    bore = str(acts.open_bore(store, GIVEN)["bore"])
    first = bores.stand(store, bore)
    assert bores.stand(store, bore) is first
    acts.record(store, bore, WORK[0])
    second = bores.stand(store, bore)
    assert second is not first
    assert bores.stand(store, bore) is second
    with Store.open(folder) as other:
        acts.record(other, bore, WORK[1])
    third = bores.stand(store, bore)
    assert third.numbers["tool"] == second.numbers["tool"] + 1
    same(third, anew(store, bore))


def test_another_bore_on_the_same_tool_is_seen_to_have_moved(store: Store) -> None:
    shared = {**GIVEN, "tool": {"id": "one-bar"}}
    front = str(acts.open_bore(store, {**shared, "name": "front"})["bore"])
    rear = str(acts.open_bore(store, {**shared, "name": "rear"})["bore"])
    before = bores.stand(store, rear)
    acts.record(store, front, {"event": "set", "diameter": "33.300"})
    assert bores.stand(store, rear).numbers["tool"] == before.numbers["tool"] + 1
    same(bores.stand(store, rear), anew(store, rear))


def test_an_act_that_is_refused_leaves_what_is_remembered_as_it_was(store: Store) -> None:
    bore = str(acts.open_bore(store, GIVEN)["bore"])
    before = bores.stand(store, bore)
    with pytest.raises(ValueError, match="cannot be that far"):
        acts.record(store, bore, {"event": "hole_checked", "as_read": "16.64"})
    assert bores.stand(store, bore) is before
    same(before, anew(store, bore))


def test_what_one_is_told_the_other_does_not_hear(store: Store) -> None:
    bore = str(acts.open_bore(store, GIVEN)["bore"])
    stand = bores.stand(store, bore)
    told = stand.told()
    told.record(WORK[1])
    assert told.state != stand.bore.state
    assert stand.numbers == {"bore": 1, "tool": 1, "gauge": 0}
    same(stand, anew(store, bore))


def test_the_advice_in_another_unit_is_the_same_advice(store: Store) -> None:
    bore = str(acts.open_bore(store, GIVEN)["bore"])
    stand = bores.stand(store, bore)
    inches = stand.advice_in("in")
    assert inches["action"] == stand.advice["action"]
    assert str(inches["say"]) != str(stand.advice["say"])
    assert stand.advice_in("mm") is stand.advice_in(None) is stand.advice
    assert stand.advice_in("in") is inches


def test_only_so_many_are_remembered(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stands, "MOST", 2)
    names = [str(acts.open_bore(store, GIVEN)["bore"]) for _ in range(3)]
    first = bores.stand(store, names[0])
    bores.stand(store, names[1])
    assert bores.stand(store, names[0]) is first
    bores.stand(store, names[2])
    assert bores.stand(store, names[0]) is first
    bores.stand(store, names[1])
    assert bores.stand(store, names[2]).numbers == {"bore": 1, "tool": 1, "gauge": 0}


def test_the_bores_on_grown_streams_are_found(store: Store) -> None:
    shared = {**GIVEN, "tool": {"id": "one-bar"}}
    front = str(acts.open_bore(store, {**shared, "name": "front"})["bore"])
    rear = str(acts.open_bore(store, {**shared, "name": "rear"})["bore"])
    alone = str(acts.open_bore(store, {**GIVEN, "name": "alone"})["bore"])
    tool = bores.stand(store, front).bore.streams["tool"]
    assert bores.resting_on(store, {tool}) == {name: bores.stand(store, name).numbers for name in (front, rear)}
    own = bores.stand(store, alone).bore.streams["bore"]
    assert set(bores.resting_on(store, {own})) == {alone}
    assert not bores.resting_on(store, {StreamId("tool", "another-bar")})
