"""Why does it read that: causes after any reading, merged where they are checked alike, each with what settles it."""

from __future__ import annotations

import pytest

from borewright.sizing.bore import Bore
from borewright.sizing.why_read import LEAST_ODDS, ORDINARY, Settling, settling, why_it_reads
from tests.unit.sizing.plain import bore, expected_reading_mm, read, setting

CUT = (*setting(39.75), {"event": "passed", "depth": "full"})


def causes(of: Bore) -> list[tuple[str, float]]:
    return [(one.cause, one.odds) for one in why_it_reads(of.belief, of.model)]


def test_an_ordinary_reading_has_its_causes_too() -> None:
    of = bore(*CUT)
    of.record(read(expected_reading_mm(of)))
    assert of.belief.doubts == ()
    found = why_it_reads(of.belief, of.model)
    assert found[0].cause == ORDINARY
    assert found[0].odds > 0.9
    assert len(found) > 2
    assert all(one.odds >= LEAST_ODDS and one.check.endswith((".", "?")) for one in found)


def test_a_reading_that_surprises_has_the_causes_that_the_advice_asks_about() -> None:
    of = bore(*CUT)
    of.record(read(expected_reading_mm(of)))
    of.record(read(expected_reading_mm(of) + 0.012))
    assert of.belief.doubts
    found = dict(causes(of))
    for doubt in of.belief.doubts:
        alike = sum(other.odds for other in of.belief.doubts if other.cause == doubt.cause)
        assert found[doubt.cause] == pytest.approx(alike)
    assert list(found.values()) == sorted(found.values(), reverse=True)


@pytest.mark.parametrize("off_mm", [-0.004, -0.002, 0.0, 0.002, 0.004])
@pytest.mark.parametrize("first", [0, 1, 2])
def test_many_readings_that_agree_can_be_asked_about(off_mm: float, first: int) -> None:
    """The one furthest from what was expected need not be among those furthest from the rest."""
    of = bore(*CUT)
    size = round(expected_reading_mm(of) + off_mm, 3)
    for place in range(first, first + 12):
        of.record(read(round(size + 0.001 * (place % 3 - 1), 3)))
        assert why_it_reads(of.belief, of.model)


def test_asking_changes_nothing_that_is_believed() -> None:
    of = bore(*CUT)
    of.record(read(expected_reading_mm(of)))
    before = of.belief
    assert causes(of) == causes(of)
    assert of.belief is before


def test_without_a_reading_there_is_nothing_to_ask() -> None:
    assert causes(bore()) == []
    assert causes(bore(*CUT)) == []


@pytest.mark.parametrize(
    ("check", "kind"),
    [
        ("Measure once more.", "read"),
        ("Rock it again and read aloud.", "read"),
        ("Watch the small hand while entering.", "read"),
        ("Read it again, digit by digit.", "read"),
        ("Check the hole again, across and along.", "read"),
        ("Go through the ring: which way is larger?", "rechecked"),
        ("Wipe bore and feet, rock again, then check the ring.", "rechecked"),
        ("Take the part's temperature; let it settle and measure again.", "temperature"),
        ("Put an indicator on the tip and move ten lines or steps.", "proved"),
        ("Check the lock; put an indicator on the tip and lock again.", "noted"),
        ("Look at the edge under a glass.", "noted"),
        ("Take the tool out, wipe both tapers.", "noted"),
    ],
)
def test_each_check_comes_to_an_entry(check: str, kind: Settling) -> None:
    assert settling(check) == kind


def test_one_event_is_read_as_it_holds_now_whether_or_not_it_was_corrected() -> None:
    worked = bore(*setting(39.72), {"event": "passed"}, read(39.70), read(39.701))
    number = worked.belief.readings[0].number
    assert worked.event_in_effect(number) == worked.in_effect()[number - 1]
    worked.record(
        {"event": "corrected", "event_number": number, "replacement": {"as_read": "39.702 mm"}, "reason": "misread"}
    )
    assert worked.event_in_effect(number) == worked.in_effect()[number - 1]
    assert worked.event_in_effect(number).payload.as_read.mm == 39.702  # type: ignore[attr-defined]
