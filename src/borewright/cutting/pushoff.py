"""Push-off by physics: the force of a cut through what gives way, on the diameter and signed.

With ``q`` coming off the diameter the radial depth is ``q/2``, and the hole comes out smaller by
``g(q) = 2 (c Fp(q/2) - co Ff(q/2))``: the radial force bends the tip in, the feed force at its radius bends it out. Set
``s`` deep, the fixed point ``p = g(s - p)`` is what the hole comes out smaller by.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from borewright.cutting.chip import Floats, check_nose, chip_of
from borewright.cutting.compliance import Compliance
from borewright.cutting.force import EDGE_THRUST, Coefficients, Force, force_of, rake_correction
from borewright.cutting.least_chip import Edge
from borewright.errors import EntryError
from borewright.materials.work import Work

INSIDE: Final = 1.2
"""Inside turning takes more force than outside. From memory."""

PIVOT_MM: Final = 0.3
"""Chip thickness at which tables are well known, so that their exponent's error is counted from there. Chosen."""

INSIDE_SD, WORN_SD, NOSE_SD, FORMULA_SD = 0.1, 0.1, 0.04, 0.1
"""Standard deviations of the logarithms of what no table gives a width for. Common practice, no source; a nose is made
to about 0.02 mm in 0.4, from memory."""

LEAN_SD: Final = 0.5
"""One standard deviation from the middle of both rules of direction to either of them. Chosen."""

EDGE_TABLE_MM: Final = 0.02
"""Edge radius that the edge force of the tables is for; it grows in proportion. From memory."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A cut as it is set up; only the depth is left open.

    Args:
        work: what is cut.
        feed: f, mm a turn.
        nose: nose radius, mm.
        edge_angle_deg: tool cutting edge angle, degrees.
        rake_deg: rake, degrees.
        edge: the kind of edge.
        compliance: how the tool gives way.
        wiper: length of the wiper's flat, mm; 0 where there is none.
    """

    work: Work
    feed: float
    nose: float
    edge_angle_deg: float
    rake_deg: float
    edge: Edge
    compliance: Compliance
    wiper: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what makes no cut."""
        check_nose(self.feed, self.nose, self.edge_angle_deg)

    @property
    def kappa(self) -> float:
        """The tool cutting edge angle, rad."""
        return math.radians(self.edge_angle_deg)


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing that push-off rests on and that is not well known.

    Args:
        what: what it is, in the trade's words.
        sd: one standard deviation, of its logarithm where ``factor``, else of itself.
        narrows: what would narrow it.
    """

    what: str
    sd: float
    narrows: str


def doubts_of(cut: Cut) -> tuple[Doubt, ...]:
    """List what push-off rests on, in the order in which ``force_for`` takes it.

    Args:
        cut: the cut.

    Returns:
        The doubts, all independent of each other.
    """
    work, compliance = cut.work, cut.compliance
    return (
        Doubt("specific cutting force", work.kc.relative, "the exact material and its hardness, or a cutting test"),
        Doubt("how it grows as the chip thins", work.exponent.sd, "a cutting test at two feeds"),
        Doubt("inside turning", INSIDE_SD, "a cutting test on a bore"),
        Doubt("the edge's own force", work.edge.relative, "two passes of unequal depth, measured"),
        Doubt("the edge's rounding", cut.edge.log_sd, "the maker's figure for the edge's rounding"),
        Doubt("force normal to the edge", work.thrust.relative, "a cutting test that measures it"),
        Doubt("its direction", LEAN_SD, "nothing quick: two published rules differ"),
        Doubt("how the tool gives way", compliance.log_sd, "a push test at the tip"),
        Doubt("how the feed force bends it outward", compliance.outward_sd, "the overhang, and a push along the axis"),
        Doubt("how worn the edge is", WORN_SD, "a fresh edge"),
        Doubt("the nose radius", NOSE_SD, "a nose measured on the bench"),
        Doubt("the formula itself", FORMULA_SD, "a measured pass"),
    )


