"""Both risks, by quadrature, against drawing holes and measuring them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.gauging.risks import normal_density, risks


def test_risks_are_those_of_drawn_holes() -> None:
    rng = np.random.default_rng(4)
    count, u, limits, accepted = 2_000_000, 1.0, (-6.0, 6.0), (-4.5, 4.5)
    true = rng.normal(1.0, 3.0, count)
    seen = true + rng.normal(0.0, u, count)
    good = (true >= limits[0]) & (true <= limits[1])
    taken = (seen >= accepted[0]) & (seen <= accepted[1])
    found = risks(normal_density(1.0, 3.0), (-30.0, 30.0), limits, accepted, u)
    for ours, drawn in ((found.consumers, ~good & taken), (found.producers, good & ~taken), (found.bad, ~good)):
        assert ours == pytest.approx(float(drawn.mean()), abs=4.5 * math.sqrt(ours / count))


def test_guarding_trades_one_risk_for_the_other() -> None:
    process, within, limits = normal_density(0.0, 3.0), (-30.0, 30.0), (-6.0, 6.0)
    at_limit = risks(process, within, limits, limits, 0.8)
    guarded = risks(process, within, limits, (-4.7, 4.7), 0.8)
    assert guarded.consumers < at_limit.consumers
    assert guarded.producers > at_limit.producers
    assert guarded.bad == pytest.approx(at_limit.bad)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(EntryError, match="scatters"):
        normal_density(0.0, 0.0)
    with pytest.raises(EntryError, match="Widen"):
        risks(normal_density(0.0, 3.0), (-3.0, 3.0), (-6.0, 6.0), (-6.0, 6.0), 0.8)
    with pytest.raises(EntryError, match="larger than 0"):
        risks(normal_density(0.0, 3.0), (-30.0, 30.0), (-6.0, 6.0), (-6.0, 6.0), 0.0)
