"""From a comparison with a master to a size: the closed form against the model itself."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.gauging.comparison import (
    GAUGE_WARMTH,
    OFF_CENTRE,
    ROCKING,
    Body,
    Comparison,
    off_diameter_mm,
    rocked_mm,
    warmed_gauge_mm,
)
from tests.published.budgets import BUDGETS


@pytest.mark.parametrize("name", BUDGETS)
def test_sensitivities_are_slopes_of_the_model(name: str) -> None:
    comparison = BUDGETS[name]
    for cause in comparison.budget().causes:
        step = cause.u * 1e-2
        slope = (comparison.size({cause.name: step}) - comparison.size({cause.name: -step})) / (2.0 * step)
        assert cause.sensitivity == pytest.approx(slope, rel=1e-5, abs=1e-9 / cause.u)


@pytest.mark.parametrize("name", BUDGETS)
def test_pairs_are_mixed_slopes_of_the_model(name: str) -> None:
    comparison = BUDGETS[name]
    budget = comparison.budget()
    u = {cause.name: cause.u for cause in budget.causes}
    for pair in budget.pairs:
        a, b = u[pair.first] * 10.0, u[pair.second] * 10.0
        mixed = sum(
            one * two * comparison.size({pair.first: one * a, pair.second: two * b})
            for one in (-1, 1)
            for two in (-1, 1)
        ) / (4.0 * a * b)
        assert pair.mixed == pytest.approx(mixed, rel=2e-3)


def test_steel_ring_on_a_steel_part_cancels_warmth_that_both_share_and_aluminium_does_not() -> None:
    steel = Body(above_20=4.0, per_kelvin=11.5e-6)
    like = Comparison(master_mm=60.0, u_master_mm=0.0, part=steel, master=steel, u_both_warm=0.5)
    assert like.budget().size_mm == pytest.approx(60.0, abs=1e-9)
    assert like.budget().first_order_mm == pytest.approx(0.0, abs=1e-8)
    unlike = replace(like, part=Body(above_20=4.0, per_kelvin=23.1e-6))
    assert unlike.budget().size_mm == pytest.approx(60.0 * (1.0 - 4.0 * 11.6e-6), abs=2e-6)
    assert unlike.budget().u_mm == pytest.approx(60.0 * 11.6e-6 * 0.5, rel=1e-3)


def test_a_warm_gauge_reads_small_and_is_put_right() -> None:
    plain = Comparison(master_mm=60.0, u_master_mm=0.0005)
    warm = replace(plain, gauge_warmer=3.0, u_gauge_warmer=1.0)
    assert warm.budget().size_mm - plain.budget().size_mm == pytest.approx(warmed_gauge_mm(60.0, 11.5e-6, 3.0))
    parts = {row.name: row.part_mm for row in warm.budget().rows()}
    assert parts[GAUGE_WARMTH] == pytest.approx(60.0 * 11.5e-6)


def test_rocking_and_off_the_diameter_shift_the_mean_and_widen() -> None:
    tilted = Comparison(master_mm=50.0, u_master_mm=0.0, tilt_deg=1.0, off_mm=0.1)
    budget = tilted.budget()
    tilt, off = rocked_mm(50.0, 1.0), -off_diameter_mm(50.0, 0.1)
    assert budget.size_mm - 50.0 == pytest.approx((off - tilt) / 3.0)
    parts = {row.name: row.part_mm for row in budget.rows()}
    assert parts[ROCKING] == pytest.approx(tilt * math.sqrt(4.0 / 45.0))
    assert parts[OFF_CENTRE] == pytest.approx(off * math.sqrt(4.0 / 45.0))


def test_rocking_series_is_near_the_exact_one() -> None:
    phi = math.radians(1.0)
    assert rocked_mm(50.0, 1.0) == pytest.approx(50.0 * (1.0 / math.cos(phi) - 1.0), rel=3e-4)
    assert off_diameter_mm(50.0, 0.1) == pytest.approx(math.sqrt(50.0**2 - 4.0 * 0.1**2) - 50.0, rel=1e-4)


def test_more_readings_and_a_better_step_narrow() -> None:
    once = Comparison(master_mm=50.0, u_master_mm=0.0004, scatter_mm=0.001, step_mm=0.001, readings=1)
    assert replace(once, readings=4).budget().u_mm < once.budget().u_mm
    assert replace(once, master_readings=2).budget().u_mm > once.budget().u_mm


def test_draws_and_numbers_are_the_same_model() -> None:
    comparison = BUDGETS["bore on a ring"]
    many = comparison.size({"master": np.array([0.0, 0.001])})
    assert many[0] == comparison.size({})
    assert many[1] == comparison.size({"master": 0.001})


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(EntryError, match="larger than 0"):
        Comparison(master_mm=0.0, u_master_mm=0.001)
    with pytest.raises(EntryError, match="no reading"):
        Comparison(master_mm=50.0, u_master_mm=0.001, readings=0)
    with pytest.raises(EntryError, match="outside the bore"):
        off_diameter_mm(50.0, 30.0)
