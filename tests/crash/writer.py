"""The process that is killed: it stores what it is sent and acknowledges each entry on its pipe."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path

from borewright.errors import BorewrightError
from borewright.record.stream import Draft, Event
from borewright.shop import acts
from borewright.shop.store import Store

Place = tuple[str, int, str]
"""Stream, number and hash of a stored event."""


@dataclass(frozen=True, slots=True)
class Request:
    """Drafts as the client sends them; sent again unchanged while no acknowledgement came."""

    key: str
    drafts: tuple[Draft, ...]


@dataclass(frozen=True, slots=True)
class Act:
    """A person's act as the client sends it: a bore is opened with what is given, or an entry of it is recorded."""

    key: str
    bore: str
    opens: bool
    given: Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Acknowledged:
    """The writer's word that an entry is stored, and where."""

    key: str
    places: tuple[Place, ...]
    repeated: bool


@dataclass(frozen=True, slots=True)
class Refused:
    """The writer's word that nothing was stored."""

    key: str
    why: str


Send = Callable[[object], None]


class Writer:
    """Stores through the product's own store and acknowledges when that has returned."""

    def __init__(self, store: Store, send: Send) -> None:
        self.store = store
        self.send = send

    def handle(self, request: Request | Act) -> None:
        try:
            if isinstance(request, Act):
                self.act(request)
            else:
                self.keep(request)
        except BorewrightError as error:
            self.send(Refused(request.key, str(error)))

    def keep(self, request: Request) -> None:
        appended = self.store.append(request.drafts, key=request.key)
        self.send(Acknowledged(request.key, places(appended.events), appended.repeated))

    def act(self, act: Act) -> None:
        if act.opens:
            answer = acts.open_bore(self.store, act.given, bore=act.bore, key=act.key, by=act.key)
        else:
            answer = acts.record(self.store, act.bore, act.given, key=act.key, by=act.key)
        place = (str(answer["stream"]), int(str(answer["number"])), str(answer["hash"]))
        self.send(Acknowledged(act.key, (place,), repeated=False))


def places(events: tuple[Event, ...]) -> tuple[Place, ...]:
    return tuple((str(event.stream), event.number, event.hash) for event in events)


def serve(pipe: Connection, folder: Path, kind: type[Writer]) -> None:
    """Open the record, say so, then store whatever comes until killed."""
    with Store.open(folder, busy_ms=60_000) as store:
        writer = kind(store, pipe.send)
        pipe.send("open")
        while True:
            try:
                request = pipe.recv()
            except EOFError:
                return
            writer.handle(request)
