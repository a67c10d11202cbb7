"""From readings to a size with its uncertainty."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import chi2

from borewright.errors import EntryError
from borewright.gauging.evidence import (
    DISAGREE,
    MASTER,
    PART_TEMPERATURE,
    SettingReadings,
    Warmth,
    scatter_shown,
    size_from_readings,
    size_from_settings,
)
from tests.unit.rehearsal.four_sigma import assert_mean

COLD = Warmth(0.0, 0.0, 11.5e-6, 0.0)
WARM = Warmth(3.0, 0.4, 23.1e-6, 0.8e-6)


def test_cold_readings_are_averaged() -> None:
    size = size_from_readings([50.001, 50.003, 50.002], 0.0, 0.0, 0.001, COLD)
    assert size.mm == pytest.approx(50.002, abs=1e-12)
    assert size.readings == 3
    assert dict(size.parts_mm) == pytest.approx({"gauge step": 0.001 / math.sqrt(12.0)})
    assert size.expanded_mm == 2.0 * size.u_mm


def test_a_warm_part_is_taken_back_to_20_degrees() -> None:
    """60 mm of aluminium, 3 K too warm, reads 4.16 µm large."""
    size = size_from_readings([60.0], 0.001, 0.001, 0.001, WARM)
    assert 60.0 - size.mm == pytest.approx(0.00416, abs=5e-6)


def test_parts_are_those_of_the_equation_largest_first() -> None:
    size = size_from_readings([60.0, 60.002, 60.001, 60.001], 0.0012, 0.0009, 0.002, WARM)
    assert dict(size.parts_mm) == pytest.approx(
        {
            "gauge scatter": 0.0012 / 2.0,
            "gauge setting": 0.0009,
            "gauge step": 0.002 / math.sqrt(12.0),
            PART_TEMPERATURE: 60.0 * 23.1e-6 * 0.4,
            "expansion coefficient": 60.0 * 3.0 * 0.8e-6,
            f"{PART_TEMPERATURE} × expansion": 60.0 * 0.4 * 0.8e-6,
        },
        rel=1e-3,
    )
    widths = [width for _, width in size.parts_mm]
    assert widths == sorted(widths, reverse=True)
    assert size.u_mm == pytest.approx(math.hypot(*widths), rel=1e-12)


def test_readings_narrow_the_scatter_and_nothing_else() -> None:
    one, many = (size_from_readings([60.0] * count, 0.002, 0.001, 0.0005, WARM) for count in (1, 400))
    left = dict(many.parts_mm)
    assert left["gauge scatter"] == pytest.approx(0.0001)
    assert {name: width for name, width in left.items() if name != "gauge scatter"} == {
        name: width for name, width in one.parts_mm if name != "gauge scatter"
    }


def test_the_width_is_that_of_sizes_measured_again_and_again() -> None:
    """Monte Carlo of the measurement itself, to four standard errors."""
    draws, n, true = np.random.default_rng(20260), 20_000, 60.0
    above = 3.0 + 0.4 * draws.standard_normal(n)
    alpha = 23.1e-6 + 0.8e-6 * draws.standard_normal(n)
    bias = 0.0009 * draws.standard_normal(n)
    readings = true * (1.0 + alpha * above) + bias + (0.0012 * draws.standard_normal((2, n))).mean(axis=0)
    step = 0.002 * (draws.random(n) - 0.5)
    seen = size_from_readings([true, true], 0.0012, 0.0009, 0.002, WARM)
    off = [size_from_readings([value], 0.0012, 0.0009, 0.002, WARM).mm - true for value in readings + step]
    assert_mean([(each / seen.u_mm) ** 2 for each in off], 1.0, sharp=0.1)


def test_without_a_reading_there_is_no_size() -> None:
    with pytest.raises(EntryError, match="no reading"):
        size_from_readings([], 0.001, 0.001, 0.001, COLD)


def test_what_readings_that_agree_exceed_one_time_in_twenty_is_chi_squared() -> None:
    expected = [float(chi2.ppf(0.95, freedom)) for freedom in range(1, 1 + len(DISAGREE))]
    assert list(DISAGREE) == pytest.approx(expected, abs=6e-4)


def test_readings_that_agree_keep_the_scatter_as_it_was_told() -> None:
    assert scatter_shown([SettingReadings((46.516, 46.514), 0.0, 0.001)], 0.0012, 0.0012) == 0.0012
    assert scatter_shown([SettingReadings((46.516,), 0.0, 0.001)], 0.0012, 0.0012) == 0.0012


def test_readings_that_disagree_widen_it_to_what_they_show() -> None:
    """Two readings 5 µm apart have a standard deviation of 3.5 µm by themselves, three times what was told."""
    shown = scatter_shown([SettingReadings((46.518, 46.513), 0.0, 0.001)], 0.0012, 0.0012)
    assert shown == pytest.approx(0.005 / math.sqrt(2.0))


def test_two_settings_apart_do_not_count_as_scatter() -> None:
    apart = [SettingReadings((46.518, 46.518), 0.0, 0.001), SettingReadings((46.513, 46.513), 0.0, 0.001)]
    assert scatter_shown(apart, 0.0012, 0.0012) == 0.0012


def test_settings_on_one_master_share_its_error_and_on_two_do_not() -> None:
    def of(*masters: str) -> dict[str, float]:
        settings = [SettingReadings((60.0, 60.0), 0.0, 0.0006, name, 0.0008) for name in masters]
        return dict(size_from_settings(settings, 0.001, 0.001, COLD).parts_mm)

    assert of("ring-60")[MASTER] == pytest.approx(0.0008)
    assert of("ring-60", "ring-60", "ring-60")[MASTER] == pytest.approx(0.0008)
    assert of("ring-60", "ring-60b")[MASTER] == pytest.approx(0.0008 / math.sqrt(2.0))
    assert of("ring-60", "ring-60")["gauge setting"] == pytest.approx(0.0006 / math.sqrt(2.0))


def test_few_degrees_of_freedom_widen_the_coverage_and_many_leave_it_at_two() -> None:
    """All of it scatter of three readings with four degrees of freedom: k is Student's 2.776 (GUM table G.2)."""
    few = size_from_settings([SettingReadings((60.0,), 0.0, 0.0)], 0.001, 0.0, Warmth(0.0, 0.0, 0.0, 0.0), 4.0)
    assert few.dof == pytest.approx(4.0)
    assert few.factor == pytest.approx(2.776, abs=5e-4)
    assert few.expanded_mm == pytest.approx(2.776e-3, abs=5e-7)
    assert few.judged_u_mm == pytest.approx(0.5 * few.expanded_mm)
    more = few.with_part("out of round", 0.001)
    assert more.u_mm == pytest.approx(math.sqrt(2.0) * 0.001)
    assert more.dof == pytest.approx(16.0)  # a hair under or over 16 in floats: cut to 15 or 16
    assert 2.1195 < more.factor < 2.1319
    many = size_from_settings([SettingReadings((60.0,), 0.0, 0.0)], 0.001, 0.0, COLD)
    assert (many.factor, math.isinf(many.dof)) == (2.0, True)
    assert many.judged_u_mm == many.u_mm


