"""Rings, blocks and anvils, and the certificates that speak of them."""

from __future__ import annotations

import math
from datetime import date

import pytest

from borewright.errors import EntryError, NotHeldError
from borewright.gauging.masters import (
    anvils_u_mm,
    certificate_standing,
    class_u_mm,
    national_u_mm,
    require_plausible,
    require_valid,
    stacked_u_mm,
)

DUE = date(2027, 3, 1)


def test_a_certificate_stands_until_its_day() -> None:
    assert certificate_standing(DUE, date(2026, 6, 1)) == "valid"
    assert certificate_standing(DUE, date(2027, 1, 29)) == "valid"
    assert certificate_standing(DUE, date(2027, 1, 30)) == "due soon"
    assert certificate_standing(DUE, DUE) == "due soon"
    assert certificate_standing(DUE, date(2027, 3, 2)) == "overdue"
    assert certificate_standing(None, date(2099, 1, 1)) == "valid"


def test_an_overdue_certificate_is_refused() -> None:
    require_valid(DUE, DUE)
    with pytest.raises(EntryError, match="was due on 2027-03-01") as caught:
        require_valid(DUE, date(2027, 3, 2))
    assert caught.value.given == "measured on 2027-03-02"


def test_no_ring_is_known_better_than_the_best_laboratory_knows() -> None:
    require_plausible(50.0, 0.000057, "expanded")
    require_plausible(150.0, 0.00001, "expanded")
    with pytest.raises(EntryError, match="No laboratory") as caught:
        require_plausible(50.0, 0.000055, "expanded")
    assert caught.value.given == "a standard uncertainty of 0.055 µm"
    assert "0.056 µm" in caught.value.right


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
    assert stacked_u_mm((0.0003, 0.0004), 0.0002, 0.0012) == pytest.approx(math.sqrt(0.0013**2 + 3.0 * 0.0002**2))
    assert anvils_u_mm(0.002, 0.001) == pytest.approx(math.sqrt(0.002**2 / 3 + 0.001**2 / 12 + 0.001**2 / 12))
    with pytest.raises(EntryError, match="at least one block"):
        stacked_u_mm(())
    with pytest.raises(EntryError, match="0 or larger"):
        anvils_u_mm(-0.001, 0.001)
