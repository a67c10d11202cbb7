"""Rings, blocks and anvils, and the certificates that speak of them."""

from __future__ import annotations

import math
from datetime import date

import pytest

from borewright.errors import EntryError, NotHeldError
from borewright.gauging.masters import Certificate, anvils_u_mm, class_u_mm, national_u_mm, stacked_u_mm

PAPER = Certificate(size_mm=62.0004, expanded_mm=0.0008, dated=date(2026, 3, 1), due=date(2027, 3, 1), number="R-17")


def test_a_certificate_stands_until_its_day() -> None:
    assert PAPER.u_mm == pytest.approx(0.0004)
    assert PAPER.standing(date(2026, 6, 1)) == "valid"
    assert PAPER.standing(date(2027, 2, 15)) == "due soon"
    assert PAPER.standing(date(2027, 3, 1)) == "due soon"
    assert PAPER.standing(date(2027, 3, 2)) == "overdue"
    assert Certificate(size_mm=62.0, expanded_mm=0.001).standing(date(2099, 1, 1)) == "valid"


def test_an_overdue_certificate_is_refused_by_its_own_words() -> None:
    PAPER.require_valid(date(2027, 3, 1))
    with pytest.raises(EntryError, match="was due on 2027-03-01") as caught:
        PAPER.require_valid(date(2027, 3, 2))
    assert caught.value.given == "R-17"


def test_a_certificate_holds_sense() -> None:
    with pytest.raises(EntryError, match="larger than 0"):
        Certificate(size_mm=62.0, expanded_mm=0.0)
    with pytest.raises(EntryError, match="before it was given"):
        Certificate(size_mm=62.0, expanded_mm=0.001, dated=date(2026, 3, 1), due=date(2026, 3, 1))


def test_a_class_is_known_worse_than_a_laboratory_knows() -> None:
    assert class_u_mm(50.0, "xx") == pytest.approx(20 * 25.4e-6 / math.sqrt(3.0))
    assert national_u_mm(50.0) < class_u_mm(50.0, "XXX")


def test_what_is_not_held_is_said() -> None:
    with pytest.raises(NotHeldError, match="no ring of that class"):
        class_u_mm(50.0, "W")
    with pytest.raises(NotHeldError, match="not held here"):
        class_u_mm(20.0, "XX")
    with pytest.raises(NotHeldError, match="100 mm"):
        national_u_mm(120.0)


def test_stacks_and_anvils() -> None:
    assert stacked_u_mm((0.0001,)) < stacked_u_mm((0.0001, 0.0001))
    assert anvils_u_mm(0.002, 0.001) > 0.002 / math.sqrt(3.0)
    with pytest.raises(EntryError, match="at least one block"):
        stacked_u_mm(())
    with pytest.raises(EntryError, match="0 or larger"):
        anvils_u_mm(-0.001, 0.001)
