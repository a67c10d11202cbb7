"""Plans side by side: what each comes to, how it may begin, and which of them the advice follows."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from borewright.errors import EntryError
from borewright.quantity.odds import say_odds
from borewright.sizing.ahead import measured_next
from borewright.sizing.bore import Bore
from borewright.sizing.choice import Chosen, choose
from borewright.sizing.costs import Costs
from borewright.sizing.plan import SPLITS, plan_by, with_under_cost
from borewright.sizing.plan_words import why_advised
from borewright.sizing.side_by_side import (
    MOST_PASSES,
    MOST_WITH_TRIAL,
    Compared,
    Way,
    compare,
    minutes_of,
)
from borewright.sizing.words import say_cost
from tests.unit.sizing.plain import bore, expected_reading_mm, outlook_for, read, setting

CHECKED = {"event": "hole_checked", "as_read": "39.4 mm"}
CUT = (*setting(39.75), {"event": "passed", "depth": "full"})


def chosen(of: Bore, **costs: float) -> Chosen:
    return choose(of.belief, of.model, Costs(**costs), outlook_for(of.model).rule)


def compared(of: Bore, **costs: float) -> Compared:
    what = chosen(of, **costs)
    return compare(of.belief, what, minutes_of(what.outlook, None, None))


def plain(of: Bore, **asked: object) -> Mapping[str, Any]:
    return of.plans(**asked)  # type: ignore[arg-type]


def measured() -> Bore:
    """Return a bore after a first pass, read twice where it was expected."""
    done = bore(*CUT)
    for _ in range(2):
        done.record(read(expected_reading_mm(done)))
    return done


def test_every_number_of_passes_stands_beside_every_beginning_or_is_said_to_be_shut() -> None:
    found = compared(bore())
    pairs = [(one.passes, one.way) for one in found.courses] + [(one.passes, one.way) for one in found.shut]
    assert len(pairs) == len(set(pairs)) == 2 * (MOST_PASSES + MOST_WITH_TRIAL)
    assert {one.passes for one in found.courses} <= {1, 2, 3, 4}
    assert all(shut.why.endswith(".") for shut in found.shut)


def test_each_is_the_cheapest_of_its_kind() -> None:
    of = bore()
    what = chosen(of)
    start = measured_next(of.belief.now, what.outlook)
    outlook = with_under_cost(start, what.outlook)
    by_hand = [plan for split in SPLITS if (plan := plan_by(start, outlook, split)) is not None]
    for course in compared(of).courses:
        if course.way == Way(checked=True):
            least = min(plan.cost for plan in by_hand if len(plan.steps) == course.passes)
            assert course.cost == pytest.approx(least + what.outlook.costs.measurement)


def test_minutes_and_time_add_up() -> None:
    of = bore()
    what = chosen(of)
    minutes = minutes_of(what.outlook, 4, "1.5")
    for one in compare(of.belief, what, minutes).courses:
        looks = one.passes + one.way.checked + one.way.trial
        planned = one.passes * 4 + looks * 1.5 + one.way.trial * 0.6 * 4
        assert one.minutes == pytest.approx(planned + one.under * 5.5)
        assert one.spent == pytest.approx(one.passes + one.way.trial * 0.6 + 0.2 * looks)
        assert one.spent < one.cost


def test_odds_on_the_way_and_at_the_end_are_those_of_the_passes() -> None:
    of = bore(callout="40 ±0.004 mm", push_off={"guess": "0.05 mm", "at": "0.25 mm", "factor": "3"})
    what = chosen(of)
    for one in compared(of).courses:
        over = [what.outlook.odds(step.aim_mm, step.sd_mm).oversize for step in one.steps]
        assert 1.0 - one.lost == pytest.approx(math.prod(1.0 - each for each in over[:-1]))
        assert one.too_large == pytest.approx(1.0 - math.prod(1.0 - each for each in over))
        assert one.too_large + one.under < 1.0


def test_a_hole_that_was_measured_is_not_to_be_measured_first() -> None:
    ways = {one.way for one in compared(bore(CHECKED)).courses}
    assert ways == {Way(), Way(trial=True)}
    assert {one.way for one in compared(measured()).courses} == {Way(), Way(trial=True)}


def test_the_advice_is_among_them() -> None:
    for of in (bore(CHECKED), measured()):
        advice, found = of.advise(), plain(of)
        best = next(plan for plan in found["plans"] if plan["advised"])
        assert len(best["steps"]) == advice["passes_left"]
        assert best["cost"] == advice["cost"]
        assert [step["leaves"]["size"] for step in best["steps"]] == advice["aims"]


def test_where_the_hole_is_to_be_measured_the_cheapest_that_begins_so_is_advised() -> None:
    of = bore()
    what = replace(chosen(of), action="check_hole", plan=None, step=None)
    found = compare(of.belief, what, minutes_of(what.outlook, None, None))
    assert found.best is not None
    assert found.best.way.checked
    assert found.best.cost == min(one.cost for one in found.courses if one.way.checked)


def test_a_tool_that_was_moved_is_compared_as_it_stands() -> None:
    moved = bore(CHECKED, *setting(39.75))
    assert moved.advise()["action"] == "cut"
    found = compared(moved)
    assert {one.steps[0].change_mm for one in found.courses} == {0.0}
    assert found.best is not None
    assert len(found.best.steps) == moved.advise()["passes_left"]
    assert not any(one.way.checked for one in found.courses)


def test_a_pass_that_is_not_measured_is_compared_as_if_it_were() -> None:
    cut = bore(*CUT)
    assert cut.advise()["action"] == "measure"
    after = measured()
    for one, other in zip(compared(cut).courses, compared(after).courses, strict=False):
        if one.way == Way() and one.passes > 1:
            assert one.too_large == pytest.approx(other.too_large, rel=0.1, abs=1e-6)


def test_nothing_is_compared_where_nothing_is_to_be_cut() -> None:
    aside = bore({"event": "quarantined", "reason": "a chip"})
    assert plain(aside)["plans"] == []
    assert plain(aside)["why"] == "The bore is set aside; reopen it to go on."


def test_one_pass_is_shut_while_nobody_knows_the_push_off() -> None:
    found = plain(bore())
    assert "may not be opened that far" in next(shut for shut in found["shut"] if shut["passes"] == 1)["why"]
    thin = plain(bore(hole={"size": "39.93 mm", "within": "0.004 mm"}))
    assert any("too thin" in shut["why"] for shut in thin["shut"])


def test_the_sentence_says_what_a_pass_less_risks_and_a_pass_more_takes() -> None:
    of = bore(
        push_off={"guess": "0.07 mm", "at": "0.25 mm", "factor": "2"},
        callout="40 ±0.006 mm",
        tool={"bench": "0.004 mm", "seat": "0.004 mm", "proved": True},
    )
    what = chosen(of)
    found = compare(of.belief, what, minutes_of(what.outlook, None, None))
    by_kind = {(one.passes, one.way): one for one in found.courses}
    three, cheaper = by_kind[3, Way()], by_kind[4, Way()]
    said = why_advised(replace(found, best=three, cheapest=cheaper), what)
    two = say_odds(by_kind[2, Way()].too_large)
    spared = say_odds(three.too_large - by_kind[4, Way()].too_large)
    less = say_cost(three.cost - cheaper.cost, 1.0)
    assert said == (
        f"Three passes: with two, {two} of holes would come out over size; a fourth would take 6 minutes and spare "
        f"{spared} of holes. By this reckoning four straight on would cost {less} less."
    )


def test_minutes_are_assumed_until_they_are_asked() -> None:
    assumed, asked = plain(bore())["minutes"], plain(bore(), pass_minutes=8)["minutes"]
    assert assumed["pass"] == {"minutes": 5.0, "origin": "assumed: common practice, no source"}
    assert assumed["measurement"]["minutes"] == pytest.approx(1.0)
    assert asked["pass"] == {"minutes": 8.0, "origin": "as asked"}
    assert asked["measurement"]["minutes"] == pytest.approx(1.6)
    assert asked["measurement"]["origin"].startswith("assumed")


@pytest.mark.parametrize("given", ["0", "-3", "601", "soon", True, float("nan"), [4]])
@pytest.mark.parametrize("field", ["pass_minutes", "measurement_minutes"])
def test_minutes_that_cannot_be_are_refused(field: str, given: object) -> None:
    with pytest.raises(EntryError) as caught:
        plain(bore(), **{field: given})
    assert caught.value.where == field
    assert caught.value.right


@pytest.mark.parametrize(
    ("cost", "pass_", "said"),
    [
        (2.44, 1.0, "2.4 passes"),
        (3.0, 10.0, "0.3 of a pass"),
        (0.96, 1.0, "1.0 passes"),
        (0.04, 1.0, "less than 0.1 of a pass"),
    ],
)
def test_costs_are_said_in_passes(cost: float, pass_: float, said: str) -> None:
    assert say_cost(cost, pass_) == said
