"""Metric hole classes: the rules of the tables, step ends, and what is not held."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest

from borewright.callout import iso286_tables as tables
from borewright.callout.iso286 import LETTERS, hole_deviations_um, tolerance_um
from borewright.errors import BorewrightError, EntryError, NotHeldError

GRADES = tuple(tables.TOLERANCE_UM)
SIZES = tuple(sorted({*tables.STEPS_MM, *tables.FINE_STEPS_MM, Decimal("0.5"), Decimal(1), Decimal("3.001")}))


def deviations(size: str, letter: str, grade: str) -> tuple[Decimal, Decimal]:
    return hole_deviations_um(Decimal(size), letter, grade)


def test_every_table_row_fits_its_steps() -> None:
    short = [tables.TOLERANCE_UM, tables.J_UPPER_UM, tables.DELTA_UM]
    assert {len(row) for table in short for row in table.values()} == {len(tables.STEPS_MM)}
    for table in (tables.LOWER_UM, tables.SHAFT_LOWER_UM):
        for letter, row in table.items():
            fine = letter in {"A", "B", "C"} or (table is tables.SHAFT_LOWER_UM and letter not in {"K", "M", "N", "P"})
            assert len(row) == len(tables.FINE_STEPS_MM if fine else tables.STEPS_MM), letter


def test_delta_is_the_step_between_grades_over_3_mm() -> None:
    for grade, row in tables.DELTA_UM.items():
        widths = zip(tables.TOLERANCE_UM[grade], tables.TOLERANCE_UM[str(int(grade) - 1)], row, strict=True)
        for place, (wide, narrow, delta) in enumerate(widths):
            assert wide is not None
            assert narrow is not None
            assert delta == (wide - narrow if place else 0), (grade, place)


def test_each_class_that_is_held_has_its_grades_width() -> None:
    held = 0
    for size in SIZES:
        for letter in LETTERS:
            for grade in GRADES:
                try:
                    lower, upper = hole_deviations_um(size, letter, grade)
                except NotHeldError:
                    continue
                assert upper - lower == tolerance_um(size, grade)
                held += 1
    assert held > 10_000


def test_grades_widen_with_grade_and_size() -> None:
    for size in tables.STEPS_MM:
        widths = [tolerance_um(size, grade) for grade in GRADES]
        assert widths == sorted(set(widths))
    for grade in GRADES:
        widths = [tolerance_um(size, grade) for size in tables.STEPS_MM]
        assert widths == sorted(widths)


def test_js_is_half_the_tolerance_exactly() -> None:
    assert deviations("62", "JS", "6") == (Decimal("-9.5"), Decimal("9.5"))
    assert deviations("62", "JS", "01") == (Decimal("-0.4"), Decimal("0.4"))
    assert deviations("2", "JS", "01") == (Decimal("-0.15"), Decimal("0.15"))


def test_delta_rule_up_to_grade_8_or_7() -> None:
    assert deviations("62", "K", "8")[1] == -2 + 16
    assert deviations("62", "M", "8")[1] == -11 + 16
    assert deviations("62", "M", "9")[1] == -11
    assert deviations("62", "N", "8")[1] == -20 + 16
    assert deviations("62", "N", "9")[1] == 0
    assert deviations("62", "P", "7")[1] == -32 + 11
    assert deviations("62", "P", "8")[1] == -32
    assert deviations("62", "ZC", "8")[1] == -405


def test_up_to_3_mm_there_is_no_delta() -> None:
    assert deviations("3", "K", "8")[1] == 0
    assert deviations("3", "M", "7")[1] == -2
    assert deviations("3", "N", "9")[1] == -4
    assert deviations("3", "P", "6")[1] == -6
    assert deviations("3", "K", "1") == (Decimal("-0.8"), Decimal(0))


def test_the_exception_of_m6_holds_in_its_step_alone() -> None:
    assert deviations("250", "M", "6")[1] == -17 + 9
    assert deviations("250.001", "M", "6")[1] == -9
    assert deviations("315", "M", "6")[1] == -9
    assert deviations("315.001", "M", "6")[1] == -21 + 11
    assert deviations("300", "M", "7")[1] == -20 + 20


def test_a_step_runs_over_one_end_up_to_and_including_the_next() -> None:
    assert tolerance_um(Decimal(80), "6") == 19
    assert tolerance_um(Decimal("80.0000001"), "6") == 22
    assert tolerance_um(Decimal(500), "6") == 40
    assert deviations("14.001", "V", "10")[1] == -39
    assert deviations("18", "V", "10")[1] == -39


NOT_HELD = [
    ("14", "V", "7", "leaves this class empty"),
    ("18", "Y", "7", "leaves this class empty"),
    ("24", "T", "7", "leaves this class empty"),
    ("62", "K", "9", "leaves this class empty"),
    ("3.001", "K", "9", "leaves this class empty"),
    ("1", "N", "9", "leaves this class empty"),
    ("1", "A", "9", "leaves this class empty"),
    ("0.5", "B", "11", "leaves this class empty"),
    ("1", "H", "14", "Up to 1 mm"),
    ("62", "J", "5", "J is held in grades 6, 7 and 8"),
    ("62", "J", "9", "J is held in grades 6, 7 and 8"),
    ("62", "CD", "6", "CD is not held"),
    ("62", "EF", "6", "EF is not held"),
    ("62", "FG", "6", "FG is not held"),
    ("62", "K", "2", "from grade 3 only"),
    ("62", "P", "01", "from grade 3 only"),
    ("62", "H", "19", "no such grade"),
    ("62", "H", "00", "no such grade"),
    ("62", "H", "-1", "no such grade"),
    ("500.001", "H", "6", "up to 500 mm"),
    ("0", "H", "6", "above 0"),
    ("-1", "H", "6", "above 0"),
]


@pytest.mark.parametrize(("size", "letter", "grade", "words"), NOT_HELD)
def test_not_held(size: str, letter: str, grade: str, words: str) -> None:
    with pytest.raises(NotHeldError, match=words):
        deviations(size, letter, grade)


@pytest.mark.parametrize(
    ("letter", "words"),
    [("h", "shaft"), ("I", "not a hole"), ("Js", "capitals: JS"), ("ZD", "not a hole"), ("", "hole")],
)
def test_letters_that_are_none(letter: str, words: str) -> None:
    with pytest.raises(EntryError, match=words):
        deviations("62", letter, "6")


def test_whatever_the_letter_only_the_family_is_raised() -> None:
    for letter in ("", "?", "h", "AA", "0", "É"):
        for grade in ("", "x", "6", "99", "½"):
            with pytest.raises(BorewrightError):
                deviations("62", letter, grade)


def test_the_callers_decimal_context_does_not_reach_in() -> None:
    with localcontext() as context:
        context.prec = 1
        assert deviations("62", "JS", "6") == (Decimal("-9.5"), Decimal("9.5"))
        assert deviations("70", "S", "7") == (Decimal(-78), Decimal(-48))
        assert deviations("355", "A", "13") == (Decimal(1200), Decimal(2090))
