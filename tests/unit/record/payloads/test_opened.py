"""What a bore is started with, and the opening that freezes it."""

from __future__ import annotations

from typing import Any

import pytest

from borewright import Bore
from borewright.record.fields import payload_plain, read_payload
from borewright.record.payloads.opened import Opened, Start
from tests.unit.door.sessions import FULL, LEAST, OFFSET, READOUT


@pytest.mark.parametrize("start", [LEAST, FULL, READOUT, OFFSET])
def test_an_opening_keeps_what_was_typed_to_the_last_zero(start: Any) -> None:  # noqa: ANN401
    bore = Bore.start(start)
    payload: Any = bore.events()[0].payload
    assert payload["given"] == payload_plain(read_payload(Start, start, bore.unit))
    assert payload["given"]["callout"] == start["callout"]
    opened = read_payload(Opened, payload, None)
    assert payload_plain(opened) == payload
    assert opened == bore.opening


def test_short_ways_are_stored_whole() -> None:
    payload: Any = Bore.start(LEAST).events()[0].payload
    assert payload["given"]["hole"] == {"size": "26.510 mm"}
    assert payload["given"]["push_off"] == {"guess": "0.015 mm"}


def test_every_prior_is_frozen_with_its_origin() -> None:
    bore = Bore.start(LEAST)
    named = dict(bore.model.priors.named())
    frozen = {record.what: record for record in bore.opening.frozen}
    assert frozen.keys() == named.keys()
    assert all(record.origin for record in frozen.values())
    assert {record.what for record in frozen.values() if record.width is None} == {
        name for name, prior in named.items() if prior.width == 0.0
    }


def test_an_opening_names_the_tool_and_the_gauge_as_they_stood() -> None:
    first = Bore.start(FULL)
    for entry in ({"event": "set", "diameter": "26.780"}, {"event": "set_on", "size": "27.000"}):
        first.record(entry)
    second = Bore.start(FULL, bore_id="second", tool_events=first.events("tool"), gauge_events=first.events("gauge"))
    payload: Any = second.events()[0].payload
    assert payload["tool"] == {"id": "head-9", "number": 2}
    assert payload["gauge"] == {"id": "bore-gauge-2", "number": 1}
