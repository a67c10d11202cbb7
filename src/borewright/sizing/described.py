"""What answers are made of, each as a piece of JSON Schema that says what it is."""

from __future__ import annotations

from typing import Any

from borewright.quantity.length import UNITS
from borewright.record.schema import Schema


def fields(about: str, always: dict[str, Schema], sometimes: dict[str, Schema] | None = None) -> Schema:
    """Describe named fields.

    Args:
        about: what they are.
        always: those that are never missing.
        sometimes: those that may be.

    Returns:
        The schema of an object.
    """
    properties = {**always, **(sometimes or {})}
    return {"description": about, "type": "object", "properties": properties, "required": list(always)}


def interval(about: str) -> Schema:
    """Describe a size with what holds it.

    Args:
        about: what it is of.

    Returns:
        The schema of an object.
    """
    return fields(
        about,
        {
            "size": length("the best estimate."),
            "low": length("lower end of what holds it 95 times in 100."),
            "high": length("upper end of that."),
        },
    )


def text(about: str, **limits: Any) -> Schema:  # noqa: ANN401  # keywords of a schema
    """Describe words.

    Args:
        about: what they say.
        limits: keywords of the schema beside.

    Returns:
        The schema.
    """
    return {"type": "string", **limits, "description": about}


def length(about: str) -> Schema:
    """Describe a length, text with its unit.

    Args:
        about: what it is.

    Returns:
        The schema.
    """
    return text(about, pattern=f"^[+-]?[0-9]+(\\.[0-9]+)? ({'|'.join(UNITS)})$")


def number(about: str) -> Schema:
    """Describe a number.

    Args:
        about: what it is, with its unit.

    Returns:
        The schema.
    """
    return {"type": "number", "description": about}


def flag(about: str) -> Schema:
    """Describe yes or no.

    Args:
        about: what is asked.

    Returns:
        The schema.
    """
    return {"type": "boolean", "description": about}


def share(about: str) -> Schema:
    """Describe a number from 0 to 1.

    Args:
        about: what it is.

    Returns:
        The schema.
    """
    return {"type": "number", "minimum": 0, "maximum": 1, "description": about}


def whole(about: str) -> Schema:
    """Describe a whole number.

    Args:
        about: what it counts.

    Returns:
        The schema.
    """
    return {"type": "integer", "minimum": 0, "description": about}


def choice(about: str, words: tuple[str, ...]) -> Schema:
    """Describe one of a few words.

    Args:
        about: what it says.
        words: the words.

    Returns:
        The schema.
    """
    return {"enum": list(words), "description": about}


def several(about: str, items: Schema) -> Schema:
    """Describe a list.

    Args:
        about: what it holds.
        items: the schema of one.

    Returns:
        The schema.
    """
    return {"type": "array", "items": items, "description": about}


def ref(name: str) -> Schema:
    """Point to a part of the schema.

    Args:
        name: its name in ``$defs``.

    Returns:
        The schema.
    """
    return {"$ref": f"#/$defs/{name}"}


def or_none(about: str, schema: Schema) -> Schema:
    """Describe what may be nothing.

    Args:
        about: what it is, and when it is nothing.
        schema: what it is else.

    Returns:
        The schema.
    """
    return {"description": about, "anyOf": [{"type": "null"}, schema]}
