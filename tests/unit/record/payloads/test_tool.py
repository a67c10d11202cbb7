"""A move is given in lines, or as a length in one of the ways a readout or a control shows it."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.errors import EntryError
from borewright.record.fields import payload_plain, read_payload
from borewright.record.payloads.tool import Moved


@pytest.mark.parametrize(
    ("fields", "stored"),
    [
        ({"lines": "+9,5"}, {"lines": "9.5"}),
        ({"lines": -12, "take_up": False}, {"lines": "-12", "take_up": False}),
        ({"change": "+0.0095 in"}, {"change": "0.0095 in"}),
        ({"shown_locked": "-0.012"}, {"shown_locked": "-0.012 mm"}),
        ({"shown_unlocked": "0.010"}, {"shown_unlocked": "0.010 mm"}),
        (
            {"shown_unlocked": "10 µm", "shown_locked": "12 µm"},
            {"shown_unlocked": "0.010 mm", "shown_locked": "0.012 mm"},
        ),
    ],
)
def test_ways_to_give_a_move(fields: dict[str, Any], stored: dict[str, Any]) -> None:
    assert payload_plain(read_payload(Moved, fields, "mm")) == stored


@pytest.mark.parametrize(
    "fields",
    [
        {},
        {"take_up": True},
        {"lines": 1, "change": "1"},
        {"lines": 1, "shown_locked": "1"},
        {"lines": 1, "shown_unlocked": 1},
    ],
)
def test_a_move_is_given_in_one_way(fields: dict[str, Any]) -> None:
    with pytest.raises(EntryError) as caught:
        read_payload(Moved, fields, "mm")
    assert caught.value.right
