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
from borewright.sizing.ahead import carried, foresee, measured_next
from borewright.sizing.belief import Belief
from borewright.sizing.choice import Chosen
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.outlook import Odds, Outlook, Step, after_cut
from borewright.sizing.plan import SPLITS, TRIAL_SPLITS, Plan, plan_by, with_under_cost

MOST_PASSES: Final = 4
"""Passes of the longest plan that is compared."""

MOST_WITH_TRIAL: Final = 2
"""Passes of the longest plan with a trial cut."""

PASS_MINUTES: Final = 5.0
"""Minutes that a pass takes, with clearing the chips and closing the guard. Common practice, no source."""

SHORTEST_MINUTES, LONGEST_MINUTES = Decimal("0.1"), Decimal(600)
"""Between these a pass or a measurement may take. Chosen, not measured."""


@dataclass(frozen=True, slots=True)
class Minutes:
    """How long things take.

    Args:
        pass_: one pass, minutes.
        trial: one trial cut without its measurement, minutes.
        measurement: one measurement of two readings, minutes.
        pass_asked: whether somebody said the minutes of a pass; else they are assumed.
        measurement_asked: whether somebody said those of a measurement; else they follow from its cost.
    """

    pass_: float
    trial: float
    measurement: float
    pass_asked: bool = False
    measurement_asked: bool = False


@dataclass(frozen=True, slots=True)
class Way:
    """What a plan has beside its passes.

    Args:
        checked: whether the hole is measured before its first pass.
        trial: whether one of its cuts is a trial cut.
    """

    checked: bool = False
    trial: bool = False


@dataclass(frozen=True, slots=True)
class Course:
    """One plan with all that it is compared by.

    Args:
        way: what it has beside its passes.
        steps: its cuts, next first.
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
        return passes_of(self.steps)

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
        way: what it would have beside its passes.
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
        outlook: what plans are judged by; a trial cut and a measurement take as much of a pass as they cost.
        pass_minutes: minutes a pass, a number or its text; None where nobody said them.
        measurement_minutes: minutes a measurement of two readings, likewise.

    Returns:
        The minutes.

    Raises:
        EntryError: they are no number, or no time that a pass or a measurement can take.
    """
    pass_ = minutes_asked(pass_minutes, "pass_minutes")
    measurement = minutes_asked(measurement_minutes, "measurement_minutes")
    a_pass, costs = PASS_MINUTES if pass_ is None else pass_, outlook.costs
    per_cost = a_pass / costs.pass_ if costs.pass_ > 0.0 else PASS_MINUTES
    return Minutes(
        pass_=a_pass,
        trial=per_cost * costs.trial,
        measurement=per_cost * costs.measurement if measurement is None else measurement,
        pass_asked=pass_ is not None,
        measurement_asked=measurement is not None,
    )


def minutes_asked(given: object, where: str) -> float | None:
    """Read minutes that somebody may have said.

    Args:
        given: a number or its text; None where nobody said them.
        where: the field, for the message.

    Returns:
        The minutes, or None.

    Raises:
        EntryError: they are no number, or no time that anything here can take.
    """
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
    outlook = chosen.outlook
    for checked, start in _starts(belief, chosen):
        found = _cheapest(belief, chosen, start, checked=checked)
        for trial in (False, True):
            way = Way(checked, trial)
            for passes in range(1, MOST_PASSES + 1):
                if (passes, trial) in found:
                    courses.append(_course(found[passes, trial], way, outlook, minutes))
                elif not trial or (outlook.trials and passes <= MOST_WITH_TRIAL):
                    shut.append(Shut(way, passes, _why_shut(belief, start, outlook, passes, trial=trial)))
    cheapest = min(courses, key=lambda course: course.cost, default=None)
    return Compared(tuple(courses), tuple(shut), _advised(courses, chosen), cheapest)


def passes_of(steps: Sequence[Step]) -> int:
    """Count the passes among cuts.

    Args:
        steps: the cuts of a plan.

    Returns:
        How many go through the bore.
    """
    return sum(not step.trial for step in steps)


def _starts(belief: Belief, chosen: Chosen) -> list[tuple[bool, Gaussian]]:
    """List the beliefs that a plan may begin from: as it is and, where the hole is uncut, once it is measured."""
    measures = chosen.action == "measure"
    now = measured_next(belief.now, chosen.outlook, trial=belief.after_trial) if measures else belief.now
    if belief.history or belief.readings or measures:
        return [(False, now)]
    return [(False, now), (True, measured_next(now, chosen.outlook))]


def _stands(belief: Belief, chosen: Chosen) -> bool:
    """Tell whether the advice is to cut with the tool as it was moved."""
    return chosen.action == "cut" and belief.uncut_move


