"""What a person typed at the prompt: nothing, a value, or a word with something behind it."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from borewright.errors import EntryError

Word: TypeAlias = Literal[
    "why", "assumed", "help", "undo", "temperature", "note", "leave", "record",
    "read", "check", "moved", "cut", "trial", "set", "seated", "edge", "ring", "recheck",
    "clamped", "unclamped", "waited", "release", "aside", "reopen",
]  # fmt: skip

WORDS: Final[dict[Word, tuple[str, ...]]] = {
    "why": ("?", "why", "arithmetic"),
    "assumed": ("a", "assumed", "assumptions"),
    "help": ("h", "help"),
    "undo": ("u", "undo", "back"),
    "temperature": ("t", "temp", "temperature"),
    "note": ("n", "note"),
    "leave": ("q", "quit", "leave", "exit"),
    "record": ("l", "list", "record"),
    "read": ("r", "read", "reading"),
    "check": ("check", "hole"),
    "moved": ("m", "move", "moved", "open", "opened", "close", "closed"),
    "cut": ("c", "cut", "pass", "passed"),
    "trial": ("trial",),
    "set": ("s", "set"),
    "seated": ("seat", "seated", "spindle"),
    "edge": ("edge", "insert"),
    "ring": ("ring", "blocks", "anvils"),
    "recheck": ("recheck", "rechecked"),
    "clamped": ("clamp", "clamped"),
    "unclamped": ("unclamp", "unclamped"),
    "waited": ("wait", "waited"),
    "release": ("release", "released"),
    "aside": ("aside", "quarantine"),
    "reopen": ("reopen",),
}
_BY_NAME: Final = {name: word for word, names in WORDS.items() for name in names}
_VALUE = re.compile(r"[-+−]?\s*[Ø⌀]?\s*[.,]?\d.*", re.DOTALL)
_YES: Final = frozenset({"", "y", "yes", "ok"})


@dataclass(frozen=True, slots=True)
class Said:
    """What was typed.

    Args:
        word: the command, or None for a bare value or nothing.
        name: the command as it was typed, such as ``close`` for ``moved``.
        rest: what stood behind the command, or the bare value; empty for nothing.
    """

    word: Word | None
    name: str
    rest: str


def understand(typed: str) -> Said:
    """Tell nothing, a value and a command apart.

    Args:
        typed: the line as typed.

    Returns:
        What was said.

    Raises:
        EntryError: it begins with a word that is not known here.
    """
    text = "".join(letter if letter.isprintable() else " " for letter in typed).strip()
    if not text or _VALUE.fullmatch(text):
        return Said(None, "", text)
    name, _, rest = text.partition(" ")
    if name[0] == "?":
        return Said("why", "?", "")
    word = _BY_NAME.get(name.lower().rstrip(":.,"))
    if word is not None:
        return Said(word, name.lower().rstrip(":.,"), rest.strip())
    near = difflib.get_close_matches(name.lower(), [known for known in _BY_NAME if len(known) > 2], n=1)
    right = f"Did you mean {near[0]}? " if near else ""
    raise EntryError(
        "That is not a word known here.",
        given=text,
        right=f"{right}Type h for the words, or n and a note to keep words.",
    )


def is_yes(typed: str) -> bool:
    """Tell whether an answer says yes; Enter alone does.

    Args:
        typed: the line as typed.

    Returns:
        Whether it is yes.
    """
    return typed.strip().lower() in _YES
