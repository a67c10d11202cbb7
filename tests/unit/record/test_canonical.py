"""Canonical bytes: one text for one event, no float in it, and a chain that shows any change."""

from __future__ import annotations

import hashlib
import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.errors import DamagedRecordError, EntryError
from borewright.record.canonical import GENESIS, chain_hash, check_chain, event_bytes, event_from_bytes, plain_bytes
from borewright.record.stream import Draft, StreamId
from tests.unit.record.strategies import plain_mappings

STREAM = StreamId("bore", "latch-drum.pivot")
KINDS = ("noted", "read", "passed")


def draft(**payload: Any) -> Draft:  # noqa: ANN401  # what a test puts into it
    return Draft(STREAM, "noted", 1, payload, at="2031-05-06T07:08:00Z", by="M. Ostrander")


def chain(*drafts: Draft) -> list[tuple[bytes, str]]:
    stored: list[tuple[bytes, str]] = []
    for number, each in enumerate(drafts, 1):
        body = event_bytes(each, number)
        stored.append((body, chain_hash(stored[-1][1] if stored else GENESIS, body)))
    return stored


CHAIN = chain(draft(text="Ø 27.030, dry"), draft(text="wiped"), draft(text="31 °C, draught from the door"))


def as_stored(value: Any) -> Any:  # noqa: ANN401  # any plain value
    """Put decimals into text, as a payload does before it is stored."""
    if isinstance(value, float | Decimal):
        return str(value)
    if isinstance(value, list):
        return [as_stored(inner) for inner in value]
    return {name: as_stored(inner) for name, inner in value.items()} if isinstance(value, dict) else value


def turned(value: Any) -> Any:  # noqa: ANN401  # any plain value
    """Turn the order of names in every mapping round."""
    if isinstance(value, list):
        return [turned(inner) for inner in value]
    return {name: turned(value[name]) for name in reversed(list(value))} if isinstance(value, dict) else value


def test_an_event_has_these_bytes_and_no_others() -> None:
    body = event_bytes(draft(text="Ø 27.030, dry", place={"direction_deg": "90", "depth": "5 mm"}), 7)
    assert body == (
        b'{"at":"2031-05-06T07:08:00Z","by":"M. Ostrander","event":"noted","number":7,'
        b'"payload":{"place":{"depth":"5 mm","direction_deg":"90"},"text":"\xc3\x98 27.030, dry"},'
        b'"stream":"bore/latch-drum.pivot","version":1}'
    )


def test_a_hash_is_sha_256_over_the_hash_before_it_and_the_bytes() -> None:
    assert chain_hash(GENESIS, b"abc") == hashlib.sha256(bytes(32) + b"abc").hexdigest()
    first = hashlib.sha256(bytes(32) + b"abc")
    assert chain_hash(first.hexdigest(), b"d") == hashlib.sha256(first.digest() + b"d").hexdigest()


@given(plain_mappings().map(as_stored))
def test_the_order_of_names_does_not_show_in_the_bytes(payload: dict[str, Any]) -> None:
    assert plain_bytes(turned(payload)) == plain_bytes(payload)
    assert json.loads(plain_bytes(payload)) == payload


@given(plain_mappings().map(as_stored), st.integers(1, 10**9))
def test_an_event_is_read_back_as_it_was_written(payload: dict[str, Any], number: int) -> None:
    written = draft(**{f"field {name}": value for name, value in payload.items()})
    read = event_from_bytes(event_bytes(written, number), "0" * 64)
    assert read.draft == written
    assert read.number == number
    assert event_bytes(read.draft, read.number) == event_bytes(written, number)


@pytest.mark.parametrize("bad", [0.5, float("nan"), Decimal("0.5"), (1, 2), {1}, b"x", object()])
@pytest.mark.parametrize(
    ("where", "payload"),
    [
        ("payload.size", lambda bad: {"size": bad}),
        ("payload.shown.odds[1]", lambda bad: {"shown": {"odds": [1, bad]}}),
        ("payload.aims[0][0].size", lambda bad: {"aims": [[{"size": bad}]]}),
    ],
)
def test_a_float_is_refused_wherever_it_stands(bad: object, where: str, payload: Any) -> None:  # noqa: ANN401
    with pytest.raises(EntryError) as caught:
        event_bytes(draft(**payload(bad)), 1)
    assert caught.value.where == where


@pytest.mark.parametrize("payload", [{"text": "\ud83d"}, {"te\udc00xt": "x"}, {"shown": {"a": ["\udfff"]}}])
def test_half_a_letter_is_refused(payload: dict[str, Any]) -> None:
    with pytest.raises(EntryError, match="half a letter"):
        event_bytes(draft(**payload), 1)


