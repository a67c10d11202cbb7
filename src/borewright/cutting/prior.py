"""What physics believes of push-off before anything is cut: a level with its width, a shape, and each doubt's share.

The curve is handed on in the form that the belief of a bore uses, ``g(q) = P (e + (1 - e)(q/q0)^m)``: P at the
reference q0, and exponent and edge share such that it meets physics at q0, q0/2 and q0/4.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from borewright.cutting.chip import Floats
from borewright.cutting.pushoff import DOUBTS, Cut, doubts_of, push_off_for

EXPONENT_FLOOR, SHARE_FLOOR = 0.10, 0.08
"""Standard deviations of the shape that no input explains: the form is a form. Common practice, no source."""

CANCELLING: Final = 0.35
"""Where push-off is less than this share of what the radial force alone gives, inward and outward bending nearly cancel
and the shape of their difference is not believed. Chosen."""

LIMITS_OF_EXPONENT, LIMITS_OF_SHARE = (0.4, 1.1), (0.05, 0.6)
NORMAL_95: Final = 1.959964


@dataclass(frozen=True, slots=True)
class Share:
    """What one doubt contributes.

    Args:
        what: the doubt, in the trade's words.
        share: its share of the variance that the doubts have each by itself, 0 to 1.
        factor: push-off with the doubt one standard deviation up, over push-off as it is.
        narrows: what would narrow it.
    """

    what: str
    share: float
    factor: float
    narrows: str


@dataclass(frozen=True, slots=True)
class PushOffPrior:
    """Push-off as physics believes it.

    Args:
        at_removed: the reference q0, mm on the diameter.
        reference: push-off P where q0 comes off, mm on the diameter, signed.
        width: standard deviation of ``asinh(P/scale)``, the coordinate that it is believed in.
        scale: that scale, mm.
        exponent: m.
        exponent_sd: its standard deviation.
        edge: e.
        edge_sd: its standard deviation.
        shares: what makes the width, the largest first.
        steady: whether inward and outward bending are far from cancelling, so that the sign is sure.
        origin: on what ground.
    """

    at_removed: float
    reference: float
    width: float
    scale: float
    exponent: float
    exponent_sd: float
    edge: float
    edge_sd: float
    shares: tuple[Share, ...]
    steady: bool
    origin: str

    def interval(self, standard: float = NORMAL_95) -> tuple[float, float]:
        """Return what holds the reference push-off.

        Args:
            standard: standard deviations on each side.

        Returns:
            Lower and upper end, mm on the diameter.
        """
        middle = math.asinh(self.reference / self.scale)
        return (
            self.scale * math.sinh(middle - standard * self.width),
            self.scale * math.sinh(middle + standard * self.width),
        )


def push_off_prior(cut: Cut, at_removed: float, scale: float) -> PushOffPrior:
    """Carry the widths of all inputs through the physics, to second order in each.

    In ``y = asinh(P/scale)`` each doubt is moved by one standard deviation both ways: half the difference is its
    part of the width, half the sum of what both moved is added to the middle; pairs are moved together for what they
    do to each other.

    Args:
        cut: the cut.
        at_removed: the reference q0, mm on the diameter.
        scale: scale of the coordinate, mm: below it push-off may well be of either sign.

    Returns:
        The prior.
    """
    doubt = np.zeros((2 * DOUBTS + 1, 1, DOUBTS))
    for place in range(DOUBTS):
        doubt[1 + place, 0, place], doubt[1 + DOUBTS + place, 0, place] = 1.0, -1.0
    removed = at_removed * np.array([0.25, 0.5, 1.0])
    curve = push_off_for(cut, removed, doubt)
    level = np.arcsinh(curve[:, 2] / scale)
    up, down = level[1 : DOUBTS + 1], level[DOUBTS + 1 :]
    parts = 0.5 * (up - down)
    bent = 0.5 * (up + down) - level[0]
    own = parts**2 + 2.0 * bent**2
    variance = float(own.sum() + _together(cut, at_removed, scale, level))
    steady = _steady(cut, at_removed, float(curve[0, 2]))
    exponent, share = _shape(curve if steady else _radial_only(cut, removed, doubt))
    factors = np.divide(curve[1 : DOUBTS + 1, 2], curve[0, 2])
    shares = sorted(
        (
            Share(each.what, float(alone / own.sum()), float(factor), each.narrows)
            for each, alone, factor in zip(doubts_of(cut), own, factors, strict=True)
        ),
        key=lambda each: -each.share,
    )
    return PushOffPrior(
        at_removed=at_removed,
        reference=scale * math.sinh(float(level[0] + bent.sum())),
        width=math.sqrt(variance),
        scale=scale,
        exponent=float(exponent[0]),
        exponent_sd=math.hypot(_spread(exponent), EXPONENT_FLOOR),
        edge=float(share[0]),
        edge_sd=math.hypot(_spread(share), SHARE_FLOOR),
        shares=tuple(shares),
        steady=steady,
        origin=f"assumed by physics: {cut.work.said}; {cut.work.family}; {cut.compliance.origin}",
    )


def _together(cut: Cut, at_removed: float, scale: float, level: Floats) -> float:
    """Return what doubts do to each other: the summed squares of the mixed second differences of every pair."""
    first, second = np.triu_indices(DOUBTS, 1)
    doubt = np.zeros((first.size, DOUBTS))
    doubt[np.arange(first.size), first] = doubt[np.arange(first.size), second] = 1.0
    both = np.arcsinh(push_off_for(cut, at_removed, doubt) / scale)
    mixed = both - level[1 + first] - level[1 + second] + level[0]
    return float(mixed @ mixed)


def _steady(cut: Cut, at_removed: float, whole: float) -> bool:
    alone = np.asarray(push_off_for(_without_outward(cut), at_removed))
    return whole > CANCELLING * float(alone)


def _radial_only(cut: Cut, removed: Floats, doubt: Floats) -> Floats:
    return push_off_for(_without_outward(cut), removed, doubt)


def _without_outward(cut: Cut) -> Cut:
    return replace(cut, compliance=replace(cut.compliance, outward=0.0))


def _shape(curve: Floats) -> tuple[Floats, Floats]:
    """Meet the curve at q0/4, q0/2 and q0: with ``t = 2^-m``, ``1 + t = (1 - g1/P) / (1 - g2/P)``.

    Where that would leave no edge share, the least is taken, and the exponent that meets q0/4 and q0.
    """
    first, second = curve[:, 0] / curve[:, 2], curve[:, 1] / curve[:, 2]
    ratio = np.clip((1.0 - first) / (1.0 - second) - 1.0, 0.3, 0.9)
    share = np.clip(1.0 - (1.0 - second) / (1.0 - ratio), *LIMITS_OF_SHARE)
    left = np.clip((first - share) / (1.0 - share), 0.05, 0.9)
    return np.clip(-np.log2(left) / 2.0, *LIMITS_OF_EXPONENT), share


def _spread(values: Floats) -> float:
    """Return the root of the summed squares of what one standard deviation of each doubt does."""
    parts = 0.5 * (values[1 : DOUBTS + 1] - values[DOUBTS + 1 :])
    return float(np.sqrt(parts @ parts))
