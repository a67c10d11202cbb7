"""The aim of the last pass, reduced to cases with a closed form."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from borewright.sizing.ahead import carried, foresee, measured_next
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import State
from borewright.sizing.measuring import UNKNOWN_MASTER, gauge_set
from borewright.sizing.model import cut, opening_belief
from borewright.sizing.outlook import Outlook, Seen, Step
from borewright.sizing.tool_moves import set_tool
from tests.unit.sizing.plain import bore, outlook_for, with_widths

MODEL = bore(callout="39.985-40.015 mm").model
"""Limits 30 µm apart."""


def outlook(over: float, under: float, pass_: float = 0.0) -> Outlook:
    """An outlook that judges at the limits and counts nothing for lying off the middle."""
    costs = Costs(pass_=pass_, measurement=0.0, scrap=over)
    limits = (MODEL.lower_mm, MODEL.upper_mm)
    return replace(
        outlook_for(MODEL),
        costs=costs,
        accepted=limits,
        accepted_at_once=limits,
        under_cost=under,
        u_release_mm=0.0,
    )


def step(sd_um: float) -> Step:
    return Step(40.0, 40.0, 0.0, 0.2, 0.0, 0.0, Seen(0.0, sd_um / 1000.0), 1.0, rubs=False)


@given(st.floats(1.0, 20.0), st.floats(1.0, 40.0))
@settings(max_examples=50)
def test_the_aim_is_the_closed_form_for_any_costs(sd: float, c: float) -> None:
    closed = 15.0 - sd**2 / 30.0 * math.log(c)
    found = (outlook(c, 1.0).best_aim(step(sd)) - MODEL.lower_mm) * 1000.0
    assert found == pytest.approx(min(max(closed, 0.0), 30.0), abs=0.05)


def test_what_gauge_and_hole_share_is_counted_once() -> None:
    """A setting's error that was in the last reading is in the next one too: the measured size is steadier for it."""
    model = bore().model
    belief = measured_next(set_tool(opening_belief(model), model, 39.72, locked=True), outlook_for(model))
    ready = measured_next(cut(belief, model).belief, outlook_for(model))
    shared = foresee(ready, outlook_for(model), 0.12).step
    fresh = foresee(gauge_set(ready, model, UNKNOWN_MASTER), outlook_for(model), 0.12).step
    assert shared.sd_mm == pytest.approx(fresh.sd_mm, rel=1e-9)
    assert shared.seen.sd_mm < fresh.seen.sd_mm - 0.0001
    assert fresh.seen.sd_mm > math.hypot(fresh.sd_mm, model.priors.gauge_setting.width)


def test_the_measured_size_is_foreseen_as_samples_have_it() -> None:
    """Hole, setting and thermometer drawn together, measured by two readings and corrected: mean and width agree."""
    model = with_widths(bore(material="aluminium", callout="120 ±0.011 mm", hole="119.4").model)
    judged = replace(outlook_for(model), known_mm=0.0021)
    ready = measured_next(cut(set_tool(opening_belief(model), model, 119.72, locked=True), model).belief, judged)
    belief = carried(ready, judged, 0.12)
    draws, count = np.random.default_rng(7), 40_000
    x = draws.multivariate_normal(belief.mean, belief.covariance, count)
    read = x[:, State.HOLE] + x[:, State.GAUGE] + model.growth * x[:, State.WARMTH]
    read += np.sqrt(model.reading_variance(0.0012) / 2.0) * draws.standard_normal(count)
    shown = x[:, State.WARMTH] + x[:, State.THERMOMETER]
    shown += model.priors.thermometer.width * np.sqrt(0.5) * draws.standard_normal(count)
    size = read - model.growth * shown - 0.0021
    seen = foresee(ready, judged, 0.12).step.seen
    assert size.mean() - belief.at(State.HOLE) == pytest.approx(seen.off_mm, abs=4.0 * seen.sd_mm / math.sqrt(count))
    assert size.std() == pytest.approx(seen.sd_mm, rel=4.0 / math.sqrt(2.0 * count))
