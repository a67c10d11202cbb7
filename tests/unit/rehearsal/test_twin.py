"""The knowing twin: what it knows of its tool, and what it cannot."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.twin import NAME, _Hand, knowing, knowing_twin
from borewright.rehearsal.watched import watched
from borewright.sizing.gaussian import State
from borewright.sizing.model import push_off_at
from borewright.sizing.priors import NORMAL_95
from tests.unit.rehearsal.plain import DIAL, faultless


@pytest.mark.parametrize("kind", KINDS)
def test_its_push_off_is_the_truths_at_every_depth(kind: str) -> None:
    truth = Truth.draw(KINDS[kind], 3)
    bore = knowing(truth)
    for depth in (0.08, 0.15, 0.25, 0.4):
        ours = push_off_at(bore.belief.now.mean, bore.model, depth)[0].p
        assert ours == pytest.approx(truth.tool.push_off.of_depth(depth), abs=1e-7)


def test_it_knows_the_tool_and_nothing_that_is_redrawn() -> None:
    truth = Truth.draw(KINDS["middle head, carbon steel"], 3)
    belief, model = knowing(truth).belief.now, knowing(truth).model
    for state, value in (
        (State.BENCH, truth.tool.bench_mm),
        (State.LOCK_MEAN, truth.tool.lock_mean_mm),
        (State.GAIN, truth.tool.gain),
        (State.BACKLASH, truth.tool.backlash_mm),
    ):
        assert belief.at(state) == pytest.approx(value, abs=1e-9)
        assert belief.sd(state) < 1e-5
    assert belief.sd(State.GAUGE) == pytest.approx(truth.told().gauge_bias_sd_mm)
    assert belief.sd(State.HOLE) == pytest.approx(truth.told().hole_sd_mm, abs=2e-5)
    assert model.priors.seat.width == truth.told().seat_sd_mm
    assert NORMAL_95 * belief.sd(State.WARMTH) > 1.0


@pytest.mark.parametrize("kind", KINDS)
def test_it_needs_two_cuts_or_three_and_is_counted_under_its_own_name(kind: str) -> None:
    done = knowing_twin(Truth.draw(KINDS[kind], 21))
    assert (done.policy, done.released_good) == (NAME, True)
    assert 2 <= done.passes + done.trial_cuts <= 3


def test_it_turns_the_screw_to_where_its_error_leaves_the_tip_as_wanted() -> None:
    """With an error of the screw far larger than any other, its moves still land; entered is what they are worth."""
    kind = faultless(DIAL)
    kind = replace(kind, line_um=1.0, common=replace(kind.common, periodic_um=(20.0, 20.0)))
    truth = Truth.draw(kind, 4)
    truth.set_tool(kind.size_mm - 0.2)
    truth.seat()
    hand = _Hand(truth, -0.2)
    before = truth.tool_mm
    entries = hand(truth, {"action": "move_and_cut", "move": {"lines": "60", "change": "0.060 mm"}})
    moved = truth.tool_mm - before
    assert moved == pytest.approx(0.060 * (1.0 + truth.tool.gain), abs=0.0006)
    assert float(str(entries[0]["lines"])) * 0.001 * (1.0 + truth.tool.gain) == pytest.approx(moved, abs=2e-5)
    assert truth.acts[-1].given["lines"] != 60.0


def test_what_it_states_of_holes_is_as_wide_as_they_scatter() -> None:
    """Thirty bores with a dial: the mean square of what holes are off by, within four standard errors."""
    holes: list[float] = []
    for seed in range(30):
        truth = Truth.draw(KINDS["middle head, carbon steel"], 7000 + seed)
        holes += watched(truth, knowing(truth), NAME, _Hand(truth)).holes
    squares = np.square(holes)
    assert abs(squares.mean() - 1.0) < 4.0 * squares.std(ddof=1) / math.sqrt(len(squares))
