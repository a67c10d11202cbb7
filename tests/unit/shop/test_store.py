"""What the store does with entries, keys and numbers, and what the file itself refuses."""

from __future__ import annotations

import hashlib
import itertools
import sqlite3
from collections.abc import Mapping, Sequence
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from borewright.errors import ConflictError, EntryError, OutOfTurnError
from borewright.record.canonical import GENESIS, event_bytes
from borewright.record.stream import Draft, Event, StreamId
from borewright.shop.database import FILE_NAME
from borewright.shop.store import Store
from borewright.shop.streams import NO_HEAD, Head, Streams
from tests.unit.shop.drafts import BORE, GAUGE, TOOL, note


def test_an_event_gets_the_next_number_and_the_hash_over_what_stands_before(store: Store) -> None:
    drafts = [note(BORE, "one"), note(BORE, "two")]
    events = store.append(drafts).events
    assert [event.number for event in events] == [1, 2]
    first = hashlib.sha256(bytes.fromhex(GENESIS) + event_bytes(drafts[0], 1)).hexdigest()
    second = hashlib.sha256(bytes.fromhex(first) + event_bytes(drafts[1], 2)).hexdigest()
    assert [event.hash for event in events] == [first, second]
    assert store.head(BORE) == Head(2, second)
    assert store.stream(BORE) == events


def test_the_bytes_are_stored_as_they_were_made(store: Store, folder: Path) -> None:
    draft = note(BORE, "Ø 62.004 mm · 3 thou")
    store.append([draft])
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        assert connection.execute("SELECT body FROM events").fetchone() == (event_bytes(draft, 1),)


def test_several_streams_are_written_at_once(store: Store) -> None:
    events = store.append([note(BORE, "b1"), note(TOOL, "t1"), note(GAUGE, "g1"), note(BORE, "b2")]).events
    assert [(event.stream, event.number) for event in events] == [(BORE, 1), (TOOL, 1), (GAUGE, 1), (BORE, 2)]
    with store.reading() as streams:
        assert streams.together([GAUGE, BORE, TOOL]) == events
        assert streams.together([BORE]) == (events[0], events[3])
        assert streams.together([]) == ()


def test_a_stream_nobody_began_is_empty(store: Store) -> None:
    assert store.stream(BORE) == ()
    assert store.head(BORE) == NO_HEAD
    assert store.streams("bore") == ()


def test_streams_are_named_in_the_order_in_which_they_were_begun(store: Store) -> None:
    names = [StreamId("bore", name) for name in ("z", "a", "m")]
    for name in names:
        store.append([note(name, "begun")])
    store.append([note(names[1], "again"), note(TOOL, "not a bore")])
    assert store.streams("bore") == tuple(names)


def test_the_same_key_and_body_return_the_first_answer_and_store_nothing(store: Store) -> None:
    drafts = [note(BORE, "as read 61.9912"), note(TOOL, "moved")]
    first = store.append(drafts, key="k1", saw={BORE: 0})
    store.append([note(BORE, "something later")])
    again = store.append(drafts, key="k1", saw={BORE: 0})
    assert not first.repeated
    assert again.repeated
    assert again.events == first.events
    assert store.head(BORE).number == 2


def test_the_answer_kept_with_the_key_is_the_first_one(store: Store) -> None:
    answers = itertools.count(1)

    def answer(streams: Streams, events: tuple[Event, ...]) -> Mapping[str, object]:
        return {"answer": next(answers), "number": events[0].number, "head": streams.head(BORE).number}

    def act() -> Mapping[str, object]:
        return store.act(lambda _: [note(BORE, "x")], request={"act": 1}, key="k", answer=answer).answer

    assert act() == {"answer": 1, "number": 1, "head": 1}
    assert act() == {"answer": 1, "number": 1, "head": 1}
    assert next(answers) == 2


def test_the_same_key_with_another_body_is_a_conflict_that_shows_what_was_stored(store: Store) -> None:
    store.append([note(BORE, "61.99")], key="k1")
    with pytest.raises(ConflictError) as caught:
        store.append([note(BORE, "61.98")], key="k1")
    assert caught.value.since[0]["payload"] == {"text": "61.99"}
    assert store.head(BORE).number == 1


