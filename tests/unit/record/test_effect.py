"""Which events are in effect: the latest correction holds, at the original's place; a release before it is void."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from borewright.errors import BorewrightError, DamagedRecordError, EntryError, NotHeldError, OutOfTurnError
from borewright.record import effect
from borewright.record.effect import NEVER_CORRECTED, Effective, check_correction, effective, in_effect, void_releases
from borewright.record.fields import payload_plain
from borewright.record.kinds import EVENT_KINDS
from borewright.record.payloads.shared import Corrected
from borewright.record.stream import Event
from tests.unit.record.fixtures import ENTRIES
from tests.unit.record.journal import Entry, corrected, events, held

READ: dict[str, object] = {"event": "read", "as_read": "27.010"}
PASSED: dict[str, object] = {"event": "passed"}
NOTED: dict[str, object] = {"event": "noted", "text": "dry"}


def release(tool: int = 0, gauge: int = 0) -> dict[str, object]:
    refs = {"tool": {"id": "tool-1", "number": tool}, "gauge": {"id": "gauge-1", "number": gauge}}
    return {**ENTRIES["bore", "released"], **refs}


def seen(held: tuple[Effective, ...]) -> list[tuple[int, str, object]]:
    return [(event.number, event.kind, payload_plain(event.payload)) for event in held]


def test_without_corrections_every_event_holds_as_it_stands() -> None:
    stored = events("bore", PASSED, READ, NOTED)
    assert seen(effective(stored)) == [(event.number, event.kind, event.payload) for event in stored]
    assert in_effect(stored) == effective(stored)
    assert effective(()) == ()


def test_a_replacement_holds_at_the_place_of_the_original() -> None:
    stored = events("bore", PASSED, READ, NOTED, corrected(2, as_read="27.001 mm"))
    assert seen(in_effect(stored)) == [
        (1, "passed", {}),
        (2, "read", {"as_read": "27.001 mm"}),
        (3, "noted", {"text": "dry"}),
    ]
    whole = effective(stored)
    assert [event.corrected_by for event in whole] == [0, 4, 0, 0]
    assert not any(event.withdrawn for event in whole)
    assert stored[1].payload == {"as_read": "27.010 mm"}


def test_what_is_withdrawn_is_marked_and_not_seen() -> None:
    stored = events("bore", PASSED, READ, corrected(2))
    assert [event.number for event in in_effect(stored)] == [1]
    assert effective(stored)[1].withdrawn
    assert payload_plain(effective(stored)[1].payload) == {"as_read": "27.010 mm"}


@pytest.mark.parametrize(
    ("corrections", "holds"),
    [
        ([corrected(1, as_read="27.001 mm"), corrected(1, as_read="27.002 mm")], "27.002 mm"),
        ([corrected(1), corrected(1, as_read="27.002 mm")], "27.002 mm"),
        ([corrected(1, as_read="27.001 mm"), corrected(1)], None),
        ([corrected(1, as_read="27.001 mm"), corrected(1, as_read="27.010 mm")], "27.010 mm"),
    ],
)
def test_of_several_corrections_the_latest_holds(corrections: list[Any], holds: str | None) -> None:
    stored = events("bore", READ, *corrections)
    assert [payload_plain(event.payload).get("as_read") for event in in_effect(stored)] == ([holds] if holds else [])
    assert effective(stored)[0].corrected_by == 3


def test_corrections_are_told_of_the_whole_but_not_folded() -> None:
    stored = events("tool", {"event": "seated"}, corrected(1))
    assert [event.kind for event in effective(stored)] == ["seated", "corrected"]
    assert in_effect(stored) == ()


@pytest.mark.parametrize("pointing_at", [2, 3, 99])
def test_a_stored_correction_of_nothing_before_it_is_damage(pointing_at: int) -> None:
    with pytest.raises(DamagedRecordError, match="no event before it"):
        effective(events("bore", READ, corrected(pointing_at)))


@pytest.mark.parametrize("replacement", [{"as_red": "27.001 mm"}, {"as_read": "27.001"}, {"as_read": "0 mm"}])
def test_a_stored_replacement_that_cannot_be_read_is_damage_of_the_correction(replacement: dict[str, str]) -> None:
    with pytest.raises(DamagedRecordError) as caught:
        effective(events("bore", READ, corrected(1, **replacement)))
    assert caught.value.where == "bore/bore-1 number 2"


def spoiled(event: Event, **draft: Any) -> Event:  # noqa: ANN401  # any field of a draft
    return dataclasses.replace(event, draft=dataclasses.replace(event.draft, **draft))


@pytest.mark.parametrize(
    ("draft", "wrong"),
    [
        ({"kind": "polished"}, "newer program"),
        ({"kind": "moved"}, "newer program"),
        ({"version": 2}, "newer program"),
        ({"payload": {"as_read": "27.01"}}, "cannot be read"),
        ({"payload": {}}, "cannot be read"),
    ],
)
def test_what_cannot_be_read_is_damage_and_named(draft: dict[str, Any], wrong: str) -> None:
    whole = events("bore", PASSED, READ)
    with pytest.raises(DamagedRecordError, match=wrong) as caught:
        effective((whole[0], spoiled(whole[1], **draft)))
    assert caught.value.where == "bore/bore-1 number 2"


def test_old_versions_are_brought_up_one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    kind = dataclasses.replace(EVENT_KINDS["bore", "read"], version=3)
    monkeypatch.setitem(EVENT_KINDS, ("bore", "read"), kind)
    monkeypatch.setitem(effect.UPGRADES, ("bore", "read", 1), lambda old: {"read": old["shown"]})
    monkeypatch.setitem(effect.UPGRADES, ("bore", "read", 2), lambda old: {"as_read": old["read"]})
    (event,) = events("bore", READ)
    for version, payload in ((1, {"shown": "27.010 mm"}), (2, {"read": "27.010 mm"}), (3, {"as_read": "27.010 mm"})):
        stored = spoiled(event, version=version, payload=payload)
        assert payload_plain(effective((stored,))[0].payload) == {"as_read": "27.010 mm"}
        assert stored.payload == payload


@pytest.mark.parametrize(
    ("bore", "tool", "gauge", "void"),
    [
        ((PASSED, READ, release()), (), (), False),
        ((PASSED, READ, corrected(2, as_read="27.001 mm"), release()), (), (), False),
        ((PASSED, READ, release(), corrected(2, as_read="27.001 mm")), (), (), True),
        ((PASSED, READ, release(), corrected(2)), (), (), True),
        ((PASSED, READ, corrected(2), release(), corrected(2, as_read="27.001 mm")), (), (), True),
        ((PASSED, READ, release(), NOTED, corrected(4)), (), (), False),
        ((READ, release(tool=2)), ({"event": "seated"}, NOTED, corrected(1)), (), True),
        ((READ, release(tool=3)), ({"event": "seated"}, NOTED, corrected(1)), (), False),
        ((READ, release(tool=1)), ({"event": "seated"}, NOTED, corrected(2)), (), False),
        ((READ, release(gauge=1)), (), (ENTRIES["gauge", "set_on"], corrected(1, size="27.001 mm")), True),
        ((READ, release(gauge=2)), (), (ENTRIES["gauge", "set_on"], corrected(1, size="27.001 mm")), False),
        ((READ, release(gauge=0)), (), (ENTRIES["gauge", "set_on"], corrected(1, size="27.001 mm")), False),
    ],
)
def test_a_release_is_void_where_what_it_rests_on_was_corrected_after_it(
    bore: tuple[Entry, ...], tool: tuple[Entry, ...], gauge: tuple[Entry, ...], void: bool
) -> None:
    whole = held("bore", *bore)
    left = void_releases(whole, {"tool": held("tool", *tool), "gauge": held("gauge", *gauge)})
    assert ("released" not in [event.kind for event in left]) == void
    assert [event for event in left if event.kind != "released"] == [e for e in whole if e.kind != "released"]


def test_a_release_signed_again_after_the_correction_stands() -> None:
    whole = held("bore", READ, release(), corrected(1, as_read="27.001 mm"), release())
    assert [event.number for event in void_releases(whole, {"tool": (), "gauge": ()})] == [1, 3, 4]
    again = held("bore", READ, release(), corrected(1), release(), corrected(1, as_read="27.001 mm"))
    assert [event.number for event in void_releases(again, {"tool": (), "gauge": ()})] == [1, 3, 5]


def correction(number: int, **replacement: Any) -> Corrected:  # noqa: ANN401  # fields of a payload
    return Corrected(event_number=number, replacement=replacement or None, reason="misread")


def test_a_replacement_is_brought_into_stored_form() -> None:
    stored = events("bore", READ)
    checked = check_correction(correction(1, as_read="1.0640"), stored, "in")
    assert checked == correction(1, as_read="1.0640 in")
    assert check_correction(correction(1), stored, "mm") == correction(1)


def test_a_replacement_rests_on_the_same_tool_and_gauge_as_what_it_replaces() -> None:
    ref = {"id": "tool-1", "number": 4, "snapshot": {"diameter": "27.000000 mm"}}
    stored = events("bore", {**PASSED, "tool": ref, "depth": "trial"})
    for given in ({"depth": "full"}, {"depth": "full", "tool": {"id": "other", "number": 9}}):
        assert check_correction(correction(1, **given), stored, "mm").replacement == {"depth": "full", "tool": ref}


@pytest.mark.parametrize(
    ("given", "error", "where"),
    [
        (correction(0), NotHeldError, "event_number"),
        (correction(3), NotHeldError, "event_number"),
        (correction(2), OutOfTurnError, "event_number"),
        (correction(1, as_read="27.010"), EntryError, "replacement"),
        (correction(1, as_read="27.010 mm"), EntryError, "replacement"),
        (correction(1, as_read="0"), EntryError, "replacement.as_read"),
        (correction(1, text="x"), EntryError, "replacement"),
    ],
)
def test_a_correction_that_cannot_be_is_refused(given: Corrected, error: type[BorewrightError], where: str) -> None:
    with pytest.raises(error) as caught:
        check_correction(given, events("bore", READ, corrected(1, as_read="27.010 mm")), "mm")
    assert caught.value.where == where
    assert caught.value.right


def test_what_is_withdrawn_can_be_put_back_but_not_withdrawn_again() -> None:
    stored = events("bore", READ, corrected(1))
    assert check_correction(correction(1, as_read="27.010 mm"), stored, "mm").replacement == {"as_read": "27.010 mm"}
    with pytest.raises(OutOfTurnError, match="withdrawn already"):
        check_correction(correction(1), stored, "mm")


@pytest.mark.parametrize("key", EVENT_KINDS, ids="/".join)
def test_acts_stand_as_they_were_done_and_entries_can_be_corrected(key: Any) -> None:  # noqa: ANN401
    stored = events(key[0], ENTRIES["bore", "noted"] if key[1] == "corrected" else ENTRIES[key])
    if key[1] == "corrected":
        stored = events(key[0], {"event": "noted", "text": "dry"}, corrected(1))
    if key[1] in NEVER_CORRECTED:
        with pytest.raises(OutOfTurnError, match="stands as it was done"):
            check_correction(correction(len(stored)), stored, "mm")
    else:
        assert check_correction(correction(1), stored, "mm").replacement is None
