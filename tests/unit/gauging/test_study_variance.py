"""A study by analysis of variance."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.gauging.study import Study
from borewright.gauging.study_variance import analyse, by_variance, shares
from tests.unit.gauging.studies import drawn


def test_squares_sum_to_all() -> None:
    study = drawn(np.random.default_rng(1), 0.02, 0.003, 0.001, 0.002)
    squares = analyse(study)
    whole = float(((study.readings_mm - study.readings_mm.mean()) ** 2).sum())
    parts = (squares.people, squares.parts, squares.interaction, squares.repeat)
    assert sum(each.squares for each in parts) == pytest.approx(whole)
    assert sum(each.dof for each in parts) == study.readings_mm.size - 1
    assert sum(shares(study).values()) == pytest.approx(1.0)


def test_components_come_out() -> None:
    rng = np.random.default_rng(7)
    found = [by_variance(drawn(rng, 0.02, 0.003, 0.0015, 0.002), interaction=True) for _ in range(400)]
    assert np.sqrt(np.mean([each.repeatability_mm**2 for each in found])) == pytest.approx(0.002, rel=0.02)
    assert np.sqrt(np.mean([each.reproducibility_mm**2 for each in found])) == pytest.approx(
        np.hypot(0.003, 0.0015), rel=0.1
    )
    assert np.sqrt(np.mean([each.parts_mm**2 for each in found])) == pytest.approx(0.02, rel=0.05)


@pytest.mark.parametrize("crossed", [0.0, 0.0015])
def test_the_interval_of_the_gauge_covers(crossed: float) -> None:
    rng = np.random.default_rng(17)
    true = float(np.sqrt(0.003**2 + crossed**2 + 0.002**2))
    held = 0
    for _ in range(1000):
        low, high = by_variance(drawn(rng, 0.02, 0.003, crossed, 0.002), interaction=True).interval_mm
        held += low <= true <= high
    assert held / 1000 == pytest.approx(0.95, abs=0.025)


def test_interaction_is_found_where_it_is_and_left_out_where_it_is_not() -> None:
    rng = np.random.default_rng(5)
    there = [by_variance(drawn(rng, 0.02, 0.003, 0.004, 0.002)).method for _ in range(50)]
    nowhere = [by_variance(drawn(rng, 0.02, 0.003, 0.0, 0.002)).method for _ in range(200)]
    assert there.count("variance with interaction") == 50
    assert nowhere.count("variance with interaction") / 200 == pytest.approx(0.25, abs=0.1)


def test_components_below_nothing_are_floored_and_named() -> None:
    rng = np.random.default_rng(5)
    found = [by_variance(drawn(rng, 0.02, 0.0, 0.0, 0.002), interaction=True) for _ in range(40)]
    named = {name for each in found for name in each.floored}
    assert named == {"people", "interaction"}
    assert all(each.reproducibility_mm >= 0.0 for each in found)


def test_what_was_decided_is_told() -> None:
    study = drawn(np.random.default_rng(5), 0.02, 0.003, 0.004, 0.002)
    assert "as asked" in by_variance(study, interaction=False).notes[0]
    assert "counts" in by_variance(study).notes[0]


def test_squares_keep_every_digit_of_readings_on_whatever_size_they_sit() -> None:
    def squares(on: int) -> list[float]:
        digits = iter("31415926535897932384626433832795028841971693993751")
        rows = [(part, who, float(f"{on}.{next(digits)}")) for part in "123" for who in "AB" for _ in range(2)]
        found = analyse(Study.from_rows(rows))
        return [line.squares for line in (found.people, found.parts, found.interaction, found.repeat)]

    assert squares(10**12) == pytest.approx(squares(0), rel=1e-12)
