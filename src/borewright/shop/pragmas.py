"""How every connection to the record is set, and how the settings are read back from the live connection."""

from __future__ import annotations

import sqlite3
from dataclasses import asdict, dataclass
from typing import Final, Literal

from borewright.errors import RecordUnavailableError

JournalMode = Literal["delete", "wal"]

WAL_FIXED: Final = (3, 51, 3)
"""First SQLite release without the WAL-reset race, by which two connections that checkpoint and write at the same
moment could damage the file. Source: [sqlite-releases] 3.51.3. Branches that received the fix later stay on the
rollback journal too: that is slower by part of a millisecond, never wrong."""

BUSY_MS: Final = 10_000
"""How long a connection waits for another process's write, in milliseconds; a write here lasts a few."""


@dataclass(frozen=True, slots=True)
class Pragmas:
    """The settings a connection must have before anything is read or written through it.

    Args:
        busy_timeout: how long to wait for another process, in milliseconds.
        journal_mode: ``delete`` (rollback journal) or ``wal``.
        synchronous: 2 (FULL) or 3 (EXTRA).
        foreign_keys: 1 where references are enforced; 0 only while tables are rebuilt.
        fullfsync: 1, so that where a plain sync leaves data in the drive's own memory, the stronger call is made.
    """

    busy_timeout: int
    journal_mode: JournalMode
    synchronous: int
    foreign_keys: int = 1
    fullfsync: int = 1


def pragmas_for(sqlite: tuple[int, int, int], busy_ms: int = BUSY_MS) -> Pragmas:
    """Return the settings for a SQLite release.

    With the write-ahead log, FULL syncs the log at every commit. With a rollback journal a commit is the removal of the
    journal, and FULL does not sync the folder it is removed from: after a power cut the journal can be back, and it
    then undoes a commit that was acknowledged. EXTRA is FULL with that sync added.

    Args:
        sqlite: the release the program runs with, such as (3, 40, 1).
        busy_ms: how long to wait for another process, in milliseconds.

    Returns:
        The settings wanted.
    """
    if sqlite >= WAL_FIXED:
        return Pragmas(busy_timeout=busy_ms, journal_mode="wal", synchronous=2)
    return Pragmas(busy_timeout=busy_ms, journal_mode="delete", synchronous=3)


def apply_pragmas(connection: sqlite3.Connection, wanted: Pragmas) -> None:
    """Set a fresh connection and read back what it says.

    Args:
        connection: the driver's connection, outside any transaction.
        wanted: the settings.

    Raises:
        RecordUnavailableError: a setting did not take.
        sqlite3.Error: the file is locked, unreadable or not a database.
    """
    for name, value in asdict(wanted).items():
        if read_pragma(connection, name) != value:
            connection.execute(f"PRAGMA {name}={value}")
    found = {name: read_pragma(connection, name) for name in asdict(wanted)}
    for name, value in asdict(wanted).items():
        if found[name] != value:
            raise RecordUnavailableError(
                f"The record cannot be opened safely: its setting {name} stays at {found[name]}, not {value}.",
                given=found[name],
                right="Close every other program that has the record open, then start again.",
                where=name,
            )


def read_pragma(connection: sqlite3.Connection, name: str) -> int | str:
    """Read one setting back from a live connection.

    Args:
        connection: the driver's connection.
        name: the pragma.

    Returns:
        What it stands at.
    """
    row = connection.execute(f"PRAGMA {name}").fetchone()
    value: int | str = row[0]
    return value
