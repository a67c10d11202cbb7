"""The instruments a bore is measured with: what each sees, what it is blind to, and what counts for a release."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from borewright.errors import EntryError, NotHeldError

Sees: TypeAlias = Literal["two points", "three points", "mean", "least squares", "limits"]
Needle: TypeAlias = Literal["plus", "minus"]
"""Which way a gauge's needle goes for a larger hole, by the figures on its face."""


@dataclass(frozen=True, slots=True)
class Instrument:
    """A way to measure a bore.

    Args:
        name: as the trade calls it.
        sees: what of the bore it takes in at once.
        set_on: whether it is set on a master; otherwise its own scale is its master.
        centres: whether it finds the diameter by itself.
        independent: whether it is evidence for a release that owes nothing to the machine that cut the bore.
        blind: what it cannot see, in a sentence.
        caution: what spoils it most, in a sentence.
        feel_mm: what the hand's feel is worth, one standard deviation, mm. Common practice, no source.
    """

    name: str
    sees: Sees
    set_on: bool
    centres: bool
    independent: bool
    blind: str
    caution: str
    feel_mm: float = 0.0


_ODD_LOBES: Final = "It spans two points, so a bore with three or five lobes reads the same all round."
_EVEN_LOBES: Final = "It spans three points, so a bore that is oval, two lobes, reads the same all round."

INSTRUMENTS: Final[tuple[Instrument, ...]] = (
    Instrument(
        "dial bore gauge",
        "two points",
        set_on=True,
        centres=True,
        independent=True,
        blind=_ODD_LOBES,
        caution="Rock it and take the least reading; note which way its needle goes for a larger hole.",
    ),
    Instrument(
        "two-point inside micrometer",
        "two points",
        set_on=False,
        centres=False,
        independent=True,
        blind=_ODD_LOBES,
        caution="Nothing centres it: take the largest reading across and the smallest along.",
        feel_mm=0.0015,
    ),
    Instrument(
        "three-point inside micrometer",
        "three points",
        set_on=True,
        centres=True,
        independent=True,
        blind=_EVEN_LOBES,
        caution="Set it on a ring near the size, and turn the ratchet alike every time.",
        feel_mm=0.0005,
    ),
    Instrument(
        "telescoping gauge",
        "two points",
        set_on=False,
        centres=False,
        independent=True,
        blind=_ODD_LOBES,
        caution="Two feels meet: that of the lock in the bore and that of the micrometer over it.",
        feel_mm=0.004,
    ),
    Instrument(
        "bore gauge between anvils",
        "two points",
        set_on=True,
        centres=True,
        independent=True,
        blind=_ODD_LOBES,
        caution="The anvils are flat and the bore is round: clamp the micrometer and rock both ways.",
        feel_mm=0.001,
    ),
    Instrument(
        "air gauge",
        "mean",
        set_on=True,
        centres=True,
        independent=True,
        blind="Its jets average over the finish and see less of it than points do.",
        caution="Set it on two rings, near both limits: its gain is not its own.",
    ),
    Instrument(
        "plug gauge",
        "limits",
        set_on=False,
        centres=True,
        independent=True,
        blind="It says that the bore is larger or smaller than the plug, never by how much.",
        caution="Enter it dry and without force; a warm part takes a plug that it will not take cold.",
    ),
    Instrument(
        "touch probe in the spindle",
        "least squares",
        set_on=False,
        centres=True,
        independent=False,
        blind="It measures with the same slides that cut the bore, and does not see their errors.",
        caution="To put it in, the tool comes out: the next cut is made from a new seat.",
    ),
    Instrument(
        "coordinate measuring machine",
        "least squares",
        set_on=False,
        centres=True,
        independent=True,
        blind="Few points miss what lies between them; its size is the mean circle and not the largest plug.",
        caution="Let the part soak in its room, and take enough points for the lobes looked for.",
    ),
)


def instrument(name: str) -> Instrument:
    """Find an instrument by its name.

    Args:
        name: as the trade calls it; capitals do not matter.

    Returns:
        The instrument.

    Raises:
        NotHeldError: there is none of that name.
    """
    wanted = name.strip().lower()
    for each in INSTRUMENTS:
        if each.name == wanted:
            return each
    known = ", ".join(each.name for each in INSTRUMENTS)
    raise NotHeldError("There is no instrument of that name.", given=name, right=f"Known: {known}.", where="instrument")


