"""A reading as it is typed in the terminal."""

from __future__ import annotations

import pytest

from borewright.cli.read_words import read_fields
from borewright.errors import EntryError


@pytest.mark.parametrize(
    ("typed", "fields"),
    [
        ("46.491", {"as_read": "46.491"}),
        ("1.8750 in", {"as_read": "1.8750 in"}),
        ("2 3/8 in", {"as_read": "2 3/8 in"}),
        ("46.491 free", {"as_read": "46.491", "state": "free"}),
        ("46.491 mm probe machine", {"as_read": "46.491 mm", "probe": True, "state": "in the machine"}),
        ("46.491 gauge clamped", {"as_read": "46.491", "probe": False, "state": "clamped out of it"}),
        ("46.491 at 12", {"as_read": "46.491", "place": {"depth": "12"}}),
        ("46.491 90°", {"as_read": "46.491", "place": {"direction_deg": "90"}}),
        (
            "46.491 mm at 12.5 mm 22,5 deg free",
            {"as_read": "46.491 mm", "place": {"direction_deg": "22.5", "depth": "12.5 mm"}, "state": "free"},
        ),
        ("", {"as_read": ""}),
    ],
)
def test_what_stands_behind_a_reading_is_taken_apart(typed: str, fields: dict[str, object]) -> None:
    assert read_fields(typed) == fields


def test_words_that_disagree_are_refused() -> None:
    with pytest.raises(EntryError, match="different things") as refused:
        read_fields("46.491 free machine")
    assert refused.value.where == "state"
