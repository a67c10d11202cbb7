"""What goes in at the door, described as JSON Schema from the declarations of the payloads."""

from __future__ import annotations

from typing import Any, Final, TypeAlias

from borewright.record.entry import AT, LONGEST_NAME
from borewright.record.fields import group_of, payload_schema
from borewright.record.kinds import BEGINNINGS, EVENT_KINDS, EventKind, event_kind
from borewright.record.payloads.opened import Start
from borewright.record.payloads.shared import StreamRef

Schema: TypeAlias = dict[str, Any]

_AT: Final[Schema] = {
    "type": "string",
    "pattern": f"^{AT.pattern}$",
    "description": "when it happened, ISO 8601 with its offset.",
}
_BY: Final[Schema] = {
    "type": "string",
    "minLength": 1,
    "maxLength": LONGEST_NAME,
    "description": "who entered it, name as entered.",
}


def start_schema() -> Schema:
    """Describe what a bore is started with.

    Returns:
        The schema of an object.
    """
    return {"description": _about(Start), **payload_schema(Start)}


def entry_schema(kind: EventKind) -> Schema:
    """Describe the entry of one kind of event: its payload's fields, and beside them those of the event itself.

    Args:
        kind: the kind.

    Returns:
        The schema of an object.
    """
    payload: Schema = payload_schema(kind.payload)
    fields: Schema = payload["properties"]
    given = {name: {**field, "readOnly": True} for name, field in fields.items() if _is_given(kind, name)}
    entered = {name: field for name, field in fields.items() if name not in given}
    envelope: Schema = {
        "event": {"const": kind.name, "description": "what happened."},
        "stream": {"const": kind.stream, "description": "whose record it belongs to."},
    }
    named = ["event"] if event_kind(kind.name) == kind else ["event", "stream"]
    return {
        "description": kind.about,
        "type": "object",
        "properties": {**envelope, **entered, "at": _AT, "by": _BY, **given},
        "required": [*named, *payload.get("required", [])],
        "additionalProperties": False,
    }


def entry_schemas() -> dict[str, Schema]:
    """Describe every event that can be entered.

    Returns:
        By stream and kind, such as ``bore.read``, the schema of its entry; without what a start begins a record with.
    """
    return {
        f"{kind.stream}.{kind.name}": entry_schema(kind) for kind in EVENT_KINDS.values() if kind.name not in BEGINNINGS
    }


def _is_given(kind: EventKind, name: str) -> bool:
    """Tell whether the record itself gives a field: what an event rests on is not for whoever enters it to say."""
    return group_of(kind.payload, name) is StreamRef


def _about(of: type) -> str:
    return (of.__doc__ or "").strip().splitlines()[0]
