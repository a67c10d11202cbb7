"""What a field of a payload may hold: how each kind of value is read, stored, and described as JSON Schema."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Final, Protocol

from borewright.errors import EntryError
from borewright.quantity.length import Length, Unit, parse_length
from borewright.quantity.number import COLDEST_CELSIUS, HOTTEST_CELSIUS, decimal_of, parse_celsius, parse_number
from borewright.quantity.speed import HIGHEST, LOWEST, Speed, parse_speed
from borewright.record.stream import Plain

_TEXT_LIMIT: Final = 2000
_DEEPEST: Final = 20
"""How many brackets may stand in brackets; no reader, no store and no message goes deeper."""
_CONTROL: Final = re.compile(r"[\x00-\x08\x0b-\x1f]")
_DAY: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_STORED_LENGTH: Final = re.compile(r"(-?\d{1,6}(?:\.\d{1,12})?) (mm|in)")


class Form(Protocol):
    """What a field's declaration must be able to do."""

    def read(self, given: object, unit: Unit | None, where: str) -> object:
        """Turn what was given into the payload's value.

        Args:
            given: what stands in the mapping.
            unit: the unit of a length that carries none.
            where: the field, for messages.

        Returns:
            The value.

        Raises:
            EntryError: it cannot be understood.
        """

    def plain(self, value: Any) -> Plain:  # noqa: ANN401  # each form has a type of value of its own
        """Turn the payload's value into what is stored.

        Args:
            value: the value read.

        Returns:
            Plain values, decimals as text.
        """

    def schema(self) -> dict[str, object]:
        """Describe what may be given, as JSON Schema.

        Returns:
            The schema.
        """


@dataclass(frozen=True, slots=True)
class _LengthForm:
    """A length, stored as decimal text with its unit.

    Args:
        signed: whether it may be negative.
        zero: whether it may be nothing.
    """

    signed: bool
    zero: bool

    def read(self, given: object, unit: Unit | None, where: str) -> Length:
        if not isinstance(given, str | int | float | Decimal | Length) or isinstance(given, bool):
            raise EntryError("A length is wanted.", given=given, right='Write it as "61.9912 mm".', where=where)
        found = _stored_length(given)
        if found is None:
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
        least = {} if self.signed else {"minimum": 0} if self.zero else {"exclusiveMinimum": 0}
        return {"type": ["string", "number"], **least}


@dataclass(frozen=True, slots=True)
class _NumberForm:
    """A plain number, stored as decimal text.

    Args:
        low: smallest value allowed, or None.
        high: largest value allowed, or None.
    """

    low: Decimal | None
    high: Decimal | None

    def read(self, given: object, unit: Unit | None, where: str) -> Decimal:
        del unit
        return parse_number(_typed(given, "A number is wanted.", where), where, low=self.low, high=self.high)

    def plain(self, value: Decimal) -> Plain:
        return format(value, "f")

    def schema(self) -> dict[str, object]:
        return {"type": ["string", "number"], **_bounds(self.low, self.high)}


@dataclass(frozen=True, slots=True)
class _SpeedForm:
    """A cutting speed: a plain number is m/min and stored so, another unit is stored with the number."""

    def read(self, given: object, unit: Unit | None, where: str) -> Speed:
        del unit
        if isinstance(given, Speed):
            return given
        return parse_speed(_typed(given, "A cutting speed is wanted.", where), where)

    def plain(self, value: Speed) -> Plain:
        return format(value.value, "f") if value.unit == "m/min" else value.text

    def schema(self) -> dict[str, object]:
        return {"type": ["string", "number"], **_bounds(LOWEST, HIGHEST)}


@dataclass(frozen=True, slots=True)
class _CelsiusForm:
    """A temperature, stored in °C."""

    def read(self, given: object, unit: Unit | None, where: str) -> Decimal:
        del unit
        return parse_celsius(_typed(given, "A temperature is wanted.", where), where)

    def plain(self, value: Decimal) -> Plain:
        return f"{value:f} °C"

    def schema(self) -> dict[str, object]:
        return {"type": ["string", "number"], **_bounds(COLDEST_CELSIUS, HOTTEST_CELSIUS)}


