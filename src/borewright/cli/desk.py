"""What a session needs of one bore's record, whoever keeps it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from borewright.cli.prompts import Entry
from borewright.record.payloads.opened import Opened
from borewright.shop.kept import Kept


def limits_of(opened: Opened) -> str:
    """Say a bore's limits.

    Args:
        opened: its opening.

    Returns:
        Such as ``46.512 to 46.528 mm``.
    """
    return f"{opened.limits.lower.value:f} to {opened.limits.upper}"


class Desk(Protocol):
    """One bore, and the acts on its record."""

    @property
    def title(self) -> str:
        """The bore's name and its job's."""

    @property
    def limits(self) -> str:
        """The limits, in words."""

    @property
    def adjuster(self) -> str:
        """``dial``, ``direct`` or ``offset``."""

    def advise(self) -> Mapping[str, object]:
        """Look at the record as it stands, and say what to do next.

        Returns:
            The advice; what is recorded next is held against the record as it stood now.
        """

    def preview(self, entry: Entry) -> Mapping[str, object]:
        """Say how an entry would be understood, and what surprises about it, without keeping it.

        Args:
            entry: what happened.

        Returns:
            What ``record`` would answer.

        Raises:
            BorewrightError: it could not be kept.
        """

    def record(self, entry: Entry, key: str, *, on_advice: bool = False) -> Mapping[str, object]:
        """Keep an entry.

        Args:
            entry: what happened.
            key: the key of this entry, the same however often it is tried.
            on_advice: whether it acts upon the advice shown; the advice is then kept with it.

        Returns:
            Where it stands and how it was understood.

        Raises:
            ConflictError: the record has grown since ``advise``.
            BorewrightError: it cannot be kept.
        """

    def withdraw(self, last: Kept, key: str) -> Mapping[str, object]:
        """Withdraw an event; it stays in the record, marked.

        Args:
            last: the event.
            key: the key of this correction.

        Returns:
            Where the correction stands.

        Raises:
            ConflictError: the record has grown since ``advise``.
            BorewrightError: it cannot be withdrawn.
        """

    def history(self) -> Sequence[Kept]:
        """List what was recorded since the bore was opened, the opening first.

        Returns:
            The events of bore, tool and gauge in the order they were stored.
        """
