"""Word to open pages that a bore has changed, whichever process wrote it.

One task asks the record for its change token; each page holds one stream that waits without a thread. What a slow page
has not heard yet is kept as the newest numbers of each bore, so that it cannot grow without bound.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections.abc import AsyncIterator, Callable, Mapping
from typing import Final, TypeAlias

Numbers: TypeAlias = Mapping[str, int]
"""The number of the last event, by kind of stream."""

Look: TypeAlias = Callable[[], Mapping[str, Numbers]]
"""Says which bores have changed since it was called last; may read the disk."""

EVERY_S: Final = 0.4
"""Between two looks at the record where nothing in this process wrote."""

REST_S: Final = 0.03
"""Between two looks at the least: what is written close together is told together."""

BEAT_S: Final = 15.0
"""After so long without a word a stream says that it is still there, so that a page notices a dead line."""

MOST_PAGES: Final = 256

RETRY: Final = "retry: 1500\n\n"
BEAT: Final = "event: beat\ndata: 1\n\n"
"""An event and no comment: a page cannot see a comment, and would not notice a dead line."""


class Live:
    """The one who looks, and the pages that listen.

    Args:
        look: says which bores have changed since the last look.
    """

    def __init__(self, look: Look) -> None:
        self.look = look
        self.pages: set[_Page] = set()
        self._closed = False
        self._stir = asyncio.Event()
        self._loop: asyncio.AbstractEventLoop | None = None

    @contextlib.asynccontextmanager
    async def running(self) -> AsyncIterator[None]:
        """Look at the record as long as the block lasts.

        Yields:
            Nothing.
        """
        self._loop = asyncio.get_running_loop()
        watching = asyncio.create_task(self._watch())
        try:
            yield
        finally:
            self.close()
            watching.cancel()
            with contextlib.suppress(asyncio.CancelledError):
                await watching

    def stir(self) -> None:
        """Ask for a look now, from any thread: something was just written here."""
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._stir.set)

    def close(self) -> None:
        """End every stream, so that nothing is waited for at the end."""
        self._closed = True
        for page in self.pages:
            page.stir.set()

    @property
    def full(self) -> bool:
        """Whether no more pages can listen."""
        return len(self.pages) >= MOST_PAGES

    async def stream(
        self, first: Mapping[str, Numbers], *, only: str | None = None, beat_s: float = BEAT_S
    ) -> AsyncIterator[str]:
        """Tell one page of changes until it goes away or the server ends.

        Args:
            first: bores to tell of at once, so that a page that was away learns what it missed.
            only: the one bore to tell of; every bore where it is None.
            beat_s: seconds of silence after which the stream says that it is there.

        Yields:
            Server-sent events.
        """
        page = _Page(dict(first), only)
        self.pages.add(page)
        try:
            yield RETRY
            while not self._closed:
                for bore, numbers in page.take():
                    yield f"event: changed\ndata: {json.dumps({'bore': bore, 'numbers': numbers})}\n\n"
                try:
                    async with asyncio.timeout(beat_s):
                        await page.stir.wait()
                except TimeoutError:
                    yield BEAT
        finally:
            self.pages.discard(page)

    async def _watch(self) -> None:
        while True:
            try:
                changed = await asyncio.to_thread(self.look)
            except Exception:  # noqa: BLE001  # a locked or moved record is told to whoever enters; looking goes on
                changed = {}
            for page in self.pages:
                page.tell(changed)
            await asyncio.sleep(REST_S)
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(EVERY_S):
                    await self._stir.wait()
            self._stir.clear()


class _Page:
    """One page that listens, and what it has not heard yet."""

    def __init__(self, unheard: dict[str, Numbers], only: str | None) -> None:
        self.unheard = unheard
        self.only = only
        self.stir = asyncio.Event()
        if unheard:
            self.stir.set()

    def tell(self, changed: Mapping[str, Numbers]) -> None:
        wanted = changed if self.only is None else {bore: changed[bore] for bore in (self.only,) if bore in changed}
        if wanted:
            self.unheard.update(wanted)
            self.stir.set()

    def take(self) -> list[tuple[str, Numbers]]:
        unheard, self.unheard = self.unheard, {}
        self.stir.clear()
        return list(unheard.items())
