"""A gauge study: parts measured again and again by several people, and what their scatter is made of."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from borewright.errors import EntryError
from borewright.gauging.quantiles import chi_squared_quantile

Method: TypeAlias = Literal["average and range", "variance with interaction", "variance without interaction"]
Table: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Study:
    """Readings of a crossed gauge study: everybody measured every part equally often.

    Args:
        parts: names of the parts, two or more.
        people: names of the people, two or more.
        readings_mm: shape (parts, people, trials), mm; two trials or more.
    """

    parts: tuple[str, ...]
    people: tuple[str, ...]
    readings_mm: Table

    def __post_init__(self) -> None:
        shape = self.readings_mm.shape
        if len(shape) != 3 or shape[:2] != (len(self.parts), len(self.people)) or min(shape) < 2:
            raise EntryError(
                "A study takes two parts, two people and two trials at least, everybody every part.",
                given=shape,
                right="Fill the table.",
                where="readings",
            )
        if not np.isfinite(self.readings_mm).all():
            raise EntryError("A reading is missing from the table.", right="Fill every cell.", where="readings")

    @property
    def trials(self) -> int:
        """How often everybody measured every part."""
        return int(self.readings_mm.shape[2])

    @classmethod
    def from_rows(cls, rows: Sequence[tuple[str, str, float]]) -> Study:
        """Make the table from single readings.

        Args:
            rows: part, who measured it, and the reading in mm; a part's and a person's trials in the order measured.

        Returns:
            The study.

        Raises:
            EntryError: somebody measured some part more or less often than the others.
        """
        cells: dict[tuple[str, str], list[float]] = {}
        for part, who, reading in rows:
            cells.setdefault((part, who), []).append(reading)
        parts, people = (tuple(dict.fromkeys(key[at] for key in cells)) for at in (0, 1))
        most = max((len(cell) for cell in cells.values()), default=0)
        for part, who in product(parts, people):
            count = len(cells.get((part, who), ()))
            if count != most:
                raise EntryError(
                    f"{who} measured part {part} {count} times, others {most} times.",
                    given=count,
                    right="Everybody measures every part equally often.",
                    where="readings",
                )
        if not cells:
            raise EntryError("There is no reading in it.", given=0, right="Fill in at least one row.", where="readings")
        table = [[cells[part, who] for who in people] for part in parts]
        return cls(parts, people, np.asarray(table, dtype=np.float64))


@dataclass(frozen=True, slots=True)
class Found:
    """What a study found, as standard deviations.

    Args:
        method: how it was found.
        repeatability_mm: one person, one part: the gauge alone.
        reproducibility_mm: between people, with their way of taking different parts where that was found.
        gauge_mm: both together.
        parts_mm: between parts.
        dof: degrees of freedom of the repeatability.
        interval_mm: the 95 % interval of ``gauge_mm``.
        repeatability_interval_mm: the 95 % interval of the repeatability.
        floored: names of components that came out below nothing and were taken as nothing.
        notes: what is to be known about how it was found.
    """

    method: Method
    repeatability_mm: float
    reproducibility_mm: float
    gauge_mm: float
    parts_mm: float
    dof: float
    interval_mm: tuple[float, float]
    repeatability_interval_mm: tuple[float, float]
    floored: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def total_mm(self) -> float:
        """Everything together, mm."""
        return math.hypot(self.gauge_mm, self.parts_mm)

    @property
    def of_total(self) -> float:
        """Gauge over total, 0 to 1."""
        return self.gauge_mm / self.total_mm if self.total_mm > 0.0 else 0.0

    @property
    def categories(self) -> int:
        """How many kinds of parts it can tell apart, ``1.41 parts / gauge`` cut to a whole number, at least 1."""
        return max(1, math.floor(1.41 * self.parts_mm / self.gauge_mm)) if self.gauge_mm > 0.0 else 10**6

    def of_tolerance(self, tolerance_mm: float) -> float:
        """Return the share of a tolerance that six standard deviations of the gauge take.

        Args:
            tolerance_mm: upper limit minus lower, mm, larger than 0.

        Returns:
            The share; 1 is all of it.

        Raises:
            EntryError: the tolerance is not larger than 0.

        Source: common practice, no source.
        """
        if not tolerance_mm > 0.0:
            raise EntryError(
                "A tolerance is larger than 0.",
                given=tolerance_mm,
                right="Give the upper limit less the lower.",
                where="tolerance",
            )
        return 6.0 * self.gauge_mm / tolerance_mm

    def what_to_do(self, tolerance_mm: float | None = None) -> str:
        """Say in a sentence what the study asks for.

        Args:
            tolerance_mm: the tolerance that the gauge is to judge, mm, or None: it is judged by the parts' own scatter.

        Returns:
            The sentence. Up to a tenth is good, from three tenths on it is not: common practice, no source.
        """
        share = self.of_total if tolerance_mm is None else self.of_tolerance(tolerance_mm)
        of = "the parts' own scatter" if tolerance_mm is None else f"the tolerance of {tolerance_mm * 1000.0:.3g} µm"
        says = f"The gauge takes {share:.0%} of {of}"
        if share <= 0.1:
            return f"{says}: use it."
        cause = (
            "People differ more than the gauge does: agree on rocking, feel and where to set it, and study again."
            if self.reproducibility_mm > self.repeatability_mm
            else "The gauge itself scatters most: clean its contacts, read more than once, or find a better one."
        )
        return f"{says}: {'usable with care' if share <= 0.3 else 'not fit for it'}. {cause}"

    def as_entry(self, readings: int, tolerance_mm: float | None = None) -> dict[str, object]:
        """Return what was found as it goes on the gauge's record.

        Args:
            readings: how many readings it rests on.
            tolerance_mm: the tolerance that the gauge is to judge, mm, or None.

        Returns:
            The fields of the event ``studied``, and its name.
        """
        return {
            "event": "studied",
            "scatter": f"{self.repeatability_mm:.6f} mm",
            "dof": max(1, round(self.dof)),
            "reproducibility": f"{self.reproducibility_mm:.6f} mm",
            "method": self.method,
            "readings": readings,
            "says": self.what_to_do(tolerance_mm),
        }


def interval_of_sd(sd: float, dof: float) -> tuple[float, float]:
    """Return the 95 % interval of a standard deviation.

    Args:
        sd: the standard deviation.
        dof: its degrees of freedom.

    Returns:
        ``s sqrt(dof / chi2)`` at both ends.

    Source: [ehandbook] 7.2.3.1.
    """
    low, high = chi_squared_quantile(0.975, dof), chi_squared_quantile(0.025, dof)
    return sd * math.sqrt(dof / low), sd * math.sqrt(dof / high)


@dataclass(frozen=True, slots=True)
class Design:
    """A study yet to be made.

    Args:
        parts: how many parts, two or more.
        people: how many people, two or more.
        trials: how often everybody measures every part, two or more.
    """

    parts: int
    people: int
    trials: int

    def __post_init__(self) -> None:
        if min(self.parts, self.people, self.trials) < 2:
            raise EntryError(
                "A study takes two parts, two people and two trials at least.",
                given=f"{self.parts} parts, {self.people} people, {self.trials} trials",
                right="Give two or more of each; ten parts, three people and three trials are usual.",
                where="design",
            )

    @property
    def readings(self) -> int:
        """How many readings it takes."""
        return self.parts * self.people * self.trials

    @property
    def repeatability_width(self) -> float:
        """Upper over lower end of the 95 % interval of the repeatability that it will give."""
        low, high = interval_of_sd(1.0, self.parts * self.people * (self.trials - 1))
        return high / low

    @property
    def people_width(self) -> float:
        """The same of the scatter between people, at best: three people tell little of a fourth."""
        low, high = interval_of_sd(1.0, self.people - 1)
        return high / low

    def order(self, rng: np.random.Generator) -> tuple[tuple[int, int, int], ...]:
        """Return the order to measure in: trial by trial, person by person, each time the parts shuffled.

        Args:
            rng: where chance comes from.

        Returns:
            Trial, person and part of each reading, counted from 1.
        """
        return tuple(
            (trial + 1, who + 1, int(part) + 1)
            for trial in range(self.trials)
            for who in range(self.people)
            for part in rng.permutation(self.parts)
        )


def design_for(width: float, people: int = 3, trials: int = 3) -> Design:
    """Return the smallest study whose repeatability comes out as narrow as wanted.

    Args:
        width: upper over lower end of its 95 % interval, larger than 1.
        people: how many people.
        trials: how many trials.

    Returns:
        The design.

    Raises:
        EntryError: so narrow an interval takes more than a hundred parts.
    """
    for parts in range(5, 101):
        design = Design(parts, people, trials)
        if design.repeatability_width <= width:
            return design
    raise EntryError(
        "That takes more than a hundred parts.",
        given=width,
        right="Ask for 1.2 or more, or for more trials.",
        where="width",
    )


def scatter_by_person(study: Study) -> Mapping[str, float]:
    """Return everybody's own repeatability.

    Args:
        study: the study.

    Returns:
        Standard deviation by name, mm.
    """
    variances = study.readings_mm.var(axis=2, ddof=1).mean(axis=0)
    return {who: math.sqrt(float(variance)) for who, variance in zip(study.people, variances, strict=True)}
