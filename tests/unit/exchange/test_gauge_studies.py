"""Studies from files, and files to fill in."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.exchange.gauge_studies import read_study, study_form
from borewright.gauging.study import Design

ROWS = [f"{part},{who},{part}.{trial}" for part in (1, 2) for who in ("A", "B") for trial in (1, 2)]
TEXT = "\n".join(["part,who,reading", *ROWS])


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_a_study_is_read(mark: str) -> None:
    study, unit = read_study("\ufeff" + TEXT.replace(",", mark), "mm")
    assert study.parts == ("1", "2")
    assert study.people == ("A", "B")
    assert study.readings_mm[1, 0].tolist() == [2.1, 2.2]
    assert unit == "mm"


def test_columns_may_have_other_names_and_order_and_empty_lines_are_passed_over() -> None:
    text = "Reading;trial;Operator;Piece\n" + "\n\n".join(
        f"{sign}0,00{part} mm;{trial};{who};{part}"
        for part, sign in ((1, "+"), (2, "-"))
        for who in "AB"
        for trial in "12"
    )
    study, unit = read_study(text)
    assert study.readings_mm[:, 0, 0].tolist() == [0.001, -0.002]
    assert unit == "mm"


def test_inches_are_inches() -> None:
    study, unit = read_study(TEXT, "in")
    assert study.readings_mm[0, 0, 0] == pytest.approx(1.1 * 25.4)
    assert unit == "in"


@pytest.mark.parametrize(
    ("text", "where", "says"),
    [
        ("", "line 1", "empty"),
        ("part,reading\n1,2", "line 1", "no column for who"),
        ("part,who\n1,2", "line 1", "no column for the reading"),
        ("part,who,reading\n1,A", "line 2", "too few columns"),
        ("part,who,reading\n1,A,1.1\n1,A,x", "line 3", "not a length"),
        (TEXT + "\n1,A,1.1", "readings", "measured part"),
        ("part,who,reading\n", "readings", "no reading"),
    ],
)
def test_what_cannot_be_read_is_said_with_its_line(text: str, where: str, says: str) -> None:
    with pytest.raises(EntryError, match=says) as caught:
        read_study(text, "mm")
    assert caught.value.where == where


def test_a_file_to_fill_in_holds_every_reading_and_no_formula() -> None:
    order = Design(3, 2, 2).order(np.random.default_rng(1))
    lines = study_form(("Ann", "=Bo"), order).splitlines()
    assert lines[0] == "part,who,trial,reading"
    assert len(lines) == 13
    assert {line.split(",")[1] for line in lines[1:]} == {"Ann", "'=Bo"}
