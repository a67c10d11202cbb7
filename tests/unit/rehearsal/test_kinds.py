"""The kinds of job as a player would find them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from borewright.rehearsal.kinds import EXPANSION_PER_K, KINDS, Kind
from borewright.rehearsal.truth import Truth

EVERY = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)


def test_eight_kinds_with_all_three_adjusters() -> None:
    assert len(KINDS) == 8
    assert all(name == kind.name for name, kind in KINDS.items())
    assert {kind.adjuster for kind in KINDS.values()} == {"dial", "direct", "offset"}


@EVERY
def test_a_kind_can_be_sized_at_all(kind: Kind) -> None:
    assert kind.stock_um > 4 * kind.min_depth_um
    assert kind.tolerance_um > 3 * kind.gauge_scatter_um
    assert kind.push_off_um < 0.5 * 250
    assert kind.material in EXPANSION_PER_K
    assert kind.expansion_per_k == EXPANSION_PER_K[kind.material]


@EVERY
def test_what_is_told_is_the_kind_in_millimetres(kind: Kind) -> None:
    told = Truth.draw(kind, 3).told()
    assert told.kind == kind.name
    assert told.upper_mm - told.lower_mm == pytest.approx(2e-3 * kind.tolerance_um, abs=1e-9)
    assert told.lower_mm < told.size_mm < told.upper_mm
    assert told.line_mm == told.step_mm == pytest.approx(1e-3 * kind.line_um)
    assert told.stock_mm == pytest.approx(1e-3 * kind.stock_um, abs=0.15)
    assert told.gauge_scatter_mm == pytest.approx(1e-3 * kind.gauge_scatter_um)
    assert told.min_depth_mm == pytest.approx(1e-3 * kind.min_depth_um)
    assert told.zeroed == ("locked" if kind.adjuster == "direct" else "")


def test_a_kind_takes_another_size_and_unit() -> None:
    inch = replace(KINDS["titanium"], size_mm=25.4 * 0.9, tolerance_um=0.0003 * 25400, line_um=2.54, gauge_step_um=2.54)
    truth = Truth.draw(inch, 1)
    assert truth.told().upper_mm / 25.4 == pytest.approx(0.9003, abs=1e-8)
    steps = truth.check_hole() / 0.00254
    assert steps == pytest.approx(round(steps), abs=1e-6)
