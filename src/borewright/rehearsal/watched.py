"""A rehearsed bore sized by its advice and watched: what was stated at each step, beside what was true.

The advice sees none of the truth. Whoever proves it, or talks a rehearsal over afterwards, lays the two side by side.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from borewright.quantity.length import parse_length
from borewright.rehearsal.acts import Verdict
from borewright.rehearsal.advised import ENDS, MOST_ACTIONS, enter, follow
from borewright.rehearsal.outcome import Ending, Outcome, outcome
from borewright.rehearsal.truth import Truth
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.measuring import reading_row

Follow = Callable[[Truth, Mapping[str, Any]], list[dict[str, object]]]
"""What does on a machine what an advice says, and returns the entries that a machinist would make for it."""


@dataclass(frozen=True, slots=True)
class Stated:
    """Odds as they were stated, and what came of it.

    Args:
        of: ``pass`` for the odds of a pass as it was about to be cut, ``release`` for those signed at the release.
        oversize: odds that any of the hole is above the upper limit.
        in_tolerance: odds that all of it is within.
        undersize: odds that any of it is below the lower limit and none above.
        last: whether the pass was planned as the last one.
        came: what the hole then truly was.
    """

    of: Literal["pass", "release"]
    oversize: float
    in_tolerance: float
    undersize: float
    last: bool
    came: Verdict


@dataclass(frozen=True, slots=True)
class Known:
    """What was thought at a step beside what was true, before the step was done; mm.

    Args:
        action: what was advised.
        say: the same in words.
        hole_mm: the hole as believed.
        hole_sd_mm: its standard deviation.
        true_hole_mm: the hole as it was.
    """

    action: str
    say: str
    hole_mm: float
    hole_sd_mm: float
    true_hole_mm: float


@dataclass(frozen=True, slots=True)
class Watched:
    """One bore as it went.

    Args:
        outcome: how it ended.
        known: what was thought at each step beside what was true.
        stated: the odds as they were stated.
        innovations: each reading without a slip less what was expected of it, in standard deviations of that.
        holes: each hole cut less what was expected of it, in standard deviations of that, before it was read.
    """

    outcome: Outcome
    known: tuple[Known, ...]
    stated: tuple[Stated, ...]
    innovations: tuple[float, ...]
    holes: tuple[float, ...]


def watched(truth: Truth, bore: Bore, policy: str, do: Follow = follow) -> Watched:
    """Size a bore as its advice says, and note what is stated and what is true.

    Args:
        truth: the machine, before its first act; it is used up.
        bore: the bore, just opened.
        policy: the name of what sizes it.
        do: what does on the machine what is advised.

    Returns:
        The bore as it went.
    """
    notes = _Notes([], [], [], [])
    for _ in range(MOST_ACTIONS):
        advice = bore.advise()
        notes.known.append(_known(truth, bore, advice))
        if advice["action"] == "release":
            notes.released(truth, advice)
            return notes.closed(outcome(policy, truth, "released"))
        if advice["action"] in ENDS:
            break
        for entry in do(truth, advice):
            if entry["event"] == "read" and not misread(truth):
                notes.innovations.append(innovation(bore, str(entry["as_read"])))
            enter(bore, entry)
            if entry["event"] == "passed":
                notes.cut(truth, bore, advice)
    lost: Ending = "scrapped" if truth.verdict() == "over" else "quarantined"
    return notes.closed(outcome(policy, truth, lost))


def misread(truth: Truth) -> bool:
    """Tell whether the last act was a reading with a slip in it.

    Args:
        truth: the machine.

    Returns:
        Whether it was.
    """
    return any(mishap.act == len(truth.acts) and mishap.what.startswith("misread") for mishap in truth.mishaps)


def innovation(bore: Bore, as_read: str) -> float:
    """Return a reading less what is expected of it, in standard deviations of that.

    Args:
        bore: the bore before the reading is entered.
        as_read: the reading with its unit.

    Returns:
        The normalised innovation.
    """
    belief, row = bore.belief, reading_row(bore.model, trial=bore.belief.after_trial)
    variance = row @ belief.now.covariance @ row + bore.model.reading_variance(belief.gauge_scatter_mm)
    return float((parse_length(as_read).mm - row @ belief.now.mean) / math.sqrt(variance))


@dataclass(frozen=True, slots=True)
class _Notes:
    """What is noted while a bore is sized."""

    known: list[Known]
    stated: list[Stated]
    innovations: list[float]
    holes: list[float]

    def cut(self, truth: Truth, bore: Bore, advice: Mapping[str, Any]) -> None:
        """Note a pass: the hole it left against what was expected, and the odds stated for it but for a trial cut."""
        odds, record = advice["odds"], bore.belief.history[-1]
        cut_mm = truth.mouth_mm if record.trial else truth.hole_mm
        self.holes.append((cut_mm - record.expected_mm) / record.expected_sd_mm)
        if not record.trial:
            self.stated.append(Stated("pass", **odds, last=advice["passes_left"] == 1, came=truth.verdict()))

    def released(self, truth: Truth, advice: Mapping[str, Any]) -> None:
        """Note a release: the odds by the gauge's word, as they are signed."""
        said = advice["release"]
        odds = (said["oversize"], said["probability"], said["undersize"])
        self.stated.append(Stated("release", *odds, last=True, came=truth.verdict()))

    def closed(self, ended: Outcome) -> Watched:
        """Return the bore as it went."""
        return Watched(ended, tuple(self.known), tuple(self.stated), tuple(self.innovations), tuple(self.holes))


def _known(truth: Truth, bore: Bore, advice: Mapping[str, Any]) -> Known:
    hole_mm, sd_mm = bore.belief.hole_mm, bore.belief.now.sd(State.HOLE)
    return Known(advice["action"], advice["say"], hole_mm, sd_mm, truth.hole_mm)
