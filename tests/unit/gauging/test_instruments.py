"""Instruments: which way the needle goes, how far it can go, and what counts."""

from __future__ import annotations

import math

import pytest

from borewright.errors import EntryError, NotHeldError
from borewright.gauging.instruments import (
    INSTRUMENTS,
    AirZero,
    instrument,
    machine_error_mm,
    over_master,
    require_reach,
)


def test_each_instrument_is_found_by_its_name() -> None:
    for each in INSTRUMENTS:
        assert instrument(each.name.upper()) is each
    with pytest.raises(NotHeldError, match="Known: dial bore gauge"):
        instrument("ruler")


def test_only_the_probe_in_the_spindle_owes_its_reading_to_the_machine() -> None:
    assert [each.name for each in INSTRUMENTS if not each.independent] == ["touch probe in the spindle"]
    assert "new seat" in instrument("touch probe in the spindle").caution


def test_the_needle_says_over_or_under() -> None:
    assert over_master(0.004, "plus") == 0.004
    assert over_master(0.004, "minus") == -0.004
    assert over_master(-0.012, "minus", 0.5) == 0.012
    with pytest.raises(EntryError, match="sense is not known"):
        over_master(0.004, "left")  # type: ignore[arg-type]  # what a person may enter
    with pytest.raises(EntryError, match=r"travels 0\.5 mm"):
        over_master(4.0, "plus", 0.5)


def test_a_ring_beyond_the_travel_is_refused() -> None:
    require_reach(62.0, 62.4, 0.5)
    with pytest.raises(EntryError, match=r"travels 0\.5") as caught:
        require_reach(60.0, 62.0, 0.5)
    assert caught.value.right == "Set it on a master from 61.5 to 62.5 mm."


def test_air_reads_off_the_line_of_its_two_masters() -> None:
    zero = AirZero(49.99, 50.01, -20.0, 20.0, 0.0004, 0.0006)
    assert list(zero.size(0.0)) == pytest.approx([50.0, 0.5 * math.hypot(0.0004, 0.0006)])
    assert list(zero.size(20.0)) == pytest.approx([50.01, 0.0006])
    with pytest.raises(EntryError, match="too far outside"):
        zero.size(70.0)
    with pytest.raises(EntryError, match="two masters that differ"):
        AirZero(50.0, 50.0, 0.0, 1.0, 0.0004, 0.0004)


def test_a_machines_largest_error() -> None:
    assert machine_error_mm(0.0015, 1.0 / 350_000.0, 150.0) == pytest.approx((0.0015 + 150 / 350_000) / math.sqrt(3.0))
    with pytest.raises(EntryError, match="0 or more"):
        machine_error_mm(-0.001, 0.0, 10.0)
