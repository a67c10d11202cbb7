"""The command that copies the record to where it outlives this disk."""

from __future__ import annotations

import sys
from pathlib import Path

from borewright.errors import EntryError, RecordUnavailableError
from borewright.shop.database import FILE_NAME
from borewright.shop.store import Store


def run_backup(store: Store, to: Path) -> int:
    """Copy a record into a folder of its own and check the copy.

    Args:
        store: the record; it may be in use.
        to: the folder of the copy; made where it is not there, and refused where it holds a record.

    Returns:
        The exit code: 2 where the copy holds a fault.

    Raises:
        EntryError: a record is there already, or a file has the folder's name.
        RecordUnavailableError: the copy cannot be written.
        DamagedRecordError: the record, or the copy, is damaged.
    """
    file = to / FILE_NAME
    if file.exists():
        raise EntryError(
            "A record is in that folder already; a copy is never written over another.",
            given=str(to),
            right="Name a folder that does not exist yet, such as one with today's date.",
        )
    _make(to)
    checked = store.backup(file)
    for fault in checked.faults:
        print(fault, file=sys.stderr)
    if checked.faults:
        print(f"The copy {file} holds what the record holds, these faults too. Keep older copies.", file=sys.stderr)
        return 2
    print(f"Copied to {file}: {checked.events} events in {len(checked.heads)} streams.")
    print("Every number and every hash of the copy was checked: the chain of each stream is in order.")
    return 0


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise EntryError("That is a file.", given=str(folder), right="Name a folder for the copy.") from None
    except OSError as error:
        raise RecordUnavailableError(
            f"The folder for the copy cannot be made: {error.strerror}.",
            given=str(folder),
            right="See that the disk is there and that this user may write it, or name another folder.",
        ) from error