@dataclass(frozen=True, slots=True)
class _WholeForm:
    """A whole number.

    Args:
        low: smallest value allowed.
        high: largest value allowed.
    """

    low: int
    high: int

    def read(self, given: object, unit: Unit | None, where: str) -> int:
        del unit
        if type(given) is int and self.low <= given <= self.high:
            return given
        typed = _typed(given, "A whole number is wanted.", where)
        number = parse_number(typed, where, low=Decimal(self.low), high=Decimal(self.high))
        if number != int(number):
            raise EntryError("It must be a whole number.", given=given, right="Leave out the fraction.", where=where)
        return int(number)

    def plain(self, value: int) -> Plain:
        return value

    def schema(self) -> dict[str, object]:
        return {"type": ["string", "integer"], "minimum": self.low, "maximum": self.high}


@dataclass(frozen=True, slots=True)
class _DayForm:
    """A day of the calendar, stored as ISO 8601 writes it."""

    def read(self, given: object, unit: Unit | None, where: str) -> date:
        del unit
        if isinstance(given, str) and _DAY.fullmatch(given.strip()):
            try:
                return date.fromisoformat(given.strip())
            except ValueError:
                pass
        raise EntryError("That is not a day.", given=given, right='Write it as "2027-03-01".', where=where)

    def plain(self, value: date) -> Plain:
        return value.isoformat()

    def schema(self) -> dict[str, object]:
        return {"type": "string", "pattern": f"^{_DAY.pattern}$"}


@dataclass(frozen=True, slots=True)
class _TextForm:
    """Words."""

    def read(self, given: object, unit: Unit | None, where: str) -> str:
        del unit
        if not isinstance(given, str):
            raise EntryError("Words are wanted.", given=given, right="Put them in quotes.", where=where)
        text = given.strip()
        if not text:
            raise EntryError("Nothing stands there.", given=given, right="Write a few words.", where=where)
        if len(text) > _TEXT_LIMIT:
            raise EntryError(
                f"{len(text)} characters are too many.", right=f"Keep it under {_TEXT_LIMIT} characters.", where=where
            )
        if _CONTROL.search(text):
            raise EntryError("It holds a control character.", given=given, right="Type it again.", where=where)
        return text

    def plain(self, value: str) -> Plain:
        return value

    def schema(self) -> dict[str, object]:
        return {"type": "string", "minLength": 1, "maxLength": _TEXT_LIMIT}


@dataclass(frozen=True, slots=True)
class _ChoiceForm:
    """One of a few words.

    Args:
        options: the words.
    """

    options: tuple[str, ...]

    def read(self, given: object, unit: Unit | None, where: str) -> str:
        del unit
        if isinstance(given, str) and given.strip() in self.options:
            return given.strip()
        raise EntryError(
            "That is not one of the choices.", given=given, right=f"Use {either(self.options)}.", where=where
        )

    def plain(self, value: str) -> Plain:
        return value

    def schema(self) -> dict[str, object]:
        return {"enum": list(self.options)}


@dataclass(frozen=True, slots=True)
class _FlagForm:
    """Yes or no."""

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
class _FreeForm:
    """Plain values taken as they are: the replacement of a correction, the numbers shown with an advice."""

    def read(self, given: object, unit: Unit | None, where: str) -> Mapping[str, object]:
        del unit
        if not isinstance(given, Mapping):
            raise EntryError(
                "Named fields are wanted.", given=given, right="Write them as name and value.", where=where
            )
        return {str(key): as_stored(value, _inside(where, key)) for key, value in given.items()}

    def plain(self, value: Mapping[str, Plain]) -> Plain:
        return dict(value)

    def schema(self) -> dict[str, object]:
        return {"type": "object"}


