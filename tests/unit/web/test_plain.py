"""Plain values taken apart: which bore is meant, and what is only a row of zeros."""

from __future__ import annotations

import pytest

from borewright.web.plain import tells, which_of, without_zeros


@pytest.mark.parametrize(
    ("bore", "name", "which"),
    [
        ("idler-eye", "idler eye", ""),
        ("idler-eye-6", "idler eye", "idler-eye-6"),
        ("dome_drive_7.pinion_seat", "pinion seat", "dome_drive_7"),
        ("rehearsal.titanium.6.1a2b3c4d", "titanium, machine 6", "1a2b3c4d"),
        ("bore-2", None, ""),
    ],
)
def test_a_bore_is_told_from_others_of_its_name(bore: str, name: str | None, which: str) -> None:
    assert which_of(bore, name) == which


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("gauge and warmth are thought to add 0.0000 mm.", "gauge and warmth are thought to add nothing."),
        ("-0.00000 in", "nothing"),
        ("10.0000 mm", "10.0000 mm"),
        ("0.0001 mm", "0.0001 mm"),
    ],
)
def test_no_row_of_zeros_is_shown(words: str, told: str) -> None:
    assert without_zeros(words) == told
    assert tells(told) is (told == words)
