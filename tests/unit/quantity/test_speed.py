"""Cutting speeds as they are typed and shown."""

from __future__ import annotations

from decimal import Decimal

import pytest

from borewright.errors import EntryError
from borewright.quantity.speed import Speed, parse_speed, show_speed


@pytest.mark.parametrize(
    ("typed", "value", "unit", "m_min"),
    [
        ("185", "185", "m/min", 185.0),
        (185, "185", "m/min", 185.0),
        ("185 m/min", "185", "m/min", 185.0),
        ("182,5 m / min", "182.5", "m/min", 182.5),
        ("600 ft/min", "600", "ft/min", 182.88),
        ("600 sfm", "600", "ft/min", 182.88),
        ("600SFPM", "600", "ft/min", 182.88),
        ("600 fpm", "600", "ft/min", 182.88),
    ],
)
def test_a_speed_is_kept_in_the_unit_that_was_typed(typed: str | int, value: str, unit: str, m_min: float) -> None:
    found = parse_speed(typed)
    assert (found.value, found.unit) == (Decimal(value), unit)
    assert found.m_min == pytest.approx(m_min, rel=1e-12)
    assert parse_speed(found.text) == found


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("3000 rpm", "Revolutions"),
        ("3000 r/min", "Revolutions"),
        ("3 m/s", "no unit"),
        ("ft/min", "number"),
        ("0", "below"),
        ("-5", "below"),
        ("", "Nothing"),
    ],
)
def test_what_is_no_speed_is_refused_with_what_was_typed(typed: str, says: str) -> None:
    with pytest.raises(EntryError, match=says) as caught:
        parse_speed(typed, "speed")
    assert caught.value.where == "speed"


def test_a_speed_is_shown_in_the_shops_unit() -> None:
    assert show_speed(185.0, "m/min") == "185 m/min"
    assert show_speed(182.88, "ft/min") == "600 ft/min"
    assert show_speed(2.5, "m/min", with_unit=False) == "2.5"
    assert Speed(Decimal(600), "ft/min").text == "600 ft/min"
