"""Copies of the record's file that are whole and on the disk before anybody is told that they exist."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from borewright.errors import DamagedRecordError, EntryError
from borewright.shop.disk import sync_file, sync_folder


def copy_database(source: Path, to: Path, busy_ms: int) -> None:
    """Copy a database that may be in use, as it stands at one moment.

    ``VACUUM INTO`` writes a consistent copy but does not sync it; here it is written beside its final name, synced,
    checked, and only then given that name.

    Args:
        source: the file of the record.
        to: the copy; its folder exists, it does not.
        busy_ms: how long to wait for another process, in milliseconds.

    Raises:
        EntryError: something of that name is there already.
        DamagedRecordError: the copy does not check out.
        sqlite3.Error: the source cannot be read, or the disk is full.
    """
    if to.exists():
        raise EntryError(
            "There is a file of that name already.", given=str(to), right="Name a file that does not exist yet."
        )
    partial = to.with_name(f"{to.name}.{os.getpid()}.partial")
    partial.unlink(missing_ok=True)
    try:
        with closing(sqlite3.connect(source, isolation_level=None, timeout=busy_ms / 1000)) as connection:
            connection.execute("VACUUM INTO ?", (str(partial),))
        _check_copy(partial)
        sync_file(partial)
        _name_as(partial, to)
    except FileExistsError:
        raise EntryError(
            "There is a file of that name already.", given=str(to), right="Name a file that does not exist yet."
        ) from None
    finally:
        partial.unlink(missing_ok=True)
    sync_folder(to.parent)


def _name_as(partial: Path, to: Path) -> None:
    # A hard link, unlike a rename, fails where another copy took the name in the meantime.
    try:
        os.link(partial, to)
    except FileExistsError:
        raise
    except OSError:  # the file systems of most sticks know no links: take the name first
        to.touch(exist_ok=False)
        partial.replace(to)


def _check_copy(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        found = connection.execute("PRAGMA integrity_check").fetchone()[0]
    if found != "ok":
        raise DamagedRecordError(
            "The copy does not check out; the record itself may be damaged.",
            given=found,
            right="Check the record and the disk before going on.",
        )
