"""Several processes, and several threads, on one record at the same time."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from multiprocessing.connection import Connection
from multiprocessing.synchronize import Barrier
from pathlib import Path
from typing import TypeVar

from borewright.errors import ConflictError
from borewright.record.stream import Draft
from borewright.shop.store import Store
from borewright.shop.streams import Streams
from tests.unit.shop.drafts import BORE, TOOL, note

ENTRIES = 60
_CONTEXT = multiprocessing.get_context("forkserver")

T = TypeVar("T")


def together(act: Callable[[Path, int], T], folder: Path, processes: int) -> list[T]:
    """Run an act in several processes from the same moment on, and return what each returned."""
    _CONTEXT.set_forkserver_preload(["borewright.shop.store", "alembic.command"])
    barrier = _CONTEXT.Barrier(processes)
    pipes: list[Connection] = []
    children = []
    for number in range(processes):
        ours, theirs = _CONTEXT.Pipe(duplex=False)
        child = _CONTEXT.Process(target=_child, args=(act, folder, number, barrier, theirs))
        child.start()
        theirs.close()
        pipes.append(ours)
        children.append(child)
    results = [pipe.recv() for pipe in pipes]
    for child in children:
        child.join()
    return results


def _child(act: Callable[[Path, int], object], folder: Path, number: int, barrier: Barrier, pipe: Connection) -> None:
    barrier.wait()
    pipe.send(act(folder, number))


def open_and_write(folder: Path, number: int) -> int:
    with Store.open(folder) as store:
        return store.append([note(BORE, f"process {number}")]).events[0].number


def write_many(folder: Path, number: int) -> list[int]:
    with Store.open(folder) as store:
        return [
            store.append([note(TOOL, f"{number}"), note(BORE, f"{number} {turn}")], key=f"{number}.{turn}")
            .events[1]
            .number
            for turn in range(ENTRIES)
        ]


def count_up(folder: Path, number: int) -> int:
    """Append what the stream's length was seen to be, again and again where somebody was quicker."""
    overtaken = 0
    with Store.open(folder) as store:
        for turn in range(ENTRIES):
            while True:
                seen = store.head(BORE).number
                try:
                    store.append([note(BORE, str(seen))], key=f"{number}.{turn}", saw={BORE: seen})
                except ConflictError:
                    overtaken += 1
                else:
                    break
    return overtaken


def send_the_same(folder: Path, number: int) -> tuple[str, bool]:
    del number
    with Store.open(folder) as store:
        appended = store.append([note(BORE, "sent by all")], key="one")
        return appended.events[0].hash, appended.repeated


def test_a_record_that_is_not_there_is_made_once_by_processes_that_open_it_at_the_same_moment(folder: Path) -> None:
    assert sorted(together(open_and_write, folder, 5)) == [1, 2, 3, 4, 5]
    with Store.open(folder) as store:
        assert store.check().faults == ()
        assert len(store.stream(BORE)) == 5


def test_two_writers_on_the_same_streams_take_turns_without_gap_or_loss(folder: Path) -> None:
    first, second = together(write_many, folder, 2)
    assert sorted(first + second) == list(range(1, 2 * ENTRIES + 1))
    assert first == sorted(first)
    assert second == sorted(second)
    with Store.open(folder) as store:
        checked = store.check()
        assert checked.faults == ()
        assert checked.events == 4 * ENTRIES
        words = [event.payload["text"] for event in store.stream(BORE)]
        for number, mine in ((0, first), (1, second)):
            assert [words[at - 1] for at in mine] == [f"{number} {turn}" for turn in range(ENTRIES)]


def test_nobody_writes_on_a_state_that_was_not_seen(folder: Path) -> None:
    together(count_up, folder, 2)
    with Store.open(folder) as store:
        assert [event.payload["text"] for event in store.stream(BORE)] == [str(n) for n in range(2 * ENTRIES)]


def test_an_entry_sent_by_several_at_once_is_stored_once(folder: Path) -> None:
    results = together(send_the_same, folder, 4)
    assert len({digest for digest, _ in results}) == 1
    assert sorted(repeated for _, repeated in results) == [False, True, True, True]


def test_a_decision_holds_across_threads(store: Store) -> None:
    def decide(streams: Streams) -> Sequence[Draft]:
        return [note(BORE, str(len(streams.events(BORE))))]

    def act(turn: int) -> bool:
        return store.act(decide, request={"turn": turn}, key=str(turn)).repeated

    with ThreadPoolExecutor(8) as pool:
        assert not any(pool.map(act, range(80)))
    assert [event.payload["text"] for event in store.stream(BORE)] == [str(n) for n in range(80)]
