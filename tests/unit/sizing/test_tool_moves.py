"""Moves that stick and come with the next, locks that give back a part, readouts zeroed with the lock loose."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.sizing.ahead import carried, change_for, foresee
from borewright.sizing.gaussian import State, unit_row
from borewright.sizing.tool_moves import sticking
from tests.unit.sizing.plain import DIAL, DIRECT, bore, outlook_for, setting, with_widths

FINE = {**DIAL, "line": "0.001 mm"}
UNLOCKED = {**DIRECT, "zeroed": "unlocked"}
PROOF = {"event": "proved", "line": "0.001 mm", "within": "0.00001 mm"}


def test_the_smaller_a_move_the_likelier_it_sticks() -> None:
    model = bore().model
    odds = [sticking(model, change) for change in (0.0, 0.0005, 0.001, 0.0015, 0.002, 0.2, -0.001)]
    assert odds == pytest.approx([0.0, 0.75, 0.5, 0.25, 0.0, 0.0, 0.0])
    assert sticking(bore(adjuster=DIRECT).model, 0.001) == 0.0


def test_a_small_move_sticks_by_half_and_comes_with_the_next() -> None:
    worked, at_once = bore(*setting(39.72), PROOF, adjuster=FINE), bore(*setting(39.72), PROOF, adjuster=FINE)
    tool, sd = worked.belief.tool_mm, worked.belief.tool_sd_mm
    worked.record({"event": "moved", "lines": "1"})
    assert worked.belief.tool_mm - tool == pytest.approx(0.0005, abs=1e-6)
    assert worked.belief.now.at(State.STUCK) == pytest.approx(0.0005, abs=1e-6)
    assert worked.belief.tool_sd_mm**2 - sd**2 > 0.0005**2
    worked.record({"event": "moved", "lines": "9"})
    at_once.record({"event": "moved", "lines": "10"})
    assert worked.belief.tool_mm == pytest.approx(at_once.belief.tool_mm, abs=1e-5)
    assert worked.belief.now.sd(State.STUCK) == 0.0
    # Whether the first stuck makes no difference any more: only a second move's own error is left of it.
    more = worked.belief.tool_sd_mm**2 - at_once.belief.tool_sd_mm**2
    priors = worked.model.priors
    second = priors.move.width**2 + 2.0 * (priors.lock_return.width * priors.lock_mean.width) ** 2
    assert more == pytest.approx(second, abs=2.0 * priors.lock_scatter.width**2 * 0.05 + 2e-7)


def test_a_reading_after_a_small_move_tells_whether_it_stuck() -> None:
    worked = bore(*setting(39.72), PROOF, adjuster=FINE)
    worked.record({"event": "moved", "lines": "1"})
    now = worked.belief.now
    held = now.measured(unit_row(State.UNLOCKED), now.at(State.UNLOCKED) - 0.0005, 1e-12)[0]
    assert held.at(State.STUCK) > now.at(State.STUCK)


def test_a_proof_says_below_what_moves_stick() -> None:
    worked = bore(*setting(39.72), {**PROOF, "stuck_below": "0.0005 mm"}, adjuster=FINE)
    tool = worked.belief.tool_mm
    worked.record({"event": "moved", "lines": "1"})
    assert worked.belief.tool_mm - tool == pytest.approx(0.001, abs=1e-6)


@pytest.mark.parametrize("lines", [1, 2, 60])
def test_a_move_is_foreseen_as_it_is_then_believed(lines: int) -> None:
    worked = bore(*setting(39.72), {"event": "passed"}, adjuster=FINE, tool={"proved": True})
    outlook, now = outlook_for(worked.model), worked.belief.now
    seen = foresee(now, outlook, 0.001 * lines).step
    after = carried(now, outlook, 0.001 * lines)
    assert seen.aim_mm == pytest.approx(after.at(State.HOLE), abs=1e-9)
    assert seen.sd_mm == pytest.approx(after.sd(State.HOLE), rel=1e-6)


def test_a_readout_zeroed_with_the_lock_loose_counts_one_lock_shift() -> None:
    """A lock shift of +4 µm, known: zeroed loose, +100 before locking and +104 after leave the tool 0.1 mm larger."""
    known = {"event": "proved", "line": "0.001 mm", "within": "0.00001 mm", "lock_shift": "0.004 mm"}
    loose, tight = bore(*setting(39.72), known, adjuster=UNLOCKED), bore(*setting(39.72), known, adjuster=DIRECT)
    tool = loose.belief.tool_mm
    loose.record({"event": "moved", "shown_unlocked": "+0.100 mm", "shown_locked": "+0.104 mm"})
    tight.record({"event": "moved", "shown_unlocked": "+0.096 mm", "shown_locked": "+0.100 mm"})
    kept = 0.02 * 0.004
    assert loose.belief.tool_mm - tool == pytest.approx(0.1 + kept, abs=0.0003)
    assert tight.belief.tool_mm - tool == pytest.approx(0.1, abs=0.0001)
    assert loose.belief.now.at(State.LOCK) == pytest.approx(0.004, abs=0.0003)
    given = bore(*setting(39.72), known, {"event": "moved", "change": "+0.100 mm"}, adjuster=UNLOCKED)
    assert given.belief.tool_mm - tool == pytest.approx(0.1, abs=0.0001)


def test_zeroed_loose_the_advice_asks_for_the_figures_that_come_then() -> None:
    known = {"event": "proved", "line": "0.001 mm", "within": "0.00001 mm", "lock_shift": "0.004 mm"}
    said: list[Any] = []
    for adjuster in (UNLOCKED, DIRECT):
        worked = bore(*setting(39.72), known, {"event": "passed"}, adjuster=adjuster)
        for _ in range(2):
            worked.record({"event": "read", "as_read": f"{worked.belief.hole_mm:.3f} mm"})
        said.append(worked.advise())
    loose, tight = said
    shown = [[float(each["move"][name].split()[0]) for name in ("unlocked", "locked")] for each in said]
    assert shown[0][1] - shown[0][0] == pytest.approx(0.004, abs=0.0011)
    assert shown[0][1] - shown[1][1] == pytest.approx(0.0038, abs=0.0025)
    assert loose["move"]["zeroed"] == "unlocked"
    assert "zeroed" not in tight["move"]
    assert any(step.startswith("Loosen the tool lock, then zero") for step in loose["steps"])


@pytest.mark.parametrize("adjuster", [DIRECT, UNLOCKED, DIAL])
def test_what_is_wanted_is_what_is_foreseen(adjuster: Any) -> None:  # noqa: ANN401  # one of the adjusters
    worked = bore(*setting(39.72), {"event": "passed"}, adjuster=adjuster)
    model = with_widths(worked.model)
    outlook = outlook_for(model)
    change = change_for(worked.belief.now, outlook, 39.9)
    assert foresee(worked.belief.now, outlook, change).step.aim_mm == pytest.approx(39.9, abs=2e-5)
