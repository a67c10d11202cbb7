"""Grubbs' harmonic rule on like passes."""

from __future__ import annotations

import pytest

from borewright.rehearsal.harmonic import NAME, harmonic
from borewright.rehearsal.truth import Truth
from tests.unit.rehearsal.plain import DIRECT, faultless


def test_on_a_faultless_machine_it_ends_in_the_middle() -> None:
    for seed in range(10):
        truth = Truth.draw(faultless(), seed)
        done = harmonic(truth)
        assert (done.policy, done.released_good, done.passes) == (NAME, True, 3)
        assert truth.hole_mm == pytest.approx(truth.kind.size_mm, abs=0.006)


def test_the_first_deviation_is_adjusted_wholly_the_second_by_half() -> None:
    truth = Truth.draw(faultless(DIRECT), 2)
    told = truth.told()
    share = told.stock_mm / 3
    harmonic(truth)
    moves = [act.given["change_mm"] for act in truth.acts if act.name == "move"]
    again = Truth.draw(faultless(DIRECT), 2)
    again.set_tool(round(told.hole_mm + share + told.push_off_guess_mm, 3))
    again.seat()
    for done, moved in enumerate(moves, 1):
        again.cut()
        off = again.hole_mm - told.hole_mm - done * share
        assert moved == pytest.approx(share - off / done, abs=0.6 * told.step_mm + 1e-4)
        again.move(change_mm=float(str(moved)))
    assert len(moves) == 2
