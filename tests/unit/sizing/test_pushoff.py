"""The push-off curve: what comes off and what is bent away make up the depth set."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.errors import EntryError
from borewright.sizing.pushoff import (
    SIGN_SCALE_MM,
    PushOffPoint,
    from_signed_log,
    push_off,
    push_off_of_depth,
    signed_log,
)

AT = 0.25
PUSHED = st.floats(0.0005, 0.2)
EITHER_WAY = st.floats(-0.08, 0.2)
EXPONENTS, EDGES, DEPTHS = st.floats(0.4, 0.98), st.floats(0.01, 0.35), st.floats(0.0002, 1.0)


@given(EITHER_WAY, EXPONENTS, EDGES, DEPTHS)
def test_what_comes_off_and_push_off_make_up_the_depth_set(P: float, m: float, e: float, s: float) -> None:  # noqa: N803
    point = push_off_of_depth(s, P, m, e, AT)
    removed = s - point.p
    if removed > 0.0:
        assert push_off(removed, P, m, e, AT) == pytest.approx(point.p, abs=1e-9)
    else:
        assert s <= P * e + 1e-12
        assert point == PushOffPoint(s, 1.0, 0.0, 0.0, 0.0)


@given(PUSHED, EXPONENTS, EDGES, DEPTHS)
def test_a_tool_that_pushes_off_loses_part_of_every_further_depth(P: float, m: float, e: float, s: float) -> None:  # noqa: N803
    point = push_off_of_depth(s, P, m, e, AT)
    assert 0.0 < point.p <= s
    assert 0.0 <= point.by_depth <= 1.0


@given(st.floats(-0.03, 0.15), EXPONENTS, EDGES, st.floats(0.06, 1.0))
def test_derivatives_are_those_of_finite_differences(P: float, m: float, e: float, s: float) -> None:  # noqa: N803
    point, h = push_off_of_depth(s, P, m, e, AT), 1e-6
    if s - point.p < 0.01:
        return

    def slope(up: tuple[float, float, float, float], down: tuple[float, float, float, float]) -> float:
        return (push_off_of_depth(*up, AT).p - push_off_of_depth(*down, AT).p) / (2.0 * h)

    assert point.by_depth == pytest.approx(slope((s + h, P, m, e), (s - h, P, m, e)), rel=1e-4, abs=1e-6)
    assert point.by_reference == pytest.approx(slope((s, P + h, m, e), (s, P - h, m, e)), rel=1e-4, abs=1e-6)
    assert point.by_exponent == pytest.approx(slope((s, P, m + h, e), (s, P, m - h, e)), rel=1e-4, abs=1e-6)
    assert point.by_edge == pytest.approx(slope((s, P, m, e + h), (s, P, m, e - h)), rel=1e-4, abs=1e-6)


@pytest.mark.parametrize(("removed", "p"), [(0.0, 0.0), (-0.1, 0.0), (0.25, 0.04), (0.0625, 0.04 * (0.2 + 0.8 * 0.5))])
def test_push_off_of_what_comes_off(removed: float, p: float) -> None:
    assert push_off(removed, 0.04, 0.5, 0.2, AT) == pytest.approx(p, abs=1e-15)


def test_with_nothing_set_nothing_is_pushed_off() -> None:
    assert push_off_of_depth(0.0, 0.02, 0.75, 0.15, AT).p == 0.0
    assert push_off_of_depth(-0.1, 0.02, 0.75, 0.15, AT).p == 0.0


@pytest.mark.parametrize("at", [0.0, -1.0, math.nan])
def test_the_reference_wants_a_depth(at: float) -> None:
    with pytest.raises(EntryError):
        push_off_of_depth(0.1, 0.02, 0.75, 0.15, at)


@given(st.floats(-0.2, 0.2))
def test_the_coordinate_goes_there_and_back_and_keeps_the_sign(P: float) -> None:  # noqa: N803
    back, slope = from_signed_log(signed_log(P))
    assert back == pytest.approx(P, rel=1e-12, abs=1e-15)
    assert slope == pytest.approx(math.hypot(P, SIGN_SCALE_MM), rel=1e-12)
