"""The chip under a round nose: closed forms, squares counted one by one, limits, and what must grow with what."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from borewright.cutting.chip import chip_of, cusp_area, cusp_height
from borewright.cutting.direction import chord_angle, weighted_angle
from borewright.cutting.force import Coefficients, force_of, rake_correction

# ap, f, r, kappa; A, L, A/L, h max; keq by the chord and by the load's mean, degrees: worked out from the formulas.
ROWS = [
    ((0.10, 0.08, 0.4, 95.0), (0.0079466, 0.32916, 0.02414, 0.04777), (17.84, 22.37), (3.108, 2.430)),
    ((0.20, 0.10, 0.4, 90.0), (0.0198956, 0.46901, 0.04242, 0.08264), (26.41, 33.91), (2.014, 1.487)),
    ((0.15, 0.08, 0.2, 90.0), (0.0118927, 0.30389, 0.03913, 0.07584), (31.99, 41.63), (1.601, 1.125)),
    ((0.05, 0.05, 0.2, 95.0), (0.0024739, 0.16961, 0.01459, 0.02891), (17.11, 21.07), (3.248, 2.596)),
    ((0.50, 0.10, 0.4, 90.0), (0.049896, 0.77845, 0.06410, 0.100), (47.83, None), (0.906, None)),
    ((1.00, 0.20, 0.4, 75.0), (0.199159, 1.35302, 0.14720, None), (None, None), (None, None)),
]
cuts = st.tuples(
    st.floats(0.01, 1.5), st.floats(0.02, 0.6), st.sampled_from([0.1, 0.2, 0.4, 0.8]), st.floats(60.0, 95.0)
)


@pytest.mark.parametrize(("cut", "sizes", "angles", "ratios"), ROWS, ids=[str(row[0]) for row in ROWS])
def test_worked_out_by_hand(
    cut: tuple[float, ...],
    sizes: tuple[float | None, ...],
    angles: tuple[float | None, ...],
    ratios: tuple[float | None, ...],
) -> None:
    depth, feed, nose, kappa = cut
    chip = chip_of(depth, feed, nose, math.radians(kappa))
    loads = chip.thickness * chip.arcs
    found = (chip.area, chip.length, chip.equivalent, chip.thickest)
    for ours, theirs, digits in zip(found, sizes, (6e-7, 6e-6, 6e-6, 6e-6), strict=True):
        assert theirs is None or float(ours) == pytest.approx(theirs, abs=digits)
    turned = (chord_angle(chip), weighted_angle(chip, loads, chip.straight_area))
    for ours, theirs, ratio in zip(turned, angles, ratios, strict=True):
        assert theirs is None or math.degrees(ours) == pytest.approx(theirs, abs=0.006)
        assert ratio is None or 1.0 / math.tan(ours) == pytest.approx(ratio, rel=5e-4)


@pytest.mark.parametrize(("row", "integrated", "by_mean"), [(0, 30.11, 29.71), (1, 71.86, 68.75), (2, 46.50, 41.56)])
def test_integrated_force(row: int, integrated: float, by_mean: float) -> None:
    depth, feed, nose, kappa = ROWS[row][0]
    chip = chip_of(depth, feed, nose, math.radians(kappa))
    force = force_of(chip, Coefficients(kc=2220.0, exponent=0.14))
    assert float(force.cutting) == pytest.approx(integrated, abs=0.006)
    assert float(2220.0 * chip.area * chip.equivalent**-0.14) == pytest.approx(by_mean, abs=0.006)


def counted_area(depth: float, feed: float, nose: float, kappa: float, cells: int = 1500) -> float:
    """Count the squares that the tool has passed over and not passed over a turn before, below the old surface."""
    low, high = -feed, nose + depth / math.tan(min(kappa, 0.5 * math.pi)) + feed
    x = np.linspace(low, high, cells)[:, None]
    y = np.linspace(0.0, depth, cells)[None, :]

    def inside(across: np.ndarray) -> np.ndarray:
        up = y - nose
        in_nose = (across**2 + up**2 <= nose**2) | ((across < 0.0) & (across >= -nose) & (up > 0.0))
        front = across * math.sin(kappa) - up * math.cos(kappa) <= nose
        below = (np.arctan2(across, -up) > kappa) | (up > 0.0)
        return np.asarray(np.where(below & (across > -nose), front, in_nose) | ((up >= 0) & (across <= 0.0)))

    taken = inside(x) & ~inside(x + feed)
    return float(taken.mean() * (high - low) * depth)


@pytest.mark.parametrize("cut", [(0.10, 0.08, 0.4, 90.0), (0.30, 0.2, 0.4, 75.0), (0.5, 0.25, 0.4, 75.0)])
def test_area_against_squares(cut: tuple[float, float, float, float]) -> None:
    depth, feed, nose, kappa = cut
    chip = chip_of(depth, feed, nose, math.radians(kappa))
    assert counted_area(depth, feed, nose, math.radians(kappa)) == pytest.approx(float(chip.area), rel=0.02)


@given(cuts)
def test_pieces_make_the_whole(cut: tuple[float, float, float, float]) -> None:
    depth, feed, nose, kappa = cut
    feed = min(feed, 0.9 * nose)
    chip = chip_of(depth, feed, nose, math.radians(kappa))
    # Above the nose's middle an edge that leans back leaves a sliver that stands before no piece of it.
    assume(depth <= nose or chip.straight > 0.0)
    assert float(chip.slices.sum() + chip.straight_area) == pytest.approx(float(chip.area), rel=1e-6)
    if not chip.straight > 0.0:
        assert float(chip.arcs.sum()) == pytest.approx(float(chip.length), rel=1e-9)
    assert np.all(chip.thickness >= 0.0)
    assert np.all(chip.thickness <= chip.thickest * (1.0 + 1e-9) + 1e-12)


@pytest.mark.parametrize(
    ("cut", "within"),
    [((0.3972, 0.3998, 0.4, 91.2), 1.2e-3), ((0.375, 0.4, 0.4, 87.0), 1e-4), ((0.8664, 0.3726, 0.8, 94.88), 0.02)],
)
def test_pieces_where_they_are_not_quite_the_whole(cut: tuple[float, float, float, float], within: float) -> None:
    depth, feed, nose, kappa = cut
    chip = chip_of(depth, feed, nose, math.radians(kappa))
    off = abs(float((chip.slices.sum() + chip.straight_area) / chip.area) - 1.0)
    assert 1e-6 < off < within


def test_thin_cut_keeps_two_thirds() -> None:
    feed, nose = 0.05, 0.8
    depth = feed**2 / (8.0 * nose)
    chip = chip_of(depth * 1.0001, feed, nose, math.radians(95.0))
    assert float(chip.area / (depth * feed)) == pytest.approx(2.0 / 3.0, abs=2e-3)


def test_straight_edge_alone() -> None:
    chip = chip_of(2.0, 0.02, 0.02, math.radians(75.0))
    assert float(chip.area) == pytest.approx(0.04, rel=1e-2)
    assert float(chip.thickest) == pytest.approx(0.02 * math.sin(math.radians(75.0)), rel=1e-3)
    assert math.degrees(chord_angle(chip)) == pytest.approx(75.0, abs=1.5)


def test_each_mm_of_straight_edge_takes_the_power_law_of_its_own_thickness() -> None:
    kappa, feed, by = math.radians(75.0), 0.1, Coefficients(kc=2000.0, exponent=0.25)
    one, two = (float(force_of(chip_of(depth, feed, 0.2, kappa), by).cutting) for depth in (1.0, 2.0))
    width, thickness = 1.0 / math.sin(kappa), feed * math.sin(kappa)
    assert two - one == pytest.approx(2000.0 * width * thickness**0.75, rel=1e-9)


@pytest.mark.parametrize(("rake", "factor"), [(6.0, 1.0), (16.0, 0.9), (-4.0, 1.1)])
def test_a_keener_rake_takes_one_per_cent_a_degree_less(rake: float, factor: float) -> None:
    assert rake_correction(rake, 6.0) == pytest.approx(factor)


def test_ridge_of_a_fine_feed_is_a_parabola() -> None:
    assert float(cusp_height(0.02, 0.8)) == pytest.approx(0.02**2 / 6.4, rel=1e-4)
    assert float(cusp_area(0.02, 0.8)) == pytest.approx(0.02**3 / (24.0 * 0.8), rel=1e-3)


@given(cuts, st.floats(1.01, 2.0))
@settings(max_examples=60)
def test_what_grows_with_what(cut: tuple[float, float, float, float], more: float) -> None:
    depth, feed, nose, kappa = cut
    feed, kappa = min(feed, 0.5 * nose), math.radians(kappa)
    assume(depth > 2.0 * float(cusp_height(feed * more, nose)))
    by = Coefficients(kc=2000.0, exponent=0.25, edge=10.0)
    force = force_of(chip_of(depth, feed, nose, kappa), by)
    deeper = force_of(chip_of(depth * more, feed, nose, kappa), by)
    faster = force_of(chip_of(depth, feed * more, nose, kappa), by)
    harder = force_of(chip_of(depth, feed, nose, kappa), Coefficients(2000.0 * more, 0.25, 10.0))
    for grown in (deeper, faster, harder):
        assert grown.cutting > force.cutting
    assert deeper.angle > force.angle
    assert float(force.radial) == pytest.approx(float(np.hypot(force.radial, force.feed) * np.cos(force.angle)))


def test_many_at_once_are_each_alone() -> None:
    random = np.random.default_rng(3)
    depth, feed = random.uniform(0.01, 0.6, 40), random.uniform(0.03, 0.2, 40)
    by = Coefficients(kc=random.uniform(1000.0, 3000.0, 40), exponent=random.uniform(0.14, 0.3, 40), edge=8.0)
    together = force_of(chip_of(depth, feed, 0.4, math.radians(95.0)), by)
    for place in range(40):
        one = Coefficients(np.asarray(by.kc)[place], np.asarray(by.exponent)[place], 8.0)
        alone = force_of(chip_of(depth[place], feed[place], 0.4, math.radians(95.0)), one)
        assert float(alone.radial) == pytest.approx(float(together.radial[place]), rel=1e-12)
