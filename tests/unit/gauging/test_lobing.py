"""Bores that are not round, and what sees it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import linprog

from borewright.errors import EntryError
from borewright.gauging.lobing import Profile, unseen_lobing


def by_linear_program(profile: Profile, count: int = 1440) -> float:
    """Another way: the largest R with ``R + a cos + b sin <= r`` all round."""
    angles = np.linspace(0.0, 2.0 * math.pi, count, endpoint=False)
    radii = np.array([profile.radius(math.degrees(each)) for each in angles])
    rows = np.column_stack([np.ones(count), np.cos(angles), np.sin(angles)])
    found = linprog([-1.0, 0.0, 0.0], A_ub=rows, b_ub=radii - profile.radius_mm, bounds=[(None, None)] * 3)
    assert found.x is not None
    return 2.0 * (profile.radius_mm + float(found.x[0]))


@pytest.mark.parametrize(
    "lobes",
    [
        {2: (0.004, 10.0)},
        {3: (0.005, 0.0)},
        {5: (0.002, 33.0)},
        {2: (0.005, 10.0), 3: (0.003, 20.0)},
        {2: (0.001, 80.0), 3: (0.004, 5.0), 4: (0.002, 50.0), 7: (0.001, 0.0)},
    ],
)
def test_the_largest_plug_is_that_of_a_linear_program(lobes: dict[int, tuple[float, float]]) -> None:
    profile = Profile(25.0, lobes)
    assert profile.inscribed_mm == pytest.approx(by_linear_program(profile), abs=2e-8)


def test_a_round_bore_takes_a_plug_of_its_size() -> None:
    assert Profile(25.0).inscribed_mm == pytest.approx(50.0)


def test_two_points_cannot_see_three_lobes_and_three_cannot_see_two() -> None:
    three, two = Profile(25.002, {3: (0.005, 12.0)}), Profile(25.0, {2: (0.005, 12.0)})
    assert {round(three.two_point(a), 9) for a in range(0, 180, 7)} == {50.004}
    assert {round(two.three_point(a), 9) for a in range(0, 180, 7)} == {50.0}
    assert two.two_point(12.0) - two.two_point(102.0) == pytest.approx(0.02)
    assert three.three_point(12.0) - three.three_point(72.0) == pytest.approx(0.02)


def test_what_was_not_seen_is_said() -> None:
    assert "Three or five lobes" in unseen_lobing("two points", (0.0, 60.0), envelope=False)
    assert "plug" in unseen_lobing("two points", (0.0, 60.0), envelope=True)
    assert "Two lobes" in unseen_lobing("three points", (0.0,), envelope=False)
    assert "few directions" in unseen_lobing("least squares", (0.0,), envelope=False)
    assert unseen_lobing("least squares", (0.0, 60.0, 120.0), envelope=False) == ""


def test_one_lobe_is_no_form() -> None:
    with pytest.raises(EntryError, match="lobes by twos or more"):
        Profile(25.0, {1: (0.001, 0.0)})
