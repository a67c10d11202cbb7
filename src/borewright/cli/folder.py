"""Where the records are kept."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from borewright.shop.database import FILE_NAME
from borewright.shop.store import Store

Found = TypeVar("Found")
Nothing = TypeVar("Nothing")


def data_folder(given: Path | None) -> Path:
    """Choose the folder of the records.

    Args:
        given: from the command line or ``BOREWRIGHT_DATA``, or None.

    Returns:
        That folder, or else ``borewright`` in the user's own data folder.
    """
    if given is not None:
        return given
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local") / "borewright"
    if sys.platform == "darwin":
        return Path.home() / "Library" / "Application Support" / "borewright"
    named = os.environ.get("XDG_DATA_HOME", "")
    return Path(named if Path(named).is_absolute() else Path.home() / ".local" / "share") / "borewright"


def looked_up(folder: Path, look: Callable[[Store], Found], nothing: Nothing) -> Found | Nothing:
    """Look something up in the record, where one is kept; looking begins none.

    Args:
        folder: the folder of the records.
        look: what looks.
        nothing: what there is where no record is kept.

    Returns:
        What was found.

    Raises:
        RecordUnavailableError: the record cannot be opened.
    """
    if not (folder / FILE_NAME).exists():
        return nothing
    with Store.open(folder) as store:
        return look(store)
