"""Payloads: one declaration reads, stores and describes; whatever can be read is stored so that it reads the same."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import jsonschema
import pytest
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st

from borewright.errors import EntryError
from borewright.quantity.length import Length, Unit
from borewright.record.canonical import plain_bytes
from borewright.record.fields import (
    Payload,
    celsius,
    choice,
    flag,
    free,
    group,
    group_of,
    groups,
    length,
    number,
    payload_plain,
    payload_schema,
    read_payload,
    text,
    whole,
)
from borewright.record.kinds import EVENT_KINDS
from borewright.record.payloads.opened import Start
from tests.unit.record.strategies import mappings

PAYLOADS: list[type[Payload]] = list(dict.fromkeys([Start, *(kind.payload for kind in EVENT_KINDS.values())]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot(Payload):
    """A spot."""

    deep: Length = length("how deep.")
    marked: bool | None = flag("whether it is marked.", optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample(Payload):
    """One field of each form."""

    size: Length = length("how large.", zero=False)
    spot: Spot = group("where.", Spot, short="deep")
    spots: tuple[Spot, ...] | None = groups("where else.", Spot, optional=True)
    share: Decimal | None = number("how much.", low="0", high="1", optional=True)
    count: int | None = whole("how many.", 0, 9, optional=True)
    warm: Decimal | None = celsius("how warm.", optional=True)
    side: str | None = choice("which side.", "left", "right", optional=True)
    words: str | None = text("what about it.", optional=True)
    rest: Any = free("anything.", optional=True)


def test_fields_are_read_and_written_by_their_declaration() -> None:
    sample = read_payload(
        Sample,
        {
            "size": "27.030",
            "spot": 4,
            "spots": [{"deep": "5", "marked": True}, {"deep": "6 in"}],
            "share": "0.5",
            "count": "3",
            "warm": "21",
            "side": "left",
            "words": "dry",
            "rest": {"a": 0.5},
        },
        "mm",
    )
    assert sample.spot == Spot(deep=Length(Decimal(4), "mm"))
    assert payload_plain(sample) == {
        "size": "27.030 mm",
        "spot": {"deep": "4 mm"},
        "spots": [{"deep": "5 mm", "marked": True}, {"deep": "6 in"}],
        "share": "0.5",
        "count": 3,
        "warm": "21 °C",
        "side": "left",
        "words": "dry",
        "rest": {"a": "0.5"},
    }


def test_what_is_left_out_or_null_stays_out() -> None:
    given = {"size": "1 mm", "spot": {"deep": "1 mm", "marked": None}, "share": None, "rest": None}
    assert payload_plain(read_payload(Sample, given, None)) == {"size": "1 mm", "spot": {"deep": "1 mm"}}


@pytest.mark.parametrize(
    ("given", "where", "wrong"),
    [
        ("27", "", "Named fields are wanted."),
        ({"size": "1"}, "spot", "It is missing."),
        ({"size": None, "spot": 1}, "size", "It is missing."),
        ({"size": "1", "spot": {}}, "spot.deep", "It is missing."),
        ({"size": "1", "spot": {"deep": "x"}}, "spot.deep", "That is not a length."),
        ({"size": "1", "spot": {"depp": "1"}}, "spot", "There is no such field."),
        ({"size": "1", "spot": 1, "spots": {"deep": "1"}}, "spots", "A list is wanted."),
        ({"size": "1", "spot": 1, "spots": [{"deep": "1"}, {"deep": "-1"}]}, "spots[1].deep", "A size has no sign."),
        ({"size": "1", "spot": 1, "spots": [4]}, "spots[0]", "Named fields are wanted."),
    ],
)
def test_faults_are_told_by_their_place(given: object, where: str, wrong: str) -> None:
    with pytest.raises(EntryError) as caught:
        read_payload(Sample, given, "mm")
    assert (caught.value.where, caught.value.wrong) == (where, wrong)
    with pytest.raises(EntryError) as caught:
        read_payload(Sample, given, "mm", "replacement")
    assert caught.value.where == (f"replacement.{where}" if where else "replacement")


def test_a_group_is_known_by_its_class() -> None:
    assert group_of(Sample, "spot") is Spot
    assert group_of(Sample, "size") is None


@pytest.mark.parametrize("of", PAYLOADS)
@given(data=st.data())
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_what_is_stored_reads_the_same_again(of: type[Payload], data: st.DataObject) -> None:
    given = data.draw(mappings(of))
    unit: Unit = data.draw(st.sampled_from(("mm", "in")))
    try:
        payload = read_payload(of, given, unit)
    except EntryError:  # a length of 500 may be 500 inches, an adjuster may have both lines and steps
        reject()
    stored = payload_plain(payload)
    again = read_payload(of, stored, None)
    assert again == payload
    assert payload_plain(again) == stored
    assert plain_bytes(stored)
    jsonschema.Draft202012Validator(payload_schema(of)).validate(stored)
