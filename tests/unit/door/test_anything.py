"""Whatever is handed to the door, it answers, or it refuses in words; and with what it took in it can go on."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from borewright import Bore
from borewright.errors import BorewrightError
from borewright.record.kinds import EVENT_KINDS
from borewright.record.stream import StreamKind
from tests.unit.door.refusals import STATES
from tests.unit.door.sessions import FULL, LEAST, OFFSET, READOUT
from tests.unit.record.fixtures import ENTRIES
from tests.unit.record.strategies import anything, mappings, spoiled

KINDS: tuple[StreamKind, ...] = ("bore", "tool", "gauge")
STARTS = st.sampled_from([LEAST, FULL, READOUT, OFFSET])


def refused(error: BorewrightError) -> None:
    """Hold that an error can be told in a line and as JSON."""
    assert str(error)
    assert json.loads(json.dumps(error.as_problem(), allow_nan=False))["wrong"]
    event(type(error).__name__)


def lines(bore: Bore) -> list[bytes]:
    return [json.dumps(event.payload, allow_nan=False).encode() for kind in KINDS for event in bore.events(kind)]


@given(anything() | STARTS.flatmap(spoiled))
@settings(max_examples=120, deadline=None)
def test_a_start_of_any_kind_is_taken_or_refused_in_words(given: Any) -> None:  # noqa: ANN401
    try:
        bore = Bore.start(given)
    except BorewrightError as error:
        refused(error)
        return
    event("taken")
    assert lines(bore)
    assert json.dumps(bore.advise(), allow_nan=False)
    assert Bore.from_events([*bore.events("tool"), *bore.events()]).belief.stage == bore.state


@pytest.mark.parametrize("state", ["to set", "measured", "readout"])
@given(data=st.data())
@settings(max_examples=40, deadline=None)
def test_an_entry_of_any_kind_is_taken_or_refused_in_words(state: str, data: st.DataObject) -> None:
    bore = STATES[state]()
    kind = data.draw(st.sampled_from(list(EVENT_KINDS.values())))
    right = mappings(kind.payload).map(lambda fields: {"event": kind.name, "stream": kind.stream, **fields})
    entry = data.draw(anything() | right | right.flatmap(spoiled) | spoiled(ENTRIES[kind.stream, kind.name]))
    before = lines(bore)
    try:
        answer = bore.record(entry)
    except BorewrightError as error:
        refused(error)
        assert lines(bore) == before
        return
    event(f"taken: {answer['event']}")
    assert len(lines(bore)) == len(before) + 1
    assert json.dumps(answer, allow_nan=False)
    assert json.dumps(bore.advise(), allow_nan=False)
