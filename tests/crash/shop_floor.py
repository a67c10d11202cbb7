"""Two writers on one record, a client that sends to both, and a hand that kills them at random."""

from __future__ import annotations

import multiprocessing
import random
import shutil
import time
from collections import deque
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Final

from borewright.record.stream import Draft, StreamId
from tests.crash.witness import JOURNAL, Expected, look
from tests.crash.writer import Acknowledged, Act, Refused, Request, Writer, serve

KILLS_PER_RECORD: Final = 50
"""After so many kills a new record is begun, so that kills fall on its making too."""

START_S: Final = 0.12
"""One writer in six is killed at a moment drawn evenly from its first so many seconds, while it starts."""

MOST_ACKNOWLEDGED: Final = 8
"""The others are killed after so many acknowledgements at most, at a moment drawn evenly from the time that two more
would take at the pace seen so far: on a slow machine as on a quick one a kill falls anywhere in the work."""

LONGEST_S: Final = 20.0
"""A writer that does not get so far is killed after so many seconds all the same."""

OUTSTANDING: Final = 3
"""Entries on the way to a writer that it has not acknowledged."""

GIVEN: Final[Mapping[str, object]] = {
    "callout": "38.120 ±0.009",
    "unit": "mm",
    "hole": "37.610",
    "adjuster": {"kind": "dial", "on": "diameter", "line": "0.002"},
    "gauge": {"step": "0.001"},
    "push_off": "0.015",
}

_CONTEXT: Final = multiprocessing.get_context("forkserver")


@dataclass(slots=True)
class Tally:
    """What happened in a run."""

    kills: int = 0
    records: int = 0
    acknowledged: int = 0
    events: int = 0
    sent_again: int = 0
    stored_unacknowledged: int = 0
    mid_write: int = 0
    before_open: int = 0
    repeats_answered: int = 0
    conflicts_answered: int = 0
    faults: list[str] = field(default_factory=list)
    seconds: float = 0.0


@dataclass(slots=True)
class Seat:
    """One writer process and what is on its way to it."""

    process: BaseProcess
    pipe: Connection
    dies_at: float
    dies_after: int
    heard_at: float
    opened: bool = False
    outstanding: list[Request | Act] = field(default_factory=list)


