"""A gauge study by analysis of variance, with and without people taking different parts differently."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from borewright.gauging.exact import one_way
from borewright.gauging.quantiles import chi_squared_quantile, f_cdf
from borewright.gauging.study import Found, Study, interval_of_sd

POOL_ABOVE = 0.25
"""The interaction is left out where its F would come about by chance at least so often. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of an analysis of variance.

    Args:
        name: what varies.
        squares: sum of squares, mm².
        dof: degrees of freedom.
    """

    name: str
    squares: float
    dof: int

    @property
    def mean(self) -> float:
        """Mean square, mm²."""
        return self.squares / self.dof


@dataclass(frozen=True, slots=True)
class Analysis:
    """The sums of squares of a crossed study.

    Args:
        people: between people.
        parts: between parts.
        interaction: people taking different parts differently.
        repeat: the same person on the same part.
    """

    people: Line
    parts: Line
    interaction: Line
    repeat: Line

    @property
    def interaction_chance(self) -> float:
        """Probability of so large an interaction or a larger one where there is none."""
        if self.repeat.squares == 0.0:
            return 0.0 if self.interaction.squares > 0.0 else 1.0
        return 1.0 - f_cdf(self.interaction.mean / self.repeat.mean, self.interaction.dof, self.repeat.dof)

    @property
    def pooled(self) -> Line:
        """Repeatability and interaction taken together."""
        return Line("repeat", self.repeat.squares + self.interaction.squares, self.repeat.dof + self.interaction.dof)


def analyse(study: Study) -> Analysis:
    """Split a study's squares, in exact arithmetic.

    Args:
        study: the study.

    Returns:
        The analysis.

    Source: [ehandbook] 7.4.3.6 for two crossed factors.
    """
    table = study.readings_mm
    parts, people, trials = table.shape
    by_part = one_way(table.reshape(parts, -1).tolist())
    by_person = one_way(table.swapaxes(0, 1).reshape(people, -1).tolist())
    by_cell = one_way(table.reshape(-1, trials).tolist())
    crossed = max(by_cell.between - by_part.between - by_person.between, 0.0)
    return Analysis(
        Line("people", by_person.between, people - 1),
        Line("parts", by_part.between, parts - 1),
        Line("interaction", crossed, (parts - 1) * (people - 1)),
        Line("repeat", by_cell.within, parts * people * (trials - 1)),
    )


def by_variance(study: Study, interaction: bool | None = None) -> Found:
    """Find the parts of a study's scatter by analysis of variance.

    Args:
        study: the study.
        interaction: whether people taking different parts differently counts as a component of its own; None leaves it
            out where it may well be chance.

    Returns:
        What was found; components below nothing are taken as nothing and named.

    Source: expected mean squares of two crossed random factors, common practice, no source. The interval of the gauge's
    scatter is the modified large-sample one for sums of mean squares (Graybill and Wang), from memory; the tests hold
    its coverage against simulation.
    """
    squares = analyse(study)
    parts, people, trials = study.readings_mm.shape
    with_it = squares.interaction_chance < POOL_ABOVE if interaction is None else interaction
    repeat = squares.repeat if with_it else squares.pooled
    below = squares.interaction if with_it else repeat
    raw = {
        "people": (squares.people.mean - below.mean) / (parts * trials),
        "parts": (squares.parts.mean - below.mean) / (people * trials),
        "interaction": (squares.interaction.mean - repeat.mean) / trials if with_it else 0.0,
    }
    held = {name: max(value, 0.0) for name, value in raw.items()}
    reproduce = held["people"] + held["interaction"]
    gauge = math.sqrt(repeat.mean + reproduce)
    return Found(
        "variance with interaction" if with_it else "variance without interaction",
        math.sqrt(repeat.mean),
        math.sqrt(reproduce),
        gauge,
        math.sqrt(held["parts"]),
        repeat.dof,
        _interval(squares, repeat, with_it, study),
        interval_of_sd(math.sqrt(repeat.mean), repeat.dof),
        floored=tuple(name for name, value in raw.items() if value < 0.0),
        notes=(_told(squares, with_it, interaction),),
    )


def _told(squares: Analysis, with_it: bool, asked: bool | None) -> str:
    chance = f"by chance so large {squares.interaction_chance:.0%} of the time"
    if asked is not None:
        return (
            f"People taking different parts differently {'counts' if with_it else 'is left out'}, as asked; {chance}."
        )
    return f"People taking different parts differently {'counts' if with_it else 'is left out'}: {chance}."


def _interval(squares: Analysis, repeat: Line, with_it: bool, study: Study) -> tuple[float, float]:
    """Return the interval of ``sqrt(sum c_q MS_q)``, every c_q positive."""
    parts, _, trials = study.readings_mm.shape
    if with_it:
        weighted = [
            (1.0 / (parts * trials), squares.people),
            ((parts - 1.0) / (parts * trials), squares.interaction),
            ((trials - 1.0) / trials, repeat),
        ]
    else:
        weighted = [(1.0 / (parts * trials), squares.people), (1.0 - 1.0 / (parts * trials), repeat)]
    middle = math.fsum(c * line.mean for c, line in weighted)
    down = math.fsum(
        ((1.0 - line.dof / chi_squared_quantile(0.975, line.dof)) * c * line.mean) ** 2 for c, line in weighted
    )
    up = math.fsum(
        ((line.dof / chi_squared_quantile(0.025, line.dof) - 1.0) * c * line.mean) ** 2 for c, line in weighted
    )
    return math.sqrt(max(middle - math.sqrt(down), 0.0)), math.sqrt(middle + math.sqrt(up))


def shares(study: Study) -> dict[str, float]:
    """Return each line's share of all squares, for a picture.

    Args:
        study: the study.

    Returns:
        Shares by name; they sum to 1.
    """
    squares = analyse(study)
    lines = (squares.people, squares.parts, squares.interaction, squares.repeat)
    whole = float(np.sum([line.squares for line in lines])) or 1.0
    return {line.name: line.squares / whole for line in lines}
