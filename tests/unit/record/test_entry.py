"""An entry becomes the draft of an event: its kind found, its fields read, when and who kept."""

from __future__ import annotations

import pytest

from borewright.errors import EntryError, OutOfTurnError
from borewright.record.entry import LONGEST_NAME, draft_event, read_entry, read_stored
from borewright.record.fields import payload_plain
from borewright.record.kinds import event_kind
from borewright.record.payloads.bore import Clamped, Read
from borewright.record.payloads.shared import Noted
from borewright.record.stream import StreamId, StreamKind

STREAMS: dict[StreamKind, StreamId] = {"bore": StreamId("bore", "b"), "tool": StreamId("tool", "t")}


def test_an_entry_is_its_kind_and_the_fields_of_its_payload() -> None:
    entry = {"event": "read", "stream": "bore", "as_read": "27.03", "at": "2031-05-06T07:08Z", "by": "M. Ostrander"}
    kind, payload = read_entry(entry, "mm")
    assert kind is event_kind("read")
    assert isinstance(payload, Read)
    assert payload_plain(payload) == {"as_read": "27.03 mm"}


@pytest.mark.parametrize(
    ("entry", "stream"),
    [({"text": "x"}, "bore"), ({"text": "x", "stream": "tool"}, "tool"), ({"text": "x", "stream": None}, "bore")],
)
def test_what_several_streams_know_belongs_to_the_bore_unless_it_says_otherwise(
    entry: dict[str, object], stream: str
) -> None:
    assert read_entry({"event": "noted", **entry}, "mm")[0].stream == stream


@pytest.mark.parametrize(
    "at",
    [
        "2031-05-06T07:08Z",
        "2031-05-06T07:08:09Z",
        "2031-05-06T07:08:09.5Z",
        "2031-05-06T07:08:09.123456+05:30",
        "2028-02-29T23:59:59-11:00",
    ],
)
def test_a_time_is_kept_as_it_was_written(at: str) -> None:
    assert draft_event(event_kind("clamped"), Clamped(), STREAMS, at=at).at == at


@pytest.mark.parametrize(
    "at",
    [
        "",
        "now",
        "2031-05-06",
        "2031-05-06 07:08Z",
        "2031-05-06T07:08",
        "2031-05-06T07:08:09,5Z",
        "2031-05-06T24:01Z",
        "2031-13-06T07:08Z",
        "2031-02-29T07:08Z",
        "2031-05-06T07:08+25:00",
        " 2031-05-06T07:08Z",
        "２０３１-05-06T07:08Z",
        1935644880,
        True,
    ],
)
def test_what_is_no_time_is_refused(at: object) -> None:
    with pytest.raises(EntryError) as caught:
        draft_event(event_kind("clamped"), Clamped(), STREAMS, at=at)
    assert caught.value.where == "at"


@pytest.mark.parametrize("by", ["M. Ostrander", "Жанна", "n" * LONGEST_NAME])
def test_a_name_is_kept(by: str) -> None:
    assert draft_event(event_kind("clamped"), Clamped(), STREAMS, by=f" {by} ").by == by


@pytest.mark.parametrize("by", ["", "  ", "a\nb", "n" * (LONGEST_NAME + 1), 7, ["M. O."], "\ud800"])
def test_what_is_no_name_is_refused(by: object) -> None:
    with pytest.raises(EntryError) as caught:
        draft_event(event_kind("clamped"), Clamped(), STREAMS, by=by)
    assert caught.value.where == "by"


def test_a_draft_has_all_but_number_and_hash() -> None:
    draft = draft_event(event_kind("noted", "tool"), Noted(text="dry"), STREAMS)
    assert (str(draft.stream), draft.kind, draft.version, draft.payload) == ("tool/t", "noted", 1, {"text": "dry"})
    assert (draft.at, draft.by) == (None, None)


def test_there_must_be_a_stream_to_record_on() -> None:
    with pytest.raises(OutOfTurnError, match="no gauge here"):
        draft_event(event_kind("noted", "gauge"), Noted(text="dry"), STREAMS)


def test_a_stored_payload_needs_its_units() -> None:
    assert (
        read_stored("bore", "read", {"as_read": "27.03 mm"}) == read_entry({"event": "read", "as_read": 27.03}, "mm")[1]
    )
    with pytest.raises(EntryError, match="unit"):
        read_stored("bore", "read", {"as_read": "27.03"})
