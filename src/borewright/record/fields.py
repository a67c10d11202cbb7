"""How a payload is declared, read from plain values, written back, and described as JSON Schema.

A payload is a frozen dataclass whose fields are declared with the functions below. One declaration serves the reader
(with its message for each thing that can be wrong), the stored text, and the schema.
"""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final, Protocol, TypeVar

from borewright.errors import BorewrightError, EntryError
from borewright.quantity.length import Length, Unit, parse_length
from borewright.quantity.number import parse_celsius, parse_number
from borewright.record.stream import Plain

_KEY: Final = "borewright.field"
_TEXT_LIMIT: Final = 2000


class Form(Protocol):
    """What a field's declaration must be able to do."""

    def read(self, given: object, unit: Unit | None, where: str) -> object:
        """Turn what was given into the payload's value.

        Args:
            given: what stands in the mapping.
            unit: the unit of a length that carries none.
            where: the field, for messages.
        """

    def plain(self, value: Any) -> Plain:
        """Turn the payload's value into what is stored.

        Args:
            value: the value read.
        """

    def schema(self) -> dict[str, object]:
        """Describe what may be given, as JSON Schema."""


class Payload:
    """The root of all payload classes and of the groups of fields inside them."""

    __slots__ = ()


P = TypeVar("P", bound=Payload)


@dataclass(frozen=True, slots=True)
class _LengthForm:
    signed: bool
    zero: bool

    def read(self, given: object, unit: Unit | None, where: str) -> Length:
        if not isinstance(given, str | int | float | Decimal | Length) or isinstance(given, bool):
            raise EntryError("A length is wanted.", given=given, right='Write it as "61.9912 mm".', where=where)
        found = given if isinstance(given, Length) else parse_length(given, unit, signed=self.signed, where=where)
        if not self.signed and found.value < 0:
            raise EntryError("It cannot be negative.", given=found.text, right="Give it without a sign.", where=where)
        if not self.zero and found.value == 0:
            raise EntryError(
                "It cannot be nothing.", given=found.text, right="Give a length larger than 0.", where=where
            )
        return found

    def plain(self, value: Length) -> Plain:
        return value.text

    def schema(self) -> dict[str, object]:
        return {"type": ["string", "number"]}


@dataclass(frozen=True, slots=True)
class _NumberForm:
    low: Decimal | None
    high: Decimal | None

    def read(self, given: object, unit: Unit | None, where: str) -> Decimal:
        del unit
        return parse_number(_typed(given, "A number is wanted.", where), where, low=self.low, high=self.high)

    def plain(self, value: Decimal) -> Plain:
        return format(value, "f")

    def schema(self) -> dict[str, object]:
        return {"type": ["string", "number"]}


@dataclass(frozen=True, slots=True)
class _CelsiusForm:
    def read(self, given: object, unit: Unit | None, where: str) -> Decimal:
        del unit
        return parse_celsius(_typed(given, "A temperature is wanted.", where), where)

    def plain(self, value: Decimal) -> Plain:
        return f"{value:f} °C"

    def schema(self) -> dict[str, object]:
        return {"type": ["string", "number"]}


@dataclass(frozen=True, slots=True)
class _WholeForm:
    low: int
    high: int

    def read(self, given: object, unit: Unit | None, where: str) -> int:
        del unit
        typed = _typed(given, "A whole number is wanted.", where)
        number = parse_number(typed, where, low=Decimal(self.low), high=Decimal(self.high))
        if number != int(number):
            raise EntryError("It must be a whole number.", given=given, right="Leave out the fraction.", where=where)
        return int(number)

    def plain(self, value: int) -> Plain:
        return value

    def schema(self) -> dict[str, object]:
        return {"type": ["integer", "string"]}


@dataclass(frozen=True, slots=True)
class _TextForm:
    empty: bool

    def read(self, given: object, unit: Unit | None, where: str) -> str:
        del unit
        if not isinstance(given, str):
            raise EntryError("Words are wanted.", given=given, right="Put them in quotes.", where=where)
        text = given.strip()
        if not text and not self.empty:
            raise EntryError("Nothing stands there.", given=given, right="Write a few words.", where=where)
        if len(text) > _TEXT_LIMIT:
            raise EntryError(
                f"{len(text)} characters are too many.", right=f"Keep it under {_TEXT_LIMIT} characters.", where=where
            )
        if any(ord(letter) < 32 and letter not in "\n\t" for letter in text):
            raise EntryError("It holds a control character.", given=given, right="Type it again.", where=where)
        return text

    def plain(self, value: str) -> Plain:
        return value

    def schema(self) -> dict[str, object]:
        return {"type": "string", "maxLength": _TEXT_LIMIT}


@dataclass(frozen=True, slots=True)
class _ChoiceForm:
    options: tuple[str, ...]

    def read(self, given: object, unit: Unit | None, where: str) -> str:
        del unit
        if isinstance(given, str) and given.strip() in self.options:
            return given.strip()
        raise EntryError(
            "That is not one of the choices.", given=given, right=f"Use {_either(self.options)}.", where=where
        )

    def plain(self, value: str) -> Plain:
        return value

    def schema(self) -> dict[str, object]:
        return {"enum": list(self.options)}


@dataclass(frozen=True, slots=True)
class _FlagForm:
    def read(self, given: object, unit: Unit | None, where: str) -> bool:
        del unit
        if isinstance(given, bool):
            return given
        raise EntryError("Yes or no is wanted.", given=given, right="Use true or false.", where=where)

    def plain(self, value: bool) -> Plain:
        return value

    def schema(self) -> dict[str, object]:
        return {"type": "boolean"}


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
        return {"anyOf": [_form(self.group, self.short).schema(), whole]}


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


