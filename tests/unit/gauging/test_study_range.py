"""A study by ranges."""

from __future__ import annotations

import math

import numpy as np
import pytest

from borewright.gauging.study_range import by_range, mean_range_factor, range_constants, range_dof
from tests.unit.gauging.studies import drawn


@pytest.mark.parametrize("count", [2, 3, 5, 10])
def test_constants_are_those_of_drawn_ranges(count: int) -> None:
    ranges = np.ptp(np.random.default_rng(3).normal(0.0, 1.0, (200_000, count)), axis=1)
    d2, d3 = range_constants(count)
    assert d2 == pytest.approx(float(ranges.mean()), rel=0.005)
    assert d3 == pytest.approx(float(ranges.std()), rel=0.005)


def test_a_range_of_two_has_its_closed_form() -> None:
    d2, d3 = range_constants(2)
    assert d2 == pytest.approx(2.0 / math.sqrt(math.pi), rel=1e-10)
    assert d3 == pytest.approx(math.sqrt(2.0 - 4.0 / math.pi), rel=1e-8)
    assert mean_range_factor(2, 1) == pytest.approx(math.sqrt(2.0), rel=1e-8)
    assert mean_range_factor(2, 100) == d2


def test_degrees_of_freedom_grow_with_groups() -> None:
    assert range_dof(3, 30) == pytest.approx(10.0 * range_dof(3, 3))
    assert 1.0 < range_dof(3, 1) < 2.0


def test_components_come_out() -> None:
    rng = np.random.default_rng(7)
    found = [by_range(drawn(rng, 0.02, 0.003, 0.0, 0.002)) for _ in range(300)]
    assert np.mean([each.repeatability_mm for each in found]) == pytest.approx(0.002, rel=0.03)
    assert np.sqrt(np.mean([each.reproducibility_mm**2 for each in found])) == pytest.approx(0.003, rel=0.12)
    assert np.mean([each.parts_mm for each in found]) == pytest.approx(0.02, rel=0.05)


def test_people_alike_are_floored_and_it_is_said() -> None:
    rng = np.random.default_rng(7)
    found = [by_range(drawn(rng, 0.02, 0.0, 0.0, 0.002)) for _ in range(40)]
    floored = [each for each in found if each.floored]
    assert floored
    assert all(each.reproducibility_mm == 0.0 for each in floored)