class ShopFloor:
    """One record in one folder, with its two writers and the client's memory of what it entered."""

    def __init__(self, folder: Path, kind: type[Writer], rng: random.Random, tally: Tally) -> None:
        self.folder = folder / "data"
        self.aside = folder / "aside"
        self.kind = kind
        self.rng = rng
        self.tally = tally
        self.expected: dict[str, Expected] = {}
        self.unacknowledged: deque[Request | Act] = deque()
        self.settled: list[Request | Act] = []
        self.opened: list[str] = []
        self.bores = 0
        self.events = 0
        self.pace_s = 0.02
        self.seats = [self._start(), self._start()]

    def kill_once(self) -> None:
        """Let both work until the first one's time has come, kill it (one time in four both), look, start again."""
        doomed = self._work_until_one_is_due()
        both = self.rng.random() < 0.25
        dying = list(self.seats) if both else [doomed]
        for seat in dying:
            seat.process.kill()
        for seat in dying:
            self._bury(seat)
        for seat in self.seats:
            if seat not in dying:
                self._drain(seat)
        self.tally.kills += len(dying)
        self.tally.mid_write += both and (self.folder / JOURNAL).exists()
        testimony = look(self.folder, self.expected, aside=self.aside if both else None)
        self.tally.faults += testimony.faults
        self.tally.stored_unacknowledged += sum(request.key in testimony.stored for request in self.unacknowledged)
        self.events = testimony.events
        self.seats = [self._start() if seat in dying else seat for seat in self.seats]

    def finish(self, *, look_again: bool) -> None:
        """Let everything be acknowledged, end the writers, and look for the last time."""
        if look_again:
            self._settle()
        for seat in self.seats:
            seat.process.kill()
            seat.process.join()
            seat.pipe.close()
            seat.process.close()
        if look_again:
            self._look_again()
        self.tally.events += self.events
        self.tally.acknowledged += sum(entry.acknowledged is not None for entry in self.expected.values())

    def _settle(self) -> None:
        deadline = time.monotonic() + 60
        while self.unacknowledged or any(seat.outstanding or not seat.opened for seat in self.seats):
            if time.monotonic() > deadline:
                self.tally.faults.append("stuck: an entry was not acknowledged within a minute")
                break
            self._exchange(0.05, fresh=False)

    def _look_again(self) -> None:
        testimony = look(self.folder, self.expected, aside=self.aside)
        self.events = testimony.events
        self.tally.faults += testimony.faults
        self.tally.faults += [f"lost: {key} was never stored" for key in self.expected if key not in testimony.stored]

    def _start(self) -> Seat:
        ours, theirs = _CONTEXT.Pipe()
        process = _CONTEXT.Process(target=serve, args=(theirs, self.folder, self.kind), daemon=True)
        process.start()
        theirs.close()
        now = time.monotonic()
        if self.rng.random() < 1 / 6:
            return Seat(process, ours, now + self.rng.uniform(0, START_S), dies_after=-1, heard_at=now)
        return Seat(process, ours, now + LONGEST_S, self.rng.randint(0, MOST_ACKNOWLEDGED), now)

    def _bury(self, seat: Seat) -> None:
        seat.process.join()
        self._drain(seat)
        self.tally.before_open += not seat.opened
        self.tally.sent_again += len(seat.outstanding)
        self.unacknowledged.extend(seat.outstanding)
        seat.pipe.close()
        seat.process.close()

    def _work_until_one_is_due(self) -> Seat:
        while True:
            now = time.monotonic()
            doomed = min(self.seats, key=lambda seat: seat.dies_at)
            if doomed.dies_at <= now:
                return doomed
            self._exchange(doomed.dies_at - now, fresh=True)

    def _exchange(self, seconds: float, *, fresh: bool) -> None:
        for seat in self.seats:
            while seat.opened and len(seat.outstanding) < OUTSTANDING:
                request = self.unacknowledged.popleft() if self.unacknowledged else self._next() if fresh else None
                if request is None:
                    break
                seat.outstanding.append(request)
                seat.pipe.send(request)
        for pipe in wait([seat.pipe for seat in self.seats], timeout=max(seconds, 0)):
            self._receive(next(seat for seat in self.seats if seat.pipe is pipe))

    def _drain(self, seat: Seat) -> None:
        while seat.pipe.poll() and self._receive(seat):
            pass

    def _receive(self, seat: Seat) -> bool:
        try:
            message = seat.pipe.recv()
        except (EOFError, OSError):
            return False
        if message == "open":
            seat.opened = True
            self._keep_pace(seat, counts=False)
            return True
        self._keep_pace(seat, counts=True)
        request = next(request for request in seat.outstanding if request.key == message.key)
        seat.outstanding.remove(request)
        entry = self.expected[request.key]
        if isinstance(message, Refused):
            self._refused(request, message)
        elif isinstance(message, Acknowledged):
            self.tally.repeats_answered += message.repeated
            if entry.acknowledged is not None and entry.acknowledged != message.places:
                self.tally.faults.append(f"another answer: {request.key} {entry.acknowledged} {message.places}")
            entry.acknowledged = message.places
            self.settled.append(request)
            if isinstance(request, Act) and request.opens:
                self.opened.append(request.bore)
        return True

    def _keep_pace(self, seat: Seat, *, counts: bool) -> None:
        now = time.monotonic()
        if counts:
            self.pace_s = 0.9 * self.pace_s + 0.1 * (now - seat.heard_at)
            seat.dies_after -= seat.dies_after > 0
        seat.heard_at = now
        if seat.dies_after == 0:
            seat.dies_at = now + self.rng.uniform(0, 2 * self.pace_s)
            seat.dies_after = -1

    def _refused(self, request: Request | Act, message: Refused) -> None:
        own_body = _parts(request) == self.expected[request.key].parts
        if own_body:
            self.tally.faults.append(f"refused: {request.key}: {message.why}")
        self.tally.conflicts_answered += not own_body

    def _next(self) -> Request | Act:
        """Make the next entry: mostly a new one; now and then one sent twice, or another body under a used key."""
        dice = self.rng.random()
        if self.settled and dice < 0.06:
            return self.rng.choice(self.settled)
        drafted = [request for request in self.settled if isinstance(request, Request)]
        if drafted and dice < 0.10:
            used = self.rng.choice(drafted)
            return Request(used.key, (_draft(StreamId("bore", "b1"), used.key, "another body"),))
        key = f"k{len(self.expected)}"
        request = self._act(key) if self.rng.random() < 0.4 else self._drafts(key)
        self.expected[key] = Expected(_parts(request))
        return request

    def _act(self, key: str) -> Act:
        if not self.opened or self.rng.random() < 0.2:
            return Act(key, f"sized.{key}", opens=True, given=GIVEN)
        stream = self.rng.choice(["bore", "tool", "gauge"])
        entry = {"event": "noted", "stream": stream, "text": "wiped, rocked, read again"}
        return Act(key, self.rng.choice(self.opened), opens=False, given=entry)

    def _drafts(self, key: str) -> Request:
        return Request(key, tuple(_draft(stream, key, f"part {n}") for n, stream in enumerate(self._streams())))

    def _streams(self) -> list[StreamId]:
        """Choose where an entry goes: a bore opened with its tool and gauge, or one or two streams already there."""
        if self.bores == 0 or self.rng.random() < 0.15:
            self.bores += 1
            bore = StreamId("bore", f"b{self.bores}")
            return [bore, StreamId("tool", f"t{self.bores // 2}"), StreamId("gauge", "g"), bore]
        bore = StreamId("bore", f"b{self.rng.randint(1, self.bores)}")
        return [bore] if self.rng.random() < 0.6 else [StreamId("tool", f"t{self.bores // 2}"), bore]


