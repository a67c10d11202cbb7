"""Plans side by side as plain values, and in a sentence why one of them is advised."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from borewright.quantity.length import Unit
from borewright.quantity.odds import say_odds
from borewright.quantity.show import show_length
from borewright.sizing.belief import Belief
from borewright.sizing.choice import Chosen
from borewright.sizing.priors import COMMON, NORMAL_95
from borewright.sizing.side_by_side import Compared, Course, Minutes, Way, compare, minutes_of
from borewright.sizing.words import WHY, say_cost

COUNTS: Final = ("no", "one", "two", "three", "four")
ORDINALS: Final = ("", "first", "second", "third", "fourth", "fifth")

ASKED: Final = "as asked"
BY_COST: Final = "assumed: as much of a pass as it costs"

BEGINNINGS: Final = {
    Way(): "straight on",
    Way(checked=True): "hole measured first",
    Way(trial=True): "with a trial cut",
    Way(checked=True, trial=True): "hole measured first, with a trial cut",
}
"""What a plan has beside its passes, in the trade's words."""

WITH: Final = {
    Way(): "straight on",
    Way(checked=True): "with the hole measured first",
    Way(trial=True): "with a trial cut",
    Way(checked=True, trial=True): "with the hole measured first and a trial cut",
}
"""The same behind a number of passes."""

WORTH_SAYING: Final = 0.05
"""Difference of two costs, in passes, below which nobody would choose by it. Chosen, not measured."""

UNLIKE: Final = 1.15
"""How many times as likely a loss must be before it is called likelier. Chosen, not measured."""


def plans_plain(
    belief: Belief,
    chosen: Chosen,
    unit: Unit,
    *,
    pass_minutes: object = None,
    measurement_minutes: object = None,
) -> dict[str, object]:
    """Compare the plans that are left and say all that belongs to them.

    Args:
        belief: what is believed.
        chosen: the advice.
        unit: unit to show lengths in.
        pass_minutes: minutes a pass, a number or its text; None where nobody said them.
        measurement_minutes: minutes a measurement of two readings, likewise.

    Returns:
        Plain values: lengths as text with their unit, odds as numbers from 0 to 1.

    Raises:
        EntryError: the minutes are no number, or no time that a pass or a measurement can take.
    """
    minutes = minutes_of(chosen.outlook, pass_minutes, measurement_minutes)
    compared = compare(belief, chosen, minutes)
    return {
        "unit": unit,
        "state": belief.stage,
        "action": chosen.action,
        "why": why_advised(compared, chosen),
        "minutes": _minutes_plain(minutes),
        "plans": [_course_plain(course, compared, chosen.outlook.costs.pass_, unit) for course in compared.courses],
        "shut": [{"passes": shut.passes, **_way_plain(shut.way), "why": shut.why} for shut in compared.shut],
    }


def why_advised(compared: Compared, chosen: Chosen) -> str:
    """Say in a sentence why a plan is advised: what a pass less would risk, and what a pass more would take.

    Args:
        compared: the plans.
        chosen: the advice.

    Returns:
        A sentence or two; where nothing is to be cut, why not.
    """
    best, pass_ = compared.best, chosen.outlook.costs.pass_
    if best is None:
        return WHY[chosen.ground] if not compared.courses else "No plan here follows what is to be done next."
    clauses = [
        *_fewer(compared, best, pass_),
        *_more(compared, best),
        *_first(compared, best, pass_),
        *_trial(compared, best, pass_),
    ]
    said = f"{_passes(best.passes)}: {'; '.join(clauses)}." if clauses else _alone(compared, best)
    return f"{said}{_cheaper(compared, best, pass_)}"


def _alone(compared: Compared, best: Course) -> str:
    """Say of a plan that nothing can be held against why it is the one."""
    one = f"{_passes(best.passes)}{'' if best.way == Way() else f' {WITH[best.way]}'}"
    if len(compared.courses) == 1:
        return f"{one}: no other plan is allowed from here."
    verb = "costs" if best.passes == 1 else "cost"
    return f"{one} {verb} least." if best is compared.cheapest else f"{one}, as is advised."


