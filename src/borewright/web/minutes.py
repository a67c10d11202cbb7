"""How long things take, as a page asks for it, and what plans share a reason why they cannot be."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from borewright.web.plain import Plain, group


@dataclass(frozen=True, slots=True)
class Field:
    """Minutes that may be asked.

    Args:
        name: the field's name in the address.
        ask: what is asked.
        value: the minutes in force.
        origin: whether they were asked or are assumed.
    """

    name: str
    ask: str
    value: str
    origin: str


def fields_of(minutes: Plain, asks: Sequence[tuple[str, str, str]]) -> tuple[Field, ...]:
    """Show the minutes in force.

    Args:
        minutes: by what takes them, ``minutes`` and ``origin``.
        asks: for each field its name in the address, what is asked, and what takes the time.

    Returns:
        The fields.
    """
    return tuple(
        Field(name, ask, f"{float(str(group(minutes, key)['minutes'])):g}", str(group(minutes, key)["origin"]))
        for name, ask, key in asks
    )


def by_reason(shut: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """Bring together what cannot be for the same reason.

    Args:
        shut: what cannot be, and why, each.

    Returns:
        Such as ``1 pass with a trial cut; 2 passes with a trial cut``, and why; in the order in which reasons come.
    """
    names: dict[str, list[str]] = {}
    for name, why in shut:
        names.setdefault(why, []).append(name)
    return tuple(("; ".join(each), why) for why, each in names.items())
