"""What one bore says about the parts that outlive it: what is believed after it, less what was believed before.

Two Gaussian beliefs about the same parts, ``N(m0, C0)`` before and ``N(m1, C1)`` after, differ by what was seen, and
that is kept: the logarithm of its likelihood, about the later mean,

    l(x) = g^T (x - m1) - (x - m1)^T L (x - m1) / 2,    L = C1^-1 - C0^-1,    g = C0^-1 (m1 - m0)

Push-off is spoken of in mm: a reading shows the bench's error less push-off, whatever that is, so that bores which
found different push-offs still speak of one and the same difference. In the belief's own coordinate each would draw its
line elsewhere, and lines that cross seem to tell both.

Taken jointly, what a bore shows only as a sum, such as push-off less the bench's error, stays a sum; and what it began
with is not in it, so that nothing is counted twice however many bores began with the same.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from borewright.learning.parts import PLACE, STATES
from borewright.sizing.gaussian import Gaussian, Matrix, Vector
from borewright.sizing.pushoff import from_signed_log

LEAST: Final = 0.01
"""Information in a direction, in units of what was known before, below which the bore said nothing of it: there what
is left of a mean's shift is the doing of a straight line drawn anew."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What a bore says about the parts.

    Args:
        centre: where it is drawn, shape (7,).
        information: L, shape (7, 7), symmetric, never negative.
        gradient: g, shape (7,).
    """

    centre: Vector
    information: Matrix
    gradient: Vector

    def about(self, origin: Vector, scale: Vector) -> tuple[Matrix, Vector]:
        """Return it in other coordinates: ``l(u) = h^T u - u^T L u / 2`` with ``x = origin + scale u``.

        Args:
            origin: shape (7,).
            scale: shape (7,).

        Returns:
            L, shape (7, 7), and h, shape (7,).
        """
        information = self.information * np.outer(scale, scale)
        return information, scale * self.gradient + information @ ((self.centre - origin) / scale)

    def joined(self, other: Evidence) -> Evidence:
        """Count other evidence too, of something else that was seen.

        Args:
            other: the other.

        Returns:
            Both, about this one's centre.
        """
        gradient = other.gradient - other.information @ (self.centre - other.centre)
        return Evidence(self.centre, self.information + other.information, self.gradient + gradient)


def evidence_between(before: Gaussian, after: Gaussian) -> Evidence:
    """Return what was seen between two beliefs, push-off in mm.

    Args:
        before: the joint belief without what was seen.
        after: the joint belief with it.

    Returns:
        The evidence. A part that was no matter of belief before, of width 0, is left untold.
    """
    mean_0, cov_0 = _parts_of(before)
    mean_1, cov_1 = _parts_of(after)
    information, gradient = np.zeros_like(cov_0), np.zeros_like(mean_0)
    open_ = np.flatnonzero(np.diag(cov_0) > 0.0)
    root = np.linalg.cholesky(cov_0[np.ix_(open_, open_)])
    inverse = np.linalg.inv(root)
    left, directions = np.linalg.eigh(inverse @ cov_1[np.ix_(open_, open_)] @ inverse.T)
    told = 1.0 / np.clip(left, 1e-12, 1.0) - 1.0
    shift = directions.T @ inverse @ (mean_1 - mean_0)[open_]
    says = told >= LEAST
    axes = inverse.T @ directions[:, says]
    information[np.ix_(open_, open_)] = (axes * told[says]) @ axes.T
    gradient[open_] = axes @ shift[says]
    reference, slope = from_signed_log(float(mean_1[PLACE["push_off"]]))
    scale, centre = np.ones(len(mean_1)), mean_1.copy()
    centre[PLACE["push_off"]], scale[PLACE["push_off"]] = reference, 1.0 / slope
    return Evidence(centre, information * np.outer(scale, scale), gradient * scale)


def at_depth(evidence: Evidence, from_mm: float, to_mm: float) -> Evidence:
    """Speak of push-off at another reference depth, along the curve that was found.

    With ``r = q1/q0`` and ``f = e + (1 - e) r^m`` the same curve has ``P1 = P0 f``, ``e1 = e / f``, ``m1 = m``.

    Args:
        evidence: what was seen.
        from_mm: its reference depth q0, mm on the diameter.
        to_mm: the other, q1.

    Returns:
        The evidence, carried over along the derivatives of that.
    """
    if from_mm == to_mm:
        return evidence
    p, m, e = (PLACE[name] for name in ("push_off", "exponent", "edge"))
    reference, exponent, edge = (float(evidence.centre[part]) for part in (p, m, e))
    ratio = to_mm / from_mm
    power = ratio**exponent
    grown = edge + (1.0 - edge) * power
    by_exponent = (1.0 - edge) * power * math.log(ratio)
    centre = evidence.centre.copy()
    centre[p], centre[e] = reference * grown, edge / grown
    turn = np.eye(len(centre))
    turn[p, p], turn[p, m], turn[p, e] = grown, reference * by_exponent, reference * (1.0 - power)
    turn[e, m], turn[e, e] = -edge * by_exponent / grown**2, power / grown**2
    back = np.linalg.inv(turn)
    return Evidence(centre, back.T @ evidence.information @ back, back.T @ evidence.gradient)


def _parts_of(belief: Gaussian) -> tuple[Vector, Matrix]:
    places = list(STATES)
    return belief.mean[places], belief.covariance[np.ix_(places, places)]
