"""A setting of the gauge that contradicts another, or its master, loses no bore and releases none."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.sizing.bore import Bore
from borewright.sizing.settings_apart import FAR_OFF
from tests.unit.sizing.plain import Entry, bore, mm, read, setting

ANEW: Entry = {"event": "set_on", "on": "ring", "size": "40 mm"}


def rechecked(as_read_mm: float) -> Entry:
    return {"event": "rechecked", "size": "40 mm", "as_read": mm(as_read_mm)}


def finished(*entries: Entry) -> Bore:
    """Two passes were cut; the second was meant to leave 40 mm."""
    worked = bore(*setting(39.72), {"event": "passed"}, read(39.698), read(39.698), {"event": "moved", "lines": "+150"})
    worked.record({"event": "passed"})
    for entry in entries:
        worked.record(entry)
    return worked


def advised(*entries: Entry) -> tuple[str, str]:
    advice: dict[str, Any] = finished(*entries).advise()
    return advice["action"], advice.get("measure", {}).get("setting", "")


def test_no_bore_is_lost_on_one_setting_of_the_gauge() -> None:
    """A chip under a foot reads alike twice, at the same place."""
    over = (read(40.017), read(40.018))
    assert advised(*over) == ("measure", "anew")
    assert advised(*over, ANEW) == ("measure", "same")
    assert advised(*over, ANEW, read(40.017)) == ("measure", "same")
    assert advised(*over, ANEW, read(40.017), read(40.018)) == ("quarantine", "")


def test_settings_that_contradict_each_other_ask_for_a_third() -> None:
    both = (read(40.017), read(40.018), ANEW, read(39.999), read(40.0))
    assert advised(*both) == ("measure", "anew")
    assert advised(*both, ANEW, read(39.999), read(40.0)) == ("release", "")
    assert finished(*both).advise()["release"]["as_read"] == ["39.9990 mm", "40.0000 mm"]  # type: ignore[index]


def test_a_good_hole_is_not_lost_by_a_later_setting_either() -> None:
    both = (read(39.999), read(40.0), ANEW, read(40.017), read(40.018))
    assert advised(*both) == ("measure", "anew")
    assert advised(*both, ANEW, read(39.999), read(40.0)) == ("release", "")


def test_settings_that_agree_are_taken_together() -> None:
    worked = finished(read(39.999), read(40.0), ANEW, read(40.001), read(40.0))
    assert [reading.doubt for reading in worked.belief.readings] == [0.0] * 4
    assert worked.advise()["action"] == "release"


def test_readings_of_a_gauge_that_is_off_on_its_master_count_for_nothing() -> None:
    off = (read(40.017), read(40.018), rechecked(40.018))
    belief = finished(*off).belief
    assert belief.gauge_off
    assert belief.readings == ()
    assert belief.hole_mm < 40.008
    assert "release" not in finished(*off).advise()
    assert advised(*off) == ("measure", "anew")
    worked = finished(*off, ANEW, read(39.999), read(40.0))
    assert not worked.belief.gauge_off
    assert worked.belief.hole_mm == pytest.approx(39.9995, abs=0.001)
    assert worked.advise()["action"] in {"measure", "release"}


def test_a_good_hole_is_not_released_on_such_a_gauge() -> None:
    assert advised(read(39.999), read(40.0), rechecked(40.017)) == ("measure", "anew")


def test_a_recheck_that_may_be_is_taken_in_as_drift() -> None:
    worked = finished(read(39.999), read(40.0), rechecked(40.001))
    assert not worked.belief.gauge_off
    assert len(worked.belief.readings) == 2
    assert FAR_OFF >= 3.0
