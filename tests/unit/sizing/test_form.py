"""Form by place: what taper, bell mouth and oval add where a reading was taken, and what of the hole lies beyond."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from borewright.sizing.bore import Bore
from borewright.sizing.form import BELL_SHARE, NOWHERE, Place, beyond_mean, oval_by_chance
from borewright.sizing.gaussian import SIZE, Gaussian, State
from borewright.sizing.measuring import reading_row
from tests.unit.sizing.plain import bore, expected_reading_mm, mm, setting, with_widths

CUT = (*setting(39.995), {"event": "passed"})
FINE = {"step": "0.0005 mm", "scatter": "0.0006 mm", "bias": "0.0005 mm"}
FORM = (State.TAPER, State.BELL, State.OVAL_0, State.OVAL_45)


def read_at(as_read_mm: float, **place: str) -> Mapping[str, object]:
    return {"event": "read", "as_read": mm(as_read_mm), "place": place}


def cut_bore(**changed: object) -> Bore:
    return bore(*CUT, **{"deep": "50 mm", **changed})


def with_form(belief: Gaussian, **values: tuple[float, float]) -> Gaussian:
    for name, (mean, sd) in values.items():
        belief = belief.redrawn(State[name], mean, sd)
    return belief


@pytest.mark.parametrize(
    ("depth", "direction", "adds"),
    [
        (25.0, None, 0.004 * math.exp(-0.5 / BELL_SHARE)),
        (0.0, None, -0.003 + 0.004),
        (50.0, None, 0.003 + 0.004 * math.exp(-1.0 / BELL_SHARE)),
        (None, 0.0, 0.001),
        (None, 90.0, -0.001),
        (None, 45.0, 0.0025),
        (None, 20.0, 0.001 * math.cos(math.radians(40.0)) + 0.0025 * math.sin(math.radians(40.0))),
    ],
)
def test_a_reading_is_of_its_place(depth: float | None, direction: float | None, adds: float) -> None:
    """Of a bore 50 mm deep, 6 µm wider below, 4 µm at its very mouth, 2 µm oval across 0 and 5 µm across 45 degrees."""
    model = cut_bore().model
    form = np.zeros(SIZE)
    form[[*FORM]] = (0.006, 0.004, 0.002, 0.005)
    assert float(reading_row(model, place=Place(depth, direction)) @ form) == pytest.approx(adds, abs=1e-12)


def test_a_depth_without_the_bores_counts_it_as_deep_as_it_is_wide() -> None:
    assert bore().model.deep_mm == 40.0
    assert bore(deep="12 mm").model.deep_mm == 12.0
    assert reading_row(bore().model, place=Place(40.0))[State.TAPER] == pytest.approx(0.5)


def test_an_oval_met_by_chance_is_one_whose_direction_was_not_said() -> None:
    model = bore(ovality="0.004 mm").model
    assert oval_by_chance(model, NOWHERE) == pytest.approx(0.004**2 / 8.0)
    assert oval_by_chance(model, Place(10.0)) == pytest.approx(0.004**2 / 8.0)
    assert oval_by_chance(model, Place(None, 30.0)) == 0.0


def test_a_direction_tells_as_much_of_a_reading_as_chance_takes() -> None:
    """Summed over all directions, the oval believed adds the same variance as the oval met by chance."""
    model = bore(ovality="0.004 mm").model
    belief = bore(ovality="0.004 mm").belief.now
    rows = [reading_row(model, place=Place(None, direction)) for direction in range(0, 180, 5)]
    plain = reading_row(model)
    added = np.mean([row @ belief.covariance @ row - plain @ belief.covariance @ plain for row in rows])
    assert added == pytest.approx(0.004**2 / 8.0, rel=1e-9)


def test_readings_at_both_ends_show_a_taper_and_where_its_mean_lies() -> None:
    worked = cut_bore()
    middle = expected_reading_mm(worked)
    for depth, off in (("10", -0.0024), ("40", 0.0024), ("10", -0.0024), ("40", 0.0024)):
        worked.record(read_at(round(middle + off, 4), depth=depth))
    now = worked.belief.now
    assert now.at(State.TAPER) > 0.0035
    assert now.sd(State.TAPER) < 0.0015
    assert worked.belief.hole_mm == pytest.approx(middle, abs=0.001)
    assert worked.belief.doubts == ()


def test_readings_across_show_an_oval_and_never_its_sense_by_chance() -> None:
    worked = cut_bore(ovality="0.006 mm")
    middle = expected_reading_mm(worked)
    for _ in range(2):
        for direction, off in (("0", 0.003), ("90", -0.003)):
            worked.record(read_at(round(middle + off, 4), direction_deg=direction))
    assert worked.belief.now.at(State.OVAL_0) == pytest.approx(0.006, abs=0.0015)
    assert worked.belief.now.at(State.OVAL_45) == pytest.approx(0.0, abs=1e-9)


def test_a_pass_copies_form_by_dp_ds_and_adds_its_own() -> None:
    worked = cut_bore()
    before = with_form(worked.belief.now, TAPER=(0.010, 0.0), OVAL_0=(0.008, 0.001))
    worked._belief = replace(worked.belief, now=before)  # a form that no reading would give so sharply
    worked.record({"event": "moved", "lines": "100"})
    worked.record({"event": "passed"})
    line, now, priors = worked.belief.line, worked.belief.now, worked.model.priors
    assert line is not None
    assert 0.0 < line.copied < 0.2
    assert now.at(State.TAPER) == pytest.approx(0.010 * line.copied)
    assert now.sd(State.TAPER) == pytest.approx(priors.taper.width)
    oval = math.hypot(0.001 * line.copied, priors.ovality.width * math.sqrt(0.5))
    assert now.sd(State.OVAL_0) == pytest.approx(oval, rel=1e-9)


def test_a_trial_cut_leaves_the_form_of_the_hole() -> None:
    worked = bore(*setting(39.9), {"event": "passed", "depth": "trial"})
    start = bore().belief.now
    for state in FORM:
        assert worked.belief.now.sd(state) == start.sd(state)


def test_beyond_the_mean_is_what_samples_of_the_form_reach() -> None:
    """Against the mean of 200,000 sampled holes: half the oval, half the taper, the bell where it is open."""
    worked = cut_bore()
    believed = {"TAPER": (0.004, 0.002), "BELL": (0.001, 0.003), "OVAL_0": (0.003, 0.001), "OVAL_45": (-0.002, 0.001)}
    belief = with_form(worked.belief.now, **believed)
    above, below = beyond_mean(belief, with_widths(worked.model), along=True, across=True)
    draws = np.random.default_rng(5).standard_normal((200_000, 4))
    taper, bell, first, second = (mean + sd * z for (mean, sd), z in zip(believed.values(), draws.T, strict=True))
    oval = 0.5 * np.hypot(first, second)
    error = 4.0 * 0.004 / math.sqrt(len(draws))
    assert above == pytest.approx(np.mean(oval + 0.5 * np.abs(taper) + np.maximum(bell, 0.0)), abs=error)
    assert below == pytest.approx(np.mean(oval + 0.5 * np.abs(taper) + np.maximum(-bell, 0.0)), abs=error)


def test_an_oval_that_nobody_looked_at_is_that_of_any_pass() -> None:
    worked = cut_bore(ovality="0.003 mm")
    assert beyond_mean(worked.belief.now, worked.model, along=False, across=False) == (worked.model.form_mm,) * 2
    looked = beyond_mean(worked.belief.now, worked.model, along=False, across=True)
    assert looked[0] == pytest.approx(worked.model.form_mm, rel=0.02)


def test_a_tapered_hole_is_not_released_by_its_middle() -> None:
    """In the middle of its limits by its mean, its ends 6 µm off it either way: with ±8 µm that is not shown in."""
    straight, tapered = (
        cut_bore(gauge={"step": "0.0005 mm", "scatter": "0.0006 mm", "bias": "0.0005 mm"}) for _ in "12"
    )
    for worked, off in ((straight, 0.0), (tapered, 0.0054)):
        for depth, sign in (("2.5", -1), ("47.5", 1), ("2.5", -1), ("47.5", 1)):
            worked.record(read_at(40.0 + sign * off, depth=depth))
    judged = [worked.advise()["release"] for worked in (straight, tapered)]
    assert judged[0]["verdict"] == "in"  # type: ignore[index]
    assert judged[1]["verdict"] != "in"  # type: ignore[index]
