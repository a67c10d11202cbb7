"""A hole under size with too little left to cut: what can still be done, at what odds."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.sizing.bore import Bore
from borewright.sizing.save_hole import SAVINGS
from borewright.sizing.save_words import SAID

GIVEN: dict[str, object] = {
    "callout": "33.4 H7",
    "unit": "mm",
    "hole": {"size": "33.28", "within": "0.04"},
    "adjuster": {"kind": "dial", "line": "0.002", "on": "diameter", "lines_per_turn": 50},
    "gauge": {"step": "0.001"},
    "push_off": "0.02",
    "min_depth": "0.04",
}


def left_at(size: str, **changes: object) -> dict[str, Any]:
    """Cut to a size, read it twice, and ask."""
    bore = Bore.start({**GIVEN, **changes})
    first, second = ("33.352", "33.352"), (size, size)
    for entry in (
        {"event": "set", "diameter": "33.370"},
        {"event": "seated"},
        {"event": "passed"},
        *({"event": "read", "as_read": read} for read in first),
        {"event": "moved", "lines": "+26"},
        {"event": "passed"},
        *({"event": "read", "as_read": read} for read in second),
    ):
        bore.record(entry)
    return bore.advise()


def ways(advice: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {way["way"]: way for way in advice["save"]}


def test_a_hole_just_under_size_is_offered_every_way_the_cheapest_first() -> None:
    advice = left_at("33.397")
    assert set(ways(advice)) == set(SAVINGS)
    costs = [way["cost"] for way in advice["save"]]
    assert costs == sorted(costs)
    for way in advice["save"]:
        assert sum(way["odds"].values()) == pytest.approx(1.0, abs=3e-6)
        assert way["finish"]
        assert way["forfeits"]


def test_each_way_says_what_it_forfeits() -> None:
    assert set(SAID) == set(SAVINGS)


@pytest.mark.parametrize("size", ["33.352", "33.404", "33.440"])
def test_nothing_is_to_be_saved_where_there_is_stock_or_the_hole_is_in_or_over(size: str) -> None:
    assert "save" not in left_at(size)


def test_an_edge_that_cuts_thin_has_nothing_to_save() -> None:
    assert "save" in left_at("33.397")
    assert "save" not in left_at("33.397", min_depth="0.004")


def test_more_feed_cuts_surer_than_a_chip_too_thin() -> None:
    found = ways(left_at("33.397"))
    width = {name: float(way["expect"]["high"][:-3]) - float(way["expect"]["low"][:-3]) for name, way in found.items()}
    assert width["more feed"] < width["thin pass"]
    assert found["hone"]["odds"]["in_tolerance"] > found["spring pass"]["odds"]["in_tolerance"]


def test_leaving_a_hole_under_size_is_likely_to_lose_it() -> None:
    left = ways(left_at("33.398"))["leave"]
    assert left["odds"]["undersize"] > 0.8
    assert left["cost"] > 50


def test_where_the_tool_as_it_is_does_about_as_well_nothing_else_is_told_of() -> None:
    assert "save" not in left_at("33.390", min_depth="0.03")


def test_the_pass_that_is_advised_stands_there_in_the_same_figures() -> None:
    advice = left_at("33.397")
    assert advice["action"] == "move_and_cut"
    thin = ways(advice)["thin pass"]
    assert thin["odds"] == advice["odds"]
    assert thin["expect"]["size"] == advice["expect"]["size"]
