"""A fault of the program itself: kept in a file for whoever mends it, told in words to whoever met it."""

from __future__ import annotations

import tempfile
import traceback

from borewright import __version__


def keep_fault(error: BaseException) -> str:
    """Write what a mender needs into a file.

    Args:
        error: what was raised.

    Returns:
        What to tell the person.
    """
    said = f"The program itself is at fault here ({type(error).__name__}). Every entry that was acknowledged is kept."
    try:
        with tempfile.NamedTemporaryFile(
            "w", encoding="utf-8", prefix="borewright-fault-", suffix=".txt", delete=False
        ) as file:
            file.write(f"borewright {__version__}\n")
            file.writelines(traceback.format_exception(error))
    except OSError:
        return said
    return f"{said}\nPlease hand this file to whoever looks after the program: {file.name}"
