"""Push-off: what the hole comes out smaller by than the tool is set, because the cutting force bends the tool away.

With the depth set ``s`` and what comes off ``q = s - p``, physics speaks of ``q``: ``p = g(q)``, so ``p(s)`` solves
``p = g(s - p)`` and ``0 <= dp/ds < 1`` for a tool that pushes off. The curve is signed: a short tool of large diameter
can be bent outward by the feed force and cut large.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from borewright.errors import EntryError

SIGN_SCALE_MM: Final = 0.003
"""Push-off below this may well be of either sign; well above it a guess is off by a factor. Chosen, not measured."""


def signed_log(reference_mm: float) -> float:
    """Return the coordinate in which a reference push-off is believed: ``asinh(P/a)``.

    It is a logarithm where push-off is large, so that its sign holds, and straight near nothing, so that it may turn.

    Args:
        reference_mm: reference push-off P, mm on the diameter, signed.

    Returns:
        The coordinate.
    """
    return math.asinh(reference_mm / SIGN_SCALE_MM)


def from_signed_log(coordinate: float) -> tuple[float, float]:
    """Return the reference push-off of a coordinate, and how it changes with it.

    Args:
        coordinate: as ``signed_log`` gives it.

    Returns:
        P in mm, and dP by the coordinate in mm.
    """
    return SIGN_SCALE_MM * math.sinh(coordinate), SIGN_SCALE_MM * math.cosh(coordinate)


@dataclass(frozen=True, slots=True)
class PushOffPoint:
    """The push-off of one pass and how it changes with what it rests on.

    Args:
        p: push-off, mm on the diameter.
        by_depth: dp/ds.
        by_reference: change of p with the reference push-off.
        by_exponent: change of p with the exponent, mm.
        by_edge: change of p with the share of the edge, mm.
    """

    p: float
    by_depth: float
    by_reference: float
    by_exponent: float
    by_edge: float


def push_off(removed: float, reference: float, exponent: float, edge: float, at_removed: float) -> float:
    """Return push-off from what comes off: ``g(q) = P (e + (1 - e)(q/q0)^m)``, nothing where nothing comes off.

    Args:
        removed: what comes off, q, mm on the diameter.
        reference: push-off P where q0 comes off, mm on the diameter, signed.
        exponent: m, how push-off grows with what comes off.
        edge: e, the share that stays when what comes off goes to nothing.
        at_removed: q0, mm on the diameter, larger than 0.

    Returns:
        Push-off, mm on the diameter.
    """
    if removed <= 0.0:
        return 0.0
    return reference * (edge + (1.0 - edge) * float((removed / at_removed) ** exponent))


def push_off_of_depth(depth: float, reference: float, exponent: float, edge: float, at_removed: float) -> PushOffPoint:
    """Solve ``p = g(s - p)`` for the depth set, with the derivatives by implicit differentiation.

    Args:
        depth: depth set s, mm on the diameter.
        reference: push-off P where q0 comes off, mm, signed.
        exponent: m.
        edge: e.
        at_removed: q0, mm, larger than 0.

    Returns:
        The push-off; where nothing would come off it equals the depth set.

    Raises:
        EntryError: q0 is not larger than 0.
    """
    if not at_removed > 0.0:
        raise EntryError("The reference of push-off must be larger than 0.", given=at_removed, where="at_removed")
    removed = _solve_removed(depth, reference, exponent, edge, at_removed)
    if removed <= 0.0:
        return PushOffPoint(max(depth, 0.0), 1.0, 0.0, 0.0, 0.0)
    power = (removed / at_removed) ** exponent
    slope = reference * (1.0 - edge) * exponent * power / removed
    shrink = 1.0 / (1.0 + slope)
    return PushOffPoint(
        p=depth - removed,
        by_depth=slope * shrink,
        by_reference=(edge + (1.0 - edge) * power) * shrink,
        by_exponent=reference * (1.0 - edge) * power * math.log(removed / at_removed) * shrink,
        by_edge=reference * (1.0 - power) * shrink,
    )


def _solve_removed(depth: float, reference: float, exponent: float, edge: float, at_removed: float) -> float:
    """Find q with ``q + g(q) = s`` by bisection and Newton steps kept inside the bracket."""
    if depth <= max(reference * edge, 0.0):
        return 0.0
    low, high = 0.0, depth
    for _ in range(20):
        if high + push_off(high, reference, exponent, edge, at_removed) >= depth:
            break
        high *= 2.0
    removed = min(max(depth - push_off(depth, reference, exponent, edge, at_removed), 0.1 * depth), high)
    for _ in range(60):
        power = (removed / at_removed) ** exponent
        short = removed + reference * (edge + (1.0 - edge) * power) - depth
        if abs(short) <= 1e-13 * at_removed:
            return removed
        if short > 0.0:
            high = removed
        else:
            low = removed
        slope = 1.0 + reference * (1.0 - edge) * exponent * power / removed
        following = removed - short / slope if slope > 0.0 else 0.0
        if not low < following < high:
            following = 0.5 * (low + high)
        removed = following
    return removed