def length_form(*, signed: bool, zero: bool) -> Form:
    """Return the form of a length, stored as decimal text with its unit.

    Args:
        signed: whether it may be negative.
        zero: whether it may be nothing.

    Returns:
        The form.
    """
    return _LengthForm(signed, zero)


def number_form(low: Decimal | None, high: Decimal | None) -> Form:
    """Return the form of a plain number, stored as decimal text.

    Args:
        low: smallest value allowed, or None.
        high: largest value allowed, or None.

    Returns:
        The form.
    """
    return _NumberForm(low, high)


def speed_form() -> Form:
    """Return the form of a cutting speed, in m/min or with its unit.

    Returns:
        The form.
    """
    return _SpeedForm()


def celsius_form() -> Form:
    """Return the form of a temperature, stored in °C.

    Returns:
        The form.
    """
    return _CelsiusForm()


def whole_form(low: int, high: int) -> Form:
    """Return the form of a whole number.

    Args:
        low: smallest value allowed.
        high: largest value allowed.

    Returns:
        The form.
    """
    return _WholeForm(low, high)


def day_form() -> Form:
    """Return the form of a day of the calendar.

    Returns:
        The form.
    """
    return _DayForm()


def text_form() -> Form:
    """Return the form of words.

    Returns:
        The form.
    """
    return _TextForm()


def choice_form(options: tuple[str, ...]) -> Form:
    """Return the form of one of a few words.

    Args:
        options: the words.

    Returns:
        The form.
    """
    return _ChoiceForm(options)


def flag_form() -> Form:
    """Return the form of yes or no.

    Returns:
        The form.
    """
    return _FlagForm()


def free_form() -> Form:
    """Return the form of named plain values that are kept as they are.

    Returns:
        The form.
    """
    return _FreeForm()


def either(options: tuple[str, ...]) -> str:
    """Say a choice in words.

    Args:
        options: the words, at least one.

    Returns:
        Such as ``bore, tool or gauge``.
    """
    return options[0] if len(options) == 1 else f"{', '.join(options[:-1])} or {options[-1]}"


def as_stored(value: object, where: str, deep: int = 1) -> Plain:
    """Turn plain values as given into what may be stored: a float becomes its shortest decimal text.

    Args:
        value: text, numbers, true or false, and lists and mappings of them.
        where: the field, for messages.
        deep: how many brackets it stands in.

    Returns:
        The same with every decimal as text.

    Raises:
        EntryError: something among them is of another type, no number that can be measured, or too deep inside.
    """
    if deep > _DEEPEST:
        raise EntryError("Brackets in brackets are too deep.", right=f"Keep it under {_DEEPEST} deep.", where=where)
    if isinstance(value, Mapping):
        return {str(key): as_stored(inner, _inside(where, key), deep + 1) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [as_stored(inner, f"{where}[{index}]", deep + 1) for index, inner in enumerate(value)]
    if value is None or isinstance(value, bool | str):
        return value
    if isinstance(value, int | float | Decimal):
        number = decimal_of(value, where)
        return value if isinstance(value, int) else format(number, "f")
    raise EntryError("That cannot be stored.", given=value, right="Use text, numbers, true or false.", where=where)


def _stored_length(given: object) -> Length | None:
    """Read a length in stored form without the care that typed ones need: a bore's events are read again and again."""
    found = _STORED_LENGTH.fullmatch(given) if isinstance(given, str) else None
    return None if found is None else Length(Decimal(found[1]), "in" if found[2] == "in" else "mm")


def _bounds(low: Decimal | None, high: Decimal | None) -> dict[str, object]:
    """Say in a schema what a number lies between; there a number is a number."""
    return {
        name: int(bound) if bound == int(bound) else float(bound)
        for name, bound in (("minimum", low), ("maximum", high))
        if bound is not None
    }


def _inside(where: str, key: object) -> str:
    return f"{where}.{key}"


def _typed(given: object, wrong: str, where: str) -> str | int | float | Decimal:
    if isinstance(given, str | int | float | Decimal) and not isinstance(given, bool):
        return given
    raise EntryError(wrong, given=given, right="Give one number.", where=where)
