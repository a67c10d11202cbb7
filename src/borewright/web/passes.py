"""The Passes page: the plans that are left, each as its strip, with what it takes and what it risks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from borewright.errors import EntryError
from borewright.quantity.length import Unit
from borewright.quantity.odds import say_odds
from borewright.shop.kept import Kept, since_opening
from borewright.sizing.bore import Bore
from borewright.sizing.taught_push_off import cut_of_bore
from borewright.web.cut import CutView, cut_view
from borewright.web.cuts import count_words
from borewright.web.minutes import Field, by_reason, fields_of
from borewright.web.panel import numbers_of
from borewright.web.pictures import Picture, Pictures, large_strips, small_strip, strip_of
from borewright.web.plain import Plain, between, group, groups, which_of
from borewright.web.story import passes_of

ASKS: Final = (
    ("pass_minutes", "A pass takes", "pass"),
    ("measurement_minutes", "A measurement takes", "measurement"),
)

TRIAL: Final = "trial cut"
"""What a cut is called that leaves a land at the mouth alone."""

BEGINNINGS: Final[Mapping[tuple[bool, bool], str]] = {
    (False, False): "without a trial cut",
    (True, False): "hole measured first",
    (False, True): "with a trial cut",
    (True, True): "hole measured first, with a trial cut",
}
"""How plans begin, by whether the hole is measured first and whether there is a trial cut."""


@dataclass(frozen=True, slots=True)
class Leaves:
    """One pass of a plan.

    Args:
        size: the size that it is meant to leave.
        between: what that lies between, 95 times in 100.
        what: ``pass``, or ``trial cut``.
        depth: depth set.
        push_off: push-off expected.
    """

    size: str
    between: str
    what: str
    depth: str
    push_off: str


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One plan.

    Args:
        passes: how many passes.
        begins: how it begins.
        advised: whether the advice follows it.
        cheapest: whether it is expected to cost least.
        minutes: minutes expected, whole.
        too_large: odds of a hole too large.
        under: odds of a hole that wants one more pass.
        on_the_way: odds that it is lost before the last pass.
        cost: the cost in passes.
        strip: its strip in miniature.
        leaves: its passes.
    """

    passes: int
    begins: str
    advised: bool
    cheapest: bool
    minutes: str
    too_large: str
    under: str
    on_the_way: str
    cost: str
    strip: Picture
    leaves: tuple[Leaves, ...]

    @property
    def count(self) -> str:
        """Its cuts, counted as on every other page."""
        return count_words(self.passes, sum(one.what == TRIAL for one in self.leaves))


@dataclass(frozen=True, slots=True)
class PassesView:
    """The Passes page of a bore.

    Args:
        bore: its name in the record.
        name: what it is called.
        which: its name in the record where what it is called does not tell it; else empty.
        callout: what the drawing asks, as written.
        unit: the unit shown.
        numbers: the number of the last event by kind of stream, as JSON.
        state: the state the work is in.
        why: why the plan is advised that is.
        advised: that plan; None where nothing is to be cut.
        strips: its strip, by width.
        beginnings: every plan, by how it begins.
        shut: plans that cannot be, by what is in their way.
        minutes: how long things take.
        problem: what is wrong with the minutes that were asked; empty where nothing is.
        rehearsed: whether a simulated machine stands behind it.
        cut: the physics of the passes of that plan, where it was opened with its cut.
        taught: what measured passes showed of push-off against physics, a sentence each.
    """

    bore: str
    name: str
    which: str
    callout: str
    unit: Unit
    numbers: str
    state: str
    why: str
    advised: PlanLine | None
    strips: Pictures
    beginnings: tuple[tuple[str, tuple[PlanLine, ...]], ...]
    shut: tuple[tuple[str, str], ...]
    minutes: tuple[Field, ...]
    problem: str
    rehearsed: bool
    cut: CutView | None
    taught: tuple[str, ...]


