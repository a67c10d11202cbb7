"""The card, at the widths terminals have."""

from __future__ import annotations

import pytest

from borewright.cli.big import big_number
from borewright.cli.card import assumed, card, explanation, heading, questions, verdict
from borewright.cli.talk import Row

MOVE: dict[str, object] = {
    "model": "gauss 1",
    "unit": "mm",
    "state": "moved, not cut",
    "action": "move_and_cut",
    "say": "Open the tool by 34 and a half lines, lock it, and cut through the bore.",
    "why": "Half of what is left comes off now, because the dial is not proved; the last pass is then like this one.",
    "steps": [
        "Stop the spindle and lock it.",
        "Unlock, turn 34.5 lines to open, lock.",
        "Cut through at the same speed and feed, and stop before drawing out.",
    ],
    "move": {"direction": "open", "lines": "+34.5", "change": "+0.0690 mm"},
    "aim": "46.4600 mm",
    "now": {"size": "46.3912 mm", "low": "46.3881 mm", "high": "46.3943 mm"},
    "expect": {"size": "46.4600 mm", "low": "46.4518 mm", "high": "46.4682 mm"},
    "odds": {"oversize": 0.0004, "in_tolerance": 0.002, "undersize": 0.9976},
    "passes_left": 2,
    "parts": [{"what": "push-off of the next pass", "width": "2.9 µm"}, {"what": "lock shift", "width": "1.1 µm"}],
    "would_help": [{"what": "a second reading", "narrows": "0.4 µm"}],
    "assumptions": [
        {"what": "backlash", "value": "0.0150 mm", "width": "0.0080 mm", "origin": "assumed"},
        {"what": "push-off", "value": "0.0590 mm", "width": None, "origin": "typed"},
    ],
    "questions": [{"reading": 7, "cause": "a line miscounted", "check": "Count the lines again.", "odds": 0.31}],
    "cautions": ["Spindle stopped and locked before hand or gauge goes near the tool; the edge cuts."],
    "arithmetic": ["46.3912 + 0.0690 = 46.4602"],
}
RELEASE: dict[str, object] = {
    "state": "measured",
    "action": "release",
    "release": {
        "verdict": "in",
        "probability": 0.9931,
        "rule": "proof at 95 %",
        "size": "46.5203 mm",
        "expanded": "0.0024 mm",
        "coverage": "k = 2, about 95 %",
    },
}


def text_of(rows: list[Row]) -> str:
    return "\n".join(row.text for row in rows)


@pytest.mark.parametrize("width", [40, 60, 80, 88])
def test_nothing_is_wider_than_the_terminal(width: int) -> None:
    rows = [
        *heading("pinion seat · dome drive 7", "46.512 to 46.528 mm", width),
        *card(MOVE, 12, width),
        *explanation(MOVE, width),
        *assumed(MOVE, width),
        *questions(MOVE, width),
        *verdict(RELEASE, width),
    ]
    assert max(len(row.text) for row in rows) <= width
    said = " ".join(text_of(rows).split())
    for needed in ("pinion seat", "46.512 to 46.528 mm", "MOVED, NOT CUT", "entry 12", "+46.3912", "lock shift"):
        assert needed.lstrip("+") in said


@pytest.mark.parametrize("width", [60, 80])
def test_state_and_move_stay_in_view_on_a_short_screen(width: int) -> None:
    """Of 24 rows, the question takes five and a blank one stands before it."""
    rows = card(MOVE, 12, width)
    state = next(place for place, row in enumerate(rows) if row.look == "state")
    assert "MOVED, NOT CUT" in rows[state].text
    assert len(rows) - state <= 18


def test_the_move_is_the_largest_thing_on_the_card() -> None:
    rows = card(MOVE, 12, 80)
    big = [row for row in rows if "█" in row.text]
    assert len(big) == 5
    assert all(row.look == "strong" for row in big)
    assert big[1].text.endswith("OPEN")
    assert big[2].text.endswith("lines")


def test_a_verdict_shows_all_that_a_release_needs() -> None:
    said = text_of(verdict(RELEASE, 80))
    for needed in ("VERDICT: IN", "99.3 %", "proof at 95 %", "46.5203 mm", "± 0.0024 mm", "at 20 °C", "95 %"):
        assert needed in said
    assert verdict(MOVE, 80) == []


def test_every_digit_has_its_own_picture() -> None:
    pictures = {tuple(big_number(digit, 40)) for digit in "0123456789+-."}
    assert len(pictures) == 13


@pytest.mark.parametrize(
    ("text", "room", "rows"), [("46.4600", 60, 5), ("46.4600", 26, 5), ("46.4600", 20, 0), ("a", 60, 0)]
)
def test_a_number_is_drawn_where_it_fits(text: str, room: int, rows: int) -> None:
    drawn = big_number(text, room)
    assert len(drawn) == rows
    assert all(len(row) <= room for row in drawn)
