"""Rows of words laid out to a width."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Final

from borewright.cli.talk import Row

INDENT: Final = "  "
_LABEL: Final = 11


def wrapped(text: str, width: int, indent: str = INDENT) -> list[Row]:
    """Fill words into lines.

    Args:
        text: the words.
        width: columns.
        indent: what stands before each line.

    Returns:
        The rows.
    """
    return [Row(line) for line in textwrap.wrap(text, width, initial_indent=indent, subsequent_indent=indent)]


def strong(text: str, width: int) -> list[Row]:
    """Fill words into lines that stand out.

    Args:
        text: the words.
        width: columns.

    Returns:
        The rows.
    """
    return [Row(row.text, "strong") for row in wrapped(text, width)]


def labelled(label: str, text: str, width: int) -> list[Row]:
    """Fill words into lines behind a label.

    Args:
        label: the label, a word or two.
        text: the words; none gives no rows.
        width: columns.

    Returns:
        The rows.
    """
    return hung(f"{INDENT}{label.ljust(_LABEL)}", text, width) if text else []


def hung(first: str, text: str, width: int) -> list[Row]:
    """Fill words into lines, all but the first set in as far as what stands before it.

    Args:
        first: what stands before the first line.
        text: the words.
        width: columns.

    Returns:
        The rows.
    """
    return [Row(line) for line in textwrap.wrap(text, width, initial_indent=first, subsequent_indent=" " * len(first))]


def pairs(table: Sequence[tuple[str, str]], width: int) -> list[Row]:
    """Set names and what belongs to them side by side.

    Args:
        table: names and values; a name without a value takes the whole width.
        width: columns.

    Returns:
        The rows.
    """
    rows: list[Row] = []
    left = min(max((len(name) for name, value in table if value), default=0), width // 2)
    for name, value in table:
        if value:
            first = name if len(name) <= left else ""
            rows += wrapped(name, width) if not first else []
            rows += hung(f"{INDENT}{first.ljust(left)}  ", value, width)
        else:
            rows += wrapped(name, width)
    return rows


def hash_rows(digest: str, width: int, indent: str = INDENT) -> list[Row]:
    """Show a hash whole, or in two halves where the line is too short for it.

    Args:
        digest: 64 hexadecimal digits.
        width: columns.
        indent: what stands before it.

    Returns:
        The rows.
    """
    if len(indent) + len(digest) <= width:
        return [Row(indent + digest)]
    half = len(digest) // 2
    return [Row(indent + digest[:half]), Row(indent + digest[half:])]
