"""All faults of a payload at once agree with the reader, which tells the first."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from borewright.errors import EntryError
from borewright.record.faults import payload_faults
from borewright.record.fields import Payload, read_payload
from borewright.record.kinds import EVENT_KINDS
from borewright.record.payloads.bore import Read
from borewright.record.payloads.opened import Start
from tests.unit.door.sessions import FULL, LEAST
from tests.unit.record.strategies import anything, mappings, spoiled

PAYLOADS: list[type[Payload]] = [Start, *(kind.payload for kind in EVENT_KINDS.values())]


def places(faults: list[EntryError]) -> list[tuple[str, str]]:
    return [(fault.where, fault.wrong) for fault in faults]


def test_nothing_is_found_where_nothing_is_wrong() -> None:
    assert payload_faults(Start, FULL, "mm") == []


def test_each_fault_is_told_with_its_place() -> None:
    broken = {
        **LEAST,
        "hole": {"size": "x", "width": "1"},
        "adjuster": {"kind": "knob", "on": "diameter", "line": "0.002"},
        "gage": {"step": "0.001"},
    }
    del broken["gauge"], broken["push_off"]
    assert places(payload_faults(Start, broken, "mm")) == [
        ("hole.size", "That is not a length."),
        ("hole.width", "There is no such field."),
        ("adjuster.kind", "That is not one of the choices."),
        ("gage", "There is no such field."),
        ("push_off", "It is missing."),
    ]


def test_a_field_that_was_likely_meant_is_not_missing_too() -> None:
    faults = payload_faults(Read, {"as_raed": "27.03"}, "mm", "entry")
    assert places(faults) == [("entry.as_raed", "There is no such field.")]
    assert faults[0].right == "Did you mean as_read?"


def test_what_only_shows_in_fields_taken_together_is_told_where_each_is_right() -> None:
    faults = payload_faults(Start, {**LEAST, "adjuster": {"kind": "dial", "on": "diameter"}}, "mm")
    assert places(faults) == [("adjuster.line", "A dial needs the worth of one line.")]


@pytest.mark.parametrize("given", [None, [], "x", 7])
def test_what_is_no_mapping_is_one_fault(given: object) -> None:
    assert places(payload_faults(Read, given, "mm", "entry")) == [("entry", "Named fields are wanted.")]


@given(data=st.data())
@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_faults_are_found_where_and_only_where_the_reader_refuses(data: st.DataObject) -> None:
    of: type[Payload] = data.draw(st.sampled_from(PAYLOADS))
    right: st.SearchStrategy[Any] = mappings(of)
    given = data.draw(right | right.flatmap(spoiled) | anything())
    faults = payload_faults(of, given, "mm")
    assert all(fault.wrong and fault.right for fault in faults)
    told = first_fault(of, given)
    assert bool(faults) == (told is not None)
    if told is not None and told.wrong not in {"There is no such field.", "It is missing."}:
        assert (told.where, told.wrong) in places(faults)


def first_fault(of: type[Payload], given: object) -> EntryError | None:
    try:
        read_payload(of, given, "mm")
    except EntryError as error:
        return error
    return None
