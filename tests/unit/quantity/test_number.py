"""Counts and temperatures: what is read, what is refused and in which words."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest

from borewright.errors import EntryError
from borewright.quantity import parse_celsius, parse_number
from borewright.quantity.number import require_scale_said, require_shop_celsius


@pytest.mark.parametrize(
    ("given", "text"),
    [
        ("+9.5", "9.5"),
        ("9,5", "9.5"),
        ("-9.50", "-9.50"),
        ("−3", "-3"),
        (".5", "0.5"),
        ("minus 3", "-3"),
        (9, "9"),
        (9.5, "9.5"),
        (-0.0, "0.0"),
        (Decimal("9.50"), "9.50"),
        ("-0", "0"),
    ],
)
def test_reads_numbers(given: str | float | Decimal, text: str) -> None:
    assert f"{parse_number(given):f}" == text


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ("", "Nothing was entered. Enter a number."),
        ("nine", "That is not a number. Enter digits, such as 62.004."),
        ("9 lines", "That is not a number. Enter digits, such as 62.004."),
        ("9 1/2", "That is not a number. Enter digits, such as 62.004."),
        ("9e1", "A power of ten is too easily misread here. Write the number out, such as 0.0003."),
        ("inf", "That is not a number that can be measured. Enter digits."),
        (float("inf"), "That is not a number that can be measured. Enter digits."),
        (True, "Yes or no is not a number. Enter digits."),
        (None, "Nothing was entered. Enter digits."),
        (
            "1,000.5",
            (
                "A point and a comma in one number can be read in two ways. "
                "Leave out what separates thousands and keep one decimal point or comma."
            ),
        ),
        ("-1", "That is below 0. Enter 0 or more."),
        ("100.5", "That is above 100. Enter 100 or less."),
        ("9" * 50, "That number has more digits than any measurement has. Enter at most 24 decimals."),
    ],
)
def test_refuses_numbers(given: object, message: str) -> None:
    with pytest.raises(EntryError) as refused:
        parse_number(given, "lines", low=0, high=100)  # type: ignore[arg-type]  # wrong types are among them
    assert f"{refused.value.wrong} {refused.value.right}" == message
    assert refused.value.where == "lines"


def test_bounds_are_allowed_themselves() -> None:
    assert parse_number("0", low=0, high=100) == 0
    assert parse_number("100", low=0, high=100) == 100


@pytest.mark.parametrize(
    ("given", "text"),
    [
        ("21.4", "21.4"),
        ("21,4", "21.4"),
        ("21.4 C", "21.4"),
        ("21.4 °C", "21.4"),
        ("21.40°c", "21.40"),
        ("21.4 °", "21.4"),
        ("21.4 Celsius", "21.4"),
        ("-5", "-5"),
        ("70 F", "21.11"),
        ("70 °F", "21.11"),
        ("68F", "20.00"),
        ("31.91 F", "-0.05"),
        ("32 F", "0.00"),
        ("31.999 F", "0.00"),
        (20, "20"),
        (20.5, "20.5"),
        ("-30", "-30"),
        ("120", "120"),
        ("-22 F", "-30.00"),
        ("248 F", "120.00"),
    ],
)
def test_reads_temperatures(given: str | float, text: str) -> None:
    assert f"{parse_celsius(given):f}" == text


NO_SHOP = "Enter °C from -30 to 120, or °F marked F."


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ("", "Nothing was entered. Enter a number."),
        ("300 K", "Kelvin is not used at a machine. Enter °C, or °F marked F."),
        ("20 R", "That is not a unit of temperature. Enter °C, or °F marked F."),
        ("warm", "That is not a unit of temperature. Enter °C, or °F marked F."),
        ("°C", "That is not a number. Enter digits, such as 62.004."),
        ("nan", "That is not a number that can be measured. Enter digits."),
        ("-30.01", f"-30.01 °C is not a temperature of a part, tool or gauge in a shop. {NO_SHOP}"),
        ("120.1", f"120.1 °C is not a temperature of a part, tool or gauge in a shop. {NO_SHOP}"),
        ("300 F", f"148.89 °C is not a temperature of a part, tool or gauge in a shop. {NO_SHOP}"),
        (293.15, f"293.15 °C is not a temperature of a part, tool or gauge in a shop. {NO_SHOP}"),
        (False, "Yes or no is not a number. Enter digits."),
        (None, "Nothing was entered. Enter digits."),
        ("2e1", "A power of ten is too easily misread here. Write the number out, such as 0.0003."),
        ("1.2.3 C", "Two decimal points in one number can be read in two ways. Keep one decimal point."),
    ],
)
def test_refuses_temperatures(given: object, message: str) -> None:
    with pytest.raises(EntryError) as refused:
        parse_celsius(given, "temperature")  # type: ignore[arg-type]  # wrong types are among them
    assert f"{refused.value.wrong} {refused.value.right}" == message
    assert refused.value.where == "temperature"


def test_the_callers_decimal_context_does_not_reach_in() -> None:
    with localcontext() as context:
        context.prec = 2
        assert parse_celsius("70.5 F") == Decimal("21.39")
        assert parse_number("12.345") == Decimal("12.345")


@pytest.mark.parametrize("bare", ["70", "68,5", " 100 ", 70, 70.5, Decimal(72), "+70"])
def test_a_bare_figure_that_may_be_of_either_scale_is_asked_about(bare: object) -> None:
    with pytest.raises(EntryError, match="may be °C or °F") as caught:
        require_scale_said(bare, "celsius")
    assert caught.value.given == bare
    assert caught.value.where == "celsius"
    assert caught.value.right.startswith("Write its letter: ")


@pytest.mark.parametrize("clear", ["70 C", "70 F", "21.4", "50", "-12", 23, None, True, "warm", "300"])
def test_what_is_clear_or_refused_elsewhere_is_not_asked_about(clear: object) -> None:
    require_scale_said(clear)


@pytest.mark.parametrize(
    ("celsius", "says"), [("70", "mark it F"), ("-20", "settle"), ("50.1", "settle"), ("4.9", "5")]
)
def test_nothing_is_measured_beyond_a_shops_warmth(celsius: str, says: str) -> None:
    with pytest.raises(EntryError, match=r"No ring is that (hot|cold)") as caught:
        require_shop_celsius(Decimal(celsius), "ring", "celsius")
    assert says in caught.value.right
    assert caught.value.given == f"{celsius} °C"
    for held in (None, Decimal(5), Decimal(50)):
        require_shop_celsius(held, "ring")
