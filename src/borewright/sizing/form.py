"""Form: what a place in the hole is larger or smaller than its mean, and how much of the hole lies outside that mean.

At the depth ``z`` below the mouth of a bore of depth ``L`` and across the direction ``theta``::

    r = H + taper (z/L - 1/2) + bell exp(-z/l) + (oval/2) cos 2(theta - theta_0)

with the taper from end to end, the bell dying out over ``l``, and the oval believed by its two parts,
``oval cos 2 theta_0`` and ``oval sin 2 theta_0``. A reading without a depth is of the middle, where neither taper nor
bell shows; one without a direction meets the oval by chance.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from borewright.gauging.conformity import normal_cdf
from borewright.sizing.gaussian import Gaussian, State, Vector
from borewright.sizing.model import Model

BELL_SHARE: Final = 0.1
"""Share of a bore's depth over which its bell mouth dies out to 1/e. Common practice, no source."""

MOST_TAKEN: Final = 0.49
"""Share of the tolerance that form takes at most: then nothing can be shown, and more changes nothing."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where in the bore a reading was taken.

    Args:
        depth_mm: how far below the mouth, mm; None where it was not said.
        direction_deg: direction across the bore, degrees; None where it was not said.
    """

    depth_mm: float | None = None
    direction_deg: float | None = None


NOWHERE: Final = Place()
"""Where nothing was said of the place."""


def add_form(row: Vector, model: Model, place: Place) -> None:
    """Add what the form of the hole adds to a reading at a place.

    Args:
        row: what the reading is made of, shape (22,); changed in place.
        model: the bore's constants.
        place: where it was taken.
    """
    if place.depth_mm is not None:
        deep = place.depth_mm / model.deep_mm
        row[State.TAPER], row[State.BELL] = min(max(deep, 0.0), 1.0) - 0.5, math.exp(-deep / BELL_SHARE)
    if place.direction_deg is not None and model.priors.taper.width:
        twice = math.radians(2.0 * place.direction_deg)
        row[State.OVAL_0], row[State.OVAL_45] = 0.5 * math.cos(twice), 0.5 * math.sin(twice)


def oval_by_chance(model: Model, place: Place) -> float:
    """Return what an oval across which a reading was taken by chance adds to its variance: ``oval^2/8``.

    Args:
        model: the bore's constants.
        place: where it was taken.

    Returns:
        The variance, mm^2; nothing where the direction is known and the form followed.
    """
    known = place.direction_deg is not None and model.priors.taper.width > 0.0
    return 0.0 if known else model.priors.ovality.width**2 / 8.0


def beyond_mean(belief: Gaussian, model: Model, *, along: bool, across: bool) -> tuple[float, float]:
    """Return how far the hole is expected to reach above and below its mean diameter.

    Half the oval's size, whose parts are ``N(m, v)``, is ``sqrt(pi v/8) L(-m^2/2v)`` on average with ``L`` the Laguerre
    function of order one half, and half the taper's ``E|t|/2``; the bell adds above where it is open, below where the
    mouth is narrow. Of taper and bell only what readings at a depth have shown is counted.

    Args:
        belief: what is believed.
        model: the bore's constants.
        along: whether any reading told its depth.
        across: whether any reading told its direction; else the oval is as wide as any pass leaves it.

    Returns:
        Both, mm, each from 0 to half the tolerance.
    """
    if not across:
        above = below = model.form_mm
    else:
        parts = (State.OVAL_0, State.OVAL_45)
        square = math.fsum(belief.at(part) ** 2 for part in parts)
        above = below = 0.5 * _mean_size(square, 0.5 * math.fsum(belief.sd(part) ** 2 for part in parts))
    if along:
        taper = 0.5 * _mean_distance(belief.at(State.TAPER), belief.sd(State.TAPER))
        bell, sd = belief.at(State.BELL), belief.sd(State.BELL)
        open_ = 0.5 * (_mean_distance(bell, sd) + bell)
        above, below = above + taper + open_, below + taper + open_ - bell
    most = MOST_TAKEN * (model.upper_mm - model.lower_mm)
    return min(above, most), min(below, most)


def _mean_distance(mean: float, sd: float) -> float:
    """Mean of the absolute value of a normal: ``s sqrt(2/pi) exp(-m^2/2s^2) + m (1 - 2 F(-m/s))``."""
    if sd <= 0.0:
        return abs(mean)
    about = sd * math.sqrt(2.0 / math.pi) * math.exp(-0.5 * (mean / sd) ** 2)
    return about + mean * (1.0 - 2.0 * normal_cdf(-mean / sd))


def _mean_size(square: float, variance: float) -> float:
    """Mean of the length of a vector of two normals (Rice), by the Bessel series of its Laguerre function.

    ``s sqrt(pi/2) e^(-x) ((1 + 2x) I0(x) + 2x I1(x))`` with ``x = m^2/4s^2``.
    """
    if variance <= 0.0:
        return math.sqrt(square)
    x = 0.25 * square / variance
    if x > 30.0:  # the length hardly varies any more: m + s^2/2m
        return math.sqrt(square) + 0.5 * variance / math.sqrt(square)
    term = zeroth = 1.0
    first, quarter = 0.5 * x, 0.25 * x * x
    other = first
    for k in range(1, 80):
        term *= quarter / (k * k)
        other *= quarter / (k * (k + 1))
        zeroth, first = zeroth + term, first + other
    return math.sqrt(0.5 * math.pi * variance) * math.exp(-x) * ((1.0 + 2.0 * x) * zeroth + 2.0 * x * first)
