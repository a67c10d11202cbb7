"""A joint Gaussian belief about the state of bore, tool, gauge and warmth, and the three things that happen to one.

A belief is carried through a step (the state changes by an equation with derivatives and noise of its own), a part of
it is drawn anew, or a measurement narrows it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import IntEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]


class State(IntEnum):
    """What is believed about; lengths in mm on the diameter at 20 °C, warmth in K above 20 °C."""

    HOLE = 0
    TRIAL = 1
    """The short land that the last trial cut left at the mouth."""
    UNLOCKED = 2
    """The tool's diameter in the spindle before locking."""
    LOCK = 3
    """The lock shift that is on it now."""
    LOCK_MEAN = 4
    GAIN = 5
    BACKLASH = 6
    PUSH_OFF = 7
    """Reference push-off in the coordinate of ``pushoff.signed_log``."""
    EXPONENT = 8
    EDGE = 9
    BENCH = 10
    GAUGE = 11
    """Error common to the readings of the gauge's present setting."""
    WARMTH = 12
    """The part's warmth now."""
    WARMTH_AT_CUT = 13
    THERMOMETER = 14
    DRIFT = 15
    """The part of the gauge's error that a re-check on its master shows."""
    STUCK = 16
    """What the tip still owes the screw, because small moves stuck; it comes with the next."""
    TAPER = 17
    """How much larger the hole is at its far end than at its mouth, along a straight line."""
    BELL = 18
    """How much larger it is at its very mouth, dying out inwards."""
    OVAL_0 = 19
    """Out of round, the part that is largest across 0 degrees; its size is the largest less the smallest diameter."""
    OVAL_45 = 20
    """The part that is largest across 45 degrees."""
    SPRING = 21
    """What the hole becomes larger when the clamps are let go."""


SIZE = len(State)

_STAYS: Final[Matrix] = np.eye(SIZE)
"""How the states after a step follow from those before where nothing changes."""


@dataclass(frozen=True, slots=True)
class Gaussian:
    """A joint normal distribution over ``State``.

    Args:
        mean: shape (22,).
        covariance: shape (22, 22), symmetric.
    """

    mean: Vector
    covariance: Matrix

    def at(self, state: State) -> float:
        """Return the mean of one state.

        Args:
            state: which.

        Returns:
            The mean, in that state's unit.
        """
        return float(self.mean[state])

    def sd(self, state: State) -> float:
        """Return the standard deviation of one state.

        Args:
            state: which.

        Returns:
            The standard deviation, in that state's unit.
        """
        return math.sqrt(max(float(self.covariance[state, state]), 0.0))

    def carried(self, mean: Vector, rows: dict[State, Vector], noise: dict[State, float]) -> Gaussian:
        """Carry the belief through a step in which a few states change.

        Args:
            mean: the mean after the step, shape (22,).
            rows: for each state that changes, its derivatives with respect to the states before, shape (22,).
            noise: variance added to a state that nothing else explains.

        Returns:
            The belief after the step: ``C' = F C F^T + Q``.
        """
        turned = _STAYS.copy()
        for state, row in rows.items():
            turned[state] = row
        covariance = turned.dot(self.covariance).dot(turned.T)
        for state, variance in noise.items():
            covariance[state, state] += variance
        return Gaussian(mean, covariance)

    def redrawn(self, state: State, mean: float, sd: float) -> Gaussian:
        """Forget one state and believe it anew, independent of all others.

        Args:
            state: which.
            mean: its new mean.
            sd: its new standard deviation.

        Returns:
            The belief after it.
        """
        means, covariance = self.mean.copy(), self.covariance.copy()
        means[state] = mean
        covariance[state, :] = 0.0
        covariance[:, state] = 0.0
        covariance[state, state] = sd * sd
        return Gaussian(means, covariance)

    def measured(self, row: Vector, value: float, variance: float) -> tuple[Gaussian, float, float]:
        """Take in a measurement of a linear combination of states.

        Args:
            row: the combination, shape (22,).
            value: what was measured.
            variance: the measurement's own variance.

        Returns:
            The belief after it, the innovation (measured minus expected), and the innovation's variance.
        """
        spread = self.covariance.dot(row)
        expected_variance = float(row.dot(spread)) + variance
        innovation = value - float(row.dot(self.mean))
        mean = self.mean + spread * (innovation / expected_variance)
        covariance = self.covariance - spread[:, None] * (spread / expected_variance)
        return Gaussian(mean, covariance), innovation, expected_variance

    def narrowed(self, row: Vector, variance: float) -> Gaussian:
        """Take in a measurement that has not been made yet: the width it will leave, the mean as it is.

        Args:
            row: the combination of states, shape (22,).
            variance: the measurement's own variance.

        Returns:
            The belief with the covariance that any outcome would leave.
        """
        spread = self.covariance.dot(row)
        covariance = self.covariance - spread[:, None] * (spread / (float(row.dot(spread)) + variance))
        return Gaussian(self.mean, covariance)


def unit_row(*states: State) -> Vector:
    """Return the row that adds up some states.

    Args:
        states: which.

    Returns:
        Shape (22,), 1 at each of them.
    """
    row = np.zeros(SIZE)
    for state in states:
        row[state] = 1.0
    return row


def mixed(beliefs: list[Gaussian], weights: list[float]) -> Gaussian:
    """Return the Gaussian with the mean and covariance of a mixture.

    Args:
        beliefs: the parts, at least one.
        weights: their weights, adding up to 1.

    Returns:
        One belief with the mixture's first two moments.
    """
    mean = np.zeros(SIZE)
    for belief, weight in zip(beliefs, weights, strict=True):
        mean = mean + weight * belief.mean
    covariance = np.zeros((SIZE, SIZE))
    for belief, weight in zip(beliefs, weights, strict=True):
        off = belief.mean - mean
        covariance = covariance + weight * (belief.covariance + np.outer(off, off))
    return Gaussian(mean, covariance)
