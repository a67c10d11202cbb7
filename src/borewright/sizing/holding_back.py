"""How far a move may open at most, by what may be otherwise than it was told."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from borewright.sizing.ahead import change_for, foresee
from borewright.sizing.belief import Belief
from borewright.sizing.gaussian import State
from borewright.sizing.model import Model
from borewright.sizing.outlook import FAR_MM, Outlook, half_way
from borewright.sizing.plan import best_plan, with_under_cost
from borewright.sizing.supposing import parts

HELD_BACK_FROM: Final = 0.01
"""Share of a supposition from which on no move opens so far that the bore would be lost if it were so. Chosen, not
measured."""

LITTLE_LIKELY: Final = 0.1
"""Share up to which suppositions do not keep the tool from being opened at all. Chosen, not measured."""

SLIGHT_GAIN: Final = -0.6
"""Error of a dial's figures below which they are neither those of the radius taken for the diameter nor the other way
round, but of another unit or none. Chosen, not measured."""


PROOF_PASSES: Final = 3.0
"""What it takes to prove an adjuster, in passes: a quarter of an hour. Common practice, no source."""


def proof_frees(belief: Belief, outlook: Outlook) -> bool:
    """Tell whether a proof of the adjuster would let the bore be sized where what may be otherwise forbids it.

    Args:
        belief: what is believed, with what is supposed beside it.
        outlook: what plans are judged by, held back.

    Returns:
        Whether it was not proved yet, the tool is held back, and a plan that is not costs less, with the proof, than
        the part lost.
    """
    if belief.proved or not belief.others or outlook.model.adjuster.kind == "direct":
        return False
    freed = with_under_cost(belief.now, replace(outlook, widest_opening_mm=math.inf))
    best = best_plan(belief.now, freed)
    return best is not None and best.cost + PROOF_PASSES * outlook.costs.pass_ < outlook.costs.scrap


def most_as_told(belief: Belief, model: Model) -> float:
    """Return the most that one move may open by the adjuster's figures as they were told, mm on the diameter.

    Where one move seemed to show that they are worth next to nothing, it may as well not have been made, and a move as
    many times longer would drive the tool through the limit. Until a second one has shown the same, none goes further
    than to the upper limit by the figures as they are.

    Args:
        belief: what is believed.
        model: the bore's constants.

    Returns:
        The most; as far as is wanted, where the figures are about what was told.
    """
    if model.adjuster.kind != "dial" or belief.now.at(State.GAIN) >= SLIGHT_GAIN:
        return math.inf
    return FAR_MM if belief.moves > 1 else max(model.upper_mm - belief.tool_mm, 0.0)


def held_back(belief: Belief, outlook: Outlook) -> Outlook:
    """Open no further than keeps the hole under its upper limit also if what is likely enough to be otherwise is so.

    What is little likely does not hold back a tool that would only rub where it stands, and go on rubbing there. It is
    then opened by no more than half the way, and watched with an indicator.

    Args:
        belief: what is believed, with what is supposed beside it.
        outlook: what plans are judged by.

    Returns:
        The outlook with the opening held back, until a cut has told the suppositions apart.
    """
    model = outlook.model
    to_cut = belief.hole_mm + model.priors.min_depth.value - belief.tool_mm
    reaches, stuck = [outlook.widest_opening_mm], 0.0
    for share, each in parts(belief)[1:]:
        if share < HELD_BACK_FROM or not each.tool_set:
            continue
        seen = replace(outlook, play=each.play, readout=None, standing=None)
        last = foresee(each.now, seen, change_for(each.now, seen, model.diameter_mm)).step
        reach = max(change_for(each.now, seen, model.upper_mm - 2.0 * last.sd_mm), 0.0)
        if reach < max(to_cut, model.adjuster.grain_mm) and to_cut > 0.0 and stuck + share <= LITTLE_LIKELY:
            stuck += share
            reach = max(to_cut, half_way(belief.tool_mm, model.upper_mm))
        reaches.append(reach)
    return replace(outlook, widest_opening_mm=min(reaches), watched=stuck > 0.0)
