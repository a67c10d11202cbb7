"""The same work for many tasks, on several processors."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import TypeVar

Task = TypeVar("Task")
Done = TypeVar("Done")


def spread(work: Callable[[Task], Done], tasks: Sequence[Task], workers: int) -> Iterator[Done]:
    """Do the work of each task and hand out what comes of it in the order of the tasks, however many workers there are.

    Args:
        work: a function of a module, as other processes must find it.
        tasks: what it is done for.
        workers: processes; with one it is done in this one.

    Yields:
        What came of each task.
    """
    if workers == 1:
        yield from map(work, tasks)
        return
    # Processes begun afresh share nothing with this one, on every system alike.
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        yield from pool.map(work, tasks, chunksize=max(1, min(16, len(tasks) // (4 * workers))))
