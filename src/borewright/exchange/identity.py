"""The name of a bore's stream, from the names of its job and itself."""

from __future__ import annotations

import hashlib
import re
from typing import Final

_LONGEST: Final = 33
_EXACT = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9-]*[A-Za-z0-9])?(?: [A-Za-z0-9](?:[A-Za-z0-9-]*[A-Za-z0-9])?)*")


def tidy_name(name: str) -> str:
    """Take the outer spaces off a name, and make every inner run of spaces one.

    Args:
        name: as typed.

    Returns:
        The name as it is kept.
    """
    return " ".join(name.split())


def bore_identity(job: str, bore: str) -> str:
    """Make the identity of a bore's stream from two names; the same names always give the same one.

    Spaces become underscores and a dot joins the two. Names that cannot be written so without loss get eight digits of
    their SHA-256 behind a second dot, so that no two pairs of names meet in one identity.

    Args:
        job: the job's name.
        bore: the bore's name.

    Returns:
        At most 80 letters, digits, dots, dashes and underscores.
    """
    names = tidy_name(job), tidy_name(bore)
    plain = ".".join(_written(name) for name in names)
    if all(_EXACT.fullmatch(name) and len(name) <= _LONGEST for name in names):
        return plain
    return f"{plain}.{hashlib.sha256(chr(0).join(names).encode()).hexdigest()[:8]}"


def _written(name: str) -> str:
    letters = re.sub(r"[^A-Za-z0-9_-]", "-", name.replace(" ", "_"))[:_LONGEST]
    return letters.strip("-_") or "x"