def test_what_a_setting_shows_too_much_is_taken_off() -> None:
    settings = [SettingReadings((50.004,), 0.003, 0.0005), SettingReadings((50.0,), -0.001, 0.0005)]
    assert size_from_settings(settings, 0.001, 0.001, COLD).mm == pytest.approx(50.001, abs=1e-12)


def test_degrees_of_freedom_are_those_of_the_scatter_among_the_rest() -> None:
    size = size_from_settings([SettingReadings((50.0,), 0.0, 0.0003)], 0.0004, 0.0, COLD, 6.0)
    assert size.dof == pytest.approx(6.0 * (0.0005 / 0.0004) ** 4)
    assert size_from_settings([SettingReadings((50.0,), 0.0, 0.0003)], 0.0004, 0.0, COLD).dof == math.inf


def test_a_setting_on_a_worse_known_master_weighs_less() -> None:
    worse = SettingReadings((50.004,), 0.0, 0.0006, "ring a", 0.0008)
    better = SettingReadings((50.0,), 0.0, 0.0006, "ring b", 0.0)
    size = size_from_settings([worse, better], 0.0, 0.0, COLD)
    share = (1.0 / 0.001**2) / (1.0 / 0.001**2 + 1.0 / 0.0006**2)
    assert size.mm == pytest.approx(50.0 + 0.004 * share, abs=1e-12)
