"""Word of changes: whoever wrote, to every page that listens, without a thread each, and to an end."""

from __future__ import annotations

import asyncio
import json
import threading
from collections.abc import AsyncIterator, Coroutine, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from borewright.shop import acts
from borewright.shop.store import Store
from borewright.web import live as live_room
from borewright.web.live import BEAT, RETRY, Live, Numbers
from borewright.web.records import Records
from tests.unit.web.visitor import GIVEN

PATIENCE_S = 20.0
"""A test that waits longer has failed."""


async def word(stream: AsyncIterator[str]) -> str:
    async with asyncio.timeout(PATIENCE_S):
        return await anext(stream)


async def told(stream: AsyncIterator[str]) -> tuple[str, dict[str, int]]:
    """Wait for the next change that a stream tells of."""
    while True:
        lines = (await word(stream)).splitlines()
        if lines[0] == "event: changed":
            data = json.loads(lines[1].removeprefix("data: "))
            return data["bore"], data["numbers"]


class Scripted:
    """Tells changes when it is told to."""

    def __init__(self) -> None:
        self.pending: dict[str, Numbers] = {}
        self.threads: set[int] = set()
        self.broken = False

    def look(self) -> Mapping[str, Numbers]:
        self.threads.add(threading.get_ident())
        if self.broken:
            raise OSError("The record is locked.")
        pending, self.pending = self.pending, {}
        return pending


async def heard(script: Scripted, live: Live, streams: list[AsyncIterator[str]]) -> None:
    """Bring every stream past its greeting."""
    for stream in streams:
        assert await word(stream) == RETRY
    script.pending = {"front": {"bore": 1}}
    live.stir()
    for stream in streams:
        assert await told(stream) == ("front", {"bore": 1})


def on_a_thread(main: Coroutine[object, object, None]) -> None:
    """Run on a thread of its own: a browser that other tests of the same worker drive may keep a loop on this one."""
    with ThreadPoolExecutor(1) as thread:
        thread.submit(asyncio.run, main).result()


def test_every_page_hears_of_a_change_and_none_holds_a_thread() -> None:
    async def main() -> None:
        script = Scripted()
        live = Live(script.look)
        async with live.running():
            streams = [live.stream({}) for _ in range(100)]
            await heard(script, live, streams)
            assert len(script.threads) < 40
            assert threading.active_count() < 40
            assert len(live.pages) == 100

    on_a_thread(main())


def test_a_slow_page_hears_the_newest_numbers_of_each_bore_and_no_more() -> None:
    async def main() -> None:
        script = Scripted()
        live = Live(script.look)
        async with live.running():
            slow = live.stream({})
            await heard(script, live, [slow])
            for number in range(2, 500):
                for page in live.pages:
                    page.tell({"front": {"bore": number}, "rear": {"bore": number}})
            assert await told(slow) == ("front", {"bore": 499})
            assert await told(slow) == ("rear", {"bore": 499})

    on_a_thread(main())


def test_a_page_that_was_away_is_told_at_once_where_its_bore_stands() -> None:
    async def main() -> None:
        live = Live(dict)
        async with live.running():
            assert await told(live.stream({"front": {"bore": 7}})) == ("front", {"bore": 7})

    on_a_thread(main())


def test_a_page_of_one_bore_hears_of_that_one_alone() -> None:
    async def main() -> None:
        script = Scripted()
        live = Live(script.look)
        async with live.running():
            one, every = live.stream({}, only="rear"), live.stream({})
            assert await word(one) == RETRY
            await heard(script, live, [every])
            script.pending = {"front": {"bore": 2}, "rear": {"bore": 5}}
            live.stir()
            assert await told(one) == ("rear", {"bore": 5})
            assert [await told(every), await told(every)] == [("front", {"bore": 2}), ("rear", {"bore": 5})]

    on_a_thread(main())


def test_silence_is_broken_by_a_beat() -> None:
    async def main() -> None:
        live = Live(dict)
        async with live.running():
            stream = live.stream({}, beat_s=0.01)
            assert await word(stream) == RETRY
            assert await word(stream) == BEAT
            assert await word(stream) == BEAT

    on_a_thread(main())


def test_a_record_that_cannot_be_read_for_a_while_does_not_end_the_looking(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live_room, "EVERY_S", 0.01)

    async def main() -> None:
        script = Scripted()
        live = Live(script.look)
        async with live.running():
            stream = live.stream({})
            await heard(script, live, [stream])
            script.broken = True
            await asyncio.sleep(0.05)
            script.pending = {"front": {"bore": 2}}
            script.broken = False
            assert await told(stream) == ("front", {"bore": 2})

    on_a_thread(main())


def test_a_page_that_goes_away_is_forgotten_and_the_end_ends_every_stream() -> None:
    async def main() -> None:
        script = Scripted()
        live = Live(script.look)
        async with live.running():
            gone, stays = live.stream({}), live.stream({})
            await heard(script, live, [gone, stays])
            await gone.aclose()  # type: ignore[attr-defined]  # it is a generator
            assert len(live.pages) == 1
            waiting = asyncio.create_task(word(stays))
            await asyncio.sleep(0)
            live.close()
            with pytest.raises(StopAsyncIteration):
                await waiting
            assert not live.pages

    on_a_thread(main())


def test_more_pages_than_it_bears_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live_room, "MOST_PAGES", 2)

    async def main() -> None:
        live = Live(dict)
        async with live.running():
            streams = [live.stream({}) for _ in range(2)]
            for stream in streams:
                assert not live.full
                await word(stream)
            assert live.full

    on_a_thread(main())


def test_a_rehearsal_that_another_process_begins_is_told(folder: Path) -> None:
    here, there = Records(folder, demo=False), Records(folder, demo=False)
    begun = there.begin_rehearsal("titanium", 3, key="elsewhere", by=None)
    assert here.changed() == {str(begun["bore"]): {"bore": 1, "tool": 1, "gauge": 0}}
    assert not here.changed()
    here.close()
    there.close()


def test_what_another_process_writes_is_told(folder: Path) -> None:
    records = Records(folder, demo=False)
    given = {**GIVEN, "tool": {"id": "shared-bar"}}
    front = str(acts.open_bore(records.shop, {**given, "name": "front"})["bore"])
    rear = str(acts.open_bore(records.shop, {**given, "name": "rear"})["bore"])
    alone = str(acts.open_bore(records.shop, {**GIVEN, "name": "alone"})["bore"])
    assert set(records.changed()) == {front, rear, alone}

    async def main() -> None:
        live = Live(records.changed)
        async with live.running():
            stream = live.stream({})
            assert await word(stream) == RETRY
            waiting = asyncio.create_task(told(stream))
            with Store.open(folder) as other:
                acts.record(other, front, {"event": "set", "diameter": "33.300 mm"})
            heard_of = dict([await waiting, await told(stream)])
            assert heard_of == {front: {"bore": 1, "tool": 2, "gauge": 0}, rear: {"bore": 1, "tool": 2, "gauge": 0}}

    on_a_thread(main())
    records.close()
