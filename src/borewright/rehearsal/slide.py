"""The slide that carries the edge: screw, backlash, sticking, lock, and the readout that looks at it."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(slots=True)
class Slide:
    """A slide between its screw and its lock; mm on the diameter, relative to where it was put together.

    The screw pushes the slide open; closing, it pulls only after the backlash is through: unlocked, the slide stands
    between ``screw`` and ``screw + backlash_mm``.

    Args:
        turn_mm: the worth of one turn, the period of the screw's error.
        screw_gain: what the screw moves more than its graduation says, a share.
        readout_gain: what the slide moves more than its readout says, a share.
        backlash_mm: play of the screw.
        periodic_mm: amplitude of the screw's error over a turn.
        phase: where in the turn that error begins, rad.
        stick_mm: the slide stays when it should move by less than this.
        lock_return: share of the lock shift given back by unlocking.
        lock_seen: share of the lock shift that a readout sees.
        slip_share: share of backlash left open that a cut pushes through the lock.
        dial_mm: what the graduation stands at.
        tip_mm: where the edge stands unlocked, less what locks have left behind.
        lock_mm: the shift of the lock as it is now.
        kept_mm: what earlier locks have left behind.
        zero_mm: what the readout shows with the edge at nothing.
    """

    turn_mm: float
    screw_gain: float
    readout_gain: float
    backlash_mm: float
    periodic_mm: float
    phase: float
    stick_mm: float
    lock_return: float
    lock_seen: float
    slip_share: float
    dial_mm: float = 0.0
    tip_mm: float = 0.0
    lock_mm: float = 0.0
    kept_mm: float = 0.0
    zero_mm: float = 0.0

    @property
    def screw_mm(self) -> float:
        """Return where the screw's opening flank stands."""
        wave = math.sin(math.tau * self.dial_mm / self.turn_mm + self.phase)
        return self.dial_mm * (1.0 + self.screw_gain) + self.periodic_mm * wave

    @property
    def slack_mm(self) -> float:
        """Return how far the slide stands open of the flank that should carry it; below nothing where it stuck."""
        return self.tip_mm - self.screw_mm

    @property
    def at_rest_mm(self) -> float:
        """Return where the edge stands, with the lock as it is."""
        return self.tip_mm + self.kept_mm + self.lock_mm

    @property
    def readout_mm(self) -> float:
        """Return what a direct readout would show if it had no step."""
        seen = self.tip_mm + self.lock_seen * (self.kept_mm + self.lock_mm)
        return self.zero_mm + seen / (1.0 + self.readout_gain)

    def set_at(self, dial_mm: float, lock_mm: float) -> None:
        """Bring the slide to a setting by opening, and lock it.

        Args:
            dial_mm: what the graduation stands at.
            lock_mm: the lock shift met.
        """
        self.dial_mm = dial_mm
        self.tip_mm = self.screw_mm
        self.kept_mm = 0.0
        self.lock_mm = lock_mm

    def zero(self, shown_mm: float) -> None:
        """Make the readout show a figure as the slide stands.

        Args:
            shown_mm: what it is to show.
        """
        self.zero_mm += shown_mm - self.readout_mm

    def unlock(self) -> None:
        """Loosen the lock; most of its shift comes back."""
        self.kept_mm += (1.0 - self.lock_return) * self.lock_mm
        self.lock_mm = 0.0

    def lock(self, shift_mm: float) -> None:
        """Tighten the lock.

        Args:
            shift_mm: what the diameter does.
        """
        self.lock_mm = shift_mm

    def turn(self, by_mm: float, *, take_up: bool) -> None:
        """Turn an unlocked screw.

        With take-up, a move that closes, or one that starts with the backlash open, backs off by more than the backlash
        and ends by opening; without it what lies in the backlash is lost.

        Args:
            by_mm: by the graduation, opening positive.
            take_up: whether the backlash is taken up.
        """
        reversing = by_mm < 0.0 or self.slack_mm > 0.0
        self.dial_mm += by_mm
        screw = self.screw_mm
        if take_up and reversing:
            self.tip_mm = screw
            return
        wanted = min(max(self.tip_mm, screw), screw + self.backlash_mm)
        if abs(wanted - self.tip_mm) >= self.stick_mm:
            self.tip_mm = wanted

    def turn_until(self, readout_mm: float, *, take_up: bool) -> None:
        """Turn an unlocked screw until the readout shows a figure.

        Args:
            readout_mm: the figure, with what the eye and the step leave over.
            take_up: whether the last approach is by opening even when the move closes.
        """
        seen = (readout_mm - self.zero_mm) * (1.0 + self.readout_gain)
        tip = seen - self.lock_seen * self.kept_mm
        closing = tip < self.tip_mm
        self.tip_mm = tip
        self.dial_mm = tip - self.backlash_mm if closing and not take_up else tip

    def bear(self) -> None:
        """Take the load of a cut: backlash left open is partly pushed through the lock."""
        if self.slack_mm > 0.0:
            self.tip_mm -= self.slip_share * self.slack_mm
