"""Streams, and the events that stand in them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias, get_args

from borewright.errors import EntryError

StreamKind: TypeAlias = Literal["bore", "tool", "gauge"]
Plain: TypeAlias = "bool | int | str | list[Plain] | dict[str, Plain] | None"
"""What a stored payload may hold. No float: a number that was measured or computed is decimal text with its unit."""

STREAM_KINDS: Final[tuple[str, ...]] = get_args(StreamKind)
_IDENTITY = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9._-]{0,78}[A-Za-z0-9])?")


@dataclass(frozen=True, slots=True, order=True)
class StreamId:
    """Names one stream: the kind of thing, and which one.

    Args:
        kind: ``bore``, ``tool`` or ``gauge``.
        identity: 1 to 80 letters, digits, dots, dashes and underscores, a letter or digit at both ends.

    Raises:
        EntryError: the kind or the identity is not of that form.
    """

    kind: StreamKind
    identity: str

    def __post_init__(self) -> None:
        if self.kind not in STREAM_KINDS:
            raise EntryError(
                "There is no stream of that kind.", given=self.kind, right="Use bore, tool or gauge.", where="stream"
            )
        if not _IDENTITY.fullmatch(self.identity):
            raise EntryError(
                "That cannot name a stream.",
                given=self.identity,
                right="Use 1 to 80 letters, digits, dots, dashes or underscores, a letter or digit at both ends.",
                where="stream",
            )

    def __str__(self) -> str:
        return f"{self.kind}/{self.identity}"

    @classmethod
    def parse(cls, text: str) -> StreamId:
        """Read ``kind/identity`` back.

        Args:
            text: such as ``bore/winch-carrier.front``.

        Returns:
            The stream's name.

        Raises:
            EntryError: the text is not of that form.
        """
        kind, _, identity = text.partition("/")
        return cls(kind, identity)  # type: ignore[arg-type]  # checked on construction


@dataclass(frozen=True, slots=True)
class Draft:
    """An event before it is stored: everything but the number and the hash, which the store alone gives.

    Args:
        stream: where it belongs.
        kind: the kind of event, such as ``read``.
        version: version of the payload's shape, from 1.
        payload: plain values, decimals as text with their unit.
        at: when it happened, ISO 8601 in UTC, or None where nobody says.
        by: who entered it, name as entered, or None.
    """

    stream: StreamId
    kind: str
    version: int
    payload: Mapping[str, Plain]
    at: str | None = None
    by: str | None = None


@dataclass(frozen=True, slots=True)
class Event:
    """An event as it stands in its stream.

    Args:
        draft: what was stored.
        number: its place in the stream, from 1, without gaps.
        hash: SHA-256 over the hash before it and its own bytes, 64 hexadecimal digits.
    """

    draft: Draft
    number: int
    hash: str

    @property
    def stream(self) -> StreamId:
        """The stream it stands in."""
        return self.draft.stream

    @property
    def kind(self) -> str:
        """The kind of event."""
        return self.draft.kind

    @property
    def payload(self) -> Mapping[str, Plain]:
        """What was stored, as plain values."""
        return self.draft.payload
