"""How a rehearsed bore ended, and what it cost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from borewright.rehearsal.acts import Verdict
from borewright.rehearsal.truth import Truth

Ending = Literal["released", "scrapped", "quarantined"]


@dataclass(frozen=True, slots=True)
class Tariff:
    """What things cost in a rehearsal, in passes. Chosen, not measured.

    Args:
        full: a full pass.
        trial: a trial cut.
        measurement: two readings.
        loss: a hole scrapped or set aside.
        escape: a bad hole released.
    """

    full: float = 1.0
    trial: float = 0.6
    measurement: float = 0.2
    loss: float = 60.0
    escape: float = 120.0


TARIFF = Tariff()


@dataclass(frozen=True, slots=True)
class Outcome:
    """How one bore ended.

    Args:
        policy: what sized it.
        kind: the kind of job.
        seed: the bore's seed.
        ending: what was decided.
        verdict: what the hole truly was.
        passes: full passes cut.
        trial_cuts: trial cuts.
        readings: single readings, those of the start hole among them.
    """

    policy: str
    kind: str
    seed: int
    ending: Ending
    verdict: Verdict
    passes: int
    trial_cuts: int
    readings: int

    @property
    def released_good(self) -> bool:
        """Return whether a good hole was released."""
        return self.ending == "released" and self.verdict == "good"

    @property
    def escaped(self) -> bool:
        """Return whether a bad hole was released."""
        return self.ending == "released" and self.verdict != "good"

    @property
    def lost(self) -> bool:
        """Return whether the hole was scrapped or set aside."""
        return self.ending != "released"

    def cost(self, tariff: Tariff = TARIFF) -> float:
        """Return what the bore cost.

        Args:
            tariff: what things cost.

        Returns:
            The cost, in passes.
        """
        work = self.passes * tariff.full + self.trial_cuts * tariff.trial + 0.5 * self.readings * tariff.measurement
        return work + tariff.loss * self.lost + tariff.escape * self.escaped


def outcome(policy: str, truth: Truth, ending: Ending) -> Outcome:
    """Count what was done on a machine and judge how it ended.

    Args:
        policy: the name of what sized the bore.
        truth: the machine after the last act.
        ending: what was decided.

    Returns:
        The outcome.
    """
    cuts = [act.given["depth"] for act in truth.acts if act.name == "cut"]
    return Outcome(
        policy=policy,
        kind=truth.kind.name,
        seed=truth.seed,
        ending=ending,
        verdict=truth.verdict(),
        passes=cuts.count("full"),
        trial_cuts=cuts.count("trial"),
        readings=sum(act.name in {"read", "check_hole"} for act in truth.acts),
    )
