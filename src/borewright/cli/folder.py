"""Where the records are kept."""

from __future__ import annotations

import os
import sys
from pathlib import Path


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
