"""The kinds of event: which stream each belongs to, what it carries, and in which version that is written."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Final

from borewright.errors import EntryError
from borewright.record.fields import Payload
from borewright.record.payloads import bore, gauge, opened, shared, tool
from borewright.record.stream import STREAM_KINDS, StreamKind


@dataclass(frozen=True, slots=True)
class EventKind:
    """One kind of event of one stream.

    Args:
        name: such as ``read``.
        stream: the kind of stream it stands in.
        payload: the class of what it carries.
        version: the version of that class that is written today.
    """

    name: str
    stream: StreamKind
    payload: type[Payload]
    version: int = 1

    @property
    def about(self) -> str:
        """One sentence on what it says, for the schema and the manual."""
        return (self.payload.__doc__ or "").strip().splitlines()[0]


VERSIONS: Final[dict[type[Payload], int]] = {opened.Opened: 2, gauge.SetOn: 2, gauge.Rechecked: 2, gauge.Studied: 2}
"""The version of a payload that is written today, where it is not the first."""


def _kinds(stream: StreamKind, **payloads: type[Payload]) -> dict[tuple[StreamKind, str], EventKind]:
    return {
        (stream, name): EventKind(name, stream, payload, VERSIONS.get(payload, 1)) for name, payload in payloads.items()
    }


EVENT_KINDS: Final[dict[tuple[StreamKind, str], EventKind]] = {
    **_kinds(
        "bore",
        opened=opened.Opened,
        hole_checked=bore.HoleChecked,
        passed=bore.Passed,
        read=bore.Read,
        temperature=bore.Temperature,
        clamped=bore.Clamped,
        unclamped=bore.Unclamped,
        waited=bore.Waited,
        advised=bore.Advised,
        released=bore.Released,
        quarantined=bore.Quarantined,
        reopened=bore.Reopened,
        noted=shared.Noted,
        corrected=shared.Corrected,
    ),
    **_kinds(
        "tool",
        assembled=tool.Assembled,
        set=tool.Set,
        seated=tool.Seated,
        moved=tool.Moved,
        edge_changed=tool.EdgeChanged,
        proved=tool.Proved,
        retired=tool.Retired,
        noted=shared.Noted,
        corrected=shared.Corrected,
    ),
    **_kinds(
        "gauge",
        described=gauge.Described,
        certified=gauge.Certified,
        set_on=gauge.SetOn,
        rechecked=gauge.Rechecked,
        studied=gauge.Studied,
        noted=shared.Noted,
        corrected=shared.Corrected,
    ),
}


BEGINNINGS: Final = frozenset({"opened", "assembled"})
"""What starting a bore records of it and of its tool: each is the first event of its stream, and happens once."""


def event_kind(name: object, stream: object = None) -> EventKind:
    """Find a kind of event by its name.

    Args:
        name: such as ``read``.
        stream: ``bore``, ``tool`` or ``gauge``; where it is left out, the one stream that knows the name, or ``bore``
            where all do.

    Returns:
        The kind.

    Raises:
        EntryError: no stream, or not that stream, knows the name.
    """
    if stream is not None and stream not in STREAM_KINDS:
        raise EntryError(
            "There is no stream of that kind.", given=stream, right="Use bore, tool or gauge.", where="stream"
        )
    found = [kind for kind in EVENT_KINDS.values() if kind.name == name and stream in (None, kind.stream)]
    if found:
        return found[0]
    names = sorted({kind.name for kind in EVENT_KINDS.values() if stream in (None, kind.stream)} - BEGINNINGS)
    near = difflib.get_close_matches(name, names, n=1) if isinstance(name, str) else []
    right = f"Did you mean {near[0]}?" if near else f"Known: {', '.join(names)}."
    wrong = "What happened is missing." if name is None else "There is no such event."
    raise EntryError(wrong, given=name, right=right, where="event")
