"""What a gauge is set on: a ring, gauge blocks, a micrometer's anvils; how well each one's size is known."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from typing import Final, Literal

from borewright.errors import EntryError, NotHeldError

_MICROINCH_MM: Final = 25.4e-6

RING_CLASSES: Final = ("XXX", "XX", "X", "Y", "Z")
_RING_WIDTHS: Final[tuple[tuple[float, float, tuple[int, ...]], ...]] = ((1.510, 2.510, (20, 40, 80, 120, 160)),)
"""Over, up to and including, inch; width of each class, microinch. Source: [b891-6], read second-hand."""


SOON_DAYS: Final = 30
"""So many days before a certificate falls due it is called due soon. Common practice, no source."""


def certificate_standing(due: date | None, on: date) -> Literal["valid", "due soon", "overdue"]:
    """Tell how a certificate stands on a day.

    Args:
        due: the last day that it holds, or None where it never falls due.
        on: the day.

    Returns:
        ``overdue`` after the day until which it holds.
    """
    if due is None or (due - on).days > SOON_DAYS:
        return "valid"
    return "due soon" if on <= due else "overdue"


def require_valid(due: date, on: date) -> None:
    """Refuse a certificate that is out of date.

    Args:
        due: the last day that it holds.
        on: the day the master is used.

    Raises:
        EntryError: that day is later.
    """
    if certificate_standing(due, on) == "overdue":
        raise EntryError(
            f"The certificate was due on {due}.",
            given=f"measured on {on}",
            right="Have the master calibrated, or use another; readings on it stay marked until then.",
            where="due",
        )


def class_u_mm(size_mm: float, ring_class: str) -> float:
    """Return how well a ring without a certificate is known, by its class: half the class's width over root 3.

    Args:
        size_mm: the ring's size, mm.
        ring_class: ``XXX``, ``XX``, ``X``, ``Y`` or ``Z``.

    Returns:
        Standard uncertainty, mm.

    Raises:
        NotHeldError: there is no such class, or its width at that size is not held here.

    Source: [b891-6] for the width; [gum] 4.3.7 for what becomes of it.
    """
    name = ring_class.strip().upper()
    if name not in RING_CLASSES:
        raise NotHeldError(
            "There is no ring of that class.", given=ring_class, right=f"Use {', '.join(RING_CLASSES)}.", where="class"
        )
    for above, upto, widths in _RING_WIDTHS:
        if above < size_mm / 25.4 <= upto:
            return 0.5 * widths[RING_CLASSES.index(name)] * _MICROINCH_MM / math.sqrt(3.0)
    held = ", ".join(f"{above:g} to {upto:g} in" for above, upto, _ in _RING_WIDTHS)
    raise NotHeldError(
        "The widths of ring classes at that size are not held here.",
        given=f"{size_mm:g} mm",
        right=f"Held: {held}. Give the certificate's uncertainty instead.",
        where="class",
    )


def national_u_mm(size_mm: float) -> float:
    """Return how well a national laboratory knows a ring: ``(0.094 um + 0.36e-6 L) / 2``, to 100 mm.

    Nobody's ring is better known than that.

    Args:
        size_mm: the ring's size L, mm.

    Returns:
        Standard uncertainty, mm.

    Raises:
        NotHeldError: the size is larger than 100 mm.

    Source: [doiron1997], its expanded uncertainty with factor 2.
    """
    if not 0.0 < size_mm <= 100.0:
        raise NotHeldError(
            "The best known uncertainty of rings is held to 100 mm.",
            given=f"{size_mm:g} mm",
            right="Give a size up to 100 mm.",
            where="size",
        )
    return 0.5 * (0.094e-3 + 0.36e-6 * size_mm)


def require_plausible(size_mm: float, u_mm: float, where: str) -> None:
    """Refuse a ring's uncertainty that no laboratory reaches: read wrongly, or in another unit.

    Args:
        size_mm: the ring's size, mm; over 100 mm nothing is held and nothing refused.
        u_mm: its standard uncertainty by its certificate, mm.
        where: the field.

    Raises:
        EntryError: it is better than a national laboratory's.

    Source: [doiron1997].
    """
    if size_mm <= 100.0 and u_mm < (best := national_u_mm(size_mm)):
        raise EntryError(
            "No laboratory knows a ring that well.",
            given=f"a standard uncertainty of {u_mm * 1000.0:.3g} µm",
            right=f"The best comes to {best * 1000.0:.2g} µm; give the expanded uncertainty, and check its unit.",
            where=where,
        )


def stacked_u_mm(blocks_u_mm: Sequence[float], wrung_mm: float = 0.03e-3, jaws_mm: float = 0.3e-3) -> float:
    """Return how well a stack of gauge blocks between jaws is known.

    Args:
        blocks_u_mm: standard uncertainty of each block, mm, at least one.
        wrung_mm: standard uncertainty of one wringing, mm.
        jaws_mm: standard uncertainty of the two jaws, mm.

    Returns:
        Standard uncertainty of the stack, mm.

    Raises:
        EntryError: there is no block.

    Source: common practice, no source.
    """
    if not blocks_u_mm:
        raise EntryError("A stack holds at least one block.", given=0, right="Give each block.", where="blocks")
    wrung = math.sqrt(len(blocks_u_mm) + 1.0) * wrung_mm
    return math.hypot(*blocks_u_mm, wrung, jaws_mm)


def anvils_u_mm(limit_mm: float, step_mm: float, out_of_parallel_mm: float = 0.001) -> float:
    """Return how well the distance between a micrometer's anvils is known.

    Args:
        limit_mm: largest error of the micrometer, mm.
        step_mm: its step, mm.
        out_of_parallel_mm: how far its anvils may be out of parallel across their width, mm.

    Returns:
        Standard uncertainty, mm: each uniform within its limits.

    Raises:
        EntryError: a limit is negative.

    Source: common practice, no source; [gum] 4.3.7 for a limit.
    """
    if min(limit_mm, step_mm, out_of_parallel_mm) < 0.0:
        raise EntryError(
            "A limit is 0 or larger.",
            given=(limit_mm, step_mm, out_of_parallel_mm),
            right="Leave the sign out.",
            where="anvils",
        )
    return math.hypot(limit_mm / math.sqrt(3.0), step_mm / math.sqrt(12.0), 0.5 * out_of_parallel_mm / math.sqrt(3.0))
