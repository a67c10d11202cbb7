"""What it is worth to find something out: how much cheaper the rest of the work then is expected to be.

The plan in hand is reckoned again, by the same division of the stock, from the belief that the finding would leave. Its
width does not depend on what will be found; what a finding saves beyond that, by another plan, is not counted.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from borewright.sizing.ahead import carried, foresee, measured_next
from borewright.sizing.belief import Belief
from borewright.sizing.choice import Chosen
from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import Gaussian, State, unit_row
from borewright.sizing.holding_back import PROOF_PASSES
from borewright.sizing.measuring import thermometer_row
from borewright.sizing.outlook import Outlook, Step, after_cut
from borewright.sizing.plan import Cut, Split, best_plan, plan_by, with_under_cost

PROOF_GAIN: Final = 0.001
PROOF_LOCK_MM: Final = 0.0007
PROOF_BACKLASH_MM: Final = 0.0005
"""What a proof of the adjuster leaves open, one standard deviation: medians of those of the simulated machine's dials
and readouts, to a digit."""

WORTH_NAMING: Final = 0.01
"""A saving below this, in passes, is none to speak of. Chosen, not measured."""


@dataclass(frozen=True, slots=True)
class Worth:
    """What finding something out is worth.

    Args:
        what: what would tell.
        about: what it tells of.
        saves: how much cheaper the rest is then expected to be, in the unit of the costs.
        takes: what it takes to find out, in the same unit; nothing for what others may know already.
        sd_mm: standard deviation of what the next cut leaves, once it is known, mm.
    """

    what: str
    about: str
    saves: float
    takes: float
    sd_mm: float


@dataclass(frozen=True, slots=True)
class _Finding:
    what: str
    about: str
    narrowed: Callable[[Gaussian, Outlook], Gaussian]
    takes: Callable[[Costs], float]
    shows_moves: bool = False


def worth_finding_out(belief: Belief, chosen: Chosen) -> tuple[Worth, ...]:
    """Rank what could be found out before the next cut by what it saves, less what it takes.

    Args:
        belief: what is believed.
        chosen: the advice.

    Returns:
        Those that save something, the best first; none where nothing is to be cut next.
    """
    now, outlook = belief.now, with_under_cost(belief.now, chosen.outlook)
    plan = chosen.plan
    if chosen.action == "check_hole":
        plan = best_plan(now, outlook)
    if plan is None or chosen.action in {"release", "quarantine", "none", "measure"}:
        return ()
    standing = plan.steps[0].change_mm == 0.0 and outlook.tool_set
    base = _cost_of(now, outlook, plan.steps, standing=standing)
    if base is None:
        return ()
    found = []
    for finding in FINDINGS:
        known = finding.narrowed(now, outlook)
        freed = replace(outlook, unmoved=False, widest_opening_mm=math.inf) if finding.shows_moves else outlook
        cost = _cost_of(known, with_under_cost(known, freed), plan.steps, standing=standing)
        if cost is not None and base - cost > WORTH_NAMING * outlook.costs.pass_:
            first = plan.steps[0]
            sd = foresee(known, outlook, first.change_mm, trial=first.trial).step.sd_mm
            found.append(Worth(finding.what, finding.about, base - cost, finding.takes(outlook.costs), sd))
    return tuple(sorted(found, key=lambda one: one.takes - one.saves))


def _cost_of(belief: Gaussian, outlook: Outlook, steps: tuple[Step, ...], *, standing: bool) -> float | None:
    """Reckon a plan from another belief: the first cut with the tool as it stands, or all by their shares of stock."""
    if not standing:
        plan = plan_by(belief, outlook, _split(belief, outlook, steps))
        return None if plan is None else plan.cost
    first = foresee(belief, outlook, 0.0, trial=steps[0].trial).step
    spent = outlook.cost_of(trial=first.trial)
    if len(steps) == 1:
        return spent + outlook.final_cost(first)
    after = measured_next(carried(belief, outlook, 0.0, trial=first.trial), outlook, trial=first.trial)
    rest = with_under_cost(after, after_cut(outlook, first))
    plan = plan_by(after, rest, _split(after, rest, steps[1:]))
    over = outlook.costs.scrap * outlook.odds(first.aim_mm, first.sd_mm).oversize
    return None if plan is None else spent + over + plan.cost


def _split(belief: Gaussian, outlook: Outlook, steps: tuple[Step, ...]) -> Split:
    hole = belief.at(State.HOLE)
    stock = outlook.model.diameter_mm - hole
    return tuple(Cut((step.aim_mm - hole) / stock, step.trial) for step in steps[:-1])


def _known(*states: State) -> Callable[[Gaussian, Outlook], Gaussian]:
    def narrowed(belief: Gaussian, _: Outlook) -> Gaussian:
        for state in states:
            if belief.sd(state) > 0.0:
                belief = belief.narrowed(unit_row(state), 1e-6 * belief.sd(state) ** 2)
        return belief

    return narrowed


def _temperature(belief: Gaussian, outlook: Outlook) -> Gaussian:
    return belief.narrowed(*thermometer_row(outlook.model))


def _recheck(belief: Gaussian, outlook: Outlook) -> Gaussian:
    step = outlook.model.priors.gauge_step.value
    return belief.narrowed(unit_row(State.DRIFT), outlook.scatter_mm**2 + step**2 / 12.0)


def _proof(belief: Gaussian, _: Outlook) -> Gaussian:
    for state, sd in ((State.GAIN, PROOF_GAIN), (State.LOCK_MEAN, PROOF_LOCK_MM), (State.BACKLASH, PROOF_BACKLASH_MM)):
        if belief.sd(state) > 0.0:
            belief = belief.narrowed(unit_row(state), sd**2)
    return belief


FINDINGS: Final = (
    _Finding(
        "measure the hole once more",
        "the hole before the pass",
        lambda belief, outlook: measured_next(belief, replace(outlook, thermometer=False)),
        lambda costs: costs.measurement,
    ),
    _Finding("take the part's temperature", "warmth of the part", _temperature, lambda costs: 0.5 * costs.measurement),
    _Finding("check the gauge on its ring", "the gauge's setting", _recheck, lambda costs: costs.measurement),
    _Finding(
        "prove the adjuster, with an indicator on the tip",
        "the adjuster's figures and its lock",
        _proof,
        lambda costs: PROOF_PASSES * costs.pass_,
        shows_moves=True,
    ),
    _Finding(
        "know the push-off from another bore of this tool",
        "push-off",
        _known(State.PUSH_OFF, State.EXPONENT, State.EDGE),
        lambda _: 0.0,
    ),
    _Finding(
        "compare the bench with a bore that this tool has cut",
        "the setting bench",
        _known(State.BENCH),
        lambda _: 0.0,
    ),
)
"""What could be found out before the next cut."""
