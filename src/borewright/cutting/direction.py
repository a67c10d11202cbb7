"""Which way the force normal to the edge points: two published rules, and their spread as what is not known.

With an equivalent edge angle ``keq`` from the feed, ``Fp = Fn cos keq`` pushes the tip from the wall and
``Ff = Fn sin keq`` pushes it back along the feed.
"""

from __future__ import annotations

import numpy as np

from borewright.cutting.chip import Chip, Floats


def chord_angle(chip: Chip) -> Floats:
    """Return the angle by the chord that joins both ends of the engaged edge.

    ``tan keq = (y2 - y1) / (x2 - x1)``.

    Args:
        chip: the chip.

    Returns:
        keq, rad.

    Source: [colwell1954].
    """
    across = chip.nose * (np.sin(chip.end) - np.sin(chip.start)) + chip.straight * np.cos(chip.kappa)
    along = chip.nose * (np.cos(chip.start) - np.cos(chip.end)) + chip.straight * np.sin(chip.kappa)
    return np.asarray(np.arctan2(along, across))


def weighted_angle(chip: Chip, load: Floats, straight_load: Floats) -> Floats:
    """Return the angle by the sum of the pieces of the edge, each normal to itself and as large as its load.

    ``tan keq = sum(dF sin theta) / sum(dF cos theta)``.

    Args:
        chip: the chip.
        load: load at each node of the nose, in any unit, shape (..., 36).
        straight_load: load on the straight edge, same unit.

    Returns:
        keq, rad.

    Source: from memory.
    """
    along = (load * np.sin(chip.angle)).sum(axis=-1) + straight_load * np.sin(chip.kappa)
    across = (load * np.cos(chip.angle)).sum(axis=-1) + straight_load * np.cos(chip.kappa)
    return np.asarray(np.arctan2(along, across))
