"""The scale of the strip: smooth, growing toward the limits, graduated as far as there is room."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.drawing.scale import Scale
from borewright.quantity.length import Unit

SCALE = Scale(46.52, 0.008, 45.9, 46.54, 0.0, 1200.0)


@given(st.floats(45.9, 46.54), st.floats(45.9, 46.54))
def test_larger_diameters_stand_further_right(one: float, other: float) -> None:
    assert (SCALE.x(one) <= SCALE.x(other)) == (one <= other) or SCALE.x(one) == pytest.approx(SCALE.x(other))


def test_ends_are_kept() -> None:
    assert SCALE.x(45.9) == 0.0
    assert SCALE.x(46.54) == 1200.0
    assert SCALE.x(40.0) == 0.0
    assert SCALE.x(50.0) == 1200.0


@given(st.floats(45.95, 46.53))
def test_length_of_a_millimetre_is_the_slope_of_the_scale(mm: float) -> None:
    step = 1e-5
    slope = (SCALE.x(mm + step) - SCALE.x(mm - step)) / (2 * step)
    assert SCALE.per_mm(mm) == pytest.approx(slope, rel=1e-4)


def test_magnification_said_is_the_ratio_of_lengths_drawn() -> None:
    assert SCALE.magnified == pytest.approx(SCALE.per_mm(46.52) / SCALE.per_mm(45.9))
    assert SCALE.magnified == pytest.approx((1 + (0.62 / 0.008) ** 2) ** 0.5)


@pytest.mark.parametrize(("unit", "mm"), [("mm", 1.0), ("in", 25.4)])
def test_ticks_stand_where_their_figures_say_and_keep_their_distance(unit: Unit, mm: float) -> None:
    ticks = SCALE.ticks(unit, 5.0)
    assert len(ticks) > 30
    for tick in ticks:
        assert float(tick.text) * mm == pytest.approx(tick.mm, abs=1e-9)
        assert tick.x == pytest.approx(SCALE.x(tick.mm))
        assert 45.9 <= tick.mm <= 46.54
    places = sorted(tick.x for tick in ticks)
    # A step is judged by its length at the tick itself, so next to a coarser step it may come a little closer.
    assert min(right - left for left, right in pairwise(places)) > 3.5
    assert len({Decimal(tick.text) for tick in ticks}) == len(ticks)


def test_steps_are_finer_where_the_scale_is_larger() -> None:
    ticks = sorted(SCALE.ticks("mm", 5.0), key=lambda tick: tick.mm)
    far = [b.mm - a.mm for a, b in pairwise(ticks) if b.mm < 46.1]
    near = [b.mm - a.mm for a, b in pairwise(ticks) if a.mm > 46.512 and b.mm < 46.528]
    assert min(far) >= 0.0499
    assert max(near) <= 0.00101


def test_a_step_reaches_from_limit_to_limit_or_is_not_drawn_there() -> None:
    for right in (300.0, 420.0, 600.0, 900.0, 1200.0):
        scale = Scale(46.52, 0.008, 45.9, 46.54, 0.0, right)
        for unit in ("mm", "in"):
            ticks = sorted(scale.ticks(unit, 5.5), key=lambda tick: tick.mm)
            steps = [b.mm - a.mm for a, b in pairwise(ticks) if a.mm > 46.512 and b.mm < 46.528]
            assert max(steps, default=1.0) == pytest.approx(min(steps, default=1.0), rel=1e-6)
