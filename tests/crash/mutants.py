"""Writers that are wrong on purpose, each in one way, to show that the crash test would notice."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from borewright.record.stream import Event
from borewright.shop.streams import Streams
from tests.crash.writer import Acknowledged, Request, Writer, places


class AcknowledgesBeforeCommit(Writer):
    """Sends the acknowledgement from inside the transaction, a moment before it is committed."""

    def keep(self, request: Request) -> None:
        def acknowledge(_: Streams, events: tuple[Event, ...]) -> Mapping[str, object]:
            self.send(Acknowledged(request.key, places(events), repeated=False))
            return {}

        drafts = request.drafts
        body = {"drafts": [str(draft) for draft in drafts]}
        appended = self.store.act(lambda _: drafts, request=body, key=request.key, answer=acknowledge)
        if appended.repeated:
            self.send(Acknowledged(request.key, places(appended.events), repeated=True))


class ForgetsTheKey(Writer):
    """Stores an entry without its key, so that one sent again is stored again."""

    def keep(self, request: Request) -> None:
        appended = self.store.append(request.drafts)
        self.send(Acknowledged(request.key, places(appended.events), repeated=False))


class StoresPieceByPiece(Writer):
    """Stores each event of an entry in a transaction of its own."""

    def keep(self, request: Request) -> None:
        stored: list[Event] = []
        for part, draft in enumerate(request.drafts):
            stored.extend(self.store.append([draft], key=f"{request.key}.{part}").events)
        self.send(Acknowledged(request.key, places(tuple(stored)), repeated=False))


MUTANTS: Final[dict[str, type[Writer]]] = {
    "acknowledges-before-commit": AcknowledgesBeforeCommit,
    "forgets-the-key": ForgetsTheKey,
    "stores-piece-by-piece": StoresPieceByPiece,
}
