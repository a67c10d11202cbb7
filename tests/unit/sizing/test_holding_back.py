"""How far a move may open by what may be otherwise than told: held back, but not so that the edge rubs for ever."""

from __future__ import annotations

from typing import Any

from borewright.sizing.bore import Bore
from borewright.sizing.holding_back import HELD_BACK_FROM
from borewright.sizing.meanings import INCHES, RADIUS
from borewright.sizing.supposing import parts
from borewright.sizing.words import WATCHED
from tests.unit.sizing.plain import Entry, bore, readings, setting, temperature

TRIAL: Entry = {"event": "passed", "depth": "trial"}
PASS: Entry = {"event": "passed"}


def moved(lines: str) -> Entry:
    return {"event": "moved", "lines": lines}


def bore_65(*entries: Entry, on: str, hole: str, push_off: str) -> Bore:
    """A bore of 65 mm on a dial of five micrometres a line, which nothing has proved."""
    return bore(
        *entries,
        callout="65 ±0.011 mm",
        hole={"size": hole, "within": "0.0157 mm"},
        adjuster={"kind": "dial", "on": on, "line": "0.005 mm", "lines_per_turn": 50},
        gauge={"step": "0.001 mm", "scatter": "0.0011 mm", "bias": "0.0009 mm"},
        push_off={"guess": push_off, "at": "0.25 mm", "factor": "1.492"},
        material="alloy steel",
        tool={"bench": "0.0035 mm", "seat": "0.003 mm"},
        min_depth="0.03 mm",
        temperature={"spread": "1", "within": "0.32"},
    )


def odds_of(worked: Bore, what: object) -> float:
    return sum(share for share, each in parts(worked.belief) if what in each.supposed)


def test_what_is_little_likely_does_not_leave_the_edge_to_rub_for_ever() -> None:
    """Two moves of one line have not shown whether the figures are inches; 0.2 mm is left, and the tool must move."""
    start = (*setting(64.807), TRIAL, temperature(21.0, "cut"), temperature(20.7), *readings((64.796, 64.797)))
    worked = bore_65(
        *start,
        moved("-1"),
        *readings((64.793, 64.791)),
        moved("+1"),
        TRIAL,
        temperature(20.5, "cut"),
        temperature(20.4),
        *readings((64.798, 64.796)),
        on="not known",
        hole="64.4799 mm",
        push_off="0.0122 mm",
    )
    assert odds_of(worked, INCHES) > HELD_BACK_FROM
    advice: Any = worked.advise()
    assert advice["action"] == "move_and_cut"
    assert advice["move"]["direction"] == "open"
    assert worked.belief.tool_mm + 0.01 * float(advice["move"]["lines"]) < 0.5 * (64.807 + 65.011) + 0.01
    assert advice["cautions"][0] == WATCHED


def test_a_tool_that_stands_to_cut_is_not_opened_on_before_a_cut_has_told() -> None:
    """Were the figures those of the radius it would stand at the limit already: the land tells, and costs nothing."""
    worked = bore_65(
        *setting(64.761),
        TRIAL,
        temperature(19.8, "cut"),
        temperature(19.6),
        *readings((64.75, 64.75)),
        moved("-2"),
        PASS,
        temperature(20.1, "cut"),
        temperature(19.4),
        *readings((64.733, 64.734)),
        moved("+27"),
        on="diameter",
        hole="64.3859 mm",
        push_off="0.0063 mm",
    )
    assert odds_of(worked, RADIUS) > HELD_BACK_FROM
    advice: Any = worked.advise()
    assert (advice["action"], advice["cut"]["depth"]) == ("cut", "trial")
