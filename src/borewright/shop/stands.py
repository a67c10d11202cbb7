"""How bores stand, remembered between acts so that not every look folds a whole record again.

What is remembered of a bore holds as long as each of its streams ends in the event it ended in: the hash of that event
stands for all before it. Where a stream has grown or is another, the bore is rebuilt from the record.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from typing import Final, get_args

from borewright.quantity.length import Unit
from borewright.record.stream import Event, StreamId, StreamKind
from borewright.shop.kept import Kept, kept_events, since_opening
from borewright.shop.streams import Streams
from borewright.sizing.bore import Bore

MOST: Final = 256
"""Bores remembered at once; the one looked at longest ago is forgotten first."""

KINDS: Final[tuple[StreamKind, ...]] = get_args(StreamKind)


class Stand:
    """How a bore stands at one moment; it does not change.

    Args:
        bore: the bore as it stands.
        events: the events of the bore, its tool and its gauge, in the order in which they were stored.
    """

    def __init__(self, bore: Bore, events: Sequence[Event]) -> None:
        self._bore = bore
        self._events = tuple(events)
        self._advice: dict[Unit, Mapping[str, object]] = {}
        self._history: tuple[Kept, ...] | None = None

    @property
    def bore(self) -> Bore:
        """The bore as it stands; tell it nothing."""
        return self._bore

    def told(self) -> Bore:
        """Return the bore as it stands, to be told more.

        Returns:
            Another bore, at the same point.
        """
        return self._bore.twin()

    def grown(self, bore: Bore, events: Sequence[Event]) -> Stand:
        """Return how the bore stands after more was stored.

        Args:
            bore: the bore, told of what was stored.
            events: what was stored.

        Returns:
            How it stands then.
        """
        after = Stand(bore, (*self._events, *events))
        if all(event.kind != "corrected" for event in events):  # a correction changes what stood before it
            after._history = (*self.history, *kept_events(events))  # its own class
        return after

    @property
    def advice(self) -> Mapping[str, object]:
        """What to do next."""
        return self.advice_in(None)

    def advice_in(self, unit: Unit | None) -> Mapping[str, object]:
        """Say what to do next, with lengths in a unit.

        Args:
            unit: the unit; the bore's own where it is None.

        Returns:
            What ``Bore.advise`` returns.
        """
        # No lock: two who look at once may both work it out, to the same end; nobody waits for another bore's advice.
        shown = unit or self._bore.unit
        found = self._advice.get(shown)
        if found is None:
            found = self._advice[shown] = self._bore.advise(shown)
        return found

    @property
    def history(self) -> tuple[Kept, ...]:
        """What is on record since the bore was opened, in the order in which it was stored."""
        if self._history is None:
            self._history = tuple(since_opening(kept_events(self._events)))
        return self._history

    @property
    def numbers(self) -> dict[str, int]:
        """The number of the last event, by kind of stream."""
        return {kind: len(self._bore.events(kind)) for kind in KINDS}

    def holds(self, streams: Streams) -> bool:
        """Tell whether the record still ends where it ended.

        Args:
            streams: the record now.

        Returns:
            Whether every stream of the bore ends in the same event.
        """
        for kind, stream in self._bore.streams.items():
            head, events = streams.head(stream), self._bore.events(kind)
            if head.number != len(events) or (events and head.hash != events[-1].hash):
                return False
        return True


class Stands:
    """What is remembered of bores; of use to several threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._stands: OrderedDict[str, Stand] = OrderedDict()
        self._rests_on: dict[str, tuple[StreamId, ...]] = {}

    def find(self, streams: Streams, bore: str, read: Callable[[Streams, str], Sequence[Event]]) -> Stand:
        """Return how a bore stands in one transaction.

        Args:
            streams: the record in that transaction.
            bore: the bore's name in the record.
            read: reads its events from the record where what is remembered does not hold.

        Returns:
            How it stands.

        Raises:
            NotHeldError: there is no bore of that name.
            DamagedRecordError: one of its streams does not agree with its hashes.
        """
        with self._lock:
            known = self._stands.get(bore)
            if known is not None:
                self._stands.move_to_end(bore)
        if known is not None and known.holds(streams):
            return known
        events = read(streams, bore)
        stand = Stand(Bore.from_events(events), events)
        self.keep(bore, stand)
        return stand

    def rests_on(
        self, streams: Streams, bore: str, read: Callable[[Streams, str], Sequence[StreamId]]
    ) -> tuple[StreamId, ...]:
        """Return the streams that a bore rests on; its opening names them for good.

        Args:
            streams: the record.
            bore: the bore's name in the record.
            read: reads them from the record where they are not remembered.

        Returns:
            Their names.

        Raises:
            NotHeldError: there is no bore of that name.
        """
        found = self._rests_on.get(bore)
        if found is None:
            found = self._rests_on[bore] = tuple(read(streams, bore))
        return found

    def keep(self, bore: str, stand: Stand) -> None:
        """Remember how a bore stands.

        Args:
            bore: the bore's name in the record.
            stand: how it stands; where the record ends otherwise it will be found not to hold.
        """
        with self._lock:
            self._stands[bore] = stand
            self._stands.move_to_end(bore)
            while len(self._stands) > MOST:
                self._stands.popitem(last=False)
