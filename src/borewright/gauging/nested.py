"""A nested study: what a gauge scatters by within a day, from day to day, and from run to run."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from borewright.errors import EntryError


@dataclass(frozen=True, slots=True)
class Levels:
    """Standard deviations of a nested study.

    Args:
        within: one check after another, level 1.
        within_dof: its degrees of freedom.
        days: averages of one day against those of others, level 2.
        days_dof: its degrees of freedom.
        runs: averages of one run against those of others, level 3; nothing where there was only one run.
        runs_dof: its degrees of freedom.
    """

    within: float
    within_dof: float
    days: float
    days_dof: float
    runs: float
    runs_dof: float

    def reading(self, checks: int, within_a_check: int) -> float:
        """Return the standard deviation of one measurement on a day like any other.

        A component's variance is what its level shows beyond the level below it, which averages have only a share of.

        Args:
            checks: days in each run.
            within_a_check: repetitions in each day's average.

        Returns:
            The standard deviation of a measurement of as many repetitions as each day's average had.
        """
        of_days = max(self.days**2 - self.within**2 / within_a_check, 0.0)
        of_runs = max(self.runs**2 - self.days**2 / checks, 0.0)
        return math.sqrt(of_runs + of_days + self.within**2 / within_a_check)


@dataclass(frozen=True, slots=True)
class Check:
    """One day's check of one part.

    Args:
        part: which part.
        run: which run.
        average: the average of the day's repetitions.
        sd: their standard deviation.
    """

    part: str
    run: str
    average: float
    sd: float


def nested_levels(checks: Sequence[Check], repetitions: int) -> Levels:
    """Find the levels of a nested study.

    Level 1 pools the days' own standard deviations; level 2 pools, over parts and runs, that of the days' averages;
    level 3 pools, over parts, that of the runs' averages.

    Args:
        checks: each day's check of each part.
        repetitions: how many repetitions each average rests on, two or more.

    Returns:
        The levels.

    Raises:
        EntryError: there are too few repetitions, days or checks.

    Source: [ehandbook] 2.4.3.
    """
    if repetitions < 2 or not checks:
        raise EntryError(
            "Every check takes two repetitions at least.",
            given=repetitions,
            right="Repeat each check.",
            where="repetitions",
        )
    groups: dict[tuple[str, str], list[float]] = {}
    for check in checks:
        groups.setdefault((check.part, check.run), []).append(check.average)
    if min(len(group) for group in groups.values()) < 2:
        raise EntryError(
            "Every part takes two days at least in each run.",
            given=len(checks),
            right="Check every part on another day.",
            where="checks",
        )
    days, days_dof = _pooled(list(groups.values()))
    by_part: dict[str, list[float]] = {}
    for (part, _), averages in groups.items():
        by_part.setdefault(part, []).append(math.fsum(averages) / len(averages))
    runs, runs_dof = _pooled(list(by_part.values()))
    within = math.sqrt(math.fsum(check.sd**2 for check in checks) / len(checks))
    return Levels(within, len(checks) * (repetitions - 1.0), days, days_dof, runs, runs_dof)


def per_gauge(rows: Sequence[tuple[str, Check]]) -> Mapping[str, tuple[Check, ...]]:
    """Sort checks by the gauge that made them.

    Args:
        rows: the gauge's name and the check.

    Returns:
        Checks by gauge.
    """
    found: dict[str, tuple[Check, ...]] = {}
    for gauge, check in rows:
        found[gauge] = (*found.get(gauge, ()), check)
    return found


def _pooled(groups: Sequence[Sequence[float]]) -> tuple[float, float]:
    squares, dof = 0.0, 0
    for group in groups:
        mean = math.fsum(group) / len(group)
        squares += math.fsum((each - mean) ** 2 for each in group)
        dof += len(group) - 1
    return (math.sqrt(squares / dof) if dof else 0.0), float(dof)
