"""What a gauge's own record says of it: what it is, its certificates, its settings and their re-checks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias

from borewright.gauging.masters import certificate_standing
from borewright.record.effect import effective
from borewright.record.payloads.gauge import MASTERS, Certified, Described, Rechecked, SetOn, Studied
from borewright.record.stream import Event

Standing: TypeAlias = Literal["valid", "due soon", "overdue", "not certified"]


@dataclass(frozen=True, slots=True)
class Paper:
    """A certificate on record.

    Args:
        number: its event's number.
        says: what it says.
    """

    number: int
    says: Certified

    def standing(self, on: date) -> Standing:
        """Tell how it stands on a day.

        Args:
            on: the day.

        Returns:
            ``overdue`` after the day until which it holds.
        """
        return certificate_standing(self.says.due, on)


@dataclass(frozen=True, slots=True)
class Recheck:
    """A re-check of a setting.

    Args:
        number: its event's number.
        at: when, or None.
        off_mm: what the gauge showed less the master's size, mm; what warmth explains is not taken off.
    """

    number: int
    at: str | None
    off_mm: float


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting of a gauge.

    Args:
        number: its event's number.
        at: when, or None.
        says: what was recorded.
        rechecks: the re-checks of it, oldest first.
    """

    number: int
    at: str | None
    says: SetOn
    rechecks: tuple[Recheck, ...] = ()

    def moved_mm(self, scatter_mm: float, step_mm: float) -> float | None:
        """Return how far the setting has moved, where its latest re-check shows that it has.

        Args:
            scatter_mm: standard deviation of one reading, mm.
            step_mm: smallest step that the gauge shows, mm.

        Returns:
            How much too much it shows, mm; None where the re-check lies within 95 % of what scatter and step explain,
            or there is none.

        Source: [gum] 5.1.2 for a difference of two readings; 1.96 of a normal distribution.
        """
        if not self.rechecks:
            return None
        off = self.rechecks[-1].off_mm
        u = math.sqrt(2.0 * (scatter_mm**2 + step_mm**2 / 12.0))
        return off if abs(off) > 1.96 * u else None


@dataclass(frozen=True, slots=True)
class GaugeRecord:
    """A gauge or a master as its record tells of it.

    Args:
        described: what it is, or None where nobody said.
        papers: its certificates, oldest first.
        settings: its settings, oldest first.
        studied: its latest study, or None.
        number: number of its last event.
    """

    described: Described | None
    papers: tuple[Paper, ...]
    settings: tuple[Setting, ...]
    studied: Studied | None
    number: int

    @property
    def is_master(self) -> bool:
        """Whether gauges are set on it."""
        return bool(self.papers) or (self.described is not None and self.described.instrument in MASTERS)

    @property
    def paper(self) -> Paper | None:
        """The certificate that holds now."""
        return self.papers[-1] if self.papers else None

    def paper_at(self, number: int) -> Paper | None:
        """Return the certificate that held when so many events were on record.

        Args:
            number: how many.

        Returns:
            The certificate, or None.
        """
        return next((paper for paper in reversed(self.papers) if paper.number <= number), None)

    def setting_at(self, number: int) -> Setting | None:
        """Return the setting that held when so many events were on record.

        Args:
            number: how many.

        Returns:
            The setting, or None where it had not been set.
        """
        return next((setting for setting in reversed(self.settings) if setting.number <= number), None)

    def standing(self, on: date) -> Standing:
        """Tell how a master's certificate stands on a day.

        Args:
            on: the day.

        Returns:
            How it stands.
        """
        return "not certified" if self.paper is None else self.paper.standing(on)

    def drifted(self, before: Paper) -> float | None:
        """Return how far a master was off when it was calibrated next, where that is more than both papers explain.

        Args:
            before: an earlier certificate.

        Returns:
            The later size less the earlier, mm; None where it lies within both expanded uncertainties together, or no
            certificate came after.

        Source: [gum] 5.1.2 for a difference of two values.
        """
        after = next((paper for paper in self.papers if paper.number > before.number), None)
        if after is None:
            return None
        change = after.says.size.mm - before.says.size.mm
        explained = math.hypot(after.says.expanded.mm, before.says.expanded.mm)
        return change if abs(change) > explained else None


def gauge_record(events: Sequence[Event]) -> GaugeRecord:
    """Fold a gauge's events into what its record says.

    Args:
        events: the events of its stream, in order from number 1.

    Returns:
        What is in effect.

    Raises:
        DamagedRecordError: an event cannot be read.
    """
    described: Described | None = None
    studied: Studied | None = None
    papers: list[Paper] = []
    settings: list[Setting] = []
    for event, now in zip(events, effective(events), strict=True):
        payload = now.payload
        if now.withdrawn:
            continue
        if isinstance(payload, Described):
            described = payload
        elif isinstance(payload, Studied):
            studied = payload
        elif isinstance(payload, Certified):
            papers.append(Paper(event.number, payload))
        elif isinstance(payload, SetOn):
            settings.append(Setting(event.number, event.draft.at, payload))
        elif isinstance(payload, Rechecked) and settings:
            off = payload.as_read.mm - payload.size.mm
            last = settings[-1]
            check = Recheck(event.number, event.draft.at, off)
            settings[-1] = Setting(last.number, last.at, last.says, (*last.rechecks, check))
    return GaugeRecord(described, tuple(papers), tuple(settings), studied, len(events))