def passes_view(
    bore_id: str,
    bore: Bore,
    history: Sequence[Kept],
    *,
    unit: Unit | None = None,
    pass_minutes: str | None = None,
    measurement_minutes: str | None = None,
    rehearsed: bool = False,
) -> PassesView:
    """Make the view of the plans that are left.

    Args:
        bore_id: the bore's name in the record.
        bore: the bore as it stands.
        history: everything on record of its bore, tool and gauge, in the order it was stored.
        unit: unit to show lengths in; the bore's own where it is left out.
        pass_minutes: minutes that a pass takes, as typed; assumed where there are none.
        measurement_minutes: minutes that a measurement takes, likewise.
        rehearsed: whether a simulated machine stands behind it.

    Returns:
        The view.
    """
    shown_in, problem = unit or bore.unit, ""
    try:
        compared = bore.plans(
            shown_in, pass_minutes=pass_minutes or None, measurement_minutes=measurement_minutes or None
        )
    except EntryError as error:
        compared, problem = bore.plans(shown_in), f"{error.given}: {error.wrong} {error.right}"
    story = passes_of(since_opening(history), bore.belief, shown_in, bore.model.growth)

    def strip(plan: Plain) -> Pictures:
        return large_strips(strip_of(bore, shown_in, _as_advice(plan), story))

    def line(plan: Plain) -> PlanLine:
        return _line(plan, small_strip(strip_of(bore, shown_in, _as_advice(plan), story)))

    plans = groups(compared, "plans")
    best = next((plan for plan in plans if plan["advised"]), None)
    names = tuple(dict.fromkeys(_begins(plan) for plan in plans))
    given, physics = bore.opening.given, cut_of_bore(bore, compared, shown_in)
    return PassesView(
        bore=bore_id,
        name=given.name or bore_id,
        which=which_of(bore_id, given.name),
        callout=given.callout,
        unit=shown_in,
        numbers=numbers_of(bore),
        state=bore.state,
        why=str(compared["why"]),
        advised=None if best is None else line(best),
        strips=() if best is None else strip(best),
        beginnings=tuple((name, tuple(line(plan) for plan in plans if _begins(plan) == name)) for name in names),
        shut=by_reason(
            (f"{count_words(int(str(plan['passes'])), 0)} {_begins(plan)}", str(plan["why"]))
            for plan in groups(compared, "shut")
        ),
        minutes=fields_of(group(compared, "minutes"), ASKS),
        problem=problem,
        rehearsed=rehearsed,
        cut=None if physics is None or physics.looked is None else cut_view(physics.looked),
        taught=() if physics is None else tuple(each.said(shown_in) for each in physics.shown),
    )


def _line(plan: Plain, strip: Picture) -> PlanLine:
    odds = group(plan, "odds")
    lost = float(str(plan["lost"]))
    return PlanLine(
        passes=int(str(plan["passes"])),
        begins=_begins(plan),
        advised=bool(plan["advised"]),
        cheapest=bool(plan["cheapest"]),
        minutes=f"{float(str(plan['minutes'])):.0f}",
        too_large=say_odds(plan["too_large"]),
        under=say_odds(odds.get("undersize", 0)),
        on_the_way=say_odds(lost) if lost >= 1e-4 else "",
        cost=str(plan["said"]),
        strip=strip,
        leaves=tuple(
            Leaves(
                str(group(step, "leaves").get("size")),
                between(group(step, "leaves")),
                TRIAL if step["trial"] else "pass",
                str(step["depth"]),
                str(step["push_off"]),
            )
            for step in groups(plan, "steps")
        ),
    )


def _as_advice(plan: Plain) -> Plain:
    """Bring a plan into the form in which a strip is drawn from an advice."""
    leaves = [group(step, "leaves") for step in groups(plan, "steps")]
    return {"plan": leaves, "expect": leaves[0]}


def _begins(plan: Plain) -> str:
    return BEGINNINGS[bool(plan["checked"]), bool(plan["trial"])]
