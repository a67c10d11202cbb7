"""What SQLite and the file system refuse, in the shop's words."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from borewright.errors import BorewrightError, DamagedRecordError, RecordUnavailableError

_AGAIN: Final = "Then enter it again; with the same key an entry is never stored twice."
_UNAVAILABLE: Final = {
    "SQLITE_BUSY": ("Another program kept the record locked too long.", f"Close what holds it. {_AGAIN}"),
    "SQLITE_LOCKED": ("Another part of this program kept the record locked.", _AGAIN),
    "SQLITE_FULL": ("The disk that holds the record is full; nothing was stored.", f"Make room. {_AGAIN}"),
    "SQLITE_READONLY_DBMOVED": (
        "The file of the record was moved or deleted while this program had it open; nothing was stored.",
        f"Put it back, start again. {_AGAIN}",
    ),
    "SQLITE_READONLY": (
        "The record may be read but not written.",
        "Give this user the right to write the data folder and the files in it, or choose another with --data.",
    ),
    "SQLITE_CANTOPEN": (
        "The record cannot be opened.",
        "See that the data folder exists and that this user may write it, or choose another with --data.",
    ),
    "SQLITE_PERM": ("This user may not open the record.", "Give this user the right to read and write it."),
    "SQLITE_IOERR": (
        "The disk refused to read or write the record; the last entry may not be stored.",
        f"See to the disk: its space, its cable, its health. {_AGAIN}",
    ),
}
_DAMAGED: Final = {
    "SQLITE_NOTADB": ("This file is not a record of this program.", "Move it away, or choose another folder."),
    "SQLITE_CORRUPT": (
        "The file of the record is damaged.",
        "Stop, copy the whole data folder as it is, then restore the last backup.",
    ),
    "SQLITE_CONSTRAINT_TRIGGER": (
        "The record refused a change: it can only be added to, number by number.",
        "Correct an entry with a correction.",
    ),
}


@contextmanager
def in_own_words(path: Path) -> Iterator[None]:
    """Turn what the driver and the file system refuse inside the block into the family of errors.

    Args:
        path: the file of the record, named in the message.

    Yields:
        Nothing; wrap the block that touches the file.

    Raises:
        RecordUnavailableError: the file is locked, full, read-only or cannot be opened.
        DamagedRecordError: the file is not a record, or is damaged.
    """
    from sqlalchemy.exc import DBAPIError

    try:
        yield
    except BorewrightError:
        raise
    except DBAPIError as error:
        if isinstance(error.orig, sqlite3.Error):
            raise said(error.orig, path) from error
        raise
    except sqlite3.Error as error:
        raise said(error, path) from error
    except OSError as error:
        raise RecordUnavailableError(
            f"The data folder cannot be used: {error.strerror}.",
            given=error.filename,
            right="Give this user the right to write it, or choose another with --data.",
            where=str(path),
        ) from error


def said(error: sqlite3.Error, path: Path) -> BorewrightError:
    """Say one of SQLite's errors in the shop's words.

    Args:
        error: what the driver raised.
        path: the file of the record.

    Returns:
        The error to raise in its place.
    """
    code = getattr(error, "sqlite_errorname", "")
    for known, (wrong, right) in _UNAVAILABLE.items():
        if code == known or code.startswith(f"{known}_"):
            return RecordUnavailableError(wrong, given=f"{code}: {error}", right=right, where=str(path))
    for known, (wrong, right) in _DAMAGED.items():
        if code == known or code.startswith(f"{known}_"):
            return DamagedRecordError(wrong, given=f"{code}: {error}", right=right, where=str(path))
    return DamagedRecordError(
        "The record answered in an unexpected way.",
        given=f"{code}: {error}",
        right="Check the record, and report what stands here.",
        where=str(path),
    )
