"""A bore's record kept in memory only, for tests of the session."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from borewright.cli.desk import limits_of
from borewright.cli.prompts import Entry
from borewright.record.stream import Event
from borewright.shop.kept import Kept, kept_events, since_opening
from borewright.sizing.bore import Bore


class MemoryDesk:
    """One bore, opened in memory."""

    def __init__(self, mapping: Mapping[str, object]) -> None:
        self.bore = Bore.start(mapping)
        self.stored: list[Event] = [*self.bore.events("tool"), *self.bore.events()]
        self.keys: list[str] = []
        self.on_advice: list[bool] = []
        self.title = str(mapping["name"])
        self.limits = limits_of(self.bore.opening)
        self.adjuster = self.bore.opening.given.adjuster.kind

    def advise(self) -> Mapping[str, object]:
        return self.bore.advise()

    def preview(self, entry: Entry) -> Mapping[str, object]:
        return Bore.from_events(self.stored).record(entry)

    def withdraw(self, last: Kept, key: str) -> Mapping[str, object]:
        kind = last.stream.partition("/")[0]
        return self.record({"event": "corrected", "stream": kind, "event_number": last.number}, key)

    def record(self, entry: Entry, key: str, *, on_advice: bool = False) -> Mapping[str, object]:
        self.on_advice.append(on_advice)
        answer = self.bore.record(entry)
        kind = str(answer["stream"]).partition("/")[0]
        self.stored.append(self.bore.events(kind)[-1])  # type: ignore[arg-type]  # a stream's kind
        self.keys.append(key)
        return answer

    def history(self) -> Sequence[Kept]:
        return since_opening(kept_events(self.stored))
