"""Work materials: how hard each pushes against the edge, by ISO 513 group, and how one is found by its name.

Specific cutting force follows ``kc = kc1.1 h^-mc``. Published tables differ between families by 20 % and more, so the
pair of one material always comes from one family, and a shop that overwrites it overwrites both.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final, Literal, TypeAlias

from borewright.errors import EntryError, NotHeldError
from borewright.materials.value import Value

Group: TypeAlias = Literal["P", "M", "K", "N", "S", "H"]

GROUPS: Final[dict[Group, str]] = {
    "P": "steel",
    "M": "stainless steel",
    "K": "cast iron",
    "N": "aluminium and other non-ferrous metal",
    "S": "heat-resistant alloy and titanium",
    "H": "hardened steel",
}
"""The groups of ISO 513 by letter."""

OWN: Final = "the shop's own"
"""What the family of a shop's own pair begins with."""

KIND_ONLY: Final = 0.20
"""What it adds to the width of a force when only the kind of material was said. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Work:
    """A work material.

    Args:
        name: what it is called.
        group: its letter in ISO 513.
        condition: heat treatment, hardness or strength, in words.
        also: other names of the same material.
        family: the table that the pair of kc1.1 and mc comes from; both from the same.
        kc: kc1.1, N/mm^2.
        exponent: mc.
        thrust: force normal to the edge as a share of the cutting force.
        edge: force along the cut for each mm of engaged edge of 20 µm edge radius, beside the chip's, N/mm.
        neutral_rake_deg: the rake that the pair is for, degrees.
        heat: density times specific heat, J/(mm^3 K).
        like: the material held that it goes by in all that the shop said nothing of; empty where it is held itself.
    """

    name: str
    group: Group
    condition: str
    also: tuple[str, ...]
    family: str
    kc: Value
    exponent: Value
    thrust: Value
    edge: Value
    neutral_rake_deg: float
    heat: Value
    like: str = ""

    @property
    def said(self) -> str:
        """The material with its condition."""
        return f"{self.name}, {self.condition}" if self.condition else self.name


def find_work(words: str | None, rows: Iterable[Work]) -> Work:
    """Find a work material by its name.

    Args:
        words: as the drawing or the programmer writes it, such as ``42CrMo4`` or ``grey iron``.
        rows: the materials held; a row of the shop stands before one of the tables.

    Returns:
        The material; where the words name only a kind, the usual one of that kind with a wider force.

    Raises:
        EntryError: nothing was said.
        NotHeldError: nothing is held for these words; the nearest names are said.
    """
    held = tuple(rows)
    if words is None or not words.strip():
        raise EntryError(
            "The material is missing: without it nothing is known of the force.",
            given=words,
            right="Name it, such as 42CrMo4, grey iron or 6061-T6.",
            where="material",
        )
    wanted = _plain(words)
    if (itself := named_itself(words, held)) is not None:
        return itself
    for pattern, name in _KINDS:
        if re.search(pattern, words.lower()):
            return _of_kind(next(row for row in held if row.name == name), words)
    names = {_plain(name): row.name for row in held for name in (row.name, *row.also)}
    near = [names[match] for match in difflib.get_close_matches(wanted, names, n=3, cutoff=0.5)]
    raise NotHeldError(
        "No cutting force is held for this material.",
        given=words,
        right=f"Held nearest: {', '.join(dict.fromkeys(near))}."
        if near
        else "Name a kind, such as alloy steel, or give kc and its exponent yourself with their source.",
        where="material",
    )


def named_itself(words: str, rows: Iterable[Work]) -> Work | None:
    """Find the material that words name by a name of its own, and not only by its kind.

    Args:
        words: as the drawing or the programmer writes it.
        rows: the materials held.

    Returns:
        The material, or None.
    """
    held, wanted = tuple(rows), _plain(words)
    for row in held:
        if wanted in {_plain(name) for name in (row.name, f"{row.name} {row.condition}", *row.also)}:
            return row
    inside = [
        (len(name), -place)
        for place, row in enumerate(held)
        for name in (row.name, *row.also)
        if _stands_in(name, words)
    ]
    return held[-max(inside)[1]] if inside else None


def overwritten(row: Work, kc: Value, exponent: Value, thrust: Value | None = None) -> Work:
    """Put the shop's own pair in the place of a table's.

    Args:
        row: the material as held.
        kc: the shop's kc1.1, N/mm^2, with its source.
        exponent: the shop's mc, with its source.
        thrust: the shop's share of the force normal to the edge, with its source; as held where it is None.

    Returns:
        The material with that pair; the rest stays.

    Raises:
        EntryError: the pair cannot be one of cutting metal.
    """
    if not 100.0 <= kc.value <= 10000.0:
        raise EntryError(
            "No metal is cut with that specific force.",
            given=kc.value,
            right="Give kc1.1 in N/mm² (MPa), 300 for soft aluminium to 6000 for hardened steel.",
            where="kc",
        )
    if not 0.0 <= exponent.value < 0.8:
        raise EntryError(
            "The exponent of chip thickness lies between 0 and 0.8.",
            given=exponent.value,
            right="Give mc, such as 0.25.",
            where="exponent",
        )
    own = replace(row, family=f"{OWN}: {kc.source}", kc=kc, exponent=exponent)
    return own if thrust is None else replace(own, thrust=thrust)


_KINDS: Final = (
    (r"pre-?harden", "42CrMo4 300 HB"),
    (r"(?<!un)(?<!not )harden|\bhrc\b", "hardened steel 55 HRC"),
    (r"stainless|austenit", "304"),
    (r"titan", "Ti-6Al-4V"),
    (r"inconel|nickel", "Inconel 718"),
    (r"ductile|nodular|spheroidal", "EN-GJS-500-7"),
    (r"malleable", "EN-GJMB-350"),
    (r"cast iron|gr[ea]y iron|\biron\b", "EN-GJL-250"),
    (r"cast alumini?um", "cast aluminium"),
    (r"alumini?um", "6061-T6"),
    (r"bronze", "bronze"),
    (r"brass", "brass"),
    (r"copper", "copper"),
    (r"tool steel", "H13"),
    (r"alloy(ed)? steel", "42CrMo4"),
    (r"carbon steel|mild steel|unalloyed|steel", "C45"),
)
"""Words that say no more than a kind, and the usual material of it. Common practice, no source."""


def _plain(words: str) -> str:
    return re.sub(r"[^a-z0-9]+", "", words.lower())


def _stands_in(name: str, words: str) -> bool:
    """Tell whether a designation, a name with a digit in it, stands among the words by itself."""
    letters = _plain(name)
    if not any(letter.isdigit() for letter in letters):
        return False
    spelt = "[^a-z0-9]*".join(map(re.escape, letters))
    return re.search(rf"(?<![a-z0-9]){spelt}(?![a-z0-9])", words.lower()) is not None


def _of_kind(row: Work, words: str) -> Work:
    because = f"only “{words.strip()}” was said, so wider"
    return replace(row, kc=row.kc.widened(KIND_ONLY, because))