def over_master(shown_mm: float, needle: Needle, travel_mm: float | None = None) -> float:
    """Return how much larger a bore is than the master, as a needle shows it.

    Args:
        shown_mm: what the dial shows, zero on the master, mm.
        needle: whether a larger hole gives plus or minus on the dial's face.
        travel_mm: how far the dial goes either way, mm, or None where nobody says.

    Returns:
        Larger than the master, mm; negative where smaller.

    Raises:
        EntryError: the needle is neither, or it shows more than it can travel.
    """
    if needle not in {"plus", "minus"}:
        raise EntryError(
            "The needle's sense is not known.",
            given=needle,
            right="Say plus or minus for a larger hole.",
            where="needle",
        )
    if travel_mm is not None and abs(shown_mm) > travel_mm:
        raise EntryError(
            f"The gauge travels {travel_mm:g} mm and cannot show that.",
            given=f"{shown_mm:+g} mm",
            right="Check unit and sign, or set it on a ring nearer to the size.",
            where="shown",
        )
    return shown_mm if needle == "plus" else -shown_mm


def require_reach(master_mm: float, size_mm: float, travel_mm: float) -> None:
    """Refuse a master that lies further from the size than the gauge travels.

    Args:
        master_mm: the master's size, mm.
        size_mm: the size to be measured, mm.
        travel_mm: how far the gauge goes either way of its zero, mm.

    Raises:
        EntryError: it does.
    """
    if abs(size_mm - master_mm) > travel_mm:
        raise EntryError(
            f"From that master the gauge would show {size_mm - master_mm:+.4g} mm, and it travels {travel_mm:g}.",
            given=f"{master_mm:g} mm",
            right=f"Set it on a master from {size_mm - travel_mm:g} to {size_mm + travel_mm:g} mm.",
            where="master",
        )


@dataclass(frozen=True, slots=True)
class AirZero:
    """An air gauge set on two masters: what it shows becomes a size by the straight line through both.

    Args:
        small_mm: size of the smaller master, mm.
        large_mm: size of the larger, mm.
        small_shown: what the gauge shows on the smaller.
        large_shown: what it shows on the larger.
        u_small_mm: standard uncertainty of the smaller, mm.
        u_large_mm: standard uncertainty of the larger, mm.
    """

    small_mm: float
    large_mm: float
    small_shown: float
    large_shown: float
    u_small_mm: float
    u_large_mm: float

    def __post_init__(self) -> None:
        if not self.small_mm < self.large_mm or self.small_shown == self.large_shown:
            raise EntryError(
                "An air gauge is set on two masters that differ, and shows it.",
                given=(self.small_mm, self.large_mm, self.small_shown, self.large_shown),
                right="Give the smaller first.",
                where="masters",
            )

    def size(self, shown: float) -> tuple[float, float]:
        """Return the size that a reading means, and how well both masters make it known.

        ``D = D_s + w (D_l - D_s)`` with ``w = (shown - shown_s)/(shown_l - shown_s)``.

        Args:
            shown: what the gauge shows.

        Returns:
            The size and its standard uncertainty by the masters, mm.

        Raises:
            EntryError: the reading lies more than half the masters' distance outside them.

        Source: [gum] 5.1.2 on the line's equation.
        """
        w = (shown - self.small_shown) / (self.large_shown - self.small_shown)
        if not -0.5 <= w <= 1.5:
            raise EntryError(
                "That lies too far outside the two masters to be read off their line.",
                given=shown,
                right="Set the gauge on masters that hold the size between them.",
                where="shown",
            )
        mm = self.small_mm + w * (self.large_mm - self.small_mm)
        return mm, math.sqrt((1.0 - w) ** 2 * self.u_small_mm**2 + w**2 * self.u_large_mm**2)


def machine_error_mm(constant_mm: float, per_mm: float, length_mm: float) -> float:
    """Return the standard uncertainty by the largest error that a machine is allowed, ``(A + B L)/sqrt(3)``.

    Args:
        constant_mm: A, mm.
        per_mm: B, without unit; a machine of 1.5 + L/350 µm has A 0.0015 and B 1/350000.
        length_mm: L, mm.

    Returns:
        Standard uncertainty, mm.

    Raises:
        EntryError: a term is negative.

    Source: [gum] 4.3.7; the form of the limit is common practice, no source.
    """
    if min(constant_mm, per_mm, length_mm) < 0.0:
        raise EntryError(
            "A largest error is 0 or more.",
            given=(constant_mm, per_mm, length_mm),
            right="Leave the sign out.",
            where="error",
        )
    return (constant_mm + per_mm * length_mm) / math.sqrt(3.0)
