"""Capability with its interval."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.running.capability import capability


def test_intervals_cover() -> None:
    rng = np.random.default_rng(4)
    cp, cpk, held, held_k = 1.5, 1.3, 0, 0
    for _ in range(2000):
        values = rng.normal(0.6, 1.0, 40)
        found = capability(float(values.mean()), float(values.std(ddof=1)), (-4.5, 4.5), 40)
        held += found.cp_interval[0] <= cp <= found.cp_interval[1]
        held_k += found.cpk_interval[0] <= cpk <= found.cpk_interval[1]
    assert held / 2000 == pytest.approx(0.95, abs=0.02)
    assert held_k / 2000 == pytest.approx(0.95, abs=0.02)


def test_the_nearer_side_decides() -> None:
    found = capability(2.0, 1.0, (-4.0, 5.0), 50)
    assert (found.upper, found.lower, found.cpk) == (1.0, 2.0, 1.0)


@pytest.mark.parametrize(("sd", "limits", "count"), [(0.0, (0.0, 1.0), 9), (1.0, (1.0, 0.0), 9), (1.0, (0.0, 1.0), 1)])
def test_what_cannot_be_is_refused(sd: float, limits: tuple[float, float], count: int) -> None:
    with pytest.raises(EntryError, match="Capability takes"):
        capability(0.5, sd, limits, count)
