"""A nested study: levels drawn come out."""

from __future__ import annotations

import math

import numpy as np
import pytest

from borewright.errors import EntryError
from borewright.gauging.nested import Check, nested_levels, per_gauge


def drawn(rng: np.random.Generator, within: float, days: float, runs: float) -> list[Check]:
    """Draw 5 parts, 2 runs, 6 days, 6 repetitions."""
    checks = []
    for part in range(5):
        for run in range(2):
            of_run = rng.normal(0.0, runs)
            for _ in range(6):
                taken = of_run + rng.normal(0.0, days) + rng.normal(0.0, within, 6)
                checks.append(Check(str(part), str(run), float(taken.mean()), float(taken.std(ddof=1))))
    return checks


def test_levels_come_out() -> None:
    rng = np.random.default_rng(2)
    found = [nested_levels(drawn(rng, 3.0, 2.0, 1.5), 6) for _ in range(300)]
    of_days = 4.0 + 9.0 / 6.0
    assert np.mean([each.within**2 for each in found]) == pytest.approx(9.0, rel=0.02)
    assert np.mean([each.days**2 for each in found]) == pytest.approx(of_days, rel=0.05)
    assert np.mean([each.runs**2 for each in found]) == pytest.approx(2.25 + of_days / 6.0, rel=0.12)
    assert np.mean([each.reading(6, 6) ** 2 for each in found]) == pytest.approx(2.25 + of_days, rel=0.1)
    assert found[0].within_dof == 60 * 5
    assert found[0].days_dof == 50
    assert found[0].runs_dof == 5


def test_one_run_shows_no_runs() -> None:
    checks = [Check("1", "1", float(day), 0.5) for day in range(4)]
    levels = nested_levels(checks, 6)
    assert levels.runs == 0.0
    assert levels.days == pytest.approx(math.sqrt(5.0 / 3.0))


def test_too_little_is_refused() -> None:
    with pytest.raises(EntryError, match="two repetitions"):
        nested_levels([Check("1", "1", 0.0, 0.5)], 1)
    with pytest.raises(EntryError, match="two days"):
        nested_levels([Check("1", "1", 0.0, 0.5)], 6)


def test_checks_are_sorted_by_gauge() -> None:
    one, two = Check("1", "1", 0.0, 0.5), Check("1", "1", 1.0, 0.5)
    assert per_gauge([("a", one), ("b", two), ("a", two)]) == {"a": (one, two), "b": (two,)}
