"""Properties of lengths: what is typed comes back, no binary drift, never off by a step, no errors but our own."""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from borewright.errors import BorewrightError
from borewright.quantity import (
    How,
    Length,
    Unit,
    parse_celsius,
    parse_length,
    parse_number,
    round_to_step,
    say_length,
    show_length,
    steps_around,
)

WIDE = Context(prec=100, rounding=ROUND_HALF_EVEN)

units: st.SearchStrategy[Unit] = st.sampled_from(("mm", "in"))
hows: st.SearchStrategy[How] = st.sampled_from(("nearest", "down", "up", "toward_zero"))


@st.composite
def typed(draw: st.DrawFn, *, signed: bool = False, most_places: int = 8) -> str:
    """A number of up to 190 as it is typed, with up to so many decimals."""
    places = draw(st.integers(0, most_places))
    digits = draw(st.integers(-190 * 10**places if signed else 0, 190 * 10**places))
    return f"{Decimal(digits).scaleb(-places, WIDE):f}"


lengths = st.builds(lambda text, unit: parse_length(text, unit, signed=True), typed(signed=True), units)
devices = st.builds(
    lambda digits, places, unit: Length(Decimal(digits).scaleb(-places, WIDE), unit),
    st.sampled_from([1, 2, 5, 10, 25, 127]),
    st.integers(2, 6),
    units,
)
anything = st.one_of(
    st.text(max_size=40),
    st.text(alphabet='0123456789.,+-±/ eEØ⌀"µmincthoutnsafdHhJS°CFK', max_size=24),
    st.floats(),
    st.integers(),
    st.decimals(),
    st.none(),
    st.booleans(),
    st.lists(st.integers(), max_size=2),
)


@given(lengths)
def test_what_is_shown_is_read_back_the_same(length: Length) -> None:
    again = parse_length(length.text, signed=True)
    assert (again.value.as_tuple(), again.unit) == (length.value.as_tuple(), length.unit)
    assert again.text == length.text
    assert "e" not in length.text.lower()
    assert not length.text.startswith(("+", ".", "-."))


@given(typed(), units)
def test_point_and_comma_are_the_same(text: str, unit: Unit) -> None:
    assert parse_length(text.replace(".", ","), unit).text == parse_length(text, unit).text


@given(typed(), units, st.sampled_from(["", "Ø", "⌀ ", " "]))
def test_a_unit_beside_the_number_wins(text: str, unit: Unit, front: str) -> None:
    other: Unit = "in" if unit == "mm" else "mm"
    assert parse_length(f"{front}{text} {unit}", other).text == parse_length(text, unit).text


@given(typed(signed=True))
def test_inch_to_mm_is_exact(text: str) -> None:
    length = parse_length(text, "in", signed=True)
    assert length.to("mm").exact_mm == Fraction(text) * 254 / 10
    assert length.to("mm") == length
    assert length.mm == float(Fraction(text) * 254 / 10)


@given(typed(signed=True), st.integers(0, 12))
def test_mm_to_inch_is_the_nearest_of_its_decimals(text: str, decimals: int) -> None:
    length = parse_length(text, "mm", signed=True)
    inches = length.to("in", decimals)
    assert abs(inches.exact_mm - length.exact_mm) <= Fraction(254, 20) / 10**decimals


@given(typed(signed=True, most_places=6), st.integers(6, 9))
def test_no_drift_through_a_float_and_back(text: str, decimals: int) -> None:
    inches = parse_length(text, "in", signed=True)
    assert parse_length(show_length(inches.mm, "in", decimals=decimals), signed=True) == inches
    metric = parse_length(text, "mm", signed=True)
    assert parse_length(show_length(metric.mm, "mm", decimals=decimals), signed=True) == metric


@given(lengths, lengths)
def test_sums_are_exact(one: Length, two: Length) -> None:
    assert (one + two).exact_mm == one.exact_mm + two.exact_mm
    assert (one - two).exact_mm == one.exact_mm - two.exact_mm
    assert (one + two) - two == one


@given(lengths, lengths)
def test_order_and_hash_follow_the_exact_value(one: Length, two: Length) -> None:
    assert (one < two) == (one.exact_mm < two.exact_mm)
    assert (one == two) == (one.exact_mm == two.exact_mm)
    assert one != two or hash(one) == hash(two)
    assert hash(one) == hash(one.to("mm"))


