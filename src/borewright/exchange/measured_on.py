"""What a bore was measured on, in a file: a ring, a stack of blocks, anvils, two masters, or a scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from borewright.callout import Callout
from borewright.errors import EntryError
from borewright.gauging.instruments import AirZero, Instrument, machine_error_mm
from borewright.gauging.masters import anvils_u_mm, class_u_mm, require_plausible, require_valid, stacked_u_mm
from borewright.quantity.length import Length
from borewright.record.fields import Payload, celsius, choice, day, group, groups, length, number, text

FAR: Final = 0.1
"""Further than this share from the size asked, a size is another bore's. Common practice, no source."""

JAWS: Final = "Each wringing of the blocks is good for 0.03 µm and the jaws for 0.3 µm."
PARALLEL: Final = "The anvils may be out of parallel by 1 µm."


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockFacts(Payload):
    """One gauge block of a stack."""

    size: Length = length("its size at 20 °C.", zero=False)
    expanded: Length = length("expanded uncertainty of that, by its certificate.", zero=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondFacts(Payload):
    """The second of two masters that an air gauge is set on."""

    size: Length = length("its size at 20 °C.", zero=False)
    expanded: Length = length("expanded uncertainty of that, by its certificate.", zero=False)
    shown: Length = length("what the gauge shows on it.", signed=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class MasterFacts(Payload):
    """What the gauge was set on, or the scale that it has."""

    size: Length | None = length("the master's size at 20 °C.", zero=False, optional=True)
    expanded: Length | None = length("its expanded uncertainty, by its certificate.", zero=False, optional=True)
    factor: Decimal | None = number("coverage factor of that; 2 where left out.", low="1", high="4", optional=True)
    due: date | None = day("until when the certificate holds.", optional=True)
    ring_class: str | None = choice("a ring's class.", "XXX", "XX", "X", "Y", "Z", optional=True)
    block: tuple[BlockFacts, ...] | None = groups("gauge blocks that it is stacked of.", BlockFacts, optional=True)
    limit: Length | None = length(
        "largest error of a scale, or of the micrometer set to size.", zero=False, optional=True
    )
    grows: Length | None = length("what a scale's largest error grows by over each metre.", optional=True)
    parallel: Length | None = length("how far anvils may be out of parallel across their width.", optional=True)
    shown: Length | None = length("what an air gauge shows on it.", signed=True, optional=True)
    second: SecondFacts | None = group("the second master of an air gauge.", SecondFacts, optional=True)
    material: str | None = text("what it is made of.", optional=True)
    celsius: Decimal | None = celsius("its temperature.", optional=True)

    @property
    def held_mm(self) -> float:
        """The master's size: as it is said, or the sum of its blocks, mm."""
        if self.block:
            total = sum(each.size.mm for each in self.block)
            if self.size is not None and abs(total - self.size.mm) > 0.001:
                raise EntryError(
                    "The blocks do not add up to the master's size.",
                    given=self.size.text,
                    right=f"They come to {total:.4f} mm: leave size out, or check each.",
                    where="master.size",
                )
            return total
        if self.size is None:
            raise EntryError("The master's size is missing.", right="Give its size at 20 °C.", where="master.size")
        return self.size.mm

    @property
    def certified_mm(self) -> float | None:
        """Standard uncertainty by the certificate, mm; None where there is none."""
        return None if self.expanded is None else self.expanded.mm / float(self.factor or 2)


def require_near(mm: float, given: str, callout: Callout, what: str, where: str) -> None:
    """Refuse a size that is another bore's, or in another unit.

    Args:
        mm: the size, mm.
        given: as it was given.
        callout: what the drawing asks.
        what: what has the size.
        where: the field.

    Raises:
        EntryError: it lies further than a tenth from the size asked.
    """
    if abs(mm - callout.mid_mm) > FAR * callout.mid_mm:
        raise EntryError(
            f"That {what} is far from the size asked.",
            given=given,
            right=f"The callout is about {callout.mid.text}; check size and unit.",
            where=where,
        )


def air_zero(facts: MasterFacts, kind: Instrument) -> AirZero | None:
    """Return the line through two masters.

    Args:
        facts: what is said of them.
        kind: the instrument.

    Returns:
        The line, or None where there is but one master.

    Raises:
        EntryError: the instrument is no air gauge, or something of the two is missing.
    """
    second = facts.second
    if second is None:
        return None
    if kind.name != "air gauge":
        raise EntryError("Only an air gauge is set on two.", given=kind.name, right="Give one.", where="master.second")
    if facts.shown is None or facts.certified_mm is None:
        raise EntryError(
            "What it shows on the first master, and how well that is known, are needed for the line through both.",
            right="Give shown and expanded under [master].",
            where="master.shown",
        )
    ends = sorted(
        [
            (facts.held_mm, facts.shown.mm, facts.certified_mm),
            (second.size.mm, second.shown.mm, second.expanded.mm / float(facts.factor or 2)),
        ]
    )
    (small, on_small, u_small), (large, on_large, u_large) = ends
    return AirZero(small, large, on_small, on_large, u_small, u_large)


def master_of(
    facts: MasterFacts,
    kind: Instrument,
    zero: AirZero | None,
    step_mm: float,
    measured: date | None,
    shown_mm: Sequence[float],
) -> tuple[float, float, tuple[str, ...]]:
    """Find the master's size and how well it is known.

    Args:
        facts: what is said of it.
        kind: the instrument.
        zero: the line through two masters, or None where there is but one.
        step_mm: the gauge's smallest step, mm.
        measured: when the bore was measured, or None.
        shown_mm: what the gauge showed, mm.

    Returns:
        The size, its standard uncertainty, mm, and what was assumed.

    Raises:
        EntryError: something is missing, or cannot be true.
        NotHeldError: the widths of a ring's class are not held at that size.
    """
    if facts.expanded is not None and facts.due is not None and measured is not None:
        require_valid(facts.due, measured)
    if not kind.set_on:
        return shown_mm[0], _scale(facts, shown_mm[0]), ()
    if zero is not None:
        return zero.small_mm, zero.size(sum(shown_mm) / len(shown_mm))[1], ()
    size = facts.held_mm
    if facts.block:
        factor = float(facts.factor or 2)
        return size, stacked_u_mm([each.expanded.mm / factor for each in facts.block]), (JAWS,)
    if facts.limit is not None:
        if facts.parallel is None:
            return size, anvils_u_mm(facts.limit.mm, step_mm), (PARALLEL,)
        return size, anvils_u_mm(facts.limit.mm, step_mm, facts.parallel.mm), ()
    if facts.certified_mm is not None:
        require_plausible(size, facts.certified_mm, "master.expanded")
        return size, facts.certified_mm, ()
    if facts.ring_class is None:
        raise EntryError(
            "How well the master is known is missing.",
            right="Give expanded, by its certificate, ring_class, [[master.block]], or limit for anvils.",
            where="master.expanded",
        )
    words = f"The ring lies anywhere in class {facts.ring_class}: it has no certificate here."
    return size, class_u_mm(size, facts.ring_class), (words,)


def _scale(facts: MasterFacts, size_mm: float) -> float:
    """Return how well a scale is known: by its certificate, or by the largest error that it is allowed."""
    if facts.certified_mm is not None:
        return facts.certified_mm
    if facts.limit is None:
        raise EntryError(
            "The scale's largest error is missing.",
            right="Give limit, or expanded by its certificate.",
            where="master.limit",
        )
    return machine_error_mm(facts.limit.mm, 0.0 if facts.grows is None else facts.grows.mm / 1000.0, size_mm)
