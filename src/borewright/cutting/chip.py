"""The chip under a round nose, exactly: its area, the edge that is engaged, and its thickness along that edge.

The nose of radius r stands one feed ahead of where it stood a turn before. An angle ``theta`` along the nose is counted
from the bottom of the groove, positive towards the feed::

    h(theta) = r + f sin theta - sqrt(r^2 - f^2 cos^2 theta)          against the nose's own groove
    h(theta) = r - (r - ap) / cos theta                               at most, against the old surface
    h(theta) = r - (r - f sin kappa) / cos(kappa - theta)             against the groove of the straight edge
    dA       = h (1 - h / 2r) r d(theta)

and on the straight edge beyond ``theta = kappa`` the thickness is ``f sin kappa``. Every function takes numbers or
arrays of one shape; mm and radians.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from borewright.errors import EntryError

Floats: TypeAlias = NDArray[np.float64]

NODES: Final = 12
"""Gauss-Legendre nodes on each of three stretches of the nose; against 200 the force differs by less than 1e-5."""

_UNIT_NODES, _UNIT_WEIGHTS = np.polynomial.legendre.leggauss(NODES)


@dataclass(frozen=True, slots=True)
class Chip:
    """The chip of one cut, or of many at once.

    Args:
        depth: radial depth ap, mm.
        feed: feed f a turn, mm.
        nose: nose radius r, mm.
        kappa: tool cutting edge angle, rad.
        area: chip area A, mm^2.
        length: engaged edge L, mm.
        start: angle of the edge's trailing end, rad, negative.
        end: angle at which the nose's part ends, rad.
        straight: length of the straight edge that is engaged, mm; 0 where the nose cuts alone.
        straight_area: what of the area the straight edge takes, mm^2.
        angle: angles of the nodes along the nose, rad, shape (..., 36).
        thickness: chip thickness at the nodes, mm, shape (..., 36).
        slices: chip area that each node stands for, mm^2, shape (..., 36). With the straight area they make the whole
            to 1e-6 up to a feed of 0.9 r and to 0.1 % up to r; above the nose's middle an edge that leans back leaves
            up to 4 % before no node, until the straight edge cuts too.
        arcs: edge length that each node stands for, mm, shape (..., 36).
    """

    depth: Floats
    feed: Floats
    nose: Floats
    kappa: Floats
    area: Floats
    length: Floats
    start: Floats
    end: Floats
    straight: Floats
    straight_area: Floats
    angle: Floats
    thickness: Floats
    slices: Floats
    arcs: Floats

    @property
    def equivalent(self) -> Floats:
        """Equivalent chip thickness A/L, mm."""
        return self.area / self.length

    @property
    def straight_thickness(self) -> Floats:
        """Chip thickness on the straight edge, ``f sin kappa``, mm."""
        return self.feed * np.sin(self.kappa)

    @property
    def thickest(self) -> Floats:
        """Largest chip thickness, mm: where the old surface meets the groove before, or on the straight edge.

        Where that lies behind the bottom of the groove, the old surface stands highest at the bottom; where it lies
        beyond the side, the groove before is farthest at the side.
        """
        kink = _kink(self.depth, self.feed, self.nose, self.kappa, self.start, self.end)
        on_nose = nose_thickness(np.clip(kink, 0.0, 0.5 * np.pi), self.depth, self.feed, self.nose, self.kappa)
        return np.where(self.straight > 0.0, np.maximum(on_nose, self.straight_thickness), on_nose)


def check_nose(feed: float, nose: float, kappa_deg: float) -> None:
    """Refuse a feed or an edge that makes no groove by its nose.

    Args:
        feed: feed a turn, mm.
        nose: nose radius, mm.
        kappa_deg: tool cutting edge angle, degrees.

    Raises:
        EntryError: one is not positive, the angle is none of a boring tool, or the feed is more than the nose allows.
    """
    if not nose > 0.0:
        raise EntryError(
            "A nose radius is larger than 0.", given=nose, right="Give it in mm, such as 0.4.", where="nose"
        )
    if not feed > 0.0:
        raise EntryError(
            "A feed is larger than 0.", given=feed, right="Give it in mm a turn, such as 0.08.", where="feed"
        )
    if not 30.0 <= kappa_deg <= 110.0:
        raise EntryError(
            "The tool cutting edge angle of a boring tool lies between 30° and 110°.",
            given=kappa_deg,
            right="Give the angle between the edge and the feed, such as 95; it is 90 less the lead angle.",
            where="edge_angle",
        )
    if feed > nose:
        raise EntryError(
            f"A nose of {nose:g} mm does not allow this feed: it would leave a thread.",
            given=f"{feed:g} mm a turn",
            right=f"Feed at most {0.5 * nose:g} mm a turn, or take a larger nose.",
            where="feed",
        )


def cusp_height(feed: ArrayLike, nose: ArrayLike) -> Floats:
    """Return the height of the ridges between turns: ``Rt = r - sqrt(r^2 - f^2/4)``.

    Args:
        feed: f, mm.
        nose: r, mm.

    Returns:
        Rt, mm.
    """
    feed, nose = _floats(feed), _floats(nose)
    # The same without the difference of two nearly equal numbers.
    return feed**2 / 4.0 / (nose + np.sqrt(nose**2 - feed**2 / 4.0))


def cusp_area(feed: ArrayLike, nose: ArrayLike) -> Floats:
    """Return the area of a ridge: ``Ac = f r - (f/2 sqrt(r^2 - f^2/4) + r^2 asin(f/2r))``.

    Args:
        feed: f, mm.
        nose: r, mm.

    Returns:
        Ac, mm^2.
    """
    feed, nose = _floats(feed), _floats(nose)
    root = np.sqrt(nose**2 - feed**2 / 4.0)
    return feed * nose - (0.5 * feed * root + nose**2 * np.arcsin(feed / (2.0 * nose)))


def nose_thickness(angle: ArrayLike, depth: ArrayLike, feed: ArrayLike, nose: ArrayLike, kappa: ArrayLike) -> Floats:
    """Return the chip's thickness along the nose, by the three formulas at the head of this module.

    Args:
        angle: theta, rad.
        depth: ap, mm.
        feed: f, mm.
        nose: r, mm.
        kappa: tool cutting edge angle, rad.

    Returns:
        The thickness, mm; 0 where nothing is cut.
    """
    angle, depth, feed, nose, kappa = (_floats(each) for each in (angle, depth, feed, nose, kappa))
    sine, cosine = np.sin(angle), np.cos(angle)
    reach = np.sqrt(np.maximum(nose**2 - (feed * cosine) ** 2, 0.0)) - feed * sine
    beyond = angle > _seen(nose * np.sin(kappa) - feed, nose * np.cos(kappa))
    slant = np.maximum(np.cos(kappa - angle), 1e-9)
    reach = np.where(beyond, (nose - feed * np.sin(kappa)) / slant, reach)
    cap = nose - (nose - depth) / np.maximum(cosine, 1e-9)
    return np.maximum(np.minimum(nose - reach, cap), 0.0)


def chip_of(depth: ArrayLike, feed: ArrayLike, nose: ArrayLike, kappa: ArrayLike) -> Chip:
    """Work out the chip of one cut or of many.

    The area is ``A = ap f - Ac`` and the edge ``L = r (acos(1 - ap/r) + asin(f/2r))`` where the nose cuts alone,
    ``L = r (kappa + asin(f/2r)) + (ap - r (1 - cos kappa)) / sin kappa`` where the straight edge helps. A depth less
    than the ridges' height leaves a segment of the nose's own circle, ``r^2 (phi - sin phi cos phi)``.

    Args:
        depth: radial depth ap, mm, larger than 0.
        feed: f, mm.
        nose: r, mm.
        kappa: tool cutting edge angle, rad.

    Returns:
        The chip; every array has the broadcast shape of the arguments.
    """
    depth, feed, nose, kappa = np.broadcast_arrays(*(_floats(each) for each in (depth, feed, nose, kappa)))
    corner = nose * (1.0 - np.cos(kappa))
    reaches = np.arccos(np.clip(1.0 - depth / nose, -1.0, 1.0))
    end = np.minimum(reaches, kappa)
    start = -np.minimum(np.arcsin(np.minimum(feed / (2.0 * nose), 1.0)), reaches)
    straight = np.maximum(depth - corner, 0.0) / np.sin(kappa)
    whole = depth * feed - cusp_area(feed, nose)
    segment = nose**2 * (reaches - np.sin(reaches) * np.cos(reaches))
    area = np.where(depth < cusp_height(feed, nose), segment, whole)
    angle, weight = _nodes(depth, feed, nose, kappa, start, end)
    fine = (each[..., None] for each in (depth, feed, nose, kappa))
    thickness = nose_thickness(angle, *fine)
    arcs = weight * nose[..., None]
    slices = thickness * (1.0 - 0.5 * thickness / nose[..., None]) * arcs
    straight_area = np.where(straight > 0.0, np.maximum(area - slices.sum(axis=-1), 0.0), 0.0)
    return Chip(
        depth=depth,
        feed=feed,
        nose=nose,
        kappa=kappa,
        area=area,
        length=nose * (end - start) + straight,
        start=start,
        end=end,
        straight=straight,
        straight_area=straight_area,
        angle=angle,
        thickness=thickness,
        slices=slices,
        arcs=arcs,
    )


def _nodes(
    depth: Floats, feed: Floats, nose: Floats, kappa: Floats, start: Floats, end: Floats
) -> tuple[Floats, Floats]:
    """Set nodes on three stretches that meet where the thickness has its kinks; rad, shape (..., 3 NODES) each."""
    kink = _kink(depth, feed, nose, kappa, start, end)
    turn = np.clip(_seen(nose * np.sin(kappa) - feed, nose * np.cos(kappa)), start, end)
    first, second = np.minimum(kink, turn), np.maximum(kink, turn)
    angles, weights = [], []
    for low, high in ((start, first), (first, second), (second, end)):
        half = 0.5 * (high - low)
        angles.append((low + half)[..., None] + half[..., None] * _UNIT_NODES)
        weights.append(half[..., None] * _UNIT_WEIGHTS)
    return np.concatenate(angles, axis=-1), np.concatenate(weights, axis=-1)


def _kink(depth: Floats, feed: Floats, nose: Floats, kappa: Floats, start: Floats, end: Floats) -> Floats:
    """Return the angle at which the old surface meets the groove before, kept on the nose's engaged part."""
    corner = nose * (1.0 - np.cos(kappa))
    slope = np.where(np.abs(np.cos(kappa)) < 1e-12, 0.0, 1.0 / np.tan(kappa))
    on_nose = nose * np.sin(np.arccos(np.clip(1.0 - depth / nose, -1.0, 1.0)))
    on_edge = nose * np.sin(kappa) + (depth - corner) * slope
    across = np.where(depth <= corner, on_nose, on_edge)
    return np.clip(_seen(across - feed, nose - depth), start, end)


def _seen(across: Floats, down: Floats) -> Floats:
    """Return the angle from the nose's middle at which a point is seen, -90 to 270 degrees.

    A point of an edge that leans back may lie behind the middle: beyond the side, not below.
    """
    angle = np.arctan2(across, down)
    return np.where(angle < -0.5 * np.pi, angle + 2.0 * np.pi, angle)


def _floats(values: ArrayLike) -> Floats:
    return np.asarray(values, dtype=np.float64)
