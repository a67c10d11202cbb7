"""Gauge studies drawn from known components."""

from __future__ import annotations

import numpy as np

from borewright.gauging.study import Study


def drawn(
    rng: np.random.Generator,
    parts: float,
    people: float,
    crossed: float,
    repeat: float,
    shape: tuple[int, int, int] = (10, 3, 3),
) -> Study:
    """Draw a study with the given standard deviations of its components."""
    p, o, _ = shape
    table = (
        rng.normal(0.0, parts, p)[:, None, None]
        + rng.normal(0.0, people, o)[None, :, None]
        + rng.normal(0.0, crossed, (p, o))[:, :, None]
        + rng.normal(0.0, repeat, shape)
    )
    return Study(tuple(str(each) for each in range(p)), tuple("ABCDEFGH"[:o]), table)