@dataclass(frozen=True, slots=True)
class _FreeForm:
    """Plain values taken as they are: the replacement of a correction, the numbers shown with an advice."""

    def read(self, given: object, unit: Unit | None, where: str) -> Mapping[str, object]:
        del unit
        if not isinstance(given, Mapping):
            raise EntryError(
                "Named fields are wanted.", given=given, right="Write them as name and value.", where=where
            )
        return {str(key): _as_stored(value) for key, value in given.items()}

    def plain(self, value: Mapping[str, Plain]) -> Plain:
        return dict(value)

    def schema(self) -> dict[str, object]:
        return {"type": "object"}


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
    return _declare(_LengthForm(signed, zero), about, optional)


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
    form = _NumberForm(None if low is None else Decimal(low), None if high is None else Decimal(high))
    return _declare(form, about, optional)


def celsius(about: str, *, optional: bool = False) -> Any:
    """Declare a temperature, stored in °C.

    Args:
        about: what it is.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(_CelsiusForm(), about, optional)


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
    return _declare(_WholeForm(low, high), about, optional)


def text(about: str, *, optional: bool = False) -> Any:
    """Declare words.

    Args:
        about: what they say.
        optional: whether they may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(_TextForm(empty=False), about, optional)


def choice(about: str, *options: str, optional: bool = False) -> Any:
    """Declare one of a few words.

    Args:
        about: what is chosen.
        options: the words.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(_ChoiceForm(options), about, optional)


def flag(about: str, *, optional: bool = False) -> Any:
    """Declare yes or no.

    Args:
        about: what is so when it is true.
        optional: whether it may be left out.

    Returns:
        The dataclass field.
    """
    return _declare(_FlagForm(), about, optional)


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
    return _declare(_FreeForm(), about, optional)


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
        raise EntryError("Named fields are wanted.", given=given, right=f"Give {_either(_names(of))}.", where=where)
    fields = {field.name: field for field in dataclasses.fields(of)}  # type: ignore[arg-type]  # all are dataclasses
    for name in given:
        if name not in fields:
            near = difflib.get_close_matches(str(name), fields, n=1)
            right = f"Did you mean {near[0]}?" if near else f"Known here: {', '.join(fields) or 'no field at all'}."
            raise EntryError("There is no such field.", given=name, right=right, where=where)
    values: dict[str, object] = {}
    for name, field in fields.items():
        inner = f"{where}.{name}" if where else name
        value = given.get(name)
        if value is None:
            if field.default is dataclasses.MISSING:
                raise EntryError("It is missing.", right=f"Give {field.metadata[_KEY].about}", where=inner)
            values[name] = None
        else:
            values[name] = field.metadata[_KEY].form.read(value, unit, inner)
    try:
        return of(**values)
    except BorewrightError as error:
        raise (error.at(where) if where else error) from None


def payload_plain(payload: Payload) -> dict[str, Plain]:
    """Write a payload as the plain values that are stored; what was left out stays out.

    Args:
        payload: the payload.

    Returns:
        Plain values, decimals as text.
    """
    plain: dict[str, Plain] = {}
    for field in dataclasses.fields(payload):  # type: ignore[arg-type]  # all are dataclasses
        value = getattr(payload, field.name)
        if value is not None:
            plain[field.name] = field.metadata[_KEY].form.plain(value)
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
    for field in dataclasses.fields(of):  # type: ignore[arg-type]  # all are dataclasses
        declared = field.metadata[_KEY]
        properties[field.name] = {"description": declared.about, **declared.form.schema()}
        if field.default is dataclasses.MISSING:
            required.append(field.name)
    schema: dict[str, object] = {"type": "object", "properties": properties, "additionalProperties": False}
    if required:
        schema["required"] = required
    return schema


@dataclass(frozen=True, slots=True)
class _Declared:
    form: Form
    about: str


def _declare(form: Form, about: str, optional: bool) -> Any:
    metadata = {_KEY: _Declared(form, about)}
    if optional:
        return dataclasses.field(default=None, metadata=metadata)
    return dataclasses.field(metadata=metadata)


def _form(of: type[Payload], name: str) -> Form:
    for field in dataclasses.fields(of):  # type: ignore[arg-type]  # all are dataclasses
        if field.name == name:
            form: Form = field.metadata[_KEY].form
            return form
    raise KeyError(name)


def _typed(given: object, wrong: str, where: str) -> str | int | float | Decimal:
    if isinstance(given, str | int | float | Decimal) and not isinstance(given, bool):
        return given
    raise EntryError(wrong, given=given, right="Give one number.", where=where)


def _names(of: type[Payload]) -> tuple[str, ...]:
    return tuple(field.name for field in dataclasses.fields(of))  # type: ignore[arg-type]  # all are dataclasses


def _either(options: tuple[str, ...]) -> str:
    return options[0] if len(options) == 1 else f"{', '.join(options[:-1])} or {options[-1]}"


def _as_stored(value: object) -> Plain:
    if isinstance(value, Mapping):
        return {str(key): _as_stored(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_as_stored(inner) for inner in value]
    if isinstance(value, float | Decimal):
        return format(Decimal(repr(value)) if isinstance(value, float) else value, "f")
    if value is None or isinstance(value, bool | int | str):
        return value
    raise EntryError("That cannot be stored.", given=value, right="Use text, numbers, true or false.")
