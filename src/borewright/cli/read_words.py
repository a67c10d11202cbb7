"""A reading as it is typed in the terminal: the number, and behind it where it was taken and how the part was held."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from borewright.errors import EntryError

BEHIND: Final[Mapping[str, Mapping[str, object]]] = {
    "free": {"state": "free"},
    "clamped": {"state": "clamped out of it"},
    "machine": {"state": "in the machine"},
    "probe": {"probe": True},
    "gauge": {"probe": False},
}
"""Words that may stand behind a reading, and what each says."""

_DIRECTION: Final = re.compile(r"(-?\d+(?:[.,]\d+)?)\s*(?:°|deg)$")
_DEPTH: Final = re.compile(r"^(.*?)\s+at\s+(.+)$")


def read_fields(rest: str) -> dict[str, object]:
    """Take a reading apart.

    Args:
        rest: such as ``46.491``, ``46.491 free`` or ``46.491 at 12 90° probe``: depth below the mouth, direction
            across, how the part was held, and whether the machine's own probe or a gauge of its own took it.

    Returns:
        The fields of the entry.

    Raises:
        EntryError: two words say the same thing differently.
    """
    fields: dict[str, object] = {}
    place: dict[str, str] = {}
    left = rest.strip()
    while " " in left:
        before, _, last = left.rpartition(" ")
        if last.lower() in BEHIND:
            _say(fields, BEHIND[last.lower()], rest)
            left = before.strip()
        elif found := _DIRECTION.search(left):
            place["direction_deg"] = found[1].replace(",", ".")
            left = left[: found.start()].strip()
        else:
            break
    if found := _DEPTH.match(left):
        left, place["depth"] = found[1], found[2]
    return {"as_read": left, **({"place": place} if place else {}), **fields}


def _say(fields: dict[str, object], more: Mapping[str, object], given: str) -> None:
    for name, value in more.items():
        if fields.get(name, value) != value:
            raise EntryError(
                "Two words behind the reading say different things.",
                given=given,
                right="Type one of free, clamped, machine; and probe or gauge.",
                where=name,
            )
        fields[name] = value