def _cheapest(belief: Belief, chosen: Chosen, start: Gaussian, *, checked: bool) -> dict[tuple[int, bool], Plan]:
    """Return the cheapest plan by its number of passes and whether it has a trial cut; of its kind the advice's own."""
    outlook = with_under_cost(start, chosen.outlook)
    plans = _standing(start, outlook) if _stands(belief, chosen) else _every(start, outlook)
    if chosen.plan is not None and not checked:
        plans.append(chosen.plan)
    found: dict[tuple[int, bool], Plan] = {}
    for plan in sorted(plans, key=lambda one: one.cost):
        kind = passes_of(plan.steps), any(step.trial for step in plan.steps)
        if 0 < kind[0] <= MOST_PASSES:
            found.setdefault(kind, plan)
    if chosen.plan is not None and not checked:
        found[passes_of(chosen.plan.steps), any(step.trial for step in chosen.plan.steps)] = chosen.plan
    return found


def _every(start: Gaussian, outlook: Outlook) -> list[Plan]:
    splits = (*SPLITS, *TRIAL_SPLITS) if outlook.trials else SPLITS
    return [plan for split in splits if (plan := plan_by(start, outlook, split)) is not None]


def _standing(start: Gaussian, outlook: Outlook) -> list[Plan]:
    """Return the plans whose first cut, through the bore or a trial, is made with the tool as it stands."""
    still = replace(outlook, tool_set=True)
    plans: list[Plan] = []
    for trial in (False, True) if outlook.trials else (False,):
        step = foresee(start, still, 0.0, trial=trial).step
        after = measured_next(carried(start, still, 0.0, trial=trial), still, trial=trial)
        following = with_under_cost(after, after_cut(still, step))
        spent = outlook.cost_of(trial=trial)
        over = outlook.costs.scrap * outlook.odds(step.aim_mm, step.sd_mm).oversize
        if not trial:
            plans.append(Plan((step,), spent + outlook.final_cost(step)))
        plans += [
            Plan((step, *plan.steps), spent + over + plan.cost)
            for split in SPLITS
            if (plan := plan_by(after, following, split)) is not None
        ]
    return plans


def _course(plan: Plan, way: Way, outlook: Outlook, minutes: Minutes) -> Course:
    """Add up what a plan comes to: each cut is measured, and a hole under size takes one more pass."""
    costs, passes, trials = outlook.costs, passes_of(plan.steps), len(plan.steps) - passes_of(plan.steps)
    *before, last = plan.steps
    kept = math.prod(1.0 - outlook.odds(step.aim_mm, step.sd_mm).oversize for step in before)
    end = outlook.odds(last.aim_mm, last.sd_mm)
    first = way.checked * costs.measurement
    measured = (len(plan.steps) + way.checked) * minutes.measurement
    taken = passes * minutes.pass_ + trials * minutes.trial + measured
    again = kept * end.undersize * (minutes.pass_ + minutes.measurement)
    spent = first + math.fsum(outlook.cost_of(trial=step.trial) for step in plan.steps)
    return Course(way, plan.steps, 1.0 - kept, end, taken + again, plan.cost + first, spent)


def _why_shut(belief: Belief, start: Gaussian, outlook: Outlook, passes: int, *, trial: bool) -> str:
    if start.at(State.HOLE) >= outlook.model.diameter_mm:
        return "The hole is at the middle of its limits already."
    freed = replace(with_under_cost(start, outlook), unmoved=False, widest_opening_mm=math.inf)
    kinds = {
        (passes_of(plan.steps), any(step.trial for step in plan.steps))
        for plan in _every(start, replace(freed, largest_tool_mm=math.inf))
    }
    if (passes, trial) in kinds:
        return f"{_unshown(belief, outlook)}, so the tool may not be opened that far at once."
    return "A pass would be left too thin to cut well." if passes > 1 or trial else "What is left is too thin to cut."


def _unshown(belief: Belief, outlook: Outlook) -> str:
    """Say what has not been shown yet, of that which holds the tool back now."""
    push_off = math.isfinite(outlook.largest_tool_mm)
    dial = outlook.model.adjuster.kind == "dial" and not outlook.model.priors.proved.value
    adjuster = dial and not belief.moves_shown
    if push_off and adjuster:
        return "Nothing has shown the push-off or the adjuster yet"
    if push_off:
        return "Nothing has shown the push-off yet"
    if adjuster:
        return "No move has shown yet what the adjuster does"
    return "What the bore may also be, beside what is believed, is not told apart yet"


def _advised(courses: Sequence[Course], chosen: Chosen) -> Course | None:
    """Find the plan that the advice follows: its own, or the cheapest that measures the hole first where it says so."""
    if chosen.plan is not None:
        return next((course for course in courses if course.steps is chosen.plan.steps), None)
    begins = [course for course in courses if course.way.checked == (chosen.action == "check_hole")]
    return min(begins, key=lambda course: course.cost, default=None)
