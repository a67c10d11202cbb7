"""What moving the adjuster does to the tip: through a screw with play, or under the eye of a readout."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from borewright.record.payloads import tool as t
from borewright.sizing.gaussian import Gaussian, State, unit_row
from borewright.sizing.model import Model
from borewright.sizing.tool_moves import follow_readout, sticking, turn_adjuster

Side: TypeAlias = Literal["opening", "closing"]

PROOF_LOCK_SD_MM: Final = 0.0003
"""Standard deviation of a mean lock shift found with an indicator. Common practice, no source."""

PROOF_BACKLASH_SD_MM: Final = 0.0005
"""Standard deviation of a backlash found with an indicator, beside a tenth of it. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Play:
    """How far the tip stands off the screw's opening flank: ``whole * backlash + mm``.

    Opening, the screw pushes the tip and there is no play. Closing, the screw first runs through the backlash, and the
    tip comes with it only then; opening again it runs back through it.

    Args:
        whole: 1 where the screw was closed until it pulled the tip, else 0.
        mm: what was turned since without moving the tip, mm on the diameter, plus for closing.
    """

    whole: int = 0
    mm: float = 0.0

    def off_mm(self, backlash_mm: float) -> float:
        """Return how far the tip stands off the flank.

        Args:
            backlash_mm: the screw's backlash, mm on the diameter.

        Returns:
            From 0 to the backlash, mm on the diameter.
        """
        return self.whole * backlash_mm + self.mm

    @property
    def side(self) -> Side:
        """The flank that the tip is to be thought of as standing on."""
        return "opening" if self == TAKEN_UP else "closing"

    def after(self, change_mm: float, backlash_mm: float, *, take_up: bool | None) -> Play:
        """Return the play after a move.

        A move that closes is taken to end by opening unless the entry says otherwise: that is how it is advised.

        Args:
            change_mm: the change asked of the adjuster, mm on the diameter, plus opens.
            backlash_mm: the screw's backlash, mm on the diameter.
            take_up: whether the last approach was by opening; None where nothing was said.

        Returns:
            The play after it.
        """
        if take_up or (change_mm < 0.0 and take_up is None):
            return TAKEN_UP
        off = self.off_mm(backlash_mm) - change_mm
        if off <= 0.0:
            return TAKEN_UP
        return CLOSED if off >= backlash_mm else Play(self.whole, self.mm - change_mm)


TAKEN_UP: Final = Play()
CLOSED: Final = Play(whole=1)


@dataclass(frozen=True, slots=True)
class ReadoutMoves:
    """Moves one after the other under the eye of a readout.

    Moved again before anything else happened, the tip stands where the readout shows it, from where it stood before the
    first of them: what was left over by eye and step each time does not add up.

    Args:
        before: the joint belief before the first of them.
        change_mm: the whole change that the readout showed, locked, mm on the diameter.
        locks_mm: the lock shifts that it showed on the way, mm on the diameter.
    """

    before: Gaussian
    change_mm: float
    locks_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Moved:
    """A move of the adjuster as it was taken in.

    Args:
        belief: the belief after it.
        play: the play after it.
        change_mm: what was asked, mm on the diameter, plus opens.
        lines: the same in lines of a dial, or None.
        readout: of a readout that was noted locked: this move and those just before it.
    """

    belief: Gaussian
    play: Play
    change_mm: float
    lines: float | None
    readout: ReadoutMoves | None = None


def moved(belief: Gaussian, model: Model, play: Play, entry: t.Moved, since: ReadoutMoves | None = None) -> Moved:
    """Take in a move of the adjuster.

    Args:
        belief: the belief before.
        model: the bore's constants.
        play: the play before.
        entry: what was entered.
        since: moves under the eye of a readout that nothing came after, or None.

    Returns:
        The move with the belief after it.
    """
    if model.adjuster.kind == "direct":
        return _followed(belief, model, entry, since)
    lines = None if entry.lines is None else float(entry.lines)
    if lines is not None:
        change = lines * model.adjuster.line_mm
    else:
        assert entry.change is not None
        change = entry.change.mm
    backlash = belief.at(State.BACKLASH)
    after = play.after(change, backlash, take_up=entry.take_up)
    return Moved(through_play(belief, model, change, play, after), after, change, lines)


def through_play(belief: Gaussian, model: Model, change_mm: float, play: Play, after: Play = TAKEN_UP) -> Gaussian:
    """Turn the screw, through its play where that changes.

    Args:
        belief: the belief before.
        model: the bore's constants.
        change_mm: the change asked of the adjuster, mm on the diameter, plus opens.
        play: the play before.
        after: the play after.

    Returns:
        The belief after it: the tip goes with the screw's flank, and comes nearer to it or further off.
    """
    sticks = sticks_now(model, change_mm, play, after)
    return turn_adjuster(belief, model, change_mm, after.whole - play.whole, after.mm - play.mm, sticks=sticks)


