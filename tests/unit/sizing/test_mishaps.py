"""Mishaps count in the odds of a cut: a built-up edge, a line miscounted, a chip on the taper."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from scipy import stats

from borewright.sizing.bore import Bore
from borewright.sizing.choice import choose, outlook_of
from borewright.sizing.mishaps import BUILT_UP_MM, CHIP_SD_MM, Mishap, mishaps_of, with_mishaps
from tests.unit.sizing.plain import DIAL, DIRECT, bore, expected_reading_mm, read, setting, with_values

PROVED = {"bench": "0.004 mm", "seat": "0.004 mm", "proved": True}


def last_pass(**changed: object) -> Bore:
    """All but the last pass is cut and measured."""
    worked = bore(*setting(39.92), {"event": "passed"}, tool=PROVED, mouth="sharp", **changed)
    hole = round(expected_reading_mm(worked), 3)
    for _ in range(2):
        worked.record(read(hole))
    return worked


def test_a_size_is_spread_by_what_may_happen_to_it() -> None:
    spread = with_mishaps((0.5, 40.0, 0.003), (Mishap(0.01, 0.004, 0.0), Mishap(0.02, 0.0, 0.004)))
    assert [share for share, _, _ in spread] == pytest.approx([0.485, 0.005, 0.01])
    assert spread[1][1:] == pytest.approx((40.004, 0.003))
    assert spread[2][1:] == pytest.approx((40.0, 0.005))


def test_a_dial_is_miscounted_a_readout_is_not() -> None:
    for adjuster, counted in ((DIAL, 2), (DIRECT, 0)):
        worked = last_pass(adjuster=adjuster)
        chosen = choose(worked.belief, worked.model, *bits(worked))
        assert chosen.step is not None
        found = mishaps_of(worked.belief.now, worked.model, chosen.step, moved=True, seated=False)
        assert len(found) == 1 + counted
        assert found[0].off_mm == BUILT_UP_MM
        assert sum(mishap.odds for mishap in found[1:]) == pytest.approx(0.01 if counted else 0.0)
        still = mishaps_of(worked.belief.now, worked.model, chosen.step, moved=False, seated=True)
        assert still[1].sd_mm == pytest.approx(CHIP_SD_MM * chosen.step.follows)


def bits(of: Bore) -> tuple[Any, Any]:
    return of._costs, of._rule  # as advise hands them on


def test_the_odds_of_oversize_are_those_of_the_mixture() -> None:
    """By hand: 98 in 100 as it is, one with a built-up edge, one a line off, half of those either way."""
    worked = last_pass()
    chosen = choose(worked.belief, worked.model, *bits(worked))
    step, outlook = chosen.step, outlook_of(worked.belief, worked.model, *bits(worked))
    assert step is not None
    assert chosen.action == "move_and_cut"
    limit = worked.model.upper_mm - outlook.form_mm
    line = 0.002 * step.follows * (1.0 + worked.belief.now.at(5))  # type: ignore[arg-type]
    parts = ((0.98, 0.0, 0.0), (0.01, 0.003, 0.0005), (0.005, line, 0.0), (0.005, -line, 0.0))
    over = sum(
        odds * stats.norm.sf(limit, step.aim_mm + off, (step.sd_mm**2 + sd**2) ** 0.5) for odds, off, sd in parts
    )
    assert chosen.odds.oversize == pytest.approx(over, rel=1e-9)
    assert chosen.odds.oversize > outlook.odds(step.aim_mm, step.sd_mm).oversize


def test_a_bore_from_before_has_the_odds_that_it_had() -> None:
    worked = last_pass()
    model = with_values(worked.model, built_up=0.0, miscount=0.0, chip=0.0)
    chosen = choose(replace(worked.belief), model, *bits(worked))
    assert chosen.step is not None
    assert chosen.odds == chosen.outlook.odds(chosen.step.aim_mm, chosen.step.sd_mm)
