"""Three like passes of 0.010 in, dialled by what the last one missed: common practice, no source.

Tolerance ±0.0002 in, a direct readout, the part at 20 °C, gauge scatter 0.00004 in, scrap sixty times a pass. The tool
is set 0.020 in under finish and measures 0.0001 over its aim; opened by 0.0099 the second pass measures 0.0005 over its
own. A machinist then opens by 0.0095, what is left: what the passes before pushed off, the last one pushes off again.
"""

from __future__ import annotations

from typing import Any

import pytest

from borewright.quantity.length import parse_length
from borewright.sizing.bore import Bore

FINISH = 2.0
GIVEN: dict[str, object] = {
    "callout": "2.0000 ±.0002",
    "unit": "in",
    "hole": {"size": "1.9700", "within": ".0002"},
    "adjuster": {"kind": "direct", "step": ".0001", "on": "diameter", "zeroed": "locked"},
    "gauge": {"step": ".00005", "scatter": ".00004", "bias": ".00001"},
    "push_off": {"guess": ".0004", "at": ".010"},
    "temperature": {"part": "20 C", "within": "0.5", "spread": "0.2"},
    "rule": {"name": "simple", "ratio": 4},
    "costs": {"pass_": "1", "scrap": "60"},
}


def before_the_last(**changes: object) -> Bore:
    """Cut the first two passes, each read twice; the second reads 0.0005 over its aim of 0.010 under finish."""
    moved = changes.pop("moved", {"shown_locked": "+.0099"})
    assert isinstance(moved, dict)
    bore = Bore.start({**GIVEN, **changes})
    for entry in (
        {"event": "set", "diameter": "1.9800"},
        {"event": "seated"},
        {"event": "passed"},
        {"event": "read", "as_read": "1.9801"},
        {"event": "read", "as_read": "1.9801"},
        {"event": "moved", **moved},
        {"event": "passed"},
        {"event": "read", "as_read": "1.9905"},
        {"event": "read", "as_read": "1.9905"},
    ):
        bore.record(entry)
    while bore.belief.unsettled and len(bore.belief.readings) < 6:
        bore.record({"event": "read", "as_read": "1.9905"})
    return bore


def inches(text: object) -> float:
    return parse_length(str(text), signed=True).mm / 25.4


@pytest.mark.parametrize("factor", ["1.5", "1.1"])
def test_the_last_like_pass_is_opened_by_what_is_left(factor: str) -> None:
    advice: Any = before_the_last(push_off={"guess": ".0004", "at": ".010", "factor": factor}).advise()
    assert advice["action"] == "move_and_cut"
    assert advice["passes_left"] == 1
    assert inches(advice["move"]["change"]) == pytest.approx(0.0095, abs=0.00015)
    assert inches(advice["move"]["locked"]) == pytest.approx(0.0095, abs=0.00015)
    assert advice["odds"]["oversize"] < 0.02


def test_where_locking_was_seen_to_add_a_tenth_it_stops_a_tenth_before() -> None:
    """The readout showed 0.0098 before locking and 0.0099 after: the tip is left at 0.0094 and locks to 0.0095."""
    advice: Any = before_the_last(moved={"shown_unlocked": "+.0098", "shown_locked": "+.0099"}).advise()
    assert inches(advice["move"]["locked"]) == pytest.approx(0.0095, abs=0.00015)
    assert inches(advice["move"]["unlocked"]) == pytest.approx(0.0094, abs=0.00015)
    assert inches(advice["move"]["locked"]) - inches(advice["move"]["unlocked"]) == pytest.approx(0.0001, abs=0.00005)
