"""What was learned, tool by tool and material by material, and what each rests on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from borewright.learning.history import Learned, learn
from borewright.learning.taught import Taught
from borewright.quantity.length import Unit
from borewright.quantity.say import say_length, say_range
from borewright.quantity.show import show_length
from borewright.record.payloads.opened import Start
from borewright.sizing.priors import NORMAL_95, Prior, Priors, priors_of
from borewright.sizing.pushoff import SIGN_SCALE_MM, from_signed_log, signed_log

ABOUT: Final[Mapping[str, str]] = {
    "push_off": "Push-off where {depth} comes off",
    "exponent": "How steeply push-off grows with depth; 1 is in step with it",
    "edge": "Share of push-off from the edge alone, whatever the depth",
    "gain": "The adjuster moves off what it says by",
    "lock_mean": "Locking opens the tool by",
    "bench": "In the spindle, larger than the bench says by",
    "backlash": "Backlash",
    "gauge_scatter": "Scatter of one reading",
}
"""Each part as a shop says it, in the order in which they are listed."""

SHARES: Final = frozenset({"edge", "gain"})


@dataclass(frozen=True, slots=True)
class Line:
    """One thing learned.

    Args:
        name: its name in the model.
        now: what the next bore begins with.
        before: what it would begin with if nothing had been learned.
        depth_mm: the depth that push-off is spoken of at, mm.
    """

    name: str
    now: Prior
    before: Prior
    depth_mm: float

    def ends(self, prior: Prior) -> tuple[float, float]:
        """Return the ends of the interval that holds it 95 times in 100.

        Args:
            prior: ``now`` or ``before``.

        Returns:
            Both ends, in its unit.
        """
        if self.name != "push_off":
            return prior.value - NORMAL_95 * prior.width, prior.value + NORMAL_95 * prior.width
        middle = signed_log(prior.value)
        off = NORMAL_95 * prior.width / float((prior.value**2 + SIGN_SCALE_MM**2) ** 0.5)
        return from_signed_log(middle - off)[0], from_signed_log(middle + off)[0]

    def said(self, unit: Unit) -> dict[str, str]:
        """Say it in words.

        Args:
            unit: the unit of lengths.

        Returns:
            ``name``, ``what``, ``value``, ``low``, ``high`` and both in one as ``interval`` where it has a width,
            ``before``, ``origin``.
        """
        ends = self.ends(self.now)
        depth = show_length(round(self.depth_mm, 4), unit, decimals=2 if unit == "mm" else 3)
        low, high = (self._text(end, unit) for end in ends)
        interval = {"low": low, "high": high, "interval": self._range(ends, unit)} if self.now.width else {}
        return {
            "name": self.name,
            "what": ABOUT[self.name].format(depth=depth),
            "value": self._text(self.now.value, unit),
            **interval,
            "before": self._range(self.ends(self.before), unit),
            "origin": self.now.origin,
        }

    def _range(self, ends: tuple[float, float], unit: Unit) -> str:
        if ends[0] == ends[1]:
            return self._text(ends[0], unit)
        if self.now.unit == "mm":
            return say_range(round(ends[0], 7), round(ends[1], 7), unit)
        low, high = (self._text(end, unit) for end in ends)
        return f"{low.removesuffix(' %')} to {high}"

    def _text(self, value: float, unit: Unit) -> str:
        if self.now.unit == "mm":
            return say_length(round(value, 7), unit)
        return f"{100.0 * value:.2g} %" if self.name in SHARES else f"{value:.2f}"


@dataclass(frozen=True, slots=True)
class Lesson:
    """What was learned of a tool in a material.

    Args:
        tool: the name of its record.
        material: the material; empty where it was not said.
        learned_from: what the last of its bores was started with.
        learned: what a bore would begin with that is started as the last one was.
        lines: what of it was learned.
        left_out: finished bores of the tool in the material that are left out.
    """

    tool: str
    material: str
    learned_from: Start
    learned: Learned
    lines: tuple[Line, ...]
    left_out: tuple[Taught, ...]

    @property
    def unit(self) -> Unit:
        """The unit in which the last bore was started; mm where it did not say."""
        return "in" if self.learned_from.unit == "in" else "mm"

    @property
    def days(self) -> tuple[str, str] | None:
        """The days on which the first and the last of the bores were finished, or None where nobody says."""
        days = sorted(each.at[:10] for each in self.learned.same if each.at is not None)
        return (days[0], days[-1]) if days else None

    def said(self, unit: Unit) -> dict[str, object]:
        """Say it in plain values.

        Args:
            unit: the unit of lengths.

        Returns:
            ``tool``, ``material``, ``adjuster``, ``simulated``, ``bores``, ``first`` and ``last`` day, ``lines`` and
            ``left_out``.
        """
        days = self.days
        return {
            "tool": self.tool,
            "material": self.material,
            "adjuster": self.learned_from.adjuster.kind,
            "simulated": self.learned_from.simulated,
            "bores": [each.bore for each in self.learned.same],
            "other_bores": {
                "of this tool": len(self.learned.tool),
                "of tools like it": len(self.learned.like),
                "of other tools": len(self.learned.other),
            },
            "first": None if days is None else days[0],
            "last": None if days is None else days[1],
            "lines": [line.said(unit) for line in self.lines],
            "left_out": [{"bore": each.bore, "why": each.left_out} for each in self.left_out],
        }


def ledger(taught: Sequence[Taught], edges: Mapping[str, int], now: str | None) -> tuple[Lesson, ...]:
    """List what was learned.

    Args:
        taught: what finished bores taught, the one finished first at the front.
        edges: how often the edge of each tool was changed so far, by the name of its record.
        now: the time, ISO 8601, or None where age in days is not to count.

    Returns:
        One lesson for each tool in each material, the one whose last bore was finished last at the front.
    """
    last = {(each.tool, each.material, each.start.simulated): each for each in taught}
    order = sorted(last, key=lambda key: taught.index(last[key]), reverse=True)
    return tuple(_lesson(last[key], taught, edges.get(key[0], 0), now) for key in order)


def _lesson(latest: Taught, taught: Sequence[Taught], edges: int, now: str | None) -> Lesson:
    start = latest.start
    learned = learn(start, latest.tool, latest.gauge, taught, edges=edges, now=now)
    own = [each for each in learned.left_out if (each.tool, each.material) == (latest.tool, latest.material)]
    return Lesson(
        tool=latest.tool,
        material=latest.material,
        learned_from=start,
        learned=replace(learned, left_out=tuple(own)),
        lines=_lines(learned, priors_of(start)),
        left_out=tuple(own),
    )


def _lines(learned: Learned, before: Priors) -> tuple[Line, ...]:
    depth = before.push_off_depth.value
    known = learned.known.priors
    return tuple(Line(name, known[name], getattr(before, name), depth) for name in ABOUT if name in known)
