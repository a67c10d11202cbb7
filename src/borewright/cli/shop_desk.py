"""One bore's record in the shop's database, through the acts that web pages use too."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, cast

from borewright.cli.desk import limits_of
from borewright.cli.prompts import Entry
from borewright.record.stream import StreamKind
from borewright.shop import acts, bores
from borewright.shop.kept import Kept, kept_events, since_opening
from borewright.shop.store import Store
from borewright.shop.touched import marks_said
from borewright.sizing.bore import Bore

_ENVELOPE: Final = ("event", "by")


class ShopDesk:
    """One bore, and the acts on its record.

    Args:
        store: the open record.
        bore: the bore's name in the record.
        job: the job's name.
        by: who enters, or None.
    """

    def __init__(self, store: Store, bore: str, job: str, by: str | None) -> None:
        self.store = store
        self.bore = bore
        self.by = by
        opened = self.view().opening
        self.title = f"{opened.given.name or bore} · {job}"
        self.limits = limits_of(opened)
        self.adjuster = opened.given.adjuster.kind
        self.saw: dict[str, int] = {}

    def view(self) -> Bore:
        """Rebuild the bore as its record stands.

        Returns:
            The bore; what it is told does not reach the record.
        """
        return bores.view(self.store, self.bore)

    def advise(self) -> Mapping[str, object]:
        """Look at the record as it stands, and say what to do next.

        Returns:
            The advice; what is recorded next is held against the record as it stood now.
        """
        stand = bores.stand(self.store, self.bore)
        self.saw = stand.numbers
        said, release = marks_said(self.store, self.bore, stand, stand.bore.unit), stand.advice.get("release")
        if not said or not isinstance(release, Mapping):
            return stand.advice
        return {**stand.advice, "release": {**release, "marks": said}}

    def preview(self, entry: Entry) -> Mapping[str, object]:
        """Say how an entry would be understood, and what surprises about it, without keeping it.

        Args:
            entry: what happened.

        Returns:
            What ``record`` would answer.

        Raises:
            BorewrightError: it could not be kept.
        """
        return self.view().record(entry)

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
        by = cast("str | None", entry.get("by")) or self.by
        fields = {name: value for name, value in entry.items() if name not in _ENVELOPE}
        if entry["event"] == "released":
            return acts.release(self.store, self.bore, fields, by=by or "", key=key, saw=self.saw)
        if entry["event"] == "quarantined":
            reason = str(entry["reason"])
            return acts.quarantine(self.store, self.bore, reason, by=by, key=key, saw=self.saw)
        if entry["event"] == "reopened":
            return acts.reopen(self.store, self.bore, str(entry["reason"]), by=by, key=key, saw=self.saw)
        unsigned = {name: value for name, value in entry.items() if name != "by"}
        return acts.record(self.store, self.bore, unsigned, key=key, saw=self.saw, by=by, on_advice=on_advice)

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
        kind = cast("StreamKind", last.stream.partition("/")[0])
        return acts.withdraw(self.store, self.bore, kind, last.number, key=key, saw=self.saw, by=self.by)

    def history(self) -> Sequence[Kept]:
        """List what was recorded since the bore was opened, the opening first.

        Returns:
            The events of bore, tool and gauge in the order they were stored.
        """
        return since_opening(kept_events(bores.history(self.store, self.bore)))
