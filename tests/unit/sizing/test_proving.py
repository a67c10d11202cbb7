"""What further readings may show: chances against samples, and ways that cannot help."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from numpy.random import default_rng

from borewright.gauging.conformity import Rule
from borewright.sizing.bore import Bore
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import State
from borewright.sizing.judging import judge
from borewright.sizing.measuring import reading_row
from borewright.sizing.proving import MOST_READINGS, Further, How, best_u, by_setting, inside, size_of, ways_on
from tests.unit.sizing.plain import Entry, bore, readings, setting, temperature

PASS: Entry = {"event": "passed"}
PROOF = Rule("proof")
NEAR_MM = 40.006
"""Where two readings do not show 40 ±0.008 to be in, and more of them may."""


def near(*entries: Entry) -> Bore:
    """A bore whose two readings leave it not shown in."""
    worked = bore(
        *setting(40.02),
        PASS,
        temperature(20.0),
        hole={"size": "39.75 mm", "within": "0.004 mm"},
        ovality="0 mm",
    )
    for entry in (*readings([NEAR_MM, NEAR_MM]), *entries):
        worked.record(entry)
    return worked


def sampled(worked: Bore, *, anew: bool, count: int) -> float:
    """The chance that further readings show the bore in, by drawing the bore, the new settings and the readings."""
    belief, model, draws = worked.belief, worked.model, default_rng(7)
    row = reading_row(model)
    own = model.reading_variance(belief.gauge_scatter_mm)
    if anew:
        row[State.GAUGE] = 0.0
    state = draws.multivariate_normal(belief.now.mean, belief.now.covariance, 4000)
    shown_in = 0
    for mean in state @ row:
        entries: list[Entry] = []
        for _ in range(count):
            bias = draws.normal(0.0, model.priors.gauge_setting.width) if anew else 0.0
            if anew:
                entries.append({"event": "set_on", "size": "40 mm"})
            entries += readings((mean + bias + sqrt(own) * draws.standard_normal(2)).tolist())
        again = worked.twin()
        settings = by_setting(belief, model, PROOF)
        taken = np.array([float(str(entry["as_read"]).split()[0]) for entry in entries if "as_read" in entry])
        groups = settings if anew else settings[:-1]
        if anew:
            width = model.priors.gauge_setting.width
            groups = [*settings, *(type(settings[0])(tuple(pair), 0.0, width) for pair in taken.reshape(count, 2))]
        else:
            last = settings[-1]
            groups = [*groups, type(last)((*last.as_read_mm, *taken.tolist()), last.shows_more_mm, last.sd_mm)]
        size = size_of(groups, again.belief, model)
        shown_in += PROOF.judge(size.mm, size.u_mm, model.lower_mm, model.upper_mm)[0] == "in"
    return shown_in / len(state)


@pytest.mark.parametrize(("anew", "count"), [(False, 1), (False, 2), (True, 1), (True, 2)])
def test_the_chance_to_show_it_in_is_that_of_samples(anew: bool, count: int) -> None:
    worked = near()
    assert judge(worked.belief, worked.model, PROOF) is not None
    how: How = "set anew" if anew else "could be shown"
    ways = {(way.how, way.measurements): way.shown_in for way in ways_on(worked.belief, worked.model, PROOF)}
    chance = ways[how, count]
    assert 0.02 < chance < 0.98
    assert chance == pytest.approx(sampled(worked, anew=anew, count=count), abs=4.0 * sqrt(0.25 / 4000) + 0.01)


def test_a_setting_anew_shows_more_than_as_many_readings_of_the_old_one() -> None:
    ways = {(way.how, way.measurements): way for way in ways_on(near().belief, near().model, PROOF)}
    assert ways["set anew", 2].shown_in > ways["could be shown", 2].shown_in
    assert near().advise()["measure"] == {"setting": "anew"}


def test_once_set_anew_it_is_read_twice_before_anything_else() -> None:
    worked = near({"event": "set_on", "size": "40 mm"})
    for _ in range(2):
        advice = worked.advise()
        assert advice["action"] == "measure"
        assert advice["measure"] == {"setting": "same"}
        worked.record(readings([NEAR_MM])[0])


def test_more_settings_leave_less_to_doubt_down_to_what_they_share() -> None:
    worked = near()
    one, two, many = (best_u(worked.belief, worked.model, count) for count in (1, 2, 400))
    assert one > two > many
    step, warm = 0.001 / sqrt(12.0), worked.model.growth * 0.4
    assert many == pytest.approx(sqrt(step**2 + warm**2), rel=0.02)
    assert inside(two, worked.model, PROOF) == pytest.approx(1.6449 * two, rel=1e-3)


def test_enough_is_enough() -> None:
    worked = near(*readings([40.007] * (MOST_READINGS - 2)))
    assert ways_on(worked.belief, worked.model, PROOF) == []
    assert worked.advise()["action"] == "quarantine"


def test_a_way_is_paid_for_and_where_it_fails_what_follows_too() -> None:
    assert Further("set anew", 2, 0.75).cost(Costs(), 60.0) == pytest.approx(2 * 0.2 + 0.25 * 60.0)
