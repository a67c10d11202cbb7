"""What it is worth to find something out: the saving is that of the plan reckoned again, and ranks what is said."""

from __future__ import annotations

from typing import Any

import pytest

from borewright.sizing.bore import Bore
from borewright.sizing.choice import Chosen, choose
from borewright.sizing.costs import Costs
from borewright.sizing.measuring import thermometer_row
from borewright.sizing.plan import Cut, plan_by, with_under_cost
from borewright.sizing.words import say_saving
from borewright.sizing.worth import worth_finding_out
from tests.unit.sizing.plain import bore, expected_reading_mm, outlook_for, read, setting

WARM = {"temperature": {"spread": "4"}}


def chosen(of: Bore) -> Chosen:
    return choose(of.belief, of.model, Costs(), outlook_for(of.model).rule)


def measured(**changed: object) -> Bore:
    """A pass, read so often that nobody asks for the temperature any more."""
    done = bore(*setting(39.75), {"event": "passed", "depth": "full"}, **changed)
    for _ in range(6):
        done.record(read(expected_reading_mm(done)))
    return done


def test_a_saving_is_the_plan_in_hand_reckoned_again() -> None:
    of = measured(**WARM)
    what = chosen(of)
    assert what.plan is not None
    hole, now = of.belief.hole_mm, of.belief.now
    stock = of.model.diameter_mm - hole
    split = tuple(Cut((step.aim_mm - hole) / stock, step.trial) for step in what.plan.steps[:-1])
    warm = now.narrowed(*thermometer_row(of.model))
    plans = [plan_by(each, with_under_cost(each, what.outlook), split) for each in (now, warm)]
    assert all(plan is not None for plan in plans)
    before, after = (plan.cost for plan in plans if plan is not None)
    found = next(one for one in worth_finding_out(of.belief, what) if "temperature" in one.what)
    assert found.saves == pytest.approx(before - after)
    assert found.takes == pytest.approx(0.1)
    assert found.saves > found.takes


def test_the_best_stands_first_by_what_it_saves_less_what_it_takes() -> None:
    for of in (bore(**WARM), measured(**WARM), bore(*setting(39.75), **WARM)):
        found = worth_finding_out(of.belief, chosen(of))
        assert found
        net = [one.saves - one.takes for one in found]
        assert net == sorted(net, reverse=True)
        said: Any = of.advise()["would_help"]
        assert [one["what"] for one in said] == [one.what for one in found[:3]]
        assert [one["saves"] for one in said] == [pytest.approx(one.saves, abs=1e-4) for one in found[:3]]


def test_what_is_known_saves_nothing() -> None:
    bench = "the setting bench"
    unsure = bore(*setting(39.985), tool={"bench": "0.02 mm", "seat": "0.001 mm", "proved": True})
    sure = bore(*setting(39.985), tool={"bench": "0.00001 mm", "seat": "0.001 mm", "proved": True})
    assert bench in {one.about for one in worth_finding_out(unsure.belief, chosen(unsure))}
    assert bench not in {one.about for one in worth_finding_out(sure.belief, chosen(sure))}


def test_nothing_helps_where_nothing_is_to_be_cut() -> None:
    aside = bore({"event": "quarantined", "reason": "a chip"})
    assert worth_finding_out(aside.belief, chosen(aside)) == ()
    assert aside.advise()["would_help"] == []


def test_before_a_reading_it_is_said_what_would_narrow_it() -> None:
    said: Any = bore(*setting(39.75), {"event": "passed", "depth": "full"}).advise()["would_help"]
    assert said
    assert all(one["said"].startswith("narrows it from ") and "saves" not in one for one in said)


@pytest.mark.parametrize(
    ("saves", "takes", "said"),
    [
        (0.4, 0.2, "saves 0.4 of a pass, takes 0.2 of a pass: it pays"),
        (0.2, 3.0, "saves 0.2 of a pass, takes 3.0 passes: it does not pay for this bore"),
        (2.5, 0.0, "saves 2.5 passes, if somebody knows it"),
    ],
)
def test_a_saving_is_said_with_what_it_takes(saves: float, takes: float, said: str) -> None:
    assert say_saving(saves, takes, 1.0) == said
    assert say_saving(10.0 * saves, 10.0 * takes, 10.0) == said
