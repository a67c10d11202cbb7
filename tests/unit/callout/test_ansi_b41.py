"""Inch hole classes: steps, the holes of fits, and what is not held."""

from __future__ import annotations

from decimal import Decimal

import pytest

from borewright.callout.ansi_b41 import HOLE_OF_FIT, STEPS_IN, UPPER_THOU, hole_deviations_thou
from borewright.errors import NotHeldError


def test_every_row_fits_the_steps_and_widens() -> None:
    for row in UPPER_THOU.values():
        assert len(row) == len(STEPS_IN)
        assert list(row) == sorted(row)
    for column in zip(*UPPER_THOU.values(), strict=True):
        assert list(column) == sorted(set(column))


def test_a_step_runs_over_one_end_up_to_and_including_the_next() -> None:
    assert hole_deviations_thou(Decimal("1.97"), "H6") == (Decimal(0), Decimal("0.6"))
    assert hole_deviations_thou(Decimal("1.9701"), "H6") == (Decimal(0), Decimal("0.7"))


def test_a_fit_has_its_holes_limits() -> None:
    for fit, grade in HOLE_OF_FIT.items():
        assert hole_deviations_thou(Decimal("1.5"), fit) == hole_deviations_thou(Decimal("1.5"), grade)


@pytest.mark.parametrize(
    ("size", "designation", "words"),
    [
        ("1.5", "H4", "not held"),
        ("1.5", "H9", "not held"),
        ("1.5", "N7", "not held"),
        ("1.5", "RC6", "not held"),
        ("1.5", "LC2", "not held"),
        ("1.5", "", "not held"),
        ("9.851", "H6", "up to 9.85 in"),
        ("0", "H6", "above 0"),
    ],
)
def test_not_held(size: str, designation: str, words: str) -> None:
    with pytest.raises(NotHeldError, match=words):
        hole_deviations_thou(Decimal(size), designation)