def test_without_a_key_the_same_entry_is_another_entry(store: Store) -> None:
    store.append([note(BORE, "rocked again")])
    store.append([note(BORE, "rocked again")])
    assert store.head(BORE).number == 2


@pytest.mark.parametrize("key", ["", "two words", "line\nbreak", "x" * 201, "clé"])
def test_a_key_of_another_form_is_refused(store: Store, key: str) -> None:
    with pytest.raises(EntryError):
        store.append([note(BORE, "x")], key=key)
    assert store.token() == 0


def test_a_number_that_was_overtaken_is_answered_with_what_came_since(store: Store) -> None:
    store.append([note(BORE, "one")])
    store.append([note(BORE, "two"), note(BORE, "three")])
    with pytest.raises(ConflictError) as caught:
        store.append([note(BORE, "assumes one")], key="k", saw={BORE: 1})
    assert [event["payload"] for event in caught.value.since] == [{"text": "two"}, {"text": "three"}]
    assert [event["number"] for event in caught.value.since] == [2, 3]
    assert caught.value.where == str(BORE)
    assert store.head(BORE).number == 3
    assert not store.append([note(BORE, "assumes three")], key="k", saw={BORE: 3}).repeated


def test_every_stream_seen_is_held_to_its_number(store: Store) -> None:
    store.append([note(TOOL, "moved by another bore")])
    with pytest.raises(ConflictError, match="tool/t-17"):
        store.append([note(BORE, "passed")], saw={BORE: 0, TOOL: 0})
    assert store.head(BORE) == NO_HEAD


def test_a_number_the_record_does_not_reach_says_that_it_may_be_an_older_copy(store: Store) -> None:
    store.append([note(BORE, "one")])
    with pytest.raises(ConflictError, match="older copy") as caught:
        store.append([note(BORE, "two")], saw={BORE: 7})
    assert caught.value.since == ()


def test_the_decision_sees_the_state_its_write_will_stand_on(store: Store) -> None:
    store.append([note(BORE, "one")])

    def decide(streams: Streams) -> Sequence[Draft]:
        return [note(BORE, f"after {len(streams.events(BORE))}")]

    assert store.act(decide, request={}).events[0].payload == {"text": "after 1"}


def test_what_a_decision_refuses_stores_nothing_and_leaves_the_key_free(store: Store) -> None:
    def refuse(_: Streams) -> Sequence[Draft]:
        raise OutOfTurnError("The bore is released.")

    with pytest.raises(OutOfTurnError):
        store.act(refuse, request={"a": 1}, key="k")
    assert store.token() == 0
    assert not store.append([note(BORE, "x")], key="k").repeated


def test_an_answer_that_cannot_be_made_stores_nothing(store: Store) -> None:
    def fail(_: Streams, __: tuple[Event, ...]) -> Mapping[str, object]:
        raise OutOfTurnError("It cannot be folded.")

    with pytest.raises(OutOfTurnError):
        store.act(lambda _: [note(BORE, "x"), note(TOOL, "y")], request={}, key="k", answer=fail)
    assert store.token() == 0
    assert store.stream(TOOL) == ()


def test_an_act_that_stores_nothing_keeps_its_answer(store: Store) -> None:
    assert not store.append([], key="k").repeated
    assert store.append([], key="k").repeated
    assert store.token() == 0


@pytest.mark.parametrize("words", ["\ud800", "nul \x00 nul", "𝛼 µ ⌀", "x" * 100_000])
def test_words_of_any_kind_are_kept_or_refused_in_own_words(store: Store, words: str) -> None:
    try:
        store.append([note(BORE, words)], key="k")
    except EntryError:
        assert store.token() == 0
    else:
        assert store.stream(BORE)[0].payload == {"text": words}
        assert store.append([note(BORE, words)], key="k").repeated
    assert store.check().faults == ()


