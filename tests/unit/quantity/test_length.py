"""Lengths: what is read, what is refused and in which words, and exact arithmetic."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction

import pytest

from borewright.errors import EntryError
from borewright.quantity import Length, Unit, parse_length


def length(value: str, unit: Unit) -> Length:
    return Length(Decimal(value), unit)


@pytest.mark.parametrize(
    ("given", "unit", "text"),
    [
        ("62", "mm", "62 mm"),
        ("62.004", "mm", "62.004 mm"),
        ("62,004", "mm", "62.004 mm"),
        ("62.0040", "mm", "62.0040 mm"),
        ("62.", "mm", "62 mm"),
        (".0003", "in", "0.0003 in"),
        (",0003", "in", "0.0003 in"),
        ("00.5", "mm", "0.5 mm"),
        ("62.004 mm", None, "62.004 mm"),
        ("62.004mm", "in", "62.004 mm"),
        ("62 MM", None, "62 mm"),
        ("62 millimetres", None, "62 mm"),
        ("2.3622 in", "mm", "2.3622 in"),
        ("2.3622 in.", None, "2.3622 in"),
        ('2.3622"', None, "2.3622 in"),
        ("2.3622 ″", None, "2.3622 in"),
        ("2.3622 inches", None, "2.3622 in"),
        ("12 µm", "in", "0.012 mm"),
        ("12 μm", None, "0.012 mm"),
        ("12 um", None, "0.012 mm"),
        ("3.70 micron", None, "0.00370 mm"),
        ("40 µin", None, "0.000040 in"),
        ("2 3/8 in", None, "2.375 in"),
        ("2-3/8", "in", "2.375 in"),
        ("1/128 in", None, "0.0078125 in"),
        ("3 thou 7 tenths", None, "0.0037 in"),
        ("3 thou and 7 tenths", "in", "0.0037 in"),
        ("3thou7tenths", None, "0.0037 in"),
        ("7 tenths", "in", "0.0007 in"),
        ("1 tenth", None, "0.0001 in"),
        ("a tenth", None, "0.0001 in"),
        ("half a tenth", None, "0.00005 in"),
        ("9.5 thou", None, "0.0095 in"),
        ("9 and a half thou", None, "0.0095 in"),
        ("3 thou 7 and a half tenths", None, "0.00375 in"),
        ("3 Thou", "mm", "0.003 in"),
        ("Ø62.004", "mm", "62.004 mm"),
        ("⌀ 62.004 mm", None, "62.004 mm"),
        (" 62.004\u00a0mm ", None, "62.004 mm"),
        (62, "mm", "62 mm"),
        (62.004, "mm", "62.004 mm"),
        (0.1 + 0.2, "mm", "0.30000000000000004 mm"),
        (1e-7, "mm", "0.0000001 mm"),
        (Decimal("62.0040"), "mm", "62.0040 mm"),
        (Decimal("6E+1"), "mm", "60 mm"),
        (length("62.004", "mm"), "in", "62.004 mm"),
        ("0", "mm", "0 mm"),
    ],
)
def test_reads(given: str | float | Decimal | Length, unit: Unit | None, text: str) -> None:
    assert parse_length(given, unit).text == text


@pytest.mark.parametrize(
    ("given", "text"),
    [
        ("+0.0095", "0.0095 in"),
        ("-0.0095", "-0.0095 in"),
        ("−0.0095", "-0.0095 in"),
        ("- 0.0095", "-0.0095 in"),
        ("-0", "0 in"),
        ("-0.000", "0.000 in"),
        ("minus 3 thou", "-0.003 in"),
        ("plus half a tenth", "0.00005 in"),
        (-0.0095, "-0.0095 in"),
        (-0.0, "0.0 in"),
    ],
)
def test_reads_signs_where_they_belong(given: str | float, text: str) -> None:
    assert parse_length(given, "in", signed=True).text == text


NO_SIGN = "A size has no sign. Enter it without plus or minus."
TWO_WAYS = "A point and a comma in one number can be read in two ways."
GAP = (
    "A gap inside a number can be read in two ways. "
    "Write the digits of one number without a gap, such as 1500 or 62.004."
)
POWER = "A power of ten is too easily misread here. Write the number out, such as 0.0003."
NOT_FINITE = "That is not a number that can be measured. Enter digits."
UNKNOWN = "That is not a unit of length held here. Enter a number with mm, µm, in, thou or tenths."
NO_LENGTH = "That is not a length. Enter a number with mm, µm, in, thou or tenths."
NO_NUMBER = "That is not a number. Enter digits, such as 62.004."
TENTH = (
    "A tenth means a tenth of a thou, 0.0001 in; in a metric job it could be taken for 0.1 mm. "
    "Write it in mm or µm, or in inches such as 0.0007 in."
)
SPOKEN = (
    "That is not thou and tenths as they are said. Write it as 3 thou 7 tenths, 9.5 thou, 7 tenths or half a tenth."
)
FRACTION = (
    "That is not a fraction of an inch as rules and drawings have it. "
    "Use halves, quarters, eighths down to 128ths, less than one inch beside the whole inches."
)
MIL = "Some say mil for a thou and some for a millimetre. Write thou or mm."

REFUSED: list[tuple[object, Unit | None, str]] = [
    ("", "mm", "Nothing was entered. Enter a number."),
    ("  ", "mm", "Nothing was entered. Enter a number."),
    ("62", None, "The unit is missing. Write mm or in after the number."),
    (62.0, None, "The unit is missing. Write mm or in after the number."),
    ("-62", "mm", NO_SIGN),
    ("+62", "mm", NO_SIGN),
    (-62, "mm", NO_SIGN),
    ("-0", "mm", NO_SIGN),
    ("1.234,5", "mm", f"{TWO_WAYS} Leave out what separates thousands and keep one decimal point or comma."),
    ("1,234.5", "mm", f"{TWO_WAYS} Leave out what separates thousands and keep one decimal point or comma."),
    ("1,234,5", "mm", "Two decimal commas in one number can be read in two ways. Keep one decimal comma."),
    ("1.234.5", "mm", "Two decimal points in one number can be read in two ways. Keep one decimal point."),
    ("1 500", "mm", GAP),
    ("1'500 mm", None, GAP),
    ("1_500", "mm", GAP),
    ("1e3", "mm", POWER),
    ("6.2E1 mm", None, POWER),
    ("nan", "mm", NOT_FINITE),
    ("-Infinity", "mm", NOT_FINITE),
    (float("nan"), "mm", NOT_FINITE),
    (float("-inf"), "mm", NOT_FINITE),
    (Decimal("sNaN"), "mm", NOT_FINITE),
    ("11000", "mm", "That is longer than any machine bores. Enter less than 10 m."),
    ("400 in", None, "That is longer than any machine bores. Enter less than 10 m."),
    ("0." + "1" * 30, "mm", "That number has more digits than any measurement has. Enter at most 24 decimals."),
    ("0." + "1" * 23 + " µm", None, "That number has more digits than any measurement has. Enter at most 24 decimals."),
    (1e-300, "mm", "That number has more digits than any measurement has. Enter at most 24 decimals."),
    ("9" * 200, "mm", "That is 200 characters long, too long for an entry. Enter one value, at most 120 characters."),
    (10**400, "mm", "That number is far too large. Enter less than a million millions."),
    (True, "mm", "Yes or no is not a number. Enter digits."),
    (None, "mm", 'Nothing was entered. Enter text such as "62.004 mm".'),
    (["62"], "mm", 'A list is not a length. Enter text such as "62.004 mm".'),
    ("sixty", "mm", NO_LENGTH),
    ("mm", None, "There is no number in it. Enter digits, such as 62.004."),
    ("Ø", "mm", "There is no number in it. Enter digits, such as 62.004."),
    ("62 H6", "mm", UNKNOWN),
    ("62 furlongs", "mm", UNKNOWN),
    ("٦٢", "mm", NO_LENGTH),
    ("62\n63", "mm", UNKNOWN),
    ("6.2 cm", None, "Bores are not measured in centimetres. Write millimetres, mm."),
    ("0.062 m", None, "Bores are not measured in metres. Write millimetres, mm."),
    ("2 ft", None, "Bores are not measured in feet. Write inches, in."),
    ("2''", None, 'Two single marks are not an inch mark. Write in, or one double mark ".'),
    ("12 µ", None, "A lone µ is not a unit. Write µm."),
    ("12 u", None, "A lone u is not a unit. Write µm or um."),
    ("5 mil", "in", MIL),
    ("5 mils", "mm", MIL),
    ("7 tenths", "mm", TENTH),
    ("3 thou 7 tenths", "mm", TENTH),
    ("half a tenth", "mm", TENTH),
    ("thou", "in", SPOKEN),
    ("7 tenths 3 thou", "in", SPOKEN),
    ("3 thou 7", "in", SPOKEN),
    (
        "3 thou 12 tenths",
        "in",
        (
            "Beside tenths the thou must be whole, and ten tenths are a thou. "
            "Write it as 3 thou 7 tenths, or in inches such as 0.0037 in."
        ),
    ),
    (
        "3.5 thou 7 tenths",
        "in",
        (
            "Beside tenths the thou must be whole, and ten tenths are a thou. "
            "Write it as 3 thou 7 tenths, or in inches such as 0.0037 in."
        ),
    ),
    ("1.2.3 thou", "in", "Two decimal points in one number can be read in two ways. Keep one decimal point."),
    ("3/7 in", None, FRACTION),
    ("9/8 in", None, FRACTION),
    ("1/0 in", None, FRACTION),
    ("3/8", "mm", "A fraction is only read as inches. Write in after it, or give a metric size with decimals."),
    ("3/8", None, "A fraction is only read as inches. Write in after it, or give a metric size with decimals."),
    ("3/8 µin", None, "A fraction is only read as inches. Write in after it, or give a metric size with decimals."),
    (
        "62.1/62.2",
        "mm",
        "That is not one length. Enter one size, or an inch fraction such as 2 3/8 in.",
    ),
    ("5-6", "mm", NO_NUMBER),
    ("--5", "mm", NO_NUMBER),
]


@pytest.mark.parametrize(("given", "unit", "message"), REFUSED)
def test_refuses_and_says_why(given: object, unit: Unit | None, message: str) -> None:
    with pytest.raises(EntryError) as refused:
        parse_length(given, unit, where="bore.hole")  # type: ignore[arg-type]  # wrong types are among them
    error = refused.value
    assert f"{error.wrong} {error.right}" == message
    assert error.given is not None or given is None
    assert error.where == "bore.hole"
    assert str(error).startswith("bore.hole: ")


def test_a_refusal_keeps_what_was_given() -> None:
    with pytest.raises(EntryError) as refused:
        parse_length(" 1.234,5 ", "mm")
    assert refused.value.given == " 1.234,5 "


def test_equal_whatever_the_unit() -> None:
    assert length("1", "in") == length("25.4", "mm")
    assert hash(length("1", "in")) == hash(length("25.40", "mm"))
    assert length("1.000", "in") == length("1", "in")
    assert length("1", "in") > length("25.399999", "mm")
    assert length("1", "in") != length("25.399999", "mm")
    assert length("1", "in") != Decimal("25.4")
    assert sorted([length("1", "in"), length("2", "mm")]) == [length("2", "mm"), length("1", "in")]


def test_conversions() -> None:
    assert length("2.3622", "in").to("mm").text == "59.99988 mm"
    assert length("60", "mm").to("in").text == "2.3622047 in"
    assert length("60", "mm").to("in", 4).text == "2.3622 in"
    assert length("60", "mm").to("in", 0).text == "2 in"
    assert length("60.00", "mm").to("mm").text == "60.00 mm"
    assert length("2.3622", "in").exact_mm == Fraction(5999988, 100000)
    assert length("2.3622", "in").mm == 59.99988
    assert length("0.1", "mm").mm == 0.1


def test_every_decimal_that_can_be_typed_is_kept() -> None:
    finest = length("2.362212345678901234567891", "in")
    assert finest.to("mm").exact_mm == Fraction(finest.value) * Fraction(254, 10)
    assert parse_length("2.362212345678901234567891 in").text == finest.text
    assert (finest + finest).exact_mm == 2 * finest.exact_mm
    assert (finest + length("1", "mm")).exact_mm == finest.exact_mm + 1


def test_arithmetic_is_exact() -> None:
    assert (length("62", "mm") + length("0.019", "mm")).text == "62.019 mm"
    assert (length("1.5", "in") - length("0.0010", "in")).text == "1.4990 in"
    assert (length("1", "in") - length("25.4", "mm")).text == "0.0 mm"
    assert (-length("0.5", "mm")).text == "-0.5 mm"
    assert (-length("0.0", "mm")).text == "0.0 mm"
    assert abs(length("-0.5", "mm")).text == "0.5 mm"
    assert not length("0.00", "in")
    assert length("0.01", "in")
    assert str(length("62", "mm")) == "62 mm"
    assert length("62.00", "mm").decimals == 2


def test_the_callers_decimal_context_does_not_reach_in() -> None:
    with localcontext() as context:
        context.prec = 2
        assert parse_length("12345 µm").text == "12.345 mm"
        assert parse_length("62.123456 mm").text == "62.123456 mm"
        assert (length("62.123", "mm") + length("0.001", "mm")).text == "62.124 mm"
        assert length("2.3622", "in").to("mm").text == "59.99988 mm"
        assert parse_length("2 3/128 in").text == "2.0234375 in"
        assert (-length("62.123456", "mm")).text == "-62.123456 mm"


def test_a_unit_that_is_none_is_refused() -> None:
    with pytest.raises(EntryError, match="not a unit held"):
        Length(Decimal(1), "cm")  # type: ignore[arg-type]  # what a program might pass
