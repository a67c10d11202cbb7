"""Plans side by side: one to four passes, with and without a checked hole, with and without a trial cut.

Each is the cheapest of its kind from where the bore stands, with its odds, its minutes and its cost, so that a person
can see what the advice weighed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from borewright.record.forms import number_form
from borewright.sizing.belief import Belief
from borewright.sizing.choice import Chosen
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.measuring import reading_row, thermometer_row
from borewright.sizing.model import MOUTH_SD_MM, cut
from borewright.sizing.plan import (
    READINGS,
    Odds,
    Outlook,
    Plan,
    Step,
    change_for,
    first_step,
    freed,
    measured_next,
    most_opening,
    move,
    plans_from,
    with_under_cost,
)

MOST_PASSES: Final = 4
"""Passes of the longest plan that is compared."""

PASS_MINUTES: Final = 5.0
"""Minutes that a pass takes, with clearing the chips and closing the guard. Common practice, no source."""

TRIAL_SHARE: Final = 0.6
"""What a trial cut takes, as a share of a pass. Common practice, no source."""

TRIAL_AT: Final = 0.5
"""How much of the stock the tool stands into when the mouth is tried. Common practice, no source."""

SHORTEST_MINUTES, LONGEST_MINUTES = Decimal("0.1"), Decimal(600)
"""Between these a pass or a measurement may take. Chosen, not measured."""


@dataclass(frozen=True, slots=True)
class Minutes:
    """How long things take.

    Args:
        pass_: one pass, minutes.
        measurement: one measurement of two readings, minutes.
        pass_asked: whether somebody said the minutes of a pass; else they are assumed.
        measurement_asked: whether somebody said those of a measurement; else they follow from its cost.
    """

    pass_: float
    measurement: float
    pass_asked: bool = False
    measurement_asked: bool = False

    @property
    def trial(self) -> float:
        """One trial cut, without its measurement, minutes."""
        return TRIAL_SHARE * self.pass_


@dataclass(frozen=True, slots=True)
class Way:
    """How a plan begins.

    Args:
        checked: whether the hole is measured before its first pass.
        trial: whether a trial cut is made and measured first.
    """

    checked: bool = False
    trial: bool = False


@dataclass(frozen=True, slots=True)
class Course:
    """One plan with all that it is compared by.

    Args:
        way: how it begins.
        steps: the passes, next first.
        lost: probability that a pass before the last makes the hole too large.
        end: odds of the hole after the last pass, where it comes so far.
        minutes: minutes expected, with those for one more pass where it ends under size.
        cost: expected cost, in the unit of the costs.
        spent: what of the cost is time.
    """

    way: Way
    steps: tuple[Step, ...]
    lost: float
    end: Odds
    minutes: float
    cost: float
    spent: float

    @property
    def passes(self) -> int:
        """How many passes it has."""
        return len(self.steps)

    @property
    def too_large(self) -> float:
        """Probability that the hole ends too large, on the way or at the end."""
        return self.lost + (1.0 - self.lost) * self.end.oversize

    @property
    def under(self) -> float:
        """Probability that it ends under size, with one more pass to make."""
        return (1.0 - self.lost) * self.end.undersize


@dataclass(frozen=True, slots=True)
class Shut:
    """A plan that cannot be.

    Args:
        way: how it would begin.
        passes: how many passes it would have.
        why: what is in its way.
    """

    way: Way
    passes: int
    why: str


@dataclass(frozen=True, slots=True)
class Compared:
    """Plans side by side.

    Args:
        courses: those that can be, by way and then by passes.
        shut: those that cannot.
        best: the one that the advice follows; None where nothing is to be cut.
        cheapest: the one of least expected cost; None where there is none.
    """

    courses: tuple[Course, ...]
    shut: tuple[Shut, ...]
    best: Course | None
    cheapest: Course | None


def minutes_of(outlook: Outlook, pass_minutes: object, measurement_minutes: object) -> Minutes:
    """Say how long things take: as asked, else as assumed.

    Args:
        outlook: what plans are judged by; a measurement takes as much of a pass as it costs.
        pass_minutes: minutes a pass, a number or its text; None where nobody said them.
        measurement_minutes: minutes a measurement of two readings, likewise.

    Returns:
        The minutes.

    Raises:
        EntryError: they are no number, or no time that a pass or a measurement can take.
    """
    pass_ = _asked(pass_minutes, "pass_minutes")
    measurement = _asked(measurement_minutes, "measurement_minutes")
    a_pass = PASS_MINUTES if pass_ is None else pass_
    costs = outlook.costs
    by_cost = a_pass * (costs.measurement / costs.pass_ if costs.pass_ > 0.0 else 0.2)
    return Minutes(a_pass, by_cost if measurement is None else measurement, pass_ is not None, measurement is not None)


def _asked(given: object, where: str) -> float | None:
    if given is None:
        return None
    return float(str(number_form(SHORTEST_MINUTES, LONGEST_MINUTES).read(given, None, where)))


def compare(belief: Belief, chosen: Chosen, minutes: Minutes) -> Compared:
    """Compare the plans that are left from where the bore stands.

    Args:
        belief: what is believed.
        chosen: the advice: what is to be done next, and what plans are judged by.
        minutes: how long things take.

    Returns:
        The plans; none where the bore is finished, or is to be released or set aside.
    """
    if chosen.action in {"release", "quarantine", "none"}:
        return Compared((), (), None, None)
    courses: list[Course] = []
    shut: list[Shut] = []
    for way, start, outlook in _starts(belief, chosen):
        found = _best_by_passes(belief, chosen, start, outlook, way)
        for passes in range(1, MOST_PASSES + 1):
            if passes in found:
                courses.append(_course(found[passes], way, outlook, minutes))
            else:
                shut.append(Shut(way, passes, _why_shut(start, outlook, passes)))
    cheapest = min(courses, key=lambda course: course.cost, default=None)
    return Compared(tuple(courses), tuple(shut), _advised(courses, chosen), cheapest)


def after_trial(belief: Gaussian, outlook: Outlook, change_mm: float) -> Gaussian:
    """Carry the belief through a trial cut and the measurement of its land, with the width that this will leave.

    The land is measured as a bore is, with one more error common to its readings: the mouth may read large.

    Args:
        belief: the joint belief before.
        outlook: what plans are judged by.
        change_mm: how far the tool is opened for it, mm on the diameter; its diameter where it is yet to be set.

    Returns:
        The belief after it; the hole itself is uncut.
    """
    model = outlook.model
    tried = cut(move(belief, outlook, change_mm), model, trial=True).belief
    if outlook.thermometer:
        tried = tried.narrowed(*thermometer_row(model))
    variance = model.reading_variance(outlook.scatter_mm) / READINGS + MOUTH_SD_MM**2
    return tried.narrowed(reading_row(model, trial=True), variance)


def _starts(belief: Belief, chosen: Chosen) -> list[tuple[Way, Gaussian, Outlook]]:
    """List how a plan may begin, each with the belief that it begins from."""
    outlook = chosen.outlook
    now = measured_next(belief.now, outlook) if chosen.action == "measure" else belief.now
    uncut = not belief.history
    starts = [(Way(), now, outlook)]
    if uncut and not belief.readings and chosen.action != "measure":
        starts.append((Way(checked=True), measured_next(now, outlook), outlook))
    if not belief.after_trial and not _stands(belief, chosen):
        starts += [
            (Way(way.checked, trial=True), after_trial(start, outlook, _trial_change(start, outlook)), freed(outlook))
            for way, start, _ in tuple(starts)
            if _can_try(start, outlook)
        ]
    return starts


def _stands(belief: Belief, chosen: Chosen) -> bool:
    """Tell whether the advice is to cut with the tool as it was moved."""
    return chosen.action == "cut" and belief.uncut_move


def _trial_change(belief: Gaussian, outlook: Outlook) -> float:
    hole = belief.at(State.HOLE)
    aim = hole + TRIAL_AT * (outlook.model.diameter_mm - hole)
    return min(change_for(belief, outlook, aim), most_opening(belief, outlook))


def _can_try(belief: Gaussian, outlook: Outlook) -> bool:
    """Tell whether a trial cut would take a chip at all."""
    step, _ = first_step(belief, outlook, _trial_change(belief, outlook))
    return not step.rubs


def _best_by_passes(belief: Belief, chosen: Chosen, start: Gaussian, outlook: Outlook, way: Way) -> dict[int, Plan]:
    """Return the cheapest plan of each number of passes; the advice's own stands for its number."""
    plans = _standing(start, outlook) if _stands(belief, chosen) else plans_from(start, outlook)
    found: dict[int, Plan] = {}
    for plan in sorted(plans, key=lambda one: one.cost):
        found.setdefault(len(plan.steps), plan)
    if way == Way() and chosen.plan is not None and not _stands(belief, chosen):
        found[len(chosen.plan.steps)] = chosen.plan
    return {passes: plan for passes, plan in found.items() if passes <= MOST_PASSES}


