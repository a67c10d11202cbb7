"""Callouts as drawings write them: what is read, what is refused and in which words."""

from __future__ import annotations

import pytest

from borewright.callout import parse_callout
from borewright.errors import BorewrightError, EntryError, NotHeldError
from borewright.quantity import Unit

ISO = "ISO 286-1:2010"
ANSI = "ANSI B4.1-1967, Machinery's Handbook 31st ed. Table 8a"


@pytest.mark.parametrize(
    ("given", "unit", "limits", "nominal", "designation", "source"),
    [
        ("62 H6", None, "62.000 mm to 62.019 mm", "62 mm", "H6", ISO),
        ("Ø62H6", None, "62.000 mm to 62.019 mm", "62 mm", "H6", ISO),
        ("⌀ 62 H 6", "mm", "62.000 mm to 62.019 mm", "62 mm", "H6", ISO),
        ("62mmH6", None, "62.000 mm to 62.019 mm", "62 mm", "H6", ISO),
        ("62 mm H6", "in", "62.000 mm to 62.019 mm", "62 mm", "H6", ISO),
        ("62 H6 mm", "in", "62.000 mm to 62.019 mm", "62 mm", "H6", ISO),
        ("62,000 H6", None, "62.000 mm to 62.019 mm", "62.000 mm", "H6", ISO),
        ("DIA 62 H6", None, "62.000 mm to 62.019 mm", "62 mm", "H6", ISO),
        ("62 H6/g5", None, "62.000 mm to 62.019 mm", "62 mm", "H6", ISO),
        ("62 N6 / h5", None, "61.967 mm to 61.986 mm", "62 mm", "N6", ISO),
        ("62 JS6", None, "61.9905 mm to 62.0095 mm", "62 mm", "JS6", ISO),
        ("62 G01", None, "62.0100 mm to 62.0108 mm", "62 mm", "G01", ISO),
        ("100 E8", None, "100.072 mm to 100.126 mm", "100 mm", "E8", ISO),
        ("280 M6", None, "279.959 mm to 279.991 mm", "280 mm", "M6", ISO),
        ("1.5 H6", "mm", "1.500 mm to 1.506 mm", "1.5 mm", "H6", ISO),
        ("1.5 H6", "in", "1.5000 in to 1.5006 in", "1.5 in", "H6", ANSI),
        ("1.5 in H6", None, "1.5000 in to 1.5006 in", "1.5 in", "H6", ANSI),
        ('1.5" H6', "mm", "1.5000 in to 1.5006 in", "1.5 in", "H6", ANSI),
        ("1.5inH6", None, "1.5000 in to 1.5006 in", "1.5 in", "H6", ANSI),
        ("2 3/8 in H7", None, "2.3750 in to 2.3762 in", "2.375 in", "H7", ANSI),
        ("1.5 RC3", None, "1.5000 in to 1.5010 in", "1.5 in", "RC3", ANSI),
        ("1.5000 rc 3", None, "1.5000 in to 1.5010 in", "1.5000 in", "RC3", ANSI),
        ("2.3622 ±.0003", "in", "2.3619 in to 2.3625 in", "2.3622 in", None, "as written"),
        ("2.3622 +/- .0003 in", "mm", "2.3619 in to 2.3625 in", "2.3622 in", None, "as written"),
        ("2.3622 in +/-.0003", None, "2.3619 in to 2.3625 in", "2.3622 in", None, "as written"),
        ("2.3622 + / - .0003", "in", "2.3619 in to 2.3625 in", "2.3622 in", None, "as written"),
        ("Ø2.3622 ±.0003 DIA", "in", "2.3619 in to 2.3625 in", "2.3622 in", None, "as written"),
        ("2.3622 ±3 tenths", None, "2.3619 in to 2.3625 in", "2.3622 in", None, "as written"),
        ("2.3622 in ±half a thou", "mm", "2.3617 in to 2.3627 in", "2.3622 in", None, "as written"),
        ("2 3/8 in ±.0003", None, "2.3747 in to 2.3753 in", "2.375 in", None, "as written"),
        ("70±0.012", "mm", "69.988 mm to 70.012 mm", "70 mm", None, "as written"),
        ("62 ±9 µm", None, "61.991 mm to 62.009 mm", "62 mm", None, "as written"),
        ("70 +0.012 / -0.005", "mm", "69.995 mm to 70.012 mm", "70 mm", None, "as written"),
        ("70 +0.012 -0.005", "mm", "69.995 mm to 70.012 mm", "70 mm", None, "as written"),
        ("70+0,012-0,005", "mm", "69.995 mm to 70.012 mm", "70 mm", None, "as written"),
        ("70 −0.005/+0.012", "mm", "69.995 mm to 70.012 mm", "70 mm", None, "as written"),
        ("70 + 0.012 / - 0.005 mm", "in", "69.995 mm to 70.012 mm", "70 mm", None, "as written"),
        ("70 mm +0.012 mm / -0.005 mm", None, "69.995 mm to 70.012 mm", "70 mm", None, "as written"),
        ("70 +12 / -5 µm", "mm", "69.995 mm to 70.012 mm", "70 mm", None, "as written"),
        ("70 +12 µm -5 µm", None, "69.995 mm to 70.012 mm", "70 mm", None, "as written"),
        ("70 0/-0.010", "mm", "69.990 mm to 70.000 mm", "70 mm", None, "as written"),
        ("70 +0.030 +0.010", "mm", "70.010 mm to 70.030 mm", "70 mm", None, "as written"),
        ("70 -0.010/-0.030", "mm", "69.970 mm to 69.990 mm", "70 mm", None, "as written"),
        ("2-3/8 +.001/-.000", "in", "2.375 in to 2.376 in", "2.375 in", None, "as written"),
        ("1.5 +1 thou / -0", None, "1.500 in to 1.501 in", "1.5 in", None, "as written"),
        ("69.990/70.015", "mm", "69.990 mm to 70.015 mm", None, None, "as written"),
        ("70.015/69.990", "mm", "69.990 mm to 70.015 mm", None, None, "as written"),
        ("Ø69.990/Ø70.015", "mm", "69.990 mm to 70.015 mm", None, None, "as written"),
        ("1.5000-1.5010", "in", "1.5000 in to 1.5010 in", None, None, "as written"),
        ("1.5000 – 1.5010 in", None, "1.5000 in to 1.5010 in", None, None, "as written"),
        ('1.5000"-1.5010"', "mm", "1.5000 in to 1.5010 in", None, None, "as written"),
        ("1,5000-1,5010 in", None, "1.5000 in to 1.5010 in", None, None, "as written"),
        ("69.990 to 70.015 mm", "in", "69.990 mm to 70.015 mm", None, None, "as written"),
        ("69.99 TO 70.015", "mm", "69.990 mm to 70.015 mm", None, None, "as written"),
    ],
)
def test_reads(
    given: str, unit: Unit | None, limits: str, nominal: str | None, designation: str | None, source: str
) -> None:
    callout = parse_callout(given, unit)
    assert f"{callout.lower} to {callout.upper}" == limits
    assert (callout.nominal.text if callout.nominal else None) == nominal
    assert callout.designation == designation
    assert callout.source == source
    assert callout.unit == callout.lower.unit == callout.upper.unit
    assert callout.written == given


