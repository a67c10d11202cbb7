"""A belief about one of several like bores that keeps the others beside it, so that a tool in common is learned once.

Of several bores that one tool cuts, the tool, its screw and lock, its push-off and the gauge are the same states; the
holes are states of their own, and so is the warmth of each part. One bore at a time is *taken up*: its states stand
where every step of the belief looks for them. Those of the others are *put aside* with their covariances, which each
step carries on: ``x' = F x + w`` with ``y`` put aside gives ``C'_xy = F C_xy``, and a measurement with the row ``r``
``C'_yy = C_yy - (C_yx r)(C_yx r)^T / (r C r + v)``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from borewright.sizing.gaussian import SIZE, Gaussian, Matrix, State, Vector

OWN: Final = (State.HOLE, State.TAPER, State.BELL, State.OVAL_0, State.OVAL_45)
"""What each bore has for itself where all are in one part: its size and its form."""

OWN_PART: Final = (*OWN, State.WARMTH, State.WARMTH_AT_CUT)
"""What each bore has for itself where each is in a part of its own."""


@dataclass(frozen=True, slots=True)
class Among(Gaussian):
    """A joint belief in which one bore is taken up and the others are put aside.

    Args:
        own: the states that each bore has for itself.
        here: the bore that is taken up.
        there: those that are put aside, in the order in which their states stand.
        aside: means of what is put aside, shape (others * own,).
        beside: covariance of the states with what is put aside, shape (21, others * own).
        between: covariance of what is put aside, shape (others * own, others * own).
    """

    own: tuple[State, ...]
    here: int
    there: tuple[int, ...]
    aside: Vector
    beside: Matrix
    between: Matrix

    @property
    def alone(self) -> Gaussian:
        """The belief without what is put aside."""
        return Gaussian(self.mean, self.covariance)

    def with_hole(self, bore: int) -> float:
        """Return the covariance of the hole that is taken up with that of another bore.

        Args:
            bore: the other, put aside.

        Returns:
            The covariance, mm^2.
        """
        return float(self.beside[State.HOLE, self.there.index(bore) * len(self.own)])

    def taken_up(self, bore: int) -> Among:
        """Take up another bore and put the present one aside in its place.

        Args:
            bore: which.

        Returns:
            The same joint belief, its states in another order.
        """
        if bore == self.here:
            return self
        place = self.there.index(bore)
        own = [int(state) for state in self.own]
        put = [SIZE + place * len(own) + index for index in range(len(own))]
        order = np.arange(SIZE + self.aside.size)
        order[own], order[put] = put, own
        mean = np.concatenate((self.mean, self.aside))[order]
        whole = np.block([[self.covariance, self.beside], [self.beside.T, self.between]])[np.ix_(order, order)]
        there = (*self.there[:place], self.here, *self.there[place + 1 :])
        return replace(
            self,
            mean=mean[:SIZE],
            covariance=whole[:SIZE, :SIZE].copy(),
            here=bore,
            there=there,
            aside=mean[SIZE:],
            beside=whole[:SIZE, SIZE:].copy(),
            between=whole[SIZE:, SIZE:].copy(),
        )

    def carried(self, mean: Vector, rows: dict[State, Vector], noise: dict[State, float]) -> Among:
        """Carry the belief through a step in which a few states change; what is put aside stays.

        Args:
            mean: the mean after the step, shape (21,).
            rows: for each state that changes, its derivatives with respect to the states before, shape (21,).
            noise: variance added to a state that nothing else explains.

        Returns:
            The belief after the step.
        """
        after = Gaussian.carried(self, mean, rows, noise)
        beside = self.beside.copy()
        for state, row in rows.items():
            beside[state] = row.dot(self.beside)
        return replace(self, mean=after.mean, covariance=after.covariance, beside=beside)

    def redrawn(self, state: State, mean: float, sd: float) -> Among:
        """Forget one state and believe it anew, independent of all others and of what is put aside.

        Args:
            state: which.
            mean: its new mean.
            sd: its new standard deviation.

        Returns:
            The belief after it.
        """
        after = Gaussian.redrawn(self, state, mean, sd)
        beside = self.beside.copy()
        beside[state] = 0.0
        return replace(self, mean=after.mean, covariance=after.covariance, beside=beside)

    def measured(self, row: Vector, value: float, variance: float) -> tuple[Among, float, float]:
        """Take in a measurement of a linear combination of states.

        Args:
            row: the combination, shape (21,).
            value: what was measured.
            variance: the measurement's own variance.

        Returns:
            The belief after it, the innovation (measured minus expected), and the innovation's variance.
        """
        after, innovation, expected = Gaussian.measured(self, row, value, variance)
        aside = self.aside + row.dot(self.beside) * (innovation / expected)
        return replace(self.narrowed(row, variance), mean=after.mean, aside=aside), innovation, expected

    def narrowed(self, row: Vector, variance: float) -> Among:
        """Take in a measurement that has not been made yet: the width it will leave, the means as they are.

        Args:
            row: the combination of states, shape (21,).
            variance: the measurement's own variance.

        Returns:
            The belief with the covariances that any outcome would leave.
        """
        spread, across = self.covariance.dot(row), row.dot(self.beside)
        expected = float(row.dot(spread)) + variance
        return replace(
            self,
            covariance=self.covariance - spread[:, None] * (spread / expected),
            beside=self.beside - spread[:, None] * (across / expected),
            between=self.between - across[:, None] * (across / expected),
        )


def among(beliefs: Sequence[Gaussian], shared: int, own: tuple[State, ...]) -> Among:
    """Join the beliefs about several bores: what they share as one of them knows it, what is their own from each.

    Nothing has been learned about two of the holes together: their covariances with one another and with what is
    shared are nothing, but for those of the bore that the shared states are taken from.

    Args:
        beliefs: the joint belief of each bore by itself.
        shared: the bore from which the shared states are taken; it is taken up.
        own: the states that each bore has for itself.

    Returns:
        The joint belief of them all.
    """
    there = tuple(bore for bore in range(len(beliefs)) if bore != shared)
    states, count = [int(state) for state in own], len(own)
    between = np.zeros((len(there) * count, len(there) * count))
    for place, bore in enumerate(there):
        block = slice(place * count, (place + 1) * count)
        between[block, block] = beliefs[bore].covariance[np.ix_(states, states)]
    aside = [beliefs[bore].mean[states] for bore in there]
    return Among(
        mean=beliefs[shared].mean,
        covariance=beliefs[shared].covariance,
        own=own,
        here=shared,
        there=there,
        aside=np.concatenate(aside) if aside else np.zeros(0),
        beside=np.zeros((SIZE, len(there) * count)),
        between=between,
    )