def test_a_float_is_refused(store: Store) -> None:
    with pytest.raises(EntryError, match="decimal text"):
        store.append([Draft(BORE, "read", 1, {"as_read": 61.9912})])  # type: ignore[dict-item]  # what must not be
    assert store.token() == 0


def test_another_process_is_noticed_by_the_token(store: Store, folder: Path) -> None:
    token = store.token()
    assert store.changed_since(token).streams == frozenset()
    with Store.open(folder) as other:
        other.append([note(BORE, "x"), note(TOOL, "y")])
    changes = store.changed_since(token)
    assert changes.streams == {BORE, TOOL}
    assert store.changed_since(changes.token).streams == frozenset()


def test_a_token_from_beyond_the_end_names_every_stream(store: Store) -> None:
    store.append([note(BORE, "x"), note(TOOL, "y")])
    assert store.changed_since(99).streams == {BORE, TOOL}


STATEMENTS = {
    "UPDATE events SET body = 'x'": "never changed",
    "UPDATE events SET number = number + 1": "never changed",
    "UPDATE OR REPLACE events SET number = 1": "never changed",
    "DELETE FROM events": "never deleted",
    "DELETE FROM events WHERE number = 3": "never deleted",
    "REPLACE INTO events SELECT position, stream_kind, stream_id, number, 'x', hash, NULL FROM events": "next",
    "INSERT INTO events SELECT NULL, stream_kind, stream_id, number, body, hash, NULL FROM events": "next",
    "INSERT INTO events SELECT NULL, stream_kind, stream_id, 9, body, hash, NULL FROM events LIMIT 1": "next",
    "REPLACE INTO events SELECT 1, 'tool', 'new', 1, body, hash, NULL FROM events LIMIT 1": "next",
    "UPDATE keys SET answer = 'x'": "never changed",
    "DELETE FROM keys": "never deleted",
    "REPLACE INTO keys VALUES ('k', 'x', 'y')": "used once",
}


@pytest.mark.parametrize("statement", STATEMENTS)
def test_the_file_itself_refuses_to_change(store: Store, folder: Path, statement: str) -> None:
    stored = store.append([note(BORE, "1"), note(BORE, "2"), note(BORE, "3")], key="k").events
    with (
        closing(sqlite3.connect(folder / FILE_NAME)) as connection,
        pytest.raises(sqlite3.IntegrityError, match=STATEMENTS[statement]),
        connection,
    ):
        connection.execute(statement)
    assert store.stream(BORE) == stored
    assert store.check().faults == ()


ENTRIES = st.lists(
    st.tuples(
        st.lists(st.sampled_from([BORE, TOOL, GAUGE]), max_size=4),
        st.sampled_from([None, "a", "b", "c"]),
        st.booleans(),
    ),
    max_size=12,
)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(entries=ENTRIES)
def test_it_does_what_a_list_in_memory_would_do(
    entries: list[tuple[list[StreamId], str | None, bool]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    model: dict[StreamId, list[str]] = {BORE: [], TOOL: [], GAUGE: []}
    used: dict[str, str] = {}
    with Store.open(tmp_path_factory.mktemp("model")) as store:
        for turn, (streams, key, stale) in enumerate(entries):
            words = f"{turn % 3}"
            drafts = [note(stream, words) for stream in streams]
            saw = {stream: len(model[stream]) + stale for stream in streams}
            body = repr(drafts)
            if key in used:
                expect_stored, expect_conflict = False, used[key] != body
            else:
                expect_conflict = stale and bool(streams)
                expect_stored = not expect_conflict
            if expect_conflict:
                with pytest.raises(ConflictError):
                    store.append(drafts, key=key, saw=saw)
            else:
                assert store.append(drafts, key=key, saw=saw).repeated is not expect_stored
            if expect_stored:
                for stream in streams:
                    model[stream].append(words)
                if key is not None:
                    used[key] = body
        for stream, words_stored in model.items():
            assert [event.payload["text"] for event in store.stream(stream)] == words_stored
        assert store.check().faults == ()
