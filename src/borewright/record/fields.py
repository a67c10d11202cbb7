"""How a payload is declared, read from plain values, written back, and described as JSON Schema.

A payload is a frozen dataclass whose fields are declared with the functions below. One declaration serves the reader
(with its message for each thing that can be wrong), the stored text, and the schema.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from decimal import Decimal
from typing import Any, ClassVar, Final, TypeVar

from borewright.errors import BorewrightError, EntryError
from borewright.quantity.length import Length, Unit
from borewright.record.forms import (
    Form,
    celsius_form,
    choice_form,
    day_form,
    either,
    flag_form,
    free_form,
    length_form,
    number_form,
    speed_form,
    text_form,
    whole_form,
)
from borewright.record.stream import Plain

_KEY: Final = "borewright.field"


class Payload:
    """The root of all payload classes and of the groups of fields inside them."""

    __slots__ = ()

    one_of: ClassVar[tuple[str, ...]] = ()
    """Fields that may each be left out, but not all of them."""


P = TypeVar("P", bound=Payload)


@dataclass(frozen=True, slots=True)
class _GroupForm:
    group: type[Payload]
    short: str | None

    def read(self, given: object, unit: Unit | None, where: str) -> Payload:
        if self.short is not None and isinstance(given, str | int | float | Decimal | Length):
            given = {self.short: given}
        return read_payload(self.group, given, unit, where)

    def plain(self, value: Payload) -> Plain:
        return payload_plain(value)

    def schema(self) -> dict[str, object]:
        whole = payload_schema(self.group)
        if self.short is None:
            return whole
        return {"anyOf": [_fields(self.group)[self.short].form.schema(), whole]}


@dataclass(frozen=True, slots=True)
class _GroupsForm:
    group: type[Payload]

    def read(self, given: object, unit: Unit | None, where: str) -> tuple[Payload, ...]:
        if not isinstance(given, list | tuple):
            raise EntryError("A list is wanted.", given=given, right="Write it in square brackets.", where=where)
        return tuple(read_payload(self.group, inner, unit, f"{where}[{i}]") for i, inner in enumerate(given))

    def plain(self, value: tuple[Payload, ...]) -> Plain:
        return [payload_plain(inner) for inner in value]

    def schema(self) -> dict[str, object]:
        return {"type": "array", "items": payload_schema(self.group)}


def length(about: str, *, signed: bool = False, zero: bool = True, optional: bool = False) -> Any:
    """Declare a length, stored as decimal text with its unit.

    Args:
        about: what it is, for the schema and the manual.
        signed: whether it may be negative.
        zero: whether it may be nothing.
        optional: whether it may be left out (the value is then None).

    Returns:
        The dataclass field.
    """
    return _declare(length_form(signed=signed, zero=zero), about, optional)


def number(about: str, *, low: str | None = None, high: str | None = None, optional: bool = False) -> Any:
    """Declare a plain number, stored as decimal text.

    Args:
        about: what it is.
        low: smallest value allowed, as decimal text.
        high: largest value allowed, as decimal text.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    form = number_form(None if low is None else Decimal(low), None if high is None else Decimal(high))
    return _declare(form, about, optional)


def speed(about: str, *, optional: bool = False) -> Any:
    """Declare a cutting speed, in m/min or with its unit.

    Args:
        about: what it is.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(speed_form(), about, optional)


def celsius(about: str, *, optional: bool = False) -> Any:
    """Declare a temperature, stored in °C.

    Args:
        about: what it is.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(celsius_form(), about, optional)


def whole(about: str, low: int, high: int, *, optional: bool = False) -> Any:
    """Declare a whole number.

    Args:
        about: what it is.
        low: smallest value allowed.
        high: largest value allowed.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(whole_form(low, high), about, optional)


def day(about: str, *, optional: bool = False) -> Any:
    """Declare a day of the calendar.

    Args:
        about: what happens on it.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(day_form(), about, optional)


def text(about: str, *, optional: bool = False) -> Any:
    """Declare words.

    Args:
        about: what they say.
        optional: whether they may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(text_form(), about, optional)


def choice(about: str, *options: str, optional: bool = False) -> Any:
    """Declare one of a few words.

    Args:
        about: what is chosen.
        options: the words.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(choice_form(options), about, optional)


def flag(about: str, *, optional: bool = False) -> Any:
    """Declare yes or no.

    Args:
        about: what is so when it is true.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(flag_form(), about, optional)


def group(about: str, of: type[Payload], *, short: str | None = None, optional: bool = False) -> Any:
    """Declare a group of fields.

    Args:
        about: what it is.
        of: the class of the group.
        short: the field that a bare value stands for, where the group may be written short.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(_GroupForm(of, short), about, optional)


