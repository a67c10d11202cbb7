"""Lengths as digits."""

from __future__ import annotations

from decimal import Decimal

import pytest

from borewright.errors import EntryError
from borewright.quantity import Length, Unit, show_length
from borewright.quantity.show import show_limits, show_tolerance


def test_usual_decimals() -> None:
    assert show_length(61.9912, "mm") == "61.9912 mm"
    assert show_length(62.0, "mm") == "62.0000 mm"
    assert show_length(59.99988, "in") == "2.36220 in"
    assert show_length(61.9912, "mm", with_unit=False) == "61.9912"


@pytest.mark.parametrize(
    ("mm", "decimals", "text"),
    [
        (0.0005, 3, "0.000"),
        (0.0015, 3, "0.002"),
        (0.0025, 3, "0.002"),
        (2.675, 2, "2.68"),
        (0.5, 0, "0"),
        (1.5, 0, "2"),
        (62.00449999, 3, "62.004"),
        (-0.0004, 3, "0.000"),
        (-0.0, 3, "0.000"),
        (-0.0006, 3, "-0.001"),
        (1e-9, 4, "0.0000"),
    ],
)
def test_rounds_half_even_in_decimal_and_never_shows_minus_zero(mm: float, decimals: int, text: str) -> None:
    assert show_length(mm, "mm", decimals=decimals, with_unit=False) == text


def test_sign() -> None:
    assert show_length(0.2413, "in", sign=True, decimals=4) == "+0.0095 in"
    assert show_length(-0.2413, "in", sign=True, decimals=4) == "-0.0095 in"
    assert show_length(0.0, "in", sign=True, decimals=4) == "0.0000 in"
    assert show_length(0.00001, "mm", sign=True, decimals=4) == "0.0000 mm"


def test_step_of_the_device() -> None:
    half_tenth = Length(Decimal("0.00005"), "in")
    five_hundredths = Length(Decimal("0.005"), "mm")
    assert show_length(59.99988, "in", step=half_tenth) == "2.36220 in"
    assert show_length(62.0038, "mm", step=five_hundredths) == "62.005 mm"
    assert show_length(62.0038, "mm", step=five_hundredths, decimals=1) == "62.0 mm"
    assert show_length(59.99988, "mm", step=half_tenth) == "59.9999 mm"


def test_takes_an_exact_length() -> None:
    assert show_length(Length(Decimal("2.36225"), "in"), "in", decimals=4) == "2.3622 in"
    assert show_length(Length(Decimal("2.36235"), "in"), "in", decimals=4) == "2.3624 in"
    assert show_length(Length(Decimal(1), "in"), "mm", decimals=1) == "25.4 mm"


@pytest.mark.parametrize(
    ("mm", "unit", "decimals"),
    [(float("nan"), "mm", 3), (float("inf"), "in", 3), (1.0, "cm", 3), (1.0, "mm", -1), (1.0, "mm", 25)],
)
def test_refuses(mm: float, unit: Unit, decimals: int) -> None:
    with pytest.raises(EntryError):
        show_length(mm, unit, decimals=decimals)


def test_limits_are_never_shown_wider_than_they_are() -> None:
    assert show_limits(46.512, 46.528, "mm", 3) == ("46.512", "46.528")
    assert show_limits(46.512, 46.528, "in", 5) == ("1.83119", "1.83181")  # 1.831181... and 1.831811...
    assert show_limits(21.9935, 22.0065, "mm", 3) == ("21.994", "22.006")


def test_a_tolerance_is_never_shown_as_more_than_it_is() -> None:
    assert show_tolerance(Length(Decimal("0.019"), "mm"), "in", 5) == "0.00074 in"  # 0.000748...
    assert show_length(0.019, "in") == "0.00075 in"
    assert show_tolerance(Length(Decimal("0.019"), "mm"), "mm", 3) == "0.019 mm"
