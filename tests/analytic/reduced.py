"""The engine reduced to what the literature solves: setting a machine part after part, and one cut with costs.

Belief and look-ahead themselves are asked; what is here only takes everything else away from them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from borewright.sizing.costs import Costs
from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.measuring import reading_row
from borewright.sizing.model import Model, cut, opening_belief
from borewright.sizing.outlook import Outlook, Seen, Step
from borewright.sizing.tool_moves import set_tool
from tests.unit.sizing.plain import bore, outlook_for, without_widths

ERROR_MM = 0.004
MODEL = bore(callout="385-415 mm", hole="370 mm").model
"""Limits 30 mm apart: the look-ahead's own last digit is then far below those printed."""


def only(offset_sd_mm: float) -> Model:
    """A model in which the bench is off by what stays, each pass by what does not, and all else is known."""
    plain = without_widths(bore().model)
    priors = replace(
        plain.priors,
        bench=replace(plain.priors.bench, width=offset_sd_mm),
        pass_scatter=replace(plain.priors.pass_scatter, width=ERROR_MM),
        push_off=replace(plain.priors.push_off, value=0.0),
        wear=replace(plain.priors.wear, value=0.0),
    )
    return replace(plain, priors=priors)


def next_part(belief: Gaussian, hole_mm: float) -> Gaussian:
    """Take up another part of the run: the tool stays as it is."""
    return belief.redrawn(State.HOLE, hole_mm, 0.0)


@cache
def shares(ratio: float, parts: int) -> tuple[float, ...]:
    """Return the share of each part's deviation by which the belief shifts where the tool stands.

    Args:
        ratio: standard deviation of the offset over that of one part's error.
        parts: how many parts.
    """
    model = only(ratio * ERROR_MM)
    start = model.diameter_mm - 0.3
    belief = next_part(set_tool(opening_belief(model), model, model.diameter_mm, locked=True), start)
    found = []
    for _ in range(parts):
        after = cut(next_part(belief, start), model).belief
        expected, stood = after.at(State.HOLE), after.at(State.UNLOCKED)
        belief = after.measured(reading_row(model), expected + 0.001, 1e-12)[0]
        found.append((belief.at(State.UNLOCKED) - stood) / 0.001)
    return tuple(found)


def mean_squared_deviation(shares_taken: Sequence[float], offset: float) -> float:
    """Return the mean over the parts of the expected squared deviation, in squares of the error of one part.

    With d the offset left and e the error of a part: ``E(d + e)^2 = mean^2 + variance + 1``, and a share K takes the
    mean to ``(1 - K) mean`` and the variance to ``(1 - K)^2 variance + K^2``.
    """
    mean, variance, total = offset, 0.0, 0.0
    for share in shares_taken:
        total += mean**2 + variance + 1.0
        mean, variance = (1.0 - share) * mean, (1.0 - share) ** 2 * variance + share**2
    return total / len(shares_taken)


def judged_by(over: float, under: float) -> Outlook:
    """An outlook that judges at the limits, pays nothing for a pass and counts nothing for lying off the middle."""
    limits = (MODEL.lower_mm, MODEL.upper_mm)
    return replace(
        outlook_for(MODEL),
        costs=Costs(pass_=0.0, measurement=0.0, scrap=over),
        accepted=limits,
        accepted_at_once=limits,
        under_cost=under,
        u_release_mm=0.0,
    )


def one_cut(sd_mm: float) -> Step:
    """A last pass of a given width, aimed anywhere."""
    middle = MODEL.diameter_mm
    return Step(middle, middle, 0.0, 0.2, 0.0, 0.0, Seen(0.0, sd_mm), 1.0, rubs=False)


def aim_above_lower(sd_mm: float, over: float, under: float) -> float:
    """Return where the look-ahead aims one cut, above the lower limit, mm."""
    return judged_by(over, under).best_aim(one_cut(sd_mm)) - MODEL.lower_mm


@cache
def cut_again_until_done(sd_mm: float, over: float) -> tuple[float, float]:
    """Return where it aims, and the whole cost, where a pass costs 1 and what is too small is cut again likewise."""
    whole, aim = 1.0, 0.0
    for _ in range(60):
        judged = judged_by(over, whole)
        aim = judged.best_aim(one_cut(sd_mm))
        whole = 1.0 + judged.final_cost(replace(one_cut(sd_mm), aim_mm=aim))
    return aim - MODEL.lower_mm, whole
