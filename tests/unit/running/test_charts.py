"""Limits for runs that stand still."""

from __future__ import annotations

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.running.charts import forgetting_average, forgetting_limits, sample_limits, single_limits


def test_a_run_that_stands_still_keeps_to_its_limits() -> None:
    values = np.random.default_rng(1).normal(50.0, 2.0, 4000).tolist()
    limits = single_limits(values)
    assert limits.sd == pytest.approx(2.0, rel=0.03)
    assert len(limits.outside(values)) / 4000 == pytest.approx(0.0027, abs=0.002)


def test_samples_keep_to_theirs_and_one_that_shifts_does_not() -> None:
    samples = np.random.default_rng(2).normal(50.0, 2.0, (400, 5))
    limits = sample_limits(samples.tolist())
    assert limits.sd == pytest.approx(2.0, rel=0.03)
    assert limits.upper - limits.middle == pytest.approx(3.0 * limits.sd / 5.0**0.5)
    means = samples.mean(axis=1)
    means[17] += 6.0
    assert 17 in limits.outside(means.tolist())


def test_an_average_that_forgets_has_the_scatter_that_its_limits_say() -> None:
    values = np.random.default_rng(3).normal(10.0, 1.0, 20_000).tolist()
    averages = np.array(forgetting_average(values, 10.0, 0.3))
    limits = forgetting_limits(10.0, 1.0, 0.3)
    assert 3.0 * float(averages[50:].std()) == pytest.approx(limits.upper - 10.0, rel=0.05)
    assert forgetting_average((4.0, 8.0), 0.0, 1.0) == (4.0, 8.0)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(EntryError, match="two values"):
        single_limits([1.0])
    with pytest.raises(EntryError, match="one length"):
        sample_limits([[1.0, 2.0], [1.0]])
    for weight in (0.0, 1.5):
        with pytest.raises(EntryError, match="weight"):
            forgetting_limits(0.0, 1.0, weight)
