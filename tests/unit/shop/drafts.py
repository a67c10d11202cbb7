"""Drafts for tests of the store: notes, which any stream takes."""

from __future__ import annotations

from borewright.record.stream import Draft, StreamId

BORE = StreamId("bore", "carrier.front")
TOOL = StreamId("tool", "t-17")
GAUGE = StreamId("gauge", "g-3")


def note(stream: StreamId, words: str) -> Draft:
    return Draft(stream, "noted", 1, {"text": words}, at="2027-03-01T06:00:00Z", by="R. Amberley")
