"""The constants of a bore, and a pass too thin to cut well."""

from __future__ import annotations

import math

import numpy as np
import pytest

from borewright.sizing.gaussian import State
from borewright.sizing.model import cut, opening_belief, pass_line
from borewright.sizing.tool_moves import set_tool
from tests.unit.rehearsal.four_sigma import assert_mean
from tests.unit.sizing.plain import bore, without_widths


def test_growth_is_taken_at_the_middle_of_the_limits() -> None:
    model = bore(temperature={"tool": 30}).model
    assert model.diameter_mm == pytest.approx(40.0)
    assert model.growth == pytest.approx(40.0 * 11.5e-6)
    assert model.tool_growth_mm == pytest.approx(40.0 * 11.5e-6 * 10.0)


def test_out_of_round_takes_half_its_mean_size_from_each_limit() -> None:
    """Its two components drawn: the mean of half their root sum square, to four standard errors."""
    model = bore(ovality="0.002 mm").model
    parts = np.random.default_rng(3).normal(0.0, 0.002 / math.sqrt(2.0), (40_000, 2))
    assert_mean(0.5 * np.hypot(parts[:, 0], parts[:, 1]) / model.form_mm, 1.0, sharp=0.02)
    assert bore(ovality="0.1 mm").model.form_mm == pytest.approx(0.49 * 0.016)


def test_a_reading_scatters_by_gauge_step_and_the_oval_that_it_meets() -> None:
    model = bore(ovality="0.004 mm", gauge={"step": "0.005 mm", "scatter": "0.001 mm"}).model
    draws, count = np.random.default_rng(4), 40_000
    oval = draws.normal(0.0, 0.004 / math.sqrt(2.0), (count, 2))
    across = 0.5 * np.hypot(oval[:, 0], oval[:, 1]) * np.cos(draws.uniform(0.0, 2.0 * math.pi, count))
    off = across + 0.001 * draws.standard_normal(count) + 0.005 * (draws.random(count) - 0.5)
    assert_mean(off * off / model.reading_variance(0.001), 1.0, sharp=0.04)


@pytest.mark.parametrize("part", [0.2, 0.5, 0.9])
def test_below_the_least_depth_the_edge_takes_a_share(part: float) -> None:
    """In mean as deep as its depth is of the least; between all or nothing and none of it left to chance."""
    model = without_widths(bore(min_depth="0.04 mm", push_off="0.001 mm").model)
    belief = set_tool(opening_belief(model), model, 39.4 + 0.04 * part, locked=True)
    done = cut(belief, model)
    assert done.rubs
    chip = done.line.depth_mm - done.line.push_off_mm
    assert done.belief.at(State.HOLE) - 39.4 == pytest.approx(part * chip, abs=1e-9)
    assert 0.001 < done.belief.sd(State.HOLE) < math.hypot(0.7 * math.sqrt(part * (1.0 - part)) * chip, 0.001)
    if part == 0.5:
        # Half of it: every share as likely as another, of standard deviation 1/sqrt(12).
        assert done.belief.sd(State.HOLE) == pytest.approx(math.hypot(chip / math.sqrt(12.0), 0.001), rel=1e-3)


def test_deep_enough_the_edge_takes_all() -> None:
    model = without_widths(bore(min_depth="0.04 mm").model)
    belief = set_tool(opening_belief(model), model, 39.441, locked=True)
    done = cut(belief, model)
    assert not done.rubs
    assert done.line.share == 1.0


@pytest.mark.parametrize("tool_mm", [39.3, 39.4, 39.401])
def test_a_tool_that_does_not_reach_leaves_the_hole(tool_mm: float) -> None:
    model = without_widths(bore().model)
    belief = set_tool(opening_belief(model), model, tool_mm, locked=True)
    line = pass_line(belief.mean, model)
    assert line.size_mm == pytest.approx(39.4, abs=1e-12)
    assert line.share == 0.0
    assert line.row[State.HOLE] == 1.0
    assert line.row[State.UNLOCKED] == 0.0


def test_scatter_of_a_pass_grows_with_its_push_off() -> None:
    for guess, push_off in (("0.001 mm", 0.001), ("0.1 mm", 0.1)):
        model = without_widths(bore(push_off=guess).model, "pass_scatter", "pass_share")
        belief = set_tool(opening_belief(model), model, 39.65, locked=True)
        assert cut(belief, model).belief.sd(State.HOLE) == pytest.approx(0.0006 + 0.02 * push_off, rel=0.01)
