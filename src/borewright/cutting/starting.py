"""Where to begin with speed, feed and depth in a material: ranges to be overwritten by what the shop finds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from borewright.cutting.least_chip import Edge
from borewright.errors import EntryError
from borewright.materials.work import Group, Work
from borewright.quantity.speed import METRES_PER_FOOT, Speed, show_speed

FEET: Final = float(METRES_PER_FOOT)

SOURCE: Final = "composite of public handbooks, from memory"


@dataclass(frozen=True, slots=True)
class Starting:
    """A range to begin in.

    Args:
        kind: what work it is for.
        speed: slowest and fastest cutting speed, m/min.
        feed: smallest and largest feed, mm a turn.
        depth: smallest and largest radial depth, mm.
        edge: the kind of edge that it is for.
        source: where it comes from.
    """

    kind: str
    speed: tuple[float, float]
    feed: tuple[float, float]
    depth: tuple[float, float]
    edge: str
    source: str = SOURCE


# From memory, as the source says.
_UNALLOYED: Final = Starting("unalloyed steel", (180, 350), (0.05, 0.15), (0.10, 0.30), "honed carbide")
_HARD_STEEL: Final = Starting("alloy steel, 250 to 350 HB", (120, 250), (0.05, 0.12), (0.10, 0.25), "honed carbide")
_STAINLESS: Final = Starting("stainless steel", (80, 180), (0.06, 0.12), (0.15, 0.30), "honed carbide")
_GREY: Final = Starting("grey iron", (120, 250), (0.05, 0.15), (0.10, 0.30), "honed carbide")
_DUCTILE: Final = Starting("ductile and malleable iron", (100, 220), (0.05, 0.15), (0.10, 0.30), "honed carbide")
_ALUMINIUM: Final = Starting("aluminium", (250, 600), (0.05, 0.15), (0.05, 0.30), "sharp carbide")
_BRONZE: Final = Starting("bronze, brass, copper", (150, 350), (0.05, 0.15), (0.05, 0.30), "sharp carbide")
_TITANIUM: Final = Starting("titanium", (40, 80), (0.05, 0.10), (0.15, 0.30), "sharp carbide")
_NICKEL: Final = Starting("nickel and iron-base alloys", (25, 50), (0.05, 0.10), (0.15, 0.30), "sharp carbide")
_HARDENED: Final = Starting("hardened steel", (100, 180), (0.04, 0.12), (0.05, 0.20), "CBN")

_OF_GROUP: Final[dict[Group, Starting]] = {
    "P": _HARD_STEEL,
    "M": _STAINLESS,
    "K": _GREY,
    "N": _ALUMINIUM,
    "S": _NICKEL,
    "H": _HARDENED,
}
_PLAIN_STEELS: Final = frozenset(
    {"S275", "E295", "E335", "E360", "C15", "C45", "C45 annealed", "C60", "C60 annealed", "GE240", "GE260"}
)


def starting_of(work: Work) -> Starting:
    """Return where to begin in a material.

    Args:
        work: the material.

    Returns:
        The range.

    Source: from memory.
    """
    name = work.like or work.name
    if name in _PLAIN_STEELS:
        return _UNALLOYED
    if name.startswith(("EN-GJS", "EN-GJM")):
        return _DUCTILE
    if name.startswith(("titanium", "Ti-")):
        return _TITANIUM
    if name in {"brass", "bronze", "copper"}:
        return _BRONZE
    return _OF_GROUP[work.group]


def check_speed(typed: Speed, work: Work) -> None:
    """Refuse a cutting speed that can only be of another unit.

    Args:
        typed: the speed as it was typed.
        work: the material.

    Raises:
        EntryError: it is so far outside the range that it is revolutions, feet or metres a second.
    """
    low, high = starting_of(work).speed
    usual = " to ".join((show_speed(low, typed.unit, with_unit=False), show_speed(high, typed.unit)))
    if typed.m_min > 4.0 * high:
        other = f"; {typed.value:f} ft/min are {float(typed.value) * FEET:.0f} m/min" if typed.unit == "m/min" else ""
        raise EntryError(
            f"{work.name} is not cut at {typed.text}; that may be rpm{' or feet a minute' if other else ''}.",
            given=typed.text,
            right=f"Give the speed at the edge, usually {usual}{other}.",
            where="speed",
        )
    if typed.m_min < 0.1 * low:
        words, sign = ("metres a second", "m/s") if typed.unit == "m/min" else ("feet a second", "ft/s")
        a_minute = f"{float(typed.value):g} {sign} are {60.0 * float(typed.value):.0f} {typed.unit}"
        raise EntryError(
            f"{work.name} is not cut at {typed.text}; that may be {words}.",
            given=typed.text,
            right=f"Give the speed a minute, usually {usual}; {a_minute}.",
            where="speed",
        )


def edge_suits(edge: Edge, work: Work) -> str:
    """Say why a kind of edge does not suit a material.

    Args:
        edge: the kind of edge.
        work: the material.

    Returns:
        A sentence, or nothing where it suits.

    Source: common practice, no source.
    """
    if edge.name == "PCD" and work.group not in {"N", "S"}:
        return "PCD wears away fast on iron and steel: take carbide, or CBN on hardened steel."
    if edge.name == "CBN" and work.group not in {"H", "K"}:
        return "CBN is for hardened steel and grey iron: take carbide."
    if work.group == "H" and edge.name != "CBN":
        return "Hardened steel wants CBN: carbide wears out within a pass."
    return ""
