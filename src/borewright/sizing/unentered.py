"""What may have happened otherwise than entered: passes and moves not entered, not made, or a whole turn off.

Each is held beside what was entered, with its odds, and asked about where it is likely.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from borewright.sizing.belief import Belief, LastMove
from borewright.sizing.causes import Supposition
from borewright.sizing.gaussian import State, unit_row
from borewright.sizing.model import Model, locked_anew

PASS_SHARE: Final = 0.3
"""Odds that a pass was cut and not entered, where the bore is read after a move without one: nobody has much reason to
read a hole again that was not cut. Common practice, no source."""

MOVE_SPREAD, LEAST_MOVE_MM = 0.5, 0.005
"""A move that was not entered was about what the hole lacked: within so much of it, and no less than this on the
diameter. Common practice, no source."""

NOT_CUT_SHARE: Final = 0.003
"""Odds that a pass was entered and did not cut what is read next: entered for another bore or before it was cut, or the
gauge stood below the land of a trial cut. Common practice, no source."""

PASS_MISSING = Supposition(
    "A pass was cut before this reading and not entered.", "Was it cut after the last move? Look at the record."
)
MOVE_MISSING = Supposition(
    "The tool was moved before this pass and the move was not entered.",
    "Compare the dial with the note of its setting.",
)

NOT_CUT: Final = Supposition(
    "The pass that was entered did not cut this hole.", "Look into the bore: is it cut anew where the gauge stands?"
)
LAND_MISSED: Final = Supposition(
    "The land was not cut, or the gauge stood below it.",
    "Look at the mouth: is there a land, and does the gauge touch it?",
)

UNMADE: Final = Supposition("The move that was entered was not made.", "Compare the dial with the note of its setting.")
TURN_MORE: Final = Supposition(
    "The move went a whole turn further than was entered.",
    "Measure the tip where it stands, or read a trial cut.",
)
TURN_LESS: Final = Supposition(
    "The move fell a whole turn short of what was entered.",
    "Measure the tip where it stands, or read a trial cut.",
)

Way = tuple[Supposition, float, Callable[[Belief], Belief]]


def before_reading(belief: Belief, model: Model, cut: Callable[[Belief], Belief]) -> tuple[Way, ...]:
    """Return the way to part a belief before a reading after a move with no pass entered.

    Args:
        belief: the belief acted upon.
        model: the bore's constants.
        cut: what a pass does to a belief.

    Returns:
        The supposition that a pass was cut, or nothing.
    """
    unread = belief.uncut_move and belief.moves > 0 and belief.before_readings is None
    if not (model.priors.unentered.value and belief.tool_set and unread) or any(
        PASS_MISSING in other.belief.supposed for other in belief.others
    ):
        return ()
    return ((PASS_MISSING, PASS_SHARE, cut),)


def before_move(belief: Belief, model: Model, lines: float | None) -> tuple[Way, ...]:
    """Return the ways to part a belief before a move that nothing shows but the next reading.

    A hole that comes out as if nothing had been moved would otherwise say that a line is worth next to nothing, and the
    next move would open the tool by as many times too much.

    Args:
        belief: the belief acted upon.
        model: the bore's constants.
        lines: lines turned on a dial, as entered, or None.

    Returns:
        That it was not made and, of a dial turned by half a turn and more, that it was a whole turn off.
    """
    if not belief.tool_set:
        return ()
    unmade, turned = model.priors.unmade.value, model.priors.turned.value
    ways: list[Way] = [(UNMADE, unmade, lambda each: replace(each, misses_move=True))] if unmade else []
    turn = model.adjuster.lines_per_turn
    if turned and turn and lines is not None and abs(lines) >= 0.5 * turn:
        ways.append((TURN_MORE, 0.5 * turned, lambda each: replace(each, lines_off=math.copysign(turn, lines))))
        ways.append((TURN_LESS, 0.5 * turned, lambda each: replace(each, lines_off=-math.copysign(turn, lines))))
    return tuple(ways)


def before_pass(belief: Belief, model: Model) -> tuple[Way, ...]:
    """Return the way to part a belief before a pass through the bore that no move was entered for.

    Args:
        belief: the belief acted upon.
        model: the bore's constants.

    Returns:
        The supposition that the tool was moved, or nothing: after a trial cut nothing need be moved.
    """
    odds, wanted = model.priors.unentered.value, model.diameter_mm - belief.hole_mm
    unmoved = belief.passes > 0 and not belief.uncut_move and not belief.after_trial and bool(belief.readings)
    if not (odds and unmoved and wanted > LEAST_MOVE_MM):
        return ()
    return ((MOVE_MISSING, odds, lambda each: _moved(each, model, wanted)),)


def _moved(belief: Belief, model: Model, wanted_mm: float) -> Belief:
    """Move the tool by about what the hole lacked: after a like pass it then leaves the middle."""
    mean = belief.now.mean.copy()
    mean[State.UNLOCKED] += wanted_mm
    spread = {State.UNLOCKED: (MOVE_SPREAD * wanted_mm) ** 2}
    moved = belief.now.carried(mean, {State.UNLOCKED: unit_row(State.UNLOCKED)}, spread)
    now, moves = locked_anew(moved, model), belief.moves + 1
    return replace(belief, now=now, moves=moves, last_move=LastMove(change_mm=wanted_mm))


def as_entered(belief: Belief, model: Model, *, trial: bool) -> tuple[Way, ...]:
    """Return the way to part a belief before a pass that may not have cut what is read next.

    A hole that reads as it did before the pass would otherwise say that the tool stands too small by all of the depth
    set, and the next move would open it by as much again.

    Args:
        belief: the belief acted upon.
        model: the bore's constants.
        trial: whether a trial cut is entered.

    Returns:
        The supposition that it did not cut; nothing where a doubt of this kind is open already, where the hole before
        the pass was never read, or where the tool stood still, as for a spring pass: nothing could be told apart.
    """
    what = LAND_MISSED if trial else NOT_CUT
    read = belief.passes > 0 or (bool(belief.readings) and not belief.after_trial)
    to_cut = belief.uncut_move or belief.after_trial
    open_ = any(what in other.belief.supposed for other in belief.others)
    if not (model.priors.unentered.value and read and to_cut) or open_:
        return ()
    return ((what, NOT_CUT_SHARE, lambda each: replace(each, misses_cut=True)),)
