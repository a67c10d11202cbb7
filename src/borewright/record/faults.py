"""Every fault of a payload at once, for a file that a person mends by hand."""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Mapping

from borewright.errors import EntryError
from borewright.quantity.length import Unit
from borewright.record.fields import _KEY, Payload, _GroupForm, lacks_all, one_of_right, read_payload


def payload_faults(of: type[Payload], given: object, unit: Unit | None, where: str = "") -> list[EntryError]:
    """Find all that is wrong with a mapping that should be a payload.

    Args:
        of: the payload's class.
        given: a mapping of field names to values.
        unit: unit of lengths that carry none.
        where: the outer field, for messages.

    Returns:
        One error for each unknown, missing or mistaken field, in the file's order for what stands there; empty where
        ``read_payload`` would succeed.
    """
    found: list[EntryError] = []
    if isinstance(given, Mapping):
        known = {field.name: field for field in dataclasses.fields(of)}  # type: ignore[arg-type]  # all are dataclasses
        for name, value in given.items():
            inner = _inside(where, str(name))
            if name not in known:
                found.append(unknown_field(inner, list(known)))
            elif value is not None:
                found += _value_faults(known[name], value, unit, inner)
        meant = {fault.right for fault in found}
        found += [
            EntryError("It is missing.", right=f"Give {field.metadata[_KEY].about}", where=_inside(where, name))
            for name, field in known.items()
            if field.default is dataclasses.MISSING and given.get(name) is None and _meaning(name) not in meant
        ]
        if lacks_all(of, given) and not {_meaning(name) for name in of.one_of} & meant:
            found.append(EntryError("It is missing.", right=one_of_right(of), where=_inside(where, of.one_of[0])))
    return found or _whole_faults(of, given, unit, where)


def _value_faults(field: dataclasses.Field[object], value: object, unit: Unit | None, where: str) -> list[EntryError]:
    form = field.metadata[_KEY].form
    if isinstance(form, _GroupForm) and isinstance(value, Mapping):
        return payload_faults(form.group, value, unit, where)
    try:
        form.read(value, unit, where)
    except EntryError as error:
        return [error]
    return []


def _whole_faults(of: type[Payload], given: object, unit: Unit | None, where: str) -> list[EntryError]:
    """Read it as a whole, for what only shows in fields taken together."""
    try:
        read_payload(of, given, unit, where)
    except EntryError as error:
        return [error]
    return []


def unknown_field(where: str, known: list[str]) -> EntryError:
    """Say that a field is not known, and which one was likely meant.

    Args:
        where: the field as given, with the tables around it.
        known: the fields there are.

    Returns:
        The error.
    """
    near = difflib.get_close_matches(where.rpartition(".")[2], known, n=1)
    right = _meaning(near[0]) if near else f"Known here: {', '.join(known) or 'no field at all'}."
    return EntryError("There is no such field.", right=right, where=where)


def _meaning(name: str) -> str:
    return f"Did you mean {name}?"


def _inside(where: str, name: str) -> str:
    return f"{where}.{name}" if where else name
