"""Finds the line on which each key and table of a TOML text stands, so that a fault can be told by its line.

The standard library's reader gives values without places. This walks the same text once more and notes only places;
it trusts that the reader has already accepted the text, so it needs no messages of its own.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left
from typing import TypeAlias

Path: TypeAlias = tuple[str | int, ...]
"""Keys and array positions (from 0) from the top of the file, such as ``("bore", 1, "gauge", "step")``."""

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_BARE_VALUE = re.compile(r"[^,\]}#\n]+")
_GAP = re.compile(r"[ \t]*")
_GAP_AND_LINES = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")


def key_lines(text: str) -> dict[Path, int]:
    """Find where each key, table and array element of a TOML text stands.

    Args:
        text: a text that ``tomllib`` reads without an error.

    Returns:
        The line, from 1, of each path; the empty path is line 1. A table made by several headers or dotted keys has
        the line of the first.
    """
    return _Walk(text).run()


def nearest_line(lines: dict[Path, int], path: Path) -> int:
    """Find the line to name for a path that may not stand in the file, as a missing field does not.

    Args:
        lines: what ``key_lines`` gave.
        path: the field sought.

    Returns:
        Its line, or else that of the innermost table around it.
    """
    while path not in lines:
        path = path[:-1]
    return lines[path]


class _Walk:
    """One walk over the text, left to right, noting the line at each key."""

    def __init__(self, text: str) -> None:
        self.text = text.replace("\r\n", "\n")
        self.at = 0
        self.line_ends = [found.start() for found in re.finditer("\n", self.text)]
        self.lines: dict[Path, int] = {(): 1}
        self.array_lengths: dict[Path, int] = {}

    def run(self) -> dict[Path, int]:
        table: Path = ()
        self.skip(_GAP_AND_LINES)
        while self.at < len(self.text):
            if self.text.startswith("[", self.at):
                table = self.header()
            else:
                self.pair(table)
            self.skip(_GAP_AND_LINES)
        return self.lines

    def header(self) -> Path:
        """Read ``[a.b]`` or ``[[a.b]]`` and return the path of the table that it opens."""
        line = self.line()
        many = self.text.startswith("[[", self.at)
        self.at += 2 if many else 1
        names = self.keys()
        self.at += 2 if many else 1
        path: Path = ()
        for place, name in enumerate(names):
            path = (*path, name)
            self.note(path, line)
            last = place == len(names) - 1
            if last and many:
                self.array_lengths[path] = self.array_lengths.get(path, 0) + 1
            if path in self.array_lengths:
                path = (*path, self.array_lengths[path] - 1)
                self.note(path, line)
        return path

    def pair(self, table: Path) -> None:
        """Read ``key = value`` or ``a.b = value`` in a table."""
        path = table
        line = self.line()
        for name in self.keys():
            path = (*path, name)
            self.note(path, line)
        self.at += 1
        self.value(path)

    def value(self, path: Path) -> None:
        self.skip(_GAP)
        first = self.text[self.at]
        if first == "{":
            self.inline_table(path)
        elif first == "[":
            self.array(path)
        else:
            self.skip(_STRING if first in "\"'" else _BARE_VALUE)

    def inline_table(self, path: Path) -> None:
        self.at += 1
        self.skip(_GAP_AND_LINES)
        while self.text[self.at] != "}":
            self.pair(path)
            self.skip_comma()
        self.at += 1

    def array(self, path: Path) -> None:
        self.at += 1
        self.skip(_GAP_AND_LINES)
        index = 0
        while self.text[self.at] != "]":
            self.note((*path, index), self.line())
            self.value((*path, index))
            self.skip_comma()
            index += 1
        self.at += 1

    def skip_comma(self) -> None:
        self.skip(_GAP_AND_LINES)
        if self.text[self.at] == ",":
            self.at += 1
            self.skip(_GAP_AND_LINES)

    def keys(self) -> list[str]:
        """Read a key, dotted or not, up to the ``=`` or ``]`` behind it."""
        names: list[str] = []
        while True:
            self.skip(_GAP)
            start = self.at
            if self.text[start] in "\"'":
                self.skip(_STRING)
                quoted = self.text[start : self.at]
                names.append(tomllib.loads(f"key = {quoted}")["key"])
            else:
                self.skip(_BARE_KEY)
                names.append(self.text[start : self.at])
            self.skip(_GAP)
            if self.text[self.at] != ".":
                return names
            self.at += 1

    def skip(self, pattern: re.Pattern[str]) -> None:
        found = pattern.match(self.text, self.at)
        if found is not None:
            self.at = found.end()

    def note(self, path: Path, line: int) -> None:
        self.lines.setdefault(path, line)

    def line(self) -> int:
        return bisect_left(self.line_ends, self.at) + 1
