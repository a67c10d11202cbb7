"""Walking ahead through the cuts of several like bores with one tool, bore by bore and setting by setting.

Each cut is foreseen, carried and measured by the steps that a single bore is looked ahead with; between two bores the
hole that is cut is put aside and the next is taken up. A cut made at a setting that a reading has not led to must not
gain from that reading: where the tool stays as it is, what was measured since it was moved is left out of what the cut
is expected to leave.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from borewright.gauging.conformity import normal_cdf
from borewright.sizing.ahead import carried, change_for, foresee, least_taken, measured_next, most_opening
from borewright.sizing.among import Among
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.model import gauge_anew
from borewright.sizing.outlook import Odds, Outlook, Step, after_cut
from borewright.sizing.plan import Plan, Split, finished, plan_by, with_under_cost


@dataclass(frozen=True, slots=True)
class Like:
    """One of several like bores.

    Args:
        now: the joint belief about it by itself.
        outlook: what its plans are judged by.
        gauge: the gauge that it is measured with.
    """

    now: Gaussian
    outlook: Outlook
    gauge: str = ""

    @property
    def room_mm(self) -> float:
        """What is to come off yet, mm on the diameter."""
        return self.outlook.model.diameter_mm - self.now.at(State.HOLE)


@dataclass(frozen=True, slots=True)
class Cutting:
    """One cut of one of the bores.

    Args:
        bore: which.
        setting: the number of the tool's setting that it is made at, from 1.
        step: the cut.
        moved: whether the tool is moved for it.
        closed: whether it is closed for it by a step of its adjuster or more, and taken up again.
        measured: whether the bore is measured after it.
        last: whether it is the bore's last.
        odds: odds of the hole after it.
        loss: cost of a hole judged too large, times its odds.
        risk: cost of what else may go wrong with the last cut.
    """

    bore: int
    setting: int
    step: Step
    moved: bool
    closed: bool
    measured: bool
    last: bool
    odds: Odds
    loss: float
    risk: float


class Walk:
    """A walk through cuts; it grows cut by cut.

    Args:
        likes: the bores.
        start: what is believed of them all.
        tool: the outlook of the bore that the shared states are taken from: its tool counts.
    """

    def __init__(self, likes: Sequence[Like], start: Among, tool: Outlook) -> None:
        self.cuts: list[Cutting] = []
        self.covariance = np.zeros((len(likes), len(likes)))
        self._likes = likes
        self._belief = start
        self._tool = tool
        self._under: dict[int, float] = {}
        self._settings = 0

    def bring(self, bore: int, splits: Sequence[Split]) -> Split | None:
        """Bring one bore to size, each cut measured before the next.

        Args:
            bore: which.
            splits: ways to divide its stock, from which the cheapest is taken.

        Returns:
            The way taken; None where none can be.
        """
        self._take_up(bore)
        outlook, alone = self._outlook(), self._belief.alone
        best: Plan | None = None
        chosen: Split | None = None
        for split in splits:
            found = self._planned(alone, outlook, split, math.inf if best is None else best.cost)
            if found is not None:
                best, chosen = found, split
        if best is None:
            return None
        *before, last = best.steps
        for step in before:
            self._cut(step, measured=True)
        known = math.fsum(outlook.cost_of(trial=step.trial) for step in best.steps)
        lost = math.fsum(self._early_loss(outlook, step) for step in before)
        self._cut(last, measured=True, wrong=best.cost - known - lost)
        return chosen

    def through(self, bores: Sequence[int], share: float, *, measured: Sequence[int]) -> bool:
        """Cut several bores at one setting of the tool, and not to size yet.

        Args:
            bores: which; the tool is set for the first of them, and goes through no bore in which it would only rub.
            share: share of the first one's stock that is off after it.
            measured: those that are measured after all are cut.

        Returns:
            Whether it can be: no bore is left with too little to cut.
        """
        for place, bore in enumerate(bores):
            self._take_up(bore)
            belief, outlook = self._belief.alone, self._outlook()
            hole, middle = belief.at(State.HOLE), outlook.model.diameter_mm
            change = 0.0
            if not place:
                change = min(change_for(belief, outlook, hole + share * (middle - hole)), most_opening(belief, outlook))
            step = foresee(belief, outlook, change).step
            thin = step.rubs or step.follows == 0.0
            if place and thin:
                continue
            if thin or middle - step.aim_mm - 2.0 * step.sd_mm < least_taken(belief, outlook):
                return False
            self._cut(step, moved=not place, measured=bore in measured, teaches=False)
        for bore in bores:
            if bore in measured:
                self._take_up(bore)
                self._measured()
        return True

    def to_size(self, bores: Sequence[int]) -> bool:
        """Cut several bores to size at one setting of the tool; what they are measured at moves it no more.

        Args:
            bores: which; the tool is set for the first of them.

        Returns:
            Whether it can be.
        """
        for place, bore in enumerate(bores):
            self._take_up(bore)
            alone, outlook = self._belief.alone, self._outlook()
            if place:
                step = foresee(alone, outlook, 0.0).step
                wrong = outlook.final_cost(step)
            else:
                plan = self._planned(alone, outlook, (), math.inf)
                if plan is None:
                    return False
                step, wrong = plan.steps[-1], plan.cost - outlook.cost_of(trial=False)
            self._cut(step, moved=not place, measured=True, wrong=wrong, teaches=len(bores) == 1)
        return True

    def _planned(self, alone: Gaussian, outlook: Outlook, split: Split, below: float) -> Plan | None:
        """Plan a bore; of a single pass after others the move is a later one, whose rounding nobody knows yet."""
        if split or not self.cuts:
            return plan_by(alone, outlook, split, below)
        plan = finished(alone, outlook, (self.cuts[-1].step,), outlook.cost_of(trial=False))
        return plan if plan is None or plan.cost >= below else Plan(plan.steps[1:], plan.cost)

    def _outlook(self) -> Outlook:
        """Return what the bore that is taken up is judged by, the tool as it stands."""
        here, tool = self._belief.here, self._tool
        return replace(
            self._likes[here].outlook,
            model=tool.model,
            tool_set=tool.tool_set,
            play=tool.play,
            readout=None,
            standing=None,
            unmoved=tool.unmoved,
            widest_opening_mm=tool.widest_opening_mm,
            largest_tool_mm=tool.largest_tool_mm,
            under_cost=self._under[here],
        )

    def _take_up(self, bore: int) -> None:
        before = self._likes[self._belief.here]
        self._belief = self._belief.taken_up(bore)
        like = self._likes[bore]
        if like.gauge != before.gauge:
            setting = self._tool.model.priors.gauge_setting
            half = setting.width * math.sqrt(0.5)
            self._belief = _as_among(gauge_anew(self._belief, like.outlook.known_mm, half, half))
        if bore not in self._under:
            self._under[bore] = math.inf
            self._under[bore] = with_under_cost(self._belief.alone, self._outlook()).under_cost

    def _cut(
        self, step: Step, *, measured: bool, moved: bool = True, wrong: float | None = None, teaches: bool = True
    ) -> None:
        """Make a cut; with what may go wrong it is the bore's last."""
        outlook, here, last = self._outlook(), self._belief.here, wrong is not None
        self._settings += moved
        after = _as_among(carried(self._belief, outlook, step.change_mm if moved else 0.0, trial=step.trial))
        if wrong is not None:
            self.covariance[here, here] = after.covariance[State.HOLE, State.HOLE]
            for cut in self.cuts:
                if cut.last:
                    both = after.with_hole(cut.bore)
                    self.covariance[here, cut.bore] = self.covariance[cut.bore, here] = both
            loss = outlook.costs.scrap * normal_cdf(
                (step.aim_mm + step.seen.off_mm - outlook.accepted[1]) / max(step.seen.sd_mm, 1e-9)
            )
            loss, risk = min(loss, wrong), max(wrong - loss, 0.0)
        else:
            loss, risk = self._early_loss(outlook, step), 0.0
        odds = outlook.odds(step.aim_mm, step.sd_mm)
        closed = moved and outlook.tool_set and step.change_mm < -0.5 * outlook.model.adjuster.grain_mm
        self.cuts.append(Cutting(here, self._settings, step, moved, closed, measured, last, odds, loss, risk))
        self._belief, self._tool = after, after_cut(outlook, step)
        if measured and teaches:
            self._measured(trial=step.trial)

    def _measured(self, *, trial: bool = False) -> None:
        self._belief = _as_among(measured_next(self._belief, self._outlook(), trial=trial))

    @staticmethod
    def _early_loss(outlook: Outlook, step: Step) -> float:
        return outlook.costs.scrap * outlook.odds(step.aim_mm, step.sd_mm).oversize


def _as_among(belief: Gaussian) -> Among:
    assert isinstance(belief, Among)
    return belief