def _draft(stream: StreamId, key: str, text: str) -> Draft:
    return Draft(stream, "noted", 1, {"text": text}, at="2027-03-01T06:00:00Z", by=key)


def _parts(request: Request | Act) -> tuple[str, ...]:
    """Say the events of an entry as the witness will: stream, kind and words of each."""
    if isinstance(request, Request):
        return tuple(f"{draft.stream} {draft.kind} {draft.payload['text']}" for draft in request.drafts)
    if request.opens:
        return (f"tool/{request.bore}.tool assembled ", f"bore/{request.bore} opened ")
    kind = request.given["stream"]
    identity = request.bore if kind == "bore" else f"{request.bore}.{kind}"
    return (f"{kind}/{identity} noted {request.given['text']}",)


def run(
    folder: Path,
    kills: int,
    seed: int,
    kind: type[Writer] = Writer,
    *,
    stop_at_fault: bool = False,
    say: Callable[[str], None] = lambda _: None,
) -> Tally:
    """Kill writers until enough are dead, a new record now and then.

    Args:
        folder: an empty folder to work in.
        kills: how many processes to kill.
        seed: of what is entered and of the moments of the kills; when they fall in the work is the machine's.
        kind: the writer, or one that is wrong on purpose.
        stop_at_fault: whether the first fault ends the run.
        say: told how far it is.

    Returns:
        What happened.
    """
    _CONTEXT.set_forkserver_preload(["tests.crash.writer", "tests.crash.mutants", "alembic.command"])
    first = _CONTEXT.Process(target=time.monotonic)  # so that the server of processes is up before the first kill
    first.start()
    first.join()
    rng = random.Random(seed)  # noqa: S311  # not for secrets
    tally = Tally()
    begun = time.monotonic()
    while tally.kills < kills and not (stop_at_fault and tally.faults):
        tally.records += 1
        place = folder / f"record-{tally.records}"
        floor = ShopFloor(place, kind, rng, tally)
        last = min(kills, tally.kills + KILLS_PER_RECORD)
        while tally.kills < last and not (stop_at_fault and tally.faults):
            floor.kill_once()
        floor.finish(look_again=not (stop_at_fault and tally.faults))
        shutil.rmtree(place, ignore_errors=True)
        say(f"{tally.kills} kills, {len(tally.faults)} faults, {time.monotonic() - begun:.0f} s")
    tally.seconds = time.monotonic() - begun
    return tally