@given(st.floats(-9000, 9000), units, st.integers(0, 9), st.booleans())
def test_shown_is_the_nearest_and_never_minus_zero(mm: float, unit: Unit, decimals: int, sign: bool) -> None:
    text = show_length(mm, unit, decimals=decimals, sign=sign, with_unit=False)
    exact = Fraction(repr(mm)) / (1 if unit == "mm" else Fraction(254, 10))
    error = abs(Fraction(text) - exact)
    assert error <= Fraction(1, 2) / 10**decimals
    if error == Fraction(1, 2) / 10**decimals:
        assert int(Fraction(text) * 10**decimals) % 2 == 0
    assert Fraction(text) != 0 or not text.startswith(("-", "+"))
    assert len(text.partition(".")[2]) == decimals


@given(st.data(), devices, hows)
def test_a_multiple_of_the_step_stays_itself(data: st.DataObject, step: Length, how: How) -> None:
    most = int(390 / step.value)
    count = data.draw(st.integers(-most, most))
    multiple = Length(WIDE.multiply(count, step.value), step.unit)
    assert round_to_step(multiple, step, how) == multiple
    assert round_to_step(multiple.mm, step, how).text == multiple.text
    assert steps_around(multiple.mm, step) == (multiple,)


@given(st.floats(-1000, 1000), devices, hows)
def test_rounding_is_never_off_by_a_step(mm: float, step: Length, how: How) -> None:
    exact = Fraction(repr(mm))
    rounded = round_to_step(mm, step, how)
    off = rounded.exact_mm - exact
    assert (rounded.exact_mm / step.exact_mm).denominator == 1
    assert rounded.unit == step.unit
    if how == "nearest":
        assert abs(off) <= step.exact_mm / 2
    elif how == "down":
        assert -step.exact_mm < off <= 0
    elif how == "up":
        assert 0 <= off < step.exact_mm
    else:
        assert abs(off) < step.exact_mm
        assert off == 0 or (off < 0) == (exact > 0)


@given(st.floats(-1000, 1000), devices, st.integers(1, 4))
def test_steps_around_hold_the_value_between_them(mm: float, step: Length, each_way: int) -> None:
    around = steps_around(mm, step, each_way)
    exact = Fraction(repr(mm))
    assert sum(each.exact_mm <= exact for each in around) == each_way
    assert sum(each.exact_mm >= exact for each in around) == each_way
    assert all(b - a == step for a, b in pairwise(around))


@given(st.integers(-19_999, 19_999))
def test_what_is_said_in_inches_is_understood(half_tenths: int) -> None:
    length = Length(WIDE.multiply(half_tenths, Decimal("0.00005")), "in")
    words = say_length(length, "in")
    assert words == "nothing" if not half_tenths else parse_length(words, "in", signed=True) == length
    assert say_length(length.mm, "in") == words


@given(st.integers(-99_999, 99_999))
def test_what_is_said_in_metric_is_understood(tenths_of_um: int) -> None:
    length = Length(WIDE.multiply(tenths_of_um, Decimal("0.0001")), "mm")
    words = say_length(length, "mm", sign=True)
    assert words == "nothing" if not tenths_of_um else parse_length(words, "mm", signed=True) == length
    assert "tenth" not in words


def refusal(read: Callable[[], object]) -> BorewrightError | None:
    """What is raised in our own words; anything else goes through and fails the test."""
    try:
        read()
    except BorewrightError as error:
        return error
    return None


@given(anything, st.sampled_from([None, "mm", "in"]), st.booleans())
def test_a_length_is_read_or_refused_in_our_own_words(value: Any, unit: Unit | None, signed: bool) -> None:  # noqa: ANN401  # anything at all
    refused = refusal(lambda: parse_length(value, unit, signed=signed))
    if refused:
        assert refused.wrong
        assert refused.right
        return
    length = parse_length(value, unit, signed=signed)
    assert parse_length(length.text, signed=True) == length
    assert signed or length.value >= 0
    assert abs(length.exact_mm) <= 10_000


@given(anything)
def test_numbers_and_temperatures_are_read_or_refused_in_our_own_words(value: Any) -> None:  # noqa: ANN401  # anything at all
    for read in (parse_number, parse_celsius):
        refused = refusal(lambda read=read: read(value))  # type: ignore[misc]  # bound in the loop
        if refused:
            assert refused.wrong
            assert refused.right
        else:
            assert read(f"{read(value):f}") == read(value)


@given(st.integers(-2200, 24800))
def test_fahrenheit_is_within_half_a_hundredth(hundredths: int) -> None:
    text = f"{Decimal(hundredths).scaleb(-2, WIDE):f}"
    exact = (Fraction(text) - 32) * 5 / 9
    assert abs(Fraction(parse_celsius(f"{text} F")) - exact) <= Fraction(1, 200)
