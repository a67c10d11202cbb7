"""Names of streams."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.errors import EntryError
from borewright.record.stream import STREAM_KINDS, StreamId

NAMES = st.from_regex(r"[A-Za-z0-9]([A-Za-z0-9._-]{0,78}[A-Za-z0-9])?", fullmatch=True)


@given(st.sampled_from(STREAM_KINDS), NAMES)
def test_a_name_is_read_back_as_it_is_written(kind: Any, identity: str) -> None:  # noqa: ANN401
    stream = StreamId(kind, identity)
    assert str(stream) == f"{kind}/{identity}"
    assert StreamId.parse(str(stream)) == stream


FOREIGN = [
    "",
    "bore",
    "bore/",
    "/x",
    "ring/x",
    "Bore/x",
    "bore/a b",
    "bore/.a",
    "bore/a-",
    "bore/a/b",
    "bore/ä",
    "bore/a\n",
]


@pytest.mark.parametrize("text", [*FOREIGN, f"bore/{'n' * 81}"])
def test_what_cannot_name_a_stream_is_refused(text: str) -> None:
    with pytest.raises(EntryError) as caught:
        StreamId.parse(text)
    assert caught.value.where == "stream"
    assert caught.value.right


def test_streams_have_an_order() -> None:
    names = ["gauge/a", "bore/b", "tool/a", "bore/a"]
    assert [str(name) for name in sorted(map(StreamId.parse, names))] == ["bore/a", "bore/b", "gauge/a", "tool/a"]
