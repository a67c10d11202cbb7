"""Reads TOML, and says in plain words what is wrong where it cannot be read.

The standard library's reader stops at its first fault. Where that is a value that only lacks quotes or is written as
no TOML number may be, the value is put in quotes and reading goes on, so that a file's faults are told together.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from borewright.errors import BorewrightError, EntryError

_MOST_FAULTS: Final = 20
_PLACE = re.compile(r" \(at (?:line (?P<line>\d+), column \d+|end of document)\)$")
_BARE_PAIR = re.compile(r"(?P<key>\s*[A-Za-z0-9_.-]+)\s*=\s*(?P<value>[^\s\"'\[{#][^#]*?)\s*(?:#.*)?")
_ANY_PAIR = re.compile(r"\s*(?P<key>[A-Za-z0-9_.-]+)\s*=")
_PLAIN_WORDS: Final = {
    "Expected newline": ("Something stands behind the value.", "Put words, and numbers with a unit, in quotes."),
    "Invalid value": ("That value cannot be read.", "Put words in quotes; begin a number with a digit, as in 0.0003."),
    "Cannot overwrite": ("That name stands there twice.", "Keep one of the two."),
    "Cannot declare": ("That table stands there twice.", "Keep one of the two, or write [[bore]] for each bore."),
    "Cannot mutate": ("That table is closed already.", "Write all of its fields in one place."),
    "Illegal character": ("The quotes are not closed on that line.", 'Close them with ".'),
    "Unterminated string": ("Quotes are not closed.", 'Close them with ".'),
    "Unclosed inline table": (
        "The brace { is not closed on its line.",
        "Close it with }, or give the table its own [name].",
    ),
    "Unclosed array": ("The bracket [ is not closed.", "Close it with ]."),
    "Expected '='": ("That is not a field and its value.", "Write field = value, or # before a remark."),
    "Invalid statement": ("That line cannot be read.", "Write field = value, [table], [[bore]], or # before a remark."),
    "Expected ']": ("The bracket around that name is not closed.", "Write [name], or [[bore]] for a bore."),
    "Unescaped '\\'": ("A backslash in double quotes begins a sign of its own.", "Use single quotes around it."),
}


@dataclass(frozen=True, slots=True)
class TomlRead:
    """What could be read of a TOML text.

    Args:
        values: each decimal fraction as a ``Decimal`` with the digits typed; None where the text could not be read.
        text: the text that the values stand in, line for line as given.
        faults: each with its line and, where it can be seen, its field in ``where``.
    """

    values: dict[str, object] | None
    text: str
    faults: list[BorewrightError]


def read_toml(text: str) -> TomlRead:
    """Read a TOML text, every decimal as typed.

    Args:
        text: the file's text.

    Returns:
        What could be read; where there are faults, the values only serve to find more.
    """
    faults: list[BorewrightError] = []
    while len(faults) < _MOST_FAULTS:
        try:
            return TomlRead(tomllib.loads(text, parse_float=Decimal), text, faults)
        except tomllib.TOMLDecodeError as error:
            fault, mended = _explained(str(error), text)
        except RecursionError:
            fault, mended = (
                EntryError("Brackets in brackets are too deep.", right="Write it flatter.", where="line 1"),
                None,
            )
        faults.append(fault)
        if mended is None:
            break
        text = mended
    return TomlRead(None, text, faults)


def _explained(message: str, text: str) -> tuple[BorewrightError, str | None]:
    """Say one fault in plain words; and give the text with that value in quotes, where that mends it."""
    rows = text.split("\n")
    place = _PLACE.search(message)
    line = int(place["line"]) if place is not None and place["line"] else len(text.rstrip().split("\n"))
    row = rows[line - 1]
    pair = _BARE_PAIR.fullmatch(row.rstrip("\r"))
    if pair is not None and not _reads(row):
        wrong, right = _bare_value(pair["value"])
        rows[line - 1] = f"{pair['key']} = {_quoted(pair['value'])}"
        where = f"line {line}, {pair['key'].strip()}"
        return EntryError(wrong, given=pair["value"], right=right, where=where), "\n".join(rows)
    wrong, right = next(
        (said for begins, said in _PLAIN_WORDS.items() if message.startswith(begins)),
        (_PLACE.sub("", message) + ".", "Mend that line."),
    )
    named = _ANY_PAIR.match(row)
    where = f"line {line}, {named['key']}" if named is not None else f"line {line}"
    return EntryError(wrong, given=row.strip() or None, right=right, where=where), None


def _reads(row: str) -> bool:
    try:
        tomllib.loads(row)
    except tomllib.TOMLDecodeError:
        return False
    return True


def _bare_value(value: str) -> tuple[str, str]:
    """Say what is wrong with a value that stands without quotes, and what would be right."""
    if re.fullmatch(r"[+-]?[\d.,]+", value):
        return _bare_number(value)
    if value.lower() in {"yes", "true", "on"}:
        return "Yes is written true.", "Write true."
    if value.lower() in {"no", "false", "off"}:
        return "No is written false.", "Write false."
    if value[0] in "“”„‘’«»":
        return "Those quotes are a printer's, not a typist's.", 'Use " on both sides.'
    return "Words, and numbers with a unit, need quotes.", f"Write {_quoted(value)}."


def _bare_number(value: str) -> tuple[str, str]:
    quoted = f"ut it in quotes: {_quoted(value)}."
    if re.fullmatch(r"[+-]?\d+,\d+", value):
        return "A bare number takes a point, not a comma.", f"Write {value.replace(',', '.')}, or p{quoted}"
    if re.fullmatch(r"[+-]?\.\d+", value):
        return "A bare number cannot begin with its point.", f"Write {value.replace('.', '0.')}, or p{quoted}"
    if re.fullmatch(r"[+-]?\d+\.", value):
        return "A bare number cannot end with its point.", f"Write {value[:-1]}."
    return "A bare number has one point, and no 0 before its other digits.", f"P{quoted}"


def _quoted(value: str) -> str:
    return f"'{value}'" if '"' in value or "\\" in value else f'"{value}"'