def _standing(start: Gaussian, outlook: Outlook) -> list[Plan]:
    """Return the plans whose first pass is cut with the tool as it stands."""
    outlook = with_under_cost(start, outlook)
    step, after = first_step(start, replace(outlook, tool_set=True), 0.0)
    costs = outlook.costs
    cost = costs.pass_ + costs.measurement
    over = costs.scrap * outlook.odds(step.aim_mm, step.sd_mm).oversize
    following = plans_from(measured_next(after, outlook), freed(outlook))
    return [
        Plan((step,), cost + outlook.final_cost(step)),
        *(Plan((step, *plan.steps), cost + over + plan.cost) for plan in following),
    ]


def _course(plan: Plan, way: Way, outlook: Outlook, minutes: Minutes) -> Course:
    """Add up what a plan comes to: each pass is measured, and a hole under size takes one more of both."""
    costs, passes = outlook.costs, len(plan.steps)
    *before, last = plan.steps
    kept = math.prod(1.0 - outlook.odds(step.aim_mm, step.sd_mm).oversize for step in before)
    end = outlook.odds(last.aim_mm, last.sd_mm)
    measured = passes + way.checked + way.trial
    first = way.checked * costs.measurement + way.trial * (TRIAL_SHARE * costs.pass_ + costs.measurement)
    taken = passes * minutes.pass_ + measured * minutes.measurement + way.trial * minutes.trial
    again = kept * end.undersize * (minutes.pass_ + minutes.measurement)
    spent = passes * (costs.pass_ + costs.measurement) + first
    return Course(way, plan.steps, 1.0 - kept, end, taken + again, plan.cost + first, spent)


def _why_shut(start: Gaussian, outlook: Outlook, passes: int) -> str:
    middle, hole = outlook.model.diameter_mm, start.at(State.HOLE)
    if passes == 1 and change_for(start, outlook, middle) > most_opening(start, outlook):
        return "No pass has shown the push-off or the adjuster yet, so the tool may not be opened that far at once."
    if hole >= middle:
        return "The hole is at the middle of its limits already."
    return "A pass would be left too thin to cut well." if passes > 1 else "What is left is too thin to cut well."


def _advised(courses: Sequence[Course], chosen: Chosen) -> Course | None:
    """Find the plan that the advice follows: the cheapest that begins as it says."""
    checks = chosen.action == "check_hole"
    begins = [course for course in courses if course.way == Way(checked=checks)]
    if chosen.plan is not None:
        begins = [course for course in begins if course.passes == len(chosen.plan.steps)]
    return min(begins, key=lambda course: course.cost, default=None)