def _fewer(compared: Compared, best: Course, pass_: float) -> Iterable[str]:
    other = _beside(compared, best, best.passes - 1, best.way)
    if other is None:
        found = [shut.why for shut in compared.shut if (shut.passes, shut.way) == (best.passes - 1, best.way)]
        yet = " yet" if any("yet" in why for why in found) else ""
        if found:
            yield f"one is not allowed{yet}" if best.passes == 2 else f"{COUNTS[best.passes - 1]} are not allowed{yet}"
        return
    if other.too_large > UNLIKE * best.too_large:
        yield f"with {COUNTS[other.passes]}, {say_odds(other.too_large)} of holes would come out over size"
    elif other.cost - best.cost > WORTH_SAYING * pass_:
        yield f"with {COUNTS[other.passes]}, {say_odds(other.under)} of holes would come out under size"


def _more(compared: Compared, best: Course) -> Iterable[str]:
    other = _beside(compared, best, best.passes + 1, best.way)
    if other is None:
        return
    spared = best.too_large - other.too_large
    spares = f"{say_odds(spared)} of holes" if spared > 1e-4 else "nothing to speak of"
    yield f"a {ORDINALS[other.passes]} would take {other.minutes - best.minutes:.0f} minutes and spare {spares}"


def _first(compared: Compared, best: Course, pass_: float) -> Iterable[str]:
    if not best.way.checked:
        return
    other = _beside(compared, best, best.passes, Way(trial=best.way.trial))
    if other is not None and other.cost - best.cost > WORTH_SAYING * pass_:
        yield f"measuring the hole first saves {say_cost(other.cost - best.cost, pass_)}"


def _trial(compared: Compared, best: Course, pass_: float) -> Iterable[str]:
    if not best.way.trial:
        return
    without = [one for one in compared.courses if one.way == Way(checked=best.way.checked)]
    other = min(without, key=lambda one: one.cost, default=None)
    if other is not None and other.cost - best.cost > WORTH_SAYING * pass_:
        yield f"the trial cut saves {say_cost(other.cost - best.cost, pass_)}"


def _cheaper(compared: Compared, best: Course, pass_: float) -> str:
    """Say it where another plan would cost less than the one that is advised: the reader sees both numbers anyway."""
    other = compared.cheapest
    if other is None or other is best or best.cost - other.cost < WORTH_SAYING * pass_:
        return ""
    less = say_cost(best.cost - other.cost, pass_)
    return f" By this reckoning {COUNTS[other.passes]} {WITH[other.way]} would cost {less} less."


def _beside(compared: Compared, best: Course, passes: int, way: Way) -> Course | None:
    return next((one for one in compared.courses if one is not best and (one.passes, one.way) == (passes, way)), None)


def _passes(count: int) -> str:
    return f"{COUNTS[count].capitalize()} {'pass' if count == 1 else 'passes'}"


def _way_plain(way: Way) -> dict[str, object]:
    return {"checked": way.checked, "trial": way.trial, "begins": BEGINNINGS[way]}


def _minutes_plain(minutes: Minutes) -> dict[str, object]:
    return {
        "pass": {"minutes": minutes.pass_, "origin": ASKED if minutes.pass_asked else COMMON},
        "measurement": {
            "minutes": round(minutes.measurement, 3),
            "origin": ASKED if minutes.measurement_asked else BY_COST,
        },
        "trial": {"minutes": round(minutes.trial, 3), "origin": BY_COST},
    }


def _course_plain(course: Course, compared: Compared, pass_: float, unit: Unit) -> dict[str, object]:
    return {
        "passes": course.passes,
        **_way_plain(course.way),
        "advised": course is compared.best,
        "cheapest": course is compared.cheapest,
        "steps": [
            {
                "trial": step.trial,
                "depth": show_length(step.depth_mm, unit),
                "push_off": show_length(step.push_off_mm, unit),
                "leaves": {
                    "size": show_length(step.aim_mm, unit),
                    "low": show_length(step.aim_mm - NORMAL_95 * step.sd_mm, unit),
                    "high": show_length(step.aim_mm + NORMAL_95 * step.sd_mm, unit),
                },
            }
            for step in course.steps
        ],
        "odds": {
            "oversize": round(course.end.oversize, 6),
            "in_tolerance": round(course.end.in_tolerance, 6),
            "undersize": round(course.end.undersize, 6),
        },
        "lost": round(course.lost, 6),
        "too_large": round(course.too_large, 6),
        "minutes": round(course.minutes, 1),
        "cost": round(course.cost, 4),
        "spent": round(course.spent, 4),
        "said": say_cost(course.cost, pass_),
    }