def test_a_chain_is_read_to_its_head() -> None:
    events = check_chain(CHAIN, STREAM)
    assert [event.number for event in events] == [1, 2, 3]
    assert events[0].payload["text"] == "Ø 27.030, dry"
    assert [event.hash for event in events] == [digest for _, digest in CHAIN]
    assert check_chain([], STREAM) == ()


@given(st.data())
def test_any_change_of_a_single_byte_shows(data: st.DataObject) -> None:
    which = data.draw(st.integers(0, len(CHAIN) - 1))
    body, digest = CHAIN[which]
    place = data.draw(st.integers(0, len(body) - 1))
    other = data.draw(st.integers(0, 255).filter(lambda byte: byte != body[place]))
    changed = body[:place] + bytes([other]) + body[place + 1 :]
    with pytest.raises(DamagedRecordError):
        check_chain([*CHAIN[:which], (changed, digest), *CHAIN[which + 1 :]], STREAM)


def test_every_bit_of_a_stored_event_counts() -> None:
    body, digest = CHAIN[0]
    for place in range(len(body)):
        for bit in range(8):
            changed = body[:place] + bytes([body[place] ^ (1 << bit)]) + body[place + 1 :]
            with pytest.raises(DamagedRecordError):
                check_chain([(changed, digest)], STREAM)


@given(st.integers(0, 2), st.integers(0, 63), st.sampled_from("0123456789abcdef"))
def test_any_change_of_a_hash_shows(which: int, place: int, digit: str) -> None:
    body, digest = CHAIN[which]
    changed = digest[:place] + digit + digest[place + 1 :]
    if changed == digest:
        return
    with pytest.raises(DamagedRecordError):
        check_chain([*CHAIN[:which], (body, changed), *CHAIN[which + 1 :]], STREAM)


@pytest.mark.parametrize("order", [(1, 2), (0, 2), (0, 2, 1), (1, 0, 2), (0, 0, 1, 2), (0, 1, 1, 2)], ids=str)
def test_what_is_missing_doubled_or_out_of_place_shows(order: tuple[int, ...]) -> None:
    with pytest.raises(DamagedRecordError):
        check_chain([CHAIN[place] for place in order], STREAM)


def test_a_tail_that_was_cut_off_does_not_show_but_against_the_head() -> None:
    events = check_chain(CHAIN[:2], STREAM)
    assert events[-1].hash != CHAIN[-1][1]


def test_an_event_rehashed_after_a_change_shows_at_the_next_one() -> None:
    body = CHAIN[0][0].replace(b"dry", b"wet")
    forged = (body, chain_hash(GENESIS, body))
    assert check_chain([forged], STREAM)[0].payload["text"] == "Ø 27.030, wet"
    with pytest.raises(DamagedRecordError, match="Event 2 or one before it"):
        check_chain([forged, *CHAIN[1:]], STREAM)


def test_a_number_out_of_order_is_refused_even_where_its_hash_follows() -> None:
    body = event_bytes(draft(text="dry"), 2)
    with pytest.raises(DamagedRecordError, match="Event 1 of the stream is missing"):
        check_chain([(body, chain_hash(GENESIS, body))], STREAM)


def test_a_chain_of_another_stream_is_refused() -> None:
    with pytest.raises(DamagedRecordError, match="out of place"):
        check_chain(CHAIN, StreamId("bore", "latch-drum.rim"))


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"x",
        b"[]",
        b"{}",
        b"7",
        b"null",
        b'"x"',
        b"\xff",
        b'{"at":null}',
        CHAIN[0][0].replace(b'"bore/', b'"ring/'),
    ],
)
def test_bytes_that_are_not_an_event_are_damage(body: bytes) -> None:
    with pytest.raises(DamagedRecordError, match="not an event"):
        event_from_bytes(body, "0" * 64)


@pytest.mark.parametrize("name", ["stream", "event", "version", "payload", "at", "by", "number"])
def test_an_event_with_a_field_missing_or_of_another_kind_is_damage(name: str) -> None:
    whole = json.loads(CHAIN[0][0])
    without = {other: value for other, value in whole.items() if other != name}
    for broken in (without, {**without, name: 1.5}, {**without, name: []}, {**whole, "more": 1}):
        with pytest.raises(DamagedRecordError, match="not an event"):
            event_from_bytes(json.dumps(broken).encode(), "0" * 64)