FORMS = "Write it as 62 H6, 70 +0.012 / -0.005, 2.3622 ±.0003, 69.990/70.015 or 1.5000-1.5010."
SHAFT = "Small letters are a shaft class; this is a bore. Write the hole's class with a capital, such as 62 H6."
FIT = (
    "A fit has the hole's class in capitals first and the shaft's in small letters after it. "
    "Give the hole alone, such as 62 H6."
)
CHECK = "Check the unit and the decimals, or whether a deviation was meant."
HELD = "Held are holes A to H, J6 to J8, JS, K to ZC, grades 01 to 18, up to 500 mm."
HELD_IN = "Held are H5 to H8 and the holes of RC1 to RC5, LT1 to LT6, LN1 to LN3, FN1 to FN5, up to 9.85 in."
TWO_LIMITS = "Give two different limits."

REFUSED: list[tuple[object, Unit | None, type[BorewrightError], str]] = [
    ("", "mm", EntryError, "Nothing was entered. Enter a number."),
    (62, "mm", EntryError, f"A callout is text. {FORMS}"),
    ("banana", "mm", EntryError, f"That is not a callout of a bore. {FORMS}"),
    ("62 H6 banana", "mm", EntryError, "“banana” is not understood. Leave it out: size and tolerance alone."),
    ("bore 62 H6", "mm", EntryError, "“bore” is not understood. Leave it out: size and tolerance alone."),
    ("62 H6banana", "mm", EntryError, "“banana” is not understood. Leave it out: size and tolerance alone."),
    ("62 H6 H7", None, EntryError, "“H7” is not understood. Leave it out: size and tolerance alone."),
    ("2.3622 ±.0003 in or so", None, EntryError, "“or so” is not understood. Leave it out: size and tolerance alone."),
    ("70 +0.012 / -0.005 ref", "mm", EntryError, "“ref” is not understood. Leave it out: size and tolerance alone."),
    ("69.990/70.015 ok", "mm", EntryError, "“ok” is not understood. Leave it out: size and tolerance alone."),
    ("62", "mm", EntryError, f"There is no tolerance in it. {FORMS}"),
    ("Ø62 mm", None, EntryError, f"There is no tolerance in it. {FORMS}"),
    ("62 H", "mm", EntryError, "There is no grade after the class letter. Write letter and grade, such as 62 H6."),
    ("H6", "mm", EntryError, "There is no size in front of the class. Write size and class, such as 62 H6."),
    ("+62 H6", "mm", EntryError, "A size has no sign. Write it without plus or minus."),
    ("62 ±.009", None, EntryError, "The unit is missing. Write mm or in after the number."),
    (
        "1.5 H6",
        None,
        EntryError,
        "The unit is missing; that size could be inches or mm. Write mm or in after the size.",
    ),
    ("2 3/8 H7", None, EntryError, "The unit is missing. Write in after the size."),
    ("62 mm ±.0003 in", None, EntryError, "It mixes millimetres and inches. Write it in one unit."),
    (
        "2.3622 ±7 µm",
        "in",
        EntryError,
        "Its deviation is in parts of a mm, and sizes here are in inches. Write the unit after the size too.",
    ),
    (
        "62 ±1 thou",
        "mm",
        EntryError,
        "Its deviation is in parts of an inch, and sizes here are in mm. Write the unit after the size too.",
    ),
    ("62 h6", None, EntryError, SHAFT),
    ("62 g6", "mm", EntryError, SHAFT),
    ("62 e8", None, EntryError, SHAFT),
    ("62 H6/G5", None, EntryError, FIT),
    ("62 g5/H6", None, EntryError, FIT),
    ("62 h6/g5", None, EntryError, FIT),
    ("62 Js6", None, EntryError, "Js is not a hole class. Write it in capitals: JS."),
    ("62 I6", None, EntryError, f"I is not a hole class. {HELD}"),
    ("62 H06", None, EntryError, "There is no grade 06. Grades are 01, 0 and 1 to 18."),
    ("62 H19", None, NotHeldError, f"There is no such grade held. {HELD}"),
    ("62 CD6", None, NotHeldError, f"The class CD is not held. {HELD}"),
    ("62 J5", None, NotHeldError, "J is held in grades 6, 7 and 8 only. Use JS, or write the limits."),
    (
        "62 K9",
        None,
        NotHeldError,
        (
            "The standard's table leaves this class empty at this size. "
            "Check the class, or write the limits as the drawing has them."
        ),
    ),
    (
        "62 K2",
        None,
        NotHeldError,
        "Over 3 mm K is held from grade 3 only. Write the limits as the drawing has them.",
    ),
    ("620 H6", None, NotHeldError, "Classes are held above 0 and up to 500 mm. Write the limits instead."),
    ("0.5 H14", "mm", NotHeldError, f"Up to 1 mm there is no grade above IT13. {HELD}"),
    ("1.5 RC9", None, NotHeldError, f"That inch class is not held. {HELD_IN}"),
    ("1.5 H9", "in", NotHeldError, f"That inch class is not held. {HELD_IN}"),
    (
        "62 H6",
        "in",
        NotHeldError,
        "Inch classes are held above 0 and up to 9.85 in. Write the limits, or mm after the size where it is metric.",
    ),
    ("62 RC3", "mm", EntryError, "RC is an inch fit. Give the size in inches, or an ISO class with mm."),
    ("70 +0.012", "mm", EntryError, "There is one deviation only. Write both, such as 70 +0.012 / 0."),
    (
        "70 0.012/0.005",
        "mm",
        EntryError,
        "A deviation has no sign. Write the sign of both, such as 70 +0.012 / -0.005.",
    ),
    (
        "70/71",
        "mm",
        EntryError,
        ("That could be a fraction or two limits. Write limits with decimals, and a fraction with its tolerance."),
    ),
    (
        "62 ±-0.01",
        "mm",
        EntryError,
        "There is a sign after ±. Write one deviation without a sign, such as 2.3622 ±.0003.",
    ),
    ("62 ±9", "mm", EntryError, f"That leaves 18 mm between the limits, too much for a bore brought to size. {CHECK}"),
    (
        "1.500-.002",
        "in",
        EntryError,
        f"That leaves 1.498 in between the limits, too much for a bore brought to size. {CHECK}",
    ),
    ("62 ±0", "mm", EntryError, f"The two limits leave nothing between them. {TWO_LIMITS}"),
    ("70 +0.01/+0.01", "mm", EntryError, f"The two limits leave nothing between them. {TWO_LIMITS}"),
    ("70.1/70.10", "mm", EntryError, f"The two limits leave nothing between them. {TWO_LIMITS}"),
    (
        "1.234,5 ±0.1",
        "mm",
        EntryError,
        (
            "A point and a comma in one number can be read in two ways. "
            "Leave out what separates thousands and keep one decimal point or comma."
        ),
    ),
    ("62 ±1e-3", "mm", EntryError, "A power of ten is too easily misread here. Write the number out, such as 0.0003."),
    (
        "70 +1e-3/-1e-3",
        "mm",
        EntryError,
        ("A power of ten is too easily misread here. Write the number out, such as 0.0003."),
    ),
    ("62 ± nan", "mm", EntryError, "That is not a number that can be measured. Enter digits."),
    (
        "2.3622 ±3 tenths",
        "mm",
        EntryError,
        ("Its deviation is in parts of an inch, and sizes here are in mm. Write the unit after the size too."),
    ),
    ("4x 62 H6", None, EntryError, "That gives the number of holes too. Leave it out: one callout for one size."),
    ("R31 ±0.01", "mm", EntryError, "That looks like a radius. Give the diameter."),
    ("62.0 min", "mm", EntryError, "One limit alone does not bound a bore. Give both limits, such as 69.990/70.015."),
    (
        "62 H6 (+0.019/0)",
        None,
        EntryError,
        "That gives more than one callout. Give the class or the limits, not both.",
    ),
    (
        "62 H6 THRU",
        None,
        EntryError,
        "That holds more than size and limits. Leave out depth and notes: size and tolerance alone.",
    ),
    (
        "9" * 200,
        "mm",
        EntryError,
        ("That is 200 characters long, too long for an entry. Enter one value, at most 120 characters."),
    ),
    ("99999 ±0.1", "mm", EntryError, "That is longer than any machine bores. Enter less than 10 m."),
    (
        "0.0 ±0.1",
        "mm",
        EntryError,
        f"That leaves 0.2 mm between the limits, too much for a bore brought to size. {CHECK}",
    ),
    ("0.1 ZC13", "mm", EntryError, "The lower limit is not above zero. Check the size and the deviations."),
]


@pytest.mark.parametrize(("given", "unit", "kind", "message"), REFUSED)
def test_refuses_and_says_why(given: object, unit: Unit | None, kind: type[BorewrightError], message: str) -> None:
    with pytest.raises(kind) as refused:
        parse_callout(given, unit, where="bore[2].callout")  # type: ignore[arg-type]  # a number is among them
    error = refused.value
    assert f"{error.wrong} {error.right}" == message
    assert error.where == "bore[2].callout"
    assert str(error.given).startswith(str(given)[:40])


def test_each_wrong_form_has_its_own_message() -> None:
    messages = {message for *_, message in REFUSED}
    assert len(messages) > 40
