"""Saying and asking: the one place where the session meets a terminal, a pipe, or a test."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterable
from typing import Final, Literal, NamedTuple, Protocol, TypeAlias

NARROWEST: Final = 40
WIDEST: Final = 88
"""Lines longer than this are hard to read back across."""

Look: TypeAlias = Literal["plain", "strong", "state"]
_CODES: Final[dict[Look, str]] = {"plain": "", "strong": "\x1b[1m", "state": "\x1b[1;7m"}
_PLAIN_LETTERS: Final = str.maketrans(
    {
        "─": "-",
        "█": "#",
        "·": "-",
        "−": "-",
        "µ": "u",
        "°": " ",
        "±": "+/-",
        "Ø": "dia ",
        "×": "x",
        "…": "...",
        "’": "'",
    }
)


class Row(NamedTuple):
    """One line on the screen and how it looks; the look never carries meaning alone."""

    text: str
    look: Look = "plain"


class LeftError(Exception):
    """The person left, or there is nothing more to read."""


class Talk(Protocol):
    """What a session needs of the place it talks to."""

    @property
    def width(self) -> int:
        """Columns to write in."""

    def show(self, rows: Iterable[Row]) -> None:
        """Show rows.

        Args:
            rows: from top to bottom.
        """

    def ask(self, question: str, *, typed: str = "") -> str:
        """Ask, and wait for one line.

        Args:
            question: what stands before the answer.
            typed: what to put on the line already, to be mended.

        Returns:
            What was typed, without the line's end.

        Raises:
            LeftError: there is nothing more to read.
        """


class Terminal:
    """A person at a terminal, or lines through a pipe."""

    def __init__(self) -> None:
        """Take standard input and output as they are, and let odd bytes in or out do no harm."""
        for stream in (sys.stdin, sys.stdout):
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="replace")
        shown = sys.stdout.isatty()
        self.styled = shown and "NO_COLOR" not in os.environ and os.environ.get("TERM", "dumb") != "dumb"
        self.edits = shown and sys.stdin.isatty()
        self.draws = (sys.stdout.encoding or "").lower().startswith("utf")

    @property
    def width(self) -> int:
        """Columns to write in."""
        return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((80, 24)).columns))

    def show(self, rows: Iterable[Row]) -> None:
        """Show rows.

        Args:
            rows: from top to bottom.
        """
        for row in rows:
            text = self._letters(row.text)
            code = _CODES[row.look] if self.styled else ""
            print(f"{code}{text}\x1b[0m" if code else text)
        sys.stdout.flush()

    def ask(self, question: str, *, typed: str = "") -> str:
        """Ask, and wait for one line.

        Args:
            question: what stands before the answer.
            typed: what to put on the line already, to be mended.

        Returns:
            What was typed, without the line's end.

        Raises:
            LeftError: there is nothing more to read.
        """
        try:
            if self.edits:
                return _edited(self._letters(question), typed)
            return _piped(self._letters(question))
        except EOFError:
            raise LeftError from None

    def _letters(self, text: str) -> str:
        return text if self.draws else text.translate(_PLAIN_LETTERS)


def say(talk: Talk, *lines: str) -> None:
    """Show plain lines.

    Args:
        talk: where.
        lines: from top to bottom.
    """
    talk.show(Row(line) for line in lines)


def _edited(question: str, typed: str) -> str:
    import readline

    readline.set_startup_hook((lambda: readline.insert_text(typed)) if typed else None)
    try:
        return input(question)
    finally:
        readline.set_startup_hook(None)


def _piped(question: str) -> str:
    """Read a line from a pipe or file, and write it behind its question so that what was said can be read."""
    print(question, end="", flush=True)
    line = sys.stdin.readline()
    if not line:
        print()
        raise EOFError
    print(line.rstrip("\r\n"), flush=True)
    return line.rstrip("\r\n")