DOUBTS: Final = 12
WORN_USUAL: Final = 1.05
"""An edge in use needs a little more than a fresh one. Common practice, no source."""


def force_for(cut: Cut, depth: ArrayLike, doubt: ArrayLike | None = None) -> Force:
    """Return the force at a radial depth, with each doubt moved by so many standard deviations.

    Args:
        cut: the cut.
        depth: radial depth, mm, any shape.
        doubt: standard deviations by which each doubt is moved, shape (..., 12); None for none.

    Returns:
        The force, N, of the shape of ``depth`` broadcast against ``doubt`` without its last axis.
    """
    moved = np.zeros(DOUBTS) if doubt is None else np.asarray(doubt, dtype=np.float64)
    by = [each.sd * moved[..., place] for place, each in enumerate(doubts_of(cut))]
    work = cut.work
    level = INSIDE * WORN_USUAL * rake_correction(cut.rake_deg, work.neutral_rake_deg)
    kc = work.kc.value * level * PIVOT_MM ** by[1] * np.exp(by[0] + by[2] + by[9] + by[11])
    edge = work.edge.value * cut.edge.radius_mm / EDGE_TABLE_MM * np.exp(by[3] + by[4] + by[9] + by[11])
    coefficients = Coefficients(
        kc=kc,
        exponent=np.clip(work.exponent.value + by[1], 0.0, 0.9),
        edge=edge,
        thrust=work.thrust.value * np.exp(by[5]),
        edge_thrust=EDGE_THRUST,
        lean=0.5 + by[6],
        flat=cut.wiper,
    )
    chip = chip_of(depth, cut.feed, cut.nose * np.exp(by[10]), cut.kappa)
    return force_of(chip, coefficients)


def push_off_for(cut: Cut, removed: ArrayLike, doubt: ArrayLike | None = None) -> Floats:
    """Return push-off for what comes off: ``g(q) = 2 (c Fp(q/2) - co Ff(q/2))``.

    Args:
        cut: the cut.
        removed: q, mm on the diameter, larger than 0, any shape.
        doubt: standard deviations by which each doubt is moved, shape (..., 12); None for none.

    Returns:
        Push-off, mm on the diameter, signed: positive where the hole comes out smaller.
    """
    moved = np.zeros(DOUBTS) if doubt is None else np.asarray(doubt, dtype=np.float64)
    force = force_for(cut, 0.5 * np.asarray(removed, dtype=np.float64), moved)
    give = np.exp(cut.compliance.log_sd * moved[..., 7])
    out = give * np.exp(cut.compliance.outward_sd * moved[..., 8])
    return 2.0 * (cut.compliance.radial * give * force.radial - cut.compliance.outward * out * force.feed)


def settled_push_off(cut: Cut, depth: ArrayLike, doubt: ArrayLike | None = None) -> Floats:
    """Solve the fixed point of deflection and force, ``p = g(s - p)``, by bisection.

    Args:
        cut: the cut.
        depth: depth set s, mm on the diameter, larger than 0, any shape.
        doubt: standard deviations by which each doubt is moved, shape (..., 12); None for none.

    Returns:
        Push-off, mm on the diameter; the whole depth where the tool bends away before anything is cut.

    Raises:
        EntryError: a depth is not larger than 0.
    """
    depth = np.asarray(depth, dtype=np.float64)
    if not np.all(depth > 0.0):
        raise EntryError("A depth set is larger than 0.", given=float(depth.min()), where="depth")
    moved = np.zeros(DOUBTS) if doubt is None else np.asarray(doubt, dtype=np.float64)
    shape = np.broadcast_shapes(depth.shape, moved.shape[:-1])
    depth = np.broadcast_to(depth, shape)
    low, high = np.zeros(shape), 2.0 * depth
    for _ in range(36):
        removed = 0.5 * (low + high)
        over = removed + push_off_for(cut, np.maximum(removed, 1e-9), moved) > depth
        low, high = np.where(over, low, removed), np.where(over, removed, high)
    return depth - 0.5 * (low + high)
