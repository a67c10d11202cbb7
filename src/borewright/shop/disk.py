"""Files and folders that are on the disk, not only in the machine's memory, when a call returns."""

from __future__ import annotations

import os
from pathlib import Path


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, where they are missing, and wait until their names are on the disk.

    Args:
        folder: the folder.
    """
    if folder.exists():
        return
    make_folder(folder.parent)
    folder.mkdir(exist_ok=True)
    sync_folder(folder.parent)


def sync_file(path: Path) -> None:
    """Wait until a file's bytes are on the disk.

    Args:
        path: the file.
    """
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_folder(folder: Path) -> None:
    """Wait until the names in a folder are on the disk.

    Args:
        folder: the folder.
    """
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
