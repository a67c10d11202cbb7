"""What the shop itself knows of the materials it cuts: its own cutting forces, kept once for every bore."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from typing import Final

from sqlalchemy import bindparam, insert, select

from borewright.errors import BorewrightError, EntryError, NotHeldError
from borewright.record.entry import LONGEST_NAME
from borewright.record.fields import payload_plain, read_payload
from borewright.record.forms import text_form
from borewright.record.payloads.cut import OwnForce
from borewright.shop.schema import SETTINGS
from borewright.shop.store import Store
from borewright.sizing.own_force import far_from_table, keepable, with_own_force

FORCE: Final = "force"
"""The name under which the shop's own cutting forces are kept."""

_STAMPED: Final = ("material", "by", "on")
"""Fields that the record fills in itself."""

_KEEP: Final = insert(SETTINGS)
_ALL: Final = (
    select(SETTINGS.c.value, SETTINGS.c.decided_at, SETTINGS.c.decided_by)
    .where(SETTINGS.c.name == bindparam("asked"))
    .order_by(SETTINGS.c.position)
)


def keep_force(
    store: Store, material: str, force: Mapping[str, object], *, by: str | None, at: str | None = None
) -> tuple[OwnForce, str]:
    """Keep the shop's own cutting force of a material, in the place of the one kept before; open bores keep theirs.

    Args:
        store: the record.
        material: the material, in words.
        force: ``kc``, ``exponent``, ``source``, ``certainty``, and perhaps ``within``, ``thrust`` and ``like``.
        by: who stands for it.
        at: when, ISO 8601; now where it is left out.

    Returns:
        The force as it is kept, and what surprises about it, or nothing.

    Raises:
        EntryError: one of the pair stands alone, something is missing or cannot be, or nobody stands for it.
        NotHeldError: the material is not held, and nothing is said of what it is like.
        RecordUnavailableError: the record cannot be written now.
    """
    material = _words(material)
    for name in _STAMPED:
        if force.get(name) is not None:
            raise EntryError("The record fills that in.", given=name, right="Leave it out.", where=name)
    _require_pair(force)
    entered = read_payload(OwnForce, force, None)
    if entered.certainty is None:
        raise EntryError(
            "How sure it is, is missing.",
            right="Say whether it was measured on metal, read in a table, or estimated.",
            where="certainty",
        )
    kept = keepable(entered, material)
    moment, name = at or _now(), _name(by)
    _write(store, str(kept.material), payload_plain(replace(kept, material=None)), moment, name)
    return replace(kept, by=name, on=moment[:10]), far_from_table(kept)


def forget_force(store: Store, material: str, *, by: str | None, at: str | None = None) -> OwnForce:
    """Keep no cutting force of the shop's own for a material any more; what was kept stays on record.

    Args:
        store: the record.
        material: the material, in words.
        by: who decides so.
        at: when, ISO 8601; now where it is left out.

    Returns:
        The force that held until now.

    Raises:
        EntryError: nobody stands for it.
        NotHeldError: the shop keeps none for it.
        RecordUnavailableError: the record cannot be written now.
    """
    material, kept = _words(material), {str(force.material): force for force in own_forces(store)}
    found = next((force for name, force in kept.items() if name.lower() == material.lower()), None)
    if found is None:
        raise NotHeldError(
            "The shop keeps no cutting force of its own for this material.",
            given=material,
            right=f"Kept: {', '.join(kept)}." if kept else "None is kept of any.",
            where="material",
        )
    _write(store, str(found.material), None, at or _now(), _name(by))
    return found


def own_forces(store: Store) -> tuple[OwnForce, ...]:
    """Return the shop's own cutting forces that hold.

    Args:
        store: the record.

    Returns:
        One for each material, with who entered it and when, by the name of the material.
    """
    latest = dict(force_history(store))
    return tuple(force for _, force in sorted(latest.items()) if force is not None)


def force_history(store: Store) -> tuple[tuple[str, OwnForce | None], ...]:
    """Return every cutting force that the shop ever kept.

    Args:
        store: the record.

    Returns:
        Pairs of material and force, the first entered in front; None where it was to be forgotten from there on.
    """
    with store.database.reading() as connection:
        rows = connection.execute(_ALL, {"asked": FORCE}).all()
    found: list[tuple[str, OwnForce | None]] = []
    for value, moment, name in rows:
        kept = json.loads(value)
        force = kept["force"]
        stamped = {"material": kept["material"], "by": name, "on": str(moment)[:10]}
        found.append((kept["material"], read_payload(OwnForce, {**force, **stamped}, None) if force else None))
    return tuple(found)


def with_own_forces(store: Store, given: Mapping[str, object]) -> Mapping[str, object]:
    """Fill in the shop's own cutting force where what a bore is started with names none.

    Args:
        store: the record.
        given: what a bore is started with.

    Returns:
        The same, with ``cut.force`` where the shop keeps one for its material.
    """
    if not isinstance(given.get("cut"), Mapping):
        return given
    return with_own_force(given, own_forces(store))


def _require_pair(force: Mapping[str, object]) -> None:
    """Refuse half a pair: kc of one table with mc of another is no law of any metal."""
    given = {name: force.get(name) for name in ("kc", "exponent")}
    missing = [name for name, value in given.items() if value is None]
    if len(missing) == 1:
        raise EntryError(
            "kc and its exponent are one law: neither is taken from a table to stand beside the other.",
            right="Give both from the same source.",
            where=missing[0],
        )


def _write(store: Store, material: str, force: object, moment: str, name: str) -> None:
    row = {
        "name": FORCE,
        "value": json.dumps({"material": material, "force": force}, ensure_ascii=False, sort_keys=True),
        "decided_at": moment,
        "decided_by": name,
    }
    with store.database.writing() as connection:
        connection.execute(_KEEP, row)


def _words(material: object) -> str:
    try:
        return str(text_form().read(material, None, "material"))
    except BorewrightError:
        raise EntryError(
            "The material is missing.", given=material, right="Name it, such as 42CrMo4.", where="material"
        ) from None


def _name(by: str | None) -> str:
    if by is None or not 0 < len(by.strip()) <= LONGEST_NAME:
        raise EntryError(
            "Nobody stands for this value." if by is None or not by.strip() else "That is not a name.",
            given=by,
            right=f"Give the name of who enters it, up to {LONGEST_NAME} letters.",
            where="by",
        )
    return by.strip()


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
