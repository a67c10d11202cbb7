"""The limits of a callout and what follows from them."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest

from borewright.callout import Callout, parse_callout
from borewright.errors import EntryError
from borewright.quantity import Length


def mm(value: str) -> Length:
    return Length(Decimal(value), "mm")


def test_mid_and_tolerance_are_exact() -> None:
    callout = Callout("made", "mm", mm("61.981"), mm("62.000"))
    assert callout.mid.text == "61.9905 mm"
    assert callout.tolerance.text == "0.019 mm"
    assert (callout.lower_mm, callout.mid_mm, callout.upper_mm) == (61.981, 61.9905, 62.0)
    assert callout.tolerance_mm == 0.019
    assert callout.source == "as written"
    with localcontext() as context:
        context.prec = 2
        assert callout.mid.text == "61.9905 mm"


def test_inch_callouts_answer_in_mm_too() -> None:
    callout = parse_callout("1.5 RC3")
    assert callout.unit == "in"
    assert callout.lower_mm == 38.1
    assert callout.upper_mm == 38.1254
    assert callout.mid.text == "1.5005 in"


@pytest.mark.parametrize(
    ("lower", "upper", "words"), [("62", "62", "nothing between"), ("62", "61", "nothing between"), ("0", "1", "zero")]
)
def test_refuses_limits_that_bound_nothing(lower: str, upper: str, words: str) -> None:
    with pytest.raises(EntryError, match=words):
        Callout("made", "mm", mm(lower), mm(upper))