def groups(about: str, of: type[Payload], *, optional: bool = False) -> Any:
    """Declare a list of groups of fields.

    Args:
        about: what they are.
        of: the class of each group.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(_GroupsForm(of), about, optional)


def free(about: str, *, optional: bool = False) -> Any:
    """Declare named plain values that are kept as they are.

    Args:
        about: what they are.
        optional: whether they may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(free_form(), about, optional)


def read_payload(of: type[P], given: object, unit: Unit | None, where: str = "") -> P:
    """Read a payload from plain values.

    Args:
        of: the payload's class.
        given: a mapping of field names to values.
        unit: unit of lengths that carry none.
        where: the outer field, for messages.

    Returns:
        The payload.

    Raises:
        EntryError: a field is unknown, missing, or its value cannot be understood; ``where`` names it.
    """
    if not isinstance(given, Mapping):
        names = tuple(_fields(of))
        right = f"Give {either(names)}." if names else "It has no fields: leave it empty."
        raise EntryError("Named fields are wanted.", given=given, right=right, where=where)
    known = _fields(of)
    for name in given:
        if name not in known:
            near = difflib.get_close_matches(str(name), known, n=1)
            right = f"Did you mean {near[0]}?" if near else f"Known here: {', '.join(known) or 'no field at all'}."
            raise EntryError("There is no such field.", given=name, right=right, where=where)
    values: dict[str, object] = {}
    for name, declared in known.items():
        inner = f"{where}.{name}" if where else name
        value = given.get(name)
        if value is None:
            if declared.required:
                raise EntryError("It is missing.", right=f"Give {declared.about}", where=inner)
            values[name] = None
        else:
            values[name] = declared.form.read(value, unit, inner)
    if lacks_all(of, given):
        raise EntryError("It is missing.", right=one_of_right(of), where=f"{where}.{of.one_of[0]}".lstrip("."))
    try:
        return of(**values)
    except BorewrightError as error:
        raise (error.at(where) if where else error) from None


def lacks_all(of: type[Payload], given: Mapping[str, object]) -> bool:
    """Tell whether all of the fields are left out of which one is wanted.

    Args:
        of: the payload's class.
        given: a mapping of field names to values.

    Returns:
        True where the class has such fields and none is given.
    """
    return bool(of.one_of) and all(given.get(name) is None for name in of.one_of)


def one_of_right(of: type[Payload]) -> str:
    """Say what would be right where one of several fields is wanted.

    Args:
        of: the payload's class.

    Returns:
        A sentence.
    """
    known = _fields(of)
    return f"Give {', or '.join(known[name].about.rstrip('.') for name in of.one_of)}."


def payload_plain(payload: Payload) -> dict[str, Plain]:
    """Write a payload as the plain values that are stored; what was left out stays out.

    Args:
        payload: the payload.

    Returns:
        Plain values, decimals as text.
    """
    plain: dict[str, Plain] = {}
    for name, declared in _fields(type(payload)).items():
        value = getattr(payload, name)
        if value is not None:
            plain[name] = declared.form.plain(value)
    return plain


def payload_schema(of: type[Payload]) -> dict[str, object]:
    """Describe a payload as JSON Schema.

    Args:
        of: the payload's class.

    Returns:
        The schema of an object.
    """
    properties: dict[str, object] = {}
    required: list[str] = []
    for name, declared in _fields(of).items():
        properties[name] = {"description": declared.about, **declared.form.schema()}
        if declared.required:
            required.append(name)
    schema: dict[str, object] = {"type": "object", "properties": properties, "additionalProperties": False}
    if required:
        schema["required"] = required
    return schema


def group_of(of: type[Payload], name: str) -> type[Payload] | None:
    """Return the class of a group of fields.

    Args:
        of: the payload's class.
        name: the field.

    Returns:
        The class of the group that the field holds, or None where it holds something else.
    """
    form = _fields(of)[name].form
    return form.group if isinstance(form, _GroupForm) else None


@dataclass(frozen=True, slots=True)
class _Declared:
    form: Form
    about: str
    required: bool


def _declare(form: Form, about: str, optional: bool) -> Any:
    metadata = {_KEY: _Declared(form, about, required=not optional)}
    return field(default=None, metadata=metadata) if optional else field(metadata=metadata)


_DECLARED: Final[dict[type[Payload], dict[str, _Declared]]] = {}
"""Declarations found once for each class, since every stored event is read through them."""


def _fields(of: type[Payload]) -> dict[str, _Declared]:
    """Return the declarations of a payload's class by name."""
    known = _DECLARED.get(of)
    if known is None:
        known = {each.name: each.metadata[_KEY] for each in fields(of)}  # type: ignore[arg-type]  # all are dataclasses
        _DECLARED[of] = known
    return known


def _names(of: type[Payload]) -> tuple[str, ...]:
    return tuple(_fields(of))