def sticks_now(model: Model, change_mm: float, play: Play, after: Play = TAKEN_UP) -> float:
    """Return the odds that a move sticks: one that opens along the flank that bears already.

    Args:
        model: the bore's constants.
        change_mm: the change asked of the adjuster, mm on the diameter, plus opens.
        play: the play before.
        after: the play after.

    Returns:
        The odds; none where the play changes, for the tip then comes up from a distance.
    """
    return sticking(model, change_mm) if play == TAKEN_UP and after == TAKEN_UP else 0.0


def _followed(belief: Gaussian, model: Model, entry: t.Moved, since: ReadoutMoves | None) -> Moved:
    """Take in a move that a direct readout shows, from its zero while locked; the play does not matter to it."""
    scale = model.adjuster.per_diameter
    unlocked = None if entry.shown_unlocked is None else entry.shown_unlocked.mm * scale
    locked = None if entry.shown_locked is None else entry.shown_locked.mm * scale
    if locked is None and entry.change is not None:
        locked = entry.change.mm
    change = locked if locked is not None else unlocked or 0.0
    closed = change < 0.0 and entry.take_up is False
    play = CLOSED if closed else TAKEN_UP
    if model.zeroed_unlocked:
        if entry.shown_locked is None and locked is not None:
            locked = shown_for(belief, model, locked)
        return Moved(follow_readout(belief, model, locked, unlocked), play, change, None)
    if locked is None:
        return Moved(follow_readout(belief, model, locked, unlocked), play, change, None)
    since = since or ReadoutMoves(belief, 0.0, ())
    before, whole = together(since, model, locked)
    # What the readout shows before locking counts from the zero of this move, as what it shows locked does.
    shift = None if unlocked is None else locked - unlocked
    after = follow_readout(before, model, whole, None if shift is None else whole - shift)
    seen = (*since.locks_mm, *(() if shift is None else (shift,)))
    return Moved(after, play, change, None, ReadoutMoves(since.before, whole, seen))


def shown_for(belief: Gaussian, model: Model, change_mm: float) -> float:
    """Return what a readout shows, locked, for a change of the tool from locked to locked.

    Zeroed after unlocking, it counts what unlocking took away as well.

    Args:
        belief: the belief before the move.
        model: the bore's constants.
        change_mm: the change, mm on the diameter, plus opens.

    Returns:
        What it shows, mm on the diameter.
    """
    if not model.zeroed_unlocked:
        return change_mm
    return change_mm + model.priors.lock_return.value * belief.at(State.LOCK)


def together(since: ReadoutMoves, model: Model, locked_mm: float) -> tuple[Gaussian, float]:
    """Take moves one after the other as one; what they showed of the lock has been learned.

    Args:
        since: the moves so far.
        model: the bore's constants.
        locked_mm: what the next one showed, or is to show, locked, mm on the diameter.

    Returns:
        The belief before them all, and the whole change.
    """
    variance = model.priors.lock_scatter.width**2 + model.priors.move.width**2
    before = since.before
    for shift in since.locks_mm:
        before = before.measured(unit_row(State.LOCK_MEAN), shift, variance)[0]
    return before, since.change_mm + locked_mm


def proved(belief: Gaussian, model: Model, entry: t.Proved) -> Gaussian:
    """Take in a proof of the adjuster with an indicator on the tip.

    Args:
        belief: the belief before.
        model: the bore's constants.
        entry: what was found.

    Returns:
        The belief after it.
    """
    nominal = model.adjuster.line_mm
    belief = belief.redrawn(State.GAIN, entry.line.mm / nominal - 1.0, entry.within.mm / nominal)
    if entry.backlash is not None:
        usual = 0.1 * entry.backlash.mm + PROOF_BACKLASH_SD_MM
        sd = usual if entry.backlash_within is None else entry.backlash_within.mm
        belief = belief.redrawn(State.BACKLASH, entry.backlash.mm, sd)
    if entry.lock_shift is not None:
        sd = PROOF_LOCK_SD_MM if entry.lock_shift_within is None else entry.lock_shift_within.mm
        belief = belief.measured(unit_row(State.LOCK_MEAN), entry.lock_shift.mm, sd**2)[0]
    return belief


def lock_scatter_with(entry: t.Proved, before_mm: float) -> float | None:
    """Return the scatter of one lock shift once a proof has shown some, beside what was thought of it before.

    ``s^2 = (s_before^2 + s_found^2)/2``: four degrees of freedom found, as many given to what was thought.

    Args:
        entry: what was found.
        before_mm: what was thought, mm.

    Returns:
        The scatter, mm; None where the proof does not tell of it.

    Source: common practice, no source.
    """
    if entry.lock_scatter is None:
        return None
    return math.sqrt(0.5 * (before_mm**2 + entry.lock_scatter.mm**2))
