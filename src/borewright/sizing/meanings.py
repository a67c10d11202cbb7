"""What the lines of a dial may be worth, where no move has shown it: as told, or what they are mistaken for.

A line is told on the diameter or on the radius, in inches or in millimetres. Told the wrong way round, a move goes 2,
1/2, 25.4 or 1/25.4 times as far. Each of these is a supposition with its odds from the first move on; what is read of
the pass after it leaves one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from borewright.record.payloads.shared import NOT_KNOWN
from borewright.sizing.belief import Belief
from borewright.sizing.causes import Supposition
from borewright.sizing.gaussian import State
from borewright.sizing.model import Model

PROVE: Final = "Put an indicator on the tip and move ten lines or steps."

INCHES_SHARE: Final = 0.05
"""Of dials told wrongly, those told in the wrong unit, half of them either way. Common practice, no source."""

RADIUS = Supposition("The figures speak of the radius, not the diameter.", PROVE)
DIAMETER = Supposition("The figures speak of the diameter, not the radius.", PROVE)
TWICE = Supposition("A line is worth twice what is told of it.", PROVE)
HALF = Supposition("A line is worth half of what is told of it.", PROVE)
INCHES = Supposition("The figures are in inches, not millimetres.", PROVE)
MILLIMETRES = Supposition("The figures are in millimetres, not inches.", PROVE)


def meanings(model: Model) -> tuple[tuple[Supposition, float, float], ...]:
    """List what a line may be worth beside what is told.

    Args:
        model: the bore's constants.

    Returns:
        For each what is supposed, its odds, and how many times what is told it makes a line worth; nothing where the
        dial is proved, or it is no dial.
    """
    odds = model.priors.misspoken.value
    if odds <= 0.0:
        return ()
    on, unit = model.adjuster.on, INCHES_SHARE * min(odds, 1.0 - odds)
    twofold = odds - unit
    if on == "diameter":
        likely, other = (RADIUS, 2.0), (HALF, 0.5)
        shares = (0.5 * twofold, 0.5 * twofold)
    else:
        likely, other = (DIAMETER, 0.5), (TWICE, 2.0)
        # Of what nobody knows it is the diameter or the radius; that it is neither is a slip like any other.
        rare = 0.02 if on == NOT_KNOWN else 0.5
        shares = ((1.0 - rare) * twofold, rare * twofold)
    inch = model.adjuster.line is not None and model.adjuster.line.unit == "in"
    wrong_unit = (MILLIMETRES, 1.0 / 25.4) if inch else (INCHES, 25.4)
    right_unit = (INCHES, 25.4) if inch else (MILLIMETRES, 1.0 / 25.4)
    return (
        (likely[0], shares[0], likely[1]),
        (other[0], shares[1], other[1]),
        (wrong_unit[0], 0.9 * unit, wrong_unit[1]),
        (right_unit[0], 0.1 * unit, right_unit[1]),
    )


def before_first_move(
    belief: Belief, model: Model
) -> tuple[tuple[Supposition, float, Callable[[Belief], Belief]], ...]:
    """Return the ways to part a belief before the first move of a dial that nothing has shown yet.

    Args:
        belief: the belief acted upon.
        model: the bore's constants.

    Returns:
        Suppositions, their odds, and what each makes of a belief; none where a move has shown it, or is under way.
    """
    if belief.moves or belief.moves_shown or not belief.tool_set:
        return ()
    return tuple((what, odds, _worth(factor)) for what, odds, factor in meanings(model))


def _worth(factor: float) -> Callable[[Belief], Belief]:
    """Make the figures worth so many times what is told: the gain of such a dial is ``factor (1 + gain) - 1``."""

    def supposed(belief: Belief) -> Belief:
        now = belief.now
        mean, covariance = now.mean.copy(), now.covariance.copy()
        mean[State.GAIN] = factor * (1.0 + mean[State.GAIN]) - 1.0
        covariance[State.GAIN, :] *= factor
        covariance[:, State.GAIN] *= factor
        return replace(belief, now=type(now)(mean, covariance))

    return supposed
