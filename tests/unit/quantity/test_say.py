"""Lengths in words."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest

from borewright.errors import EntryError
from borewright.quantity import Length, Unit, say_length, say_range
from borewright.quantity.say import say_two_digits


@pytest.mark.parametrize(
    ("inches", "words"),
    [
        ("0", "nothing"),
        ("0.00001", "less than half a tenth"),
        ("0.00005", "half a tenth"),
        ("0.0001", "1 tenth"),
        ("0.00015", "1 and a half tenths"),
        ("0.0002", "2 tenths"),
        ("0.0005", "half a thou"),
        ("0.0007", "7 tenths"),
        ("0.001", "1 thou"),
        ("0.0011", "1 thou 1 tenth"),
        ("0.00105", "1 thou half a tenth"),
        ("0.0015", "1 and a half thou"),
        ("0.0037", "3 thou 7 tenths"),
        ("0.00375", "3 thou 7 and a half tenths"),
        ("0.0095", "9 and a half thou"),
        ("0.00374", "3 thou 7 and a half tenths"),
        ("0.0102", "10 thou 2 tenths"),
        ("0.125", "125 thou"),
        ("-0.0037", "minus 3 thou 7 tenths"),
        ("1.5000", "1.5 in"),
        ("2.36225", "2.36225 in"),
    ],
)
def test_inches(inches: str, words: str) -> None:
    exact = Length(Decimal(inches), "in")
    assert say_length(exact, "in") == words
    assert say_length(exact.mm, "in") == words


@pytest.mark.parametrize(
    ("mm", "unit", "words"),
    [
        (0.016, "in", "6 tenths"),
        (0.00127 * 13, "in", "6 and a half tenths"),
        (33.425 - 33.4, "mm", "25 µm"),
        (0.01666, "mm", "16.6 µm"),
        (0.00099 * 25.4, "in", "9 and a half tenths"),
    ],
)
def test_a_limit_is_never_said_wider_than_it_is(mm: float, unit: Unit, words: str) -> None:
    assert say_length(mm, unit, down=True) == words


@pytest.mark.parametrize(
    ("mm", "words"),
    [
        (0.0, "nothing"),
        (0.00001, "less than 0.1 µm"),
        (0.0037, "3.7 µm"),
        (0.012, "12 µm"),
        (0.02, "20 µm"),
        (0.0999, "99.9 µm"),
        (0.1, "0.1 mm"),
        (0.2413, "0.2413 mm"),
        (1.25, "1.25 mm"),
        (62.0, "62 mm"),
        (-0.0037, "minus 3.7 µm"),
    ],
)
def test_metric_never_says_tenth(mm: float, words: str) -> None:
    assert say_length(mm, "mm") == words
    assert "tenth" not in words


def test_plus_is_said_when_asked() -> None:
    assert say_length(0.0037, "mm", sign=True) == "plus 3.7 µm"
    assert say_length(-0.0037, "mm", sign=True) == "minus 3.7 µm"
    assert say_length(0.0, "mm", sign=True) == "nothing"


def test_the_callers_decimal_context_does_not_reach_in() -> None:
    with localcontext() as context:
        context.prec = 2
        assert say_length(0.0999, "mm") == "99.9 µm"
        assert say_length(Length(Decimal("0.00375"), "in"), "in") == "3 thou 7 and a half tenths"


@pytest.mark.parametrize(("mm", "unit"), [(float("nan"), "mm"), (1.0, "yd")])
def test_refuses(mm: float, unit: Unit) -> None:
    with pytest.raises(EntryError):
        say_length(mm, unit)


def test_a_tolerance_is_never_said_as_more_than_it_is() -> None:
    assert say_length(0.016, "in") == "6 and a half tenths"  # 0.00062992
    assert say_length(0.016, "in", down=True) == "6 tenths"
    assert say_length(0.016, "mm", down=True) == "16 µm"


@pytest.mark.parametrize(
    ("low", "high", "unit", "words"),
    [
        (-0.0053, 0.0098, "mm", "-5.3 to +9.8 µm"),
        (0.0261, 0.1865, "mm", "26.1 to 186.5 µm"),
        (0.0, 0.003, "mm", "0 to 3 µm"),
        (-0.00001, 0.002, "mm", "0 to 2 µm"),
        (1.2, 3.4, "mm", "1.2 to 3.4 mm"),
        (-0.005, 0.0101, "in", "-0.2 to +0.4 thou"),
        (0.00127, 0.0381, "in", "0.05 to 1.5 thou"),
    ],
)
def test_an_interval_is_said_in_one_measure(low: float, high: float, unit: Unit, words: str) -> None:
    assert say_range(low, high, unit) == words


def test_an_interval_in_no_unit_is_refused() -> None:
    with pytest.raises(EntryError):
        say_range(0.0, 1.0, "cm")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("value", "said"), [(0.2583, "0.26"), (2.6, "2.6"), (12.4, "12"), (209.6, "210"), (1250.0, "1200"), (0.0, "0")]
)
def test_two_digits_are_said_without_a_power_of_ten(value: float, said: str) -> None:
    assert say_two_digits(value) == said
