"""The physics of an open bore: the passes of the plan that is advised, and what measured passes taught of push-off."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeAlias

from borewright.callout import parse_callout
from borewright.cutting.concerns import Concern, concerns_of
from borewright.cutting.outlook import LEAST_REMOVED_MM, PassOutlook, Setup, outlook_to
from borewright.cutting.prior import NORMAL_95, push_off_prior
from borewright.errors import BorewrightError
from borewright.quantity.length import Unit, parse_length
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length
from borewright.record.effect import Effective
from borewright.record.timeline import in_order
from borewright.sizing.belief import Belief, PassRecord, opened
from borewright.sizing.bore import OTHERS, Bore
from borewright.sizing.cut_outlook import CutOutlook, setup_of
from borewright.sizing.folding import fold
from borewright.sizing.gaussian import State

Left: TypeAlias = tuple[Setup, tuple[PassOutlook, ...], tuple[tuple[Concern, ...], ...]]

TOLD_BY_READINGS = 0.9
"""Of the variance before the readings: where more is left, they told nothing of the hole. Chosen."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What one measured pass showed of push-off.

    Args:
        number: which pass, from 1.
        removed_mm: what it took off, mm on the diameter.
        measured_mm: how much smaller it came out than the tool stood, mm.
        sd_mm: standard deviation of that, mm.
        physics_mm: push-off by physics where so much comes off, mm.
        low_mm: what it is above by physics, 39 times in 40, mm.
        high_mm: what it is below by physics, 39 times in 40, mm.
    """

    number: int
    removed_mm: float
    measured_mm: float
    sd_mm: float
    physics_mm: float
    low_mm: float
    high_mm: float

    @property
    def agrees(self) -> bool:
        """Whether the two intervals, each 95 times in 100, have anything in common."""
        half = NORMAL_95 * self.sd_mm
        return self.measured_mm - half <= self.high_mm and self.measured_mm + half >= self.low_mm

    def said(self, unit: Unit) -> str:
        """Say it in a sentence.

        Args:
            unit: the unit of the shop.

        Returns:
            What was measured, and what physics said.
        """
        half = NORMAL_95 * self.sd_mm
        ends = f"{say_length(self.measured_mm - half, unit)} to {say_length(self.measured_mm + half, unit)}"
        physics = (
            f"{say_length(self.physics_mm, unit)}, {say_length(self.low_mm, unit)} to {say_length(self.high_mm, unit)}"
        )
        odd = "" if self.agrees else " The two do not fit: look at material, edge and overhang, or at the reading."
        return (
            f"Pass {self.number} took {show_length(self.removed_mm, unit)} off: push-off measured"
            f" {say_length(self.measured_mm, unit)} ({ends}) where physics said {physics}.{odd}"
        )

    def plain(self, unit: Unit) -> dict[str, object]:
        """Return it as plain values.

        Args:
            unit: unit of every length in it.

        Returns:
            The mapping.
        """
        half = NORMAL_95 * self.sd_mm
        ends = (self.measured_mm - half, self.measured_mm + half)
        return {
            "pass": self.number,
            "removed": show_length(self.removed_mm, unit),
            "measured": _interval(self.measured_mm, ends, unit),
            "physics": _interval(self.physics_mm, (self.low_mm, self.high_mm), unit),
            "agrees": self.agrees,
            "say": self.said(unit),
        }


@dataclass(frozen=True, slots=True)
class CutOfBore:
    """A bore that was opened by its cut, as physics sees what is left of it and what is behind it.

    Args:
        unit: unit that it is shown in.
        looked: the passes of the plan advised; None where none is left.
        shown: what measured passes taught, the first in front.
    """

    unit: Unit
    looked: CutOutlook | None
    shown: tuple[Shown, ...]

    def plain(self) -> dict[str, object]:
        """Return it as plain values for JSON.

        Returns:
            ``left``, the outlook of the passes left, or None; ``taught``, what measured passes showed.
        """
        return {
            "left": None if self.looked is None else self.looked.plain(),
            "taught": [each.plain(self.unit) for each in self.shown],
        }


def cut_of_bore(bore: Bore, plans: Mapping[str, object], unit: Unit) -> CutOfBore | None:
    """Look at a bore by the cut that it was opened with.

    Args:
        bore: the bore as it stands.
        plans: what ``Bore.plans`` returned of it.
        unit: the unit to show.

    Returns:
        Its physics; None where it was opened without a cut, or today's tables do not know it any more.
    """
    given, limits = bore.opening.given, bore.opening.limits
    if given.cut is None:
        return None
    try:
        callout = parse_callout(given.callout, bore.unit)
        setup = setup_of(given.cut, given.material, given.hole.size.mm, (limits.lower.mm, limits.upper.mm))
        left = _left(setup, bore.belief, plans, unit)
    except BorewrightError:
        return None
    looked = None if left is None else CutOutlook(callout, unit, *left, given.cut, bore.belief.passes, _planned(plans))
    return CutOfBore(unit, looked, tuple(_shown(bore, setup)))


def _left(setup: Setup, belief: Belief, plans: Mapping[str, object], unit: Unit) -> Left | None:
    """Look at the passes of the plan advised, from the hole as it is believed to be; trial cuts leave it as it is."""
    sizes = [parse_length(str(_group(step, "leaves")["size"])).mm for step in _advised(plans)]
    hole = min(belief.hole_mm, sizes[0] - 2.0 * LEAST_REMOVED_MM) if sizes else belief.hole_mm
    setup = replace(setup, hole=hole)
    try:
        looked = outlook_to(setup, sizes)
    except BorewrightError:
        return None
    return setup, looked, tuple(concerns_of(setup, one, unit) for one in looked)


def _planned(plans: Mapping[str, object]) -> tuple[str, ...]:
    return tuple(
        f"{step['depth']} deep, push-off {step['push_off']} by all that is believed" for step in _advised(plans)
    )


def _advised(plans: Mapping[str, object]) -> list[Mapping[str, object]]:
    several = plans.get("plans")
    courses = several if isinstance(several, list) else []
    best = next((each for each in courses if isinstance(each, Mapping) and each.get("advised")), None)
    steps = [] if best is None else best.get("steps")
    return (
        [each for each in steps if isinstance(each, Mapping) and not each["trial"]] if isinstance(steps, list) else []
    )


def _group(plain: Mapping[str, object], name: str) -> Mapping[str, object]:
    found = plain[name]
    assert isinstance(found, Mapping)
    return found


def _shown(bore: Bore, setup: Setup) -> Iterator[Shown]:
    """Go through the record again: the tool as believed before each pass, and what the readings alone say of the hole.

    The hole's belief before and after the readings differ by what they told: ``1/v = 1/v1 - 1/v0`` and
    ``m = v (m1/v1 - m0/v0)``, so that what physics had it does not count as measured.
    """
    before: Belief | None = None
    cut: Belief | None = None
    last: Belief | None = None
    for event, earlier, belief in _beliefs(bore):
        if event.kind == "passed":
            yield from _one(setup, before, cut, last)
            before, cut, last = (earlier, belief, None) if _through(belief) else (None, None, None)
        elif event.kind == "read" and cut is not None:
            last = belief
        elif event.kind in {"moved", "set", "edge_changed"} and last is not None:
            yield from _one(setup, before, cut, last)
            before = cut = last = None
    yield from _one(setup, before, cut, last)


def _through(belief: Belief) -> bool:
    record: PassRecord | None = belief.history[-1] if belief.history else None
    return record is not None and not record.trial and not record.rubbed


def _one(setup: Setup, before: Belief | None, cut: Belief | None, read: Belief | None) -> Iterator[Shown]:
    if before is None or cut is None or read is None:
        return
    (m0, v0), (m1, v1) = _hole(cut), _hole(read)
    if not v1 < TOLD_BY_READINGS * v0:
        return
    variance = 1.0 / (1.0 / v1 - 1.0 / v0)
    hole = variance * (m1 / v1 - m0 / v0)
    removed = hole - before.hole_mm
    if not removed > LEAST_REMOVED_MM:
        return
    prior = push_off_prior(setup.cut, removed, setup.scale)
    low, high = prior.interval()
    yield Shown(
        number=cut.passes,
        removed_mm=removed,
        measured_mm=before.tool_mm - hole,
        sd_mm=math.hypot(before.tool_sd_mm, math.sqrt(variance)),
        physics_mm=prior.reference,
        low_mm=low,
        high_mm=high,
    )


def _hole(belief: Belief) -> tuple[float, float]:
    return belief.hole_mm, float(belief.now.covariance[State.HOLE, State.HOLE])


def _beliefs(bore: Bore) -> Iterator[tuple[Effective, Belief, Belief]]:
    """Fold the record anew, event by event: each with the belief before and after it."""
    belief = opened(bore.model)
    for event in in_order({kind: bore.events(kind) for kind in ("bore", *OTHERS)}):
        after = fold(belief, bore.model, event)
        yield event, belief, after
        belief = after


def _interval(middle: float, ends: tuple[float, float], unit: Unit) -> dict[str, str]:
    low, high = ends
    return {
        "size": show_length(middle, unit, decimals=5),
        "low": show_length(low, unit, decimals=5),
        "high": show_length(high, unit, decimals=5),
    }
