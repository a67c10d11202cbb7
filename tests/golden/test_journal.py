"""What shops have on record can be read: bytes and hashes exactly, and what is believed of it to 1e-9.

How to make the files again, and when not to, stands in ``make_journal.py``.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest

from borewright.errors import BorewrightError
from borewright.record.canonical import check_chain, event_bytes
from borewright.record.effect import effective
from borewright.record.entry import draft_event, read_entry
from borewright.record.fields import payload_plain, read_payload
from borewright.record.kinds import EVENT_KINDS
from borewright.record.stream import StreamId, StreamKind
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.meanings import DIAMETER
from borewright.sizing.unentered import PASS_MISSING
from tests.golden.beliefs import differences, hold_same, plain
from tests.golden.make_journal import belief_path, believed, replayed, stored, streams

NAMES = ("mm", "in", "thin")
HEADS: dict[str, tuple[int, str]] = {
    "tool/davit-head": (9, "c0c3e3cc7d9a2bdf9c09219cf44f44275f8fe3eab2996cc60e421198310fb178"),
    "bore/davit-sheave.hub": (23, "9904000ab15660fde6a559befdf3007a6e8a052c14205b341bf14691eede79a6"),
    "gauge/davit-gauge": (5, "df3129785918a523c12bdbc587bc51bd084e1420aa438c16077509fe2b30612b"),
    "tool/toggle-link.tool": (5, "96ef4a7a35bc3aa16c01035daaa5f5a03930c1d2cf7a0f71c6d0879587e74869"),
    "bore/toggle-link": (11, "d6d61646ba549cf879febe101cef9e949a07cf9ec995671dad53decbeb61e34f"),
    "gauge/toggle-link.gauge": (1, "547573c4b92b83e7815a07f4306500db2d547a50d2269b85a2a0b70fb08229a4"),
    "tool/winch-ring.tool": (8, "e45950f1b2bfc822b4eb59dea5c57339b6a1794d6a7dbde791a1c6eebf60fa35"),
    "bore/winch-ring": (15, "487dac8bb352e1e42862c94a2c219f5b079d65f2d58541435454587801555a00"),
    "gauge/winch-ring.gauge": (1, "a758c13f97641600121ae621657f369ef81f320d4a2007919be0f75526cace81"),
}
"""How far each stream of the journals goes, and the hash of its last event: it stands for every byte before it."""


LATER: dict[tuple[str, str], tuple[dict[str, object], bytes]] = {
    ("bore", "waited"): (
        {"event": "waited", "minutes": "60"},
        b'{"at":null,"by":null,"event":"waited","number":1,"payload":{"minutes":"60"},"stream":"bore/seat","version":1}',
    ),
    ("gauge", "described"): (
        {"event": "described", "instrument": "dial bore gauge", "step": "0.001", "travel": "0.5", "needle": "minus"},
        (
            b'{"at":null,"by":null,"event":"described","number":1,"payload":{"instrument":"dial bore gauge",'
            b'"needle":"minus","step":"0.001 mm","travel":"0.5 mm"},"stream":"gauge/ring-33","version":1}'
        ),
    ),
    ("gauge", "certified"): (
        {"event": "certified", "size": "33.0012", "expanded": "0.0008", "factor": "2", "due": "2027-03-01"},
        (
            b'{"at":null,"by":null,"event":"certified","number":1,"payload":{"due":"2027-03-01","expanded":"0.0008 mm",'
            b'"factor":"2","size":"33.0012 mm"},"stream":"gauge/ring-33","version":1}'
        ),
    ),
}
"""Kinds that came after the journals were written, with the bytes that one of each is stored as."""


@pytest.mark.parametrize("key", LATER, ids="/".join)
def test_a_later_kind_is_stored_as_it_was(key: tuple[str, str]) -> None:
    entry, body = LATER[key]
    kind, payload = read_entry(entry, "mm")
    both: dict[StreamKind, StreamId] = {"bore": StreamId("bore", "seat"), "gauge": StreamId("gauge", "ring-33")}
    assert event_bytes(draft_event(kind, payload, both), 1) == body


@pytest.mark.parametrize("name", NAMES)
def test_every_stored_byte_is_as_it_was_written(name: str) -> None:
    for stream, events in streams(stored(name)).items():
        checked = check_chain(events, stream)
        assert (len(checked), checked[-1].hash) == HEADS[str(stream)]


def test_every_kind_of_event_stands_in_the_journals() -> None:
    found = {
        (stream.kind, json.loads(body)["event"])
        for name in NAMES
        for stream, each in streams(stored(name)).items()
        for body, _ in each
    }
    assert found | set(LATER) == set(EVENT_KINDS)
    assert not found & set(LATER)
    assert len(HEADS) == 9


@pytest.mark.parametrize("name", NAMES)
def test_todays_program_would_write_the_same_bytes(name: str) -> None:
    for stream, events in streams(stored(name)).items():
        for event, (body, _) in zip(check_chain(events, stream), events, strict=True):
            assert event_bytes(event.draft, event.number) == body


@pytest.mark.parametrize("name", NAMES)
def test_every_payload_reads_and_is_written_the_same(name: str) -> None:
    for stream, events in streams(stored(name)).items():
        for event in check_chain(events, stream):
            kind = EVENT_KINDS[stream.kind, event.kind]
            assert payload_plain(read_payload(kind.payload, event.payload, None)) == event.payload


@pytest.mark.parametrize("name", NAMES)
def test_the_belief_is_that_of_the_file(name: str) -> None:
    kept = json.loads(belief_path(name).read_text(encoding="utf-8"))
    found = differences(believed(name), kept)
    assert not found, "\n".join(
        [
            "After the golden journal something else is believed now. If that is meant, say why in the commit,",
            "and write the beliefs again: python -m tests.golden.make_journal --beliefs",
            *found[:20],
        ]
    )


@pytest.mark.parametrize("name", NAMES)
def test_taking_in_event_by_event_is_replaying_the_whole(name: str) -> None:
    journal = [(StreamId.parse(json.loads(body)["stream"]), json.loads(body)["number"]) for body, _ in stored(name)]
    events = {
        (stream, event.number): event
        for stream, each in streams(stored(name)).items()
        for event in check_chain(each, stream)
    }
    first = next(place for place, (stream, _) in enumerate(journal) if stream.kind == "bore")
    bore = Bore.from_events([events[key] for key in journal[: first + 1]])
    for key in journal[first + 1 :]:
        bore.accept(events[key])
    hold_same(bore.belief, replayed(name).belief)
    assert bore.advise() == replayed(name).advise()


def test_a_bore_goes_on_in_the_model_that_it_was_opened_in() -> None:
    """Of what the second model added, the first knows nothing: no mishap counts, no form is followed."""
    models = {name: replayed(name).model for name in NAMES}
    assert {name: model.name for name, model in models.items()} == {
        "mm": "gaussian-1",
        "in": "gaussian-1",
        "thin": "gaussian-2",
    }
    for name in ("mm", "in"):
        now = replayed(name).belief.now
        assert not any(now.sd(state) for state in State if state >= State.STUCK)
        assert replayed(name).belief.others == ()
        assert replayed(name).advise()["model"] == "gaussian-1"


def test_the_thin_bore_found_what_was_not_told() -> None:
    supposed = replayed("thin").belief.supposed
    assert supposed == (DIAMETER, PASS_MISSING)


def test_the_metric_bore_was_released_twice_and_the_first_release_is_void() -> None:
    bore = replayed("mm")
    assert [event.kind for event in bore.events()].count("released") == 2
    assert bore.state == "released"
    without = [event for event in bore.events() if event.number < len(bore.events())]
    assert Bore.from_events([*without, *bore.events("tool"), *bore.events("gauge")]).state == "measured"
    assert (
        sum(event.corrected_by > 0 for kind in ("bore", "tool", "gauge") for event in effective(bore.events(kind))) == 4
    )


CHANGES: tuple[Callable[[Any], object], ...] = (
    lambda belief: scale(belief["now"]["mean"], 0, 1.0 + 1e-8),
    lambda belief: scale(belief["now"]["sd"], 3, 1.0 + 1e-8),
    lambda belief: add(belief["now"]["together"][1], 2, 1e-8),
    lambda belief: belief["now"]["mean"].pop(),
    lambda belief: add(belief, "passes", 1),
    lambda belief: belief.update(status="open"),
    lambda belief: belief.pop("moves"),
    lambda belief: scale(belief["history"][1], "expected_mm", 1.0 + 1e-8),
    lambda belief: add(belief["readings"][0], "doubt", 1e-6),
    lambda belief: belief["readings"].pop(),
)
"""Ways in which a belief may be off."""


def scale(holder: Any, key: str | int, factor: float) -> None:  # noqa: ANN401  # a mapping or a list
    holder[key] *= factor


def add(holder: Any, key: str | int, more: float) -> None:  # noqa: ANN401  # a mapping or a list
    holder[key] += more


@pytest.mark.parametrize("change", CHANGES)
def test_a_belief_that_is_off_is_told(change: Callable[[Any], object]) -> None:
    ours = believed("mm")["belief"]
    other = copy.deepcopy(ours)
    assert differences(other, ours) == []
    change(other)
    assert differences(other, ours)


def test_a_journal_with_a_byte_changed_is_refused() -> None:
    stream, events = next(iter(streams(stored("mm")).items()))
    body, digest = events[0]
    with pytest.raises(BorewrightError):
        check_chain([(body.replace(b"Varga", b"Vargo"), digest), *events[1:]], stream)
    assert plain(replayed("mm").belief)
