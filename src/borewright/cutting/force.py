"""The force of a cut, by integration along the engaged edge, with the edge's own part.

Each piece of edge ``ds`` takes ``dFc = kc1.1 h^(1-mc) ds`` times the corrections, and beside it ``Ke ds`` that does not
depend on the chip: the rounded edge ploughs, and in finish boring the chip is hardly thicker than that rounding.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from borewright.cutting.chip import Chip, Floats
from borewright.cutting.direction import chord_angle, weighted_angle
from borewright.errors import EntryError

EDGE_THRUST: Final = 1.5
"""Ploughing pushes away more than it holds back: the edge's normal force over its cutting force. From memory."""

THINNEST_MM: Final = 1e-9
"""Chip thickness below which an end of the edge is taken to cut nothing, so that no power of 0 is formed."""


@dataclass(frozen=True, slots=True)
class Coefficients:
    """What the force rests on beside the chip; numbers, or arrays that broadcast against the chip's.

    Args:
        kc: kc1.1 with every correction in it, N/mm^2.
        exponent: mc.
        edge: cutting force of each mm of edge beside the chip's, N/mm.
        thrust: normal force of the chip as a share of its cutting force.
        edge_thrust: normal force of the edge's part as a multiple of its cutting force.
        flat: length of a wiper's flat, mm: it rubs along the wall, and pushes straight from it.
        lean: which rule gives the direction: 0 the chord, 1 the load's mean; between and beyond them for the width.
    """

    kc: ArrayLike
    exponent: ArrayLike
    edge: ArrayLike = 0.0
    thrust: ArrayLike = 0.6
    edge_thrust: ArrayLike = EDGE_THRUST
    lean: ArrayLike = 0.5
    flat: float = 0.0


@dataclass(frozen=True, slots=True)
class Force:
    """The force on the tip, N; each an array of the chip's shape.

    Args:
        cutting: along the cut, Fc.
        radial: from the wall to the axis, Fp: what bends the bar away.
        feed: back along the feed, Ff.
        edge_share: share of the radial force that comes from the edge alone.
        angle: the direction keq of the force normal to the edge, rad from the radius.
    """

    cutting: Floats
    radial: Floats
    feed: Floats
    edge_share: Floats
    angle: Floats


def force_of(chip: Chip, by: Coefficients) -> Force:
    """Work out the force of a cut, or of many at once.

    Args:
        chip: the chip.
        by: what it rests on.

    Returns:
        The force: ``Fn = q (chip's part) + qe (edge's part)``, ``Fp = Fn cos keq + qe Ke w`` with w the flat of a
        wiper, ``Ff = Fn sin keq``.

    Source: [dietrich2014] for the power law; [atabey2003] for the edge's part along a round nose.
    """
    kc, exponent = np.asarray(by.kc, dtype=np.float64), np.asarray(by.exponent, dtype=np.float64)
    power = 1.0 - exponent
    thickness = np.maximum(chip.thickness, THINNEST_MM)
    loads = kc[..., None] * np.exp(power[..., None] * np.log(thickness)) * chip.arcs
    straight = kc * chip.straight_area * np.maximum(chip.straight_thickness, THINNEST_MM) ** (-exponent)
    of_chip = loads.sum(axis=-1) + straight
    of_edge = np.asarray(by.edge) * chip.length
    normal_edge = np.asarray(by.edge_thrust) * of_edge
    normal = np.asarray(by.thrust) * of_chip + normal_edge
    chord = chord_angle(chip)
    angle = chord + np.asarray(by.lean) * (weighted_angle(chip, loads, straight) - chord)
    of_flat = np.asarray(by.edge) * by.flat
    from_flat = np.asarray(by.edge_thrust) * of_flat
    radial = normal * np.cos(angle) + from_flat
    edge_radial = normal_edge * np.cos(angle) + from_flat
    return Force(
        cutting=of_chip + of_edge + of_flat,
        radial=radial,
        feed=normal * np.sin(angle),
        edge_share=np.divide(edge_radial, radial, out=np.zeros_like(radial), where=radial > 0.0),
        angle=angle,
    )


def rake_correction(rake_deg: float, neutral_deg: float) -> float:
    """Return what the rake does to the force: ``1 - (gamma - gamma0) / 100``, 1 % a degree.

    Args:
        rake_deg: gamma, degrees; negative where the edge is pushed.
        neutral_deg: gamma0, the rake that the table is for, degrees.

    Returns:
        The factor.

    Raises:
        EntryError: the rake is none of a cutting edge.

    Source: [dietrich2014].
    """
    if not -30.0 <= rake_deg <= 40.0:
        raise EntryError(
            "A rake lies between -30° and 40°.", given=rake_deg, right="Give it in degrees, such as 5.", where="rake"
        )
    return 1.0 - (rake_deg - neutral_deg) / 100.0


def circle_forces(
    rake_deg: float, thickness_mm: float, width_mm: float, friction: float, shear_mpa: float
) -> tuple[float, float]:
    """Return the forces of orthogonal cutting by the circle of forces with least work.

    ``2 phi + beta - gamma = 90 deg``, ``Fs = tau b h / sin phi``, ``R = Fs / cos(phi + beta - gamma)``,
    ``Fc = R cos(beta - gamma)``, ``Ft = R sin(beta - gamma)``.

    Args:
        rake_deg: gamma, degrees.
        thickness_mm: chip thickness before the cut h, mm.
        width_mm: width of cut b, mm.
        friction: coefficient of friction on the rake, tan beta.
        shear_mpa: shear strength tau, MPa.

    Returns:
        Cutting force and thrust, N.

    Source: [ghosh-mallik].
    """
    rake, beta = math.radians(rake_deg), math.atan(friction)
    shear_angle = 0.5 * (0.5 * math.pi - beta + rake)
    along_shear = shear_mpa * width_mm * thickness_mm / math.sin(shear_angle)
    whole = along_shear / math.cos(shear_angle + beta - rake)
    return whole * math.cos(beta - rake), whole * math.sin(beta - rake)
