"""What makes no cut, each told by a message of its own."""

from __future__ import annotations

import pytest

from borewright.cutting.chip import check_nose
from borewright.cutting.compliance import joint_from_two, joint_of, plain_bar, push_test, typed_compliance
from borewright.cutting.finish import finish_of
from borewright.cutting.force import rake_correction
from borewright.cutting.least_chip import edge_of
from borewright.cutting.power import Spindle
from borewright.cutting.starting import check_speed, edge_suits, starting_of
from borewright.errors import EntryError, NotHeldError
from borewright.materials.bar import bar_of
from borewright.materials.work import find_work
from borewright.materials.work_tables import WORK
from borewright.quantity.speed import parse_speed

STEEL = find_work("42CrMo4", WORK)


@pytest.mark.parametrize(
    ("feed", "nose", "kappa", "says"),
    [
        (0.08, 0.0, 95.0, "nose radius is larger than 0"),
        (0.0, 0.4, 95.0, "feed is larger than 0"),
        (0.08, 0.4, 5.0, "between 30° and 110°"),
        (0.5, 0.4, 95.0, "does not allow this feed"),
    ],
)
def test_edges_that_make_no_groove(feed: float, nose: float, kappa: float, says: str) -> None:
    with pytest.raises(EntryError, match=says):
        check_nose(feed, nose, kappa)


@pytest.mark.parametrize(
    ("speed", "says", "right"),
    [
        ("3000", "3000 m/min; that may be rpm or feet a minute", "3000 ft/min are 914 m/min"),
        ("3", "3 m/min; that may be metres a second", "3 m/s are 180 m/min"),
        ("9000 ft/min", "9000 ft/min; that may be rpm.", "usually 394 to 820 ft/min."),
        ("6 sfm", "6 ft/min; that may be feet a second", "6 ft/s are 360 ft/min"),
    ],
)
def test_speeds_of_another_unit_are_told_in_the_unit_typed(speed: str, says: str, right: str) -> None:
    with pytest.raises(EntryError, match=says) as caught:
        check_speed(parse_speed(speed), STEEL)
    assert right in caught.value.right


def test_speeds_at_the_ends_pass() -> None:
    for row in WORK:
        for speed in starting_of(row).speed:
            check_speed(parse_speed(speed), row)
            check_speed(parse_speed(f"{speed / 0.3048:.1f} ft/min"), row)


@pytest.mark.parametrize(("load", "gives"), [(0.0, 0.01), (100.0, -0.01), (1.0, 12.0)])
def test_pushes_that_are_none(load: float, gives: float) -> None:
    with pytest.raises(EntryError):
        typed_compliance(load, gives, 20.0, 100.0)


def test_push_test_wants_two_loads() -> None:
    with pytest.raises(EntryError, match="two loads that differ"):
        push_test([100.0, 100.0], [0.01, 0.011], 20.0, 100.0)
    with pytest.raises(EntryError, match="a movement for each load"):
        push_test([50.0, 100.0], [0.01], 20.0, 100.0)


def test_two_overhangs_must_differ_and_leave_a_joint() -> None:
    with pytest.raises(EntryError, match="Two overhangs"):
        joint_from_two((100.0, 100.0), (1e-5, 2e-5), 1e9)
    with pytest.raises(EntryError, match="bar alone"):
        joint_from_two((80.0, 140.0), (1e-6, 2e-6), 1e9)


def test_bars_without_size() -> None:
    with pytest.raises(EntryError, match="larger than 0"):
        plain_bar(bar_of("steel"), 0.0, 100.0, 20.0, joint_of("steep 40"))


def test_names_that_are_not_held() -> None:
    with pytest.raises(NotHeldError, match="taper"):
        joint_of("steep 30")
    with pytest.raises(NotHeldError, match="kind of edge"):
        edge_of("diamond dust")


def test_rake_and_finish_of_another_unit() -> None:
    with pytest.raises(EntryError, match="rake"):
        rake_correction(90.0, 6.0)
    with pytest.raises(EntryError, match="another unit"):
        finish_of(0.08, 0.4, 0.002, [1000.0])


@pytest.mark.parametrize("points", [(), ((0.0, 5.0),), ((3000.0, 5.0), (1000.0, 5.0))])
def test_curves_that_are_none(points: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(EntryError, match="rising speed"):
        Spindle(points)


def test_edges_and_what_they_do_not_cut() -> None:
    assert "PCD" in edge_suits(edge_of("PCD"), STEEL)
    assert "CBN" in edge_suits(edge_of("CBN"), STEEL)
    assert "wants CBN" in edge_suits(edge_of("honed carbide"), find_work("hardened steel 55 HRC", WORK))
    assert edge_suits(edge_of("PCD"), find_work("6061-T6", WORK)) == ""
    for row in WORK:
        assert edge_suits(edge_of(starting_of(row).edge), row) == ""
