"""Each bad input has its own message, names its field, says what would be right, and leaves everything as it was."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

import borewright
from borewright import Bore
from borewright.errors import BorewrightError
from borewright.record.stream import StreamKind
from tests.unit.door.refusals import ENTRIES, GONE, STARTS, STATES, Refused
from tests.unit.door.sessions import LEAST

SOURCE = Path(borewright.__file__).parent
KINDS: tuple[StreamKind, ...] = ("bore", "tool", "gauge")
ASKED_BY_OTHER_WORDS = {
    "A stored number must be decimal text, so that it is never changed by the computer's binary fractions.",
    "The tool's own record tells of another adjuster.",  # needs a tool with a record: test_start
    "By ",  # a release that the evidence does not show: test_record
}
"""Messages that no row of the tables can call forth; other tests do."""


def without_gone(mapping: Mapping[Any, Any]) -> dict[Any, Any]:
    return {
        name: without_gone(value) if isinstance(value, Mapping) else value
        for name, value in mapping.items()
        if value is not GONE
    }


def hold(row: Refused, error: BorewrightError) -> None:
    assert error.where == row.where
    assert error.wrong.startswith(row.wrong)
    assert row.right in error.right
    assert error.right
    assert error.as_problem()["problem"] == row.error.name


@pytest.mark.parametrize("row", STARTS, ids=lambda row: f"{row.where or 'start'}: {row.wrong}"[:60])
def test_what_a_bore_is_not_started_with(row: Refused) -> None:
    given = without_gone({**LEAST, **row.given}) if isinstance(row.given, Mapping) else row.given
    with pytest.raises(row.error) as caught:
        Bore.start(given)
    hold(row, caught.value)


@pytest.mark.parametrize(
    ("state", "row"),
    ENTRIES,
    ids=lambda given: f"{given.where}: {given.wrong}"[:60] if isinstance(given, Refused) else "",
)
def test_what_is_not_recorded(state: str, row: Refused) -> None:
    bore = STATES[state]()
    entry = row.given(bore) if callable(row.given) else row.given
    before = {kind: bore.events(kind) for kind in KINDS}, bore.belief
    with pytest.raises(row.error) as caught:
        bore.record(entry)
    hold(row, caught.value)
    assert ({kind: bore.events(kind) for kind in KINDS}, bore.belief) == before
    assert bore.belief is before[1]


def messages() -> Iterator[tuple[str, str]]:
    """List what the record room and the turn of events say is wrong with what was given."""
    doors = [SOURCE / "sizing" / name for name in ("bore.py", "opening.py", "turn.py")]
    modules = [*(SOURCE / "record").rglob("*.py"), *doors]
    for module in modules:
        if module.name == "faults.py":  # says what the reader says, all at once: tests/unit/record/test_faults.py
            continue
        for node in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.args:
                said = node.args[0]
                if node.func.id in {"EntryError", "OutOfTurnError", "NotHeldError"}:
                    yield from ((module.name, words) for words in constant_starts(said))


def constant_starts(said: ast.expr) -> Iterator[str]:
    if isinstance(said, ast.Constant):
        yield str(said.value)
    elif isinstance(said, ast.JoinedStr) and isinstance(said.values[0], ast.Constant):
        yield str(said.values[0].value)


def test_every_message_is_called_forth() -> None:
    rows = [row.wrong for row in STARTS] + [row.wrong for _, row in ENTRIES]
    found = sorted(set(messages()))
    assert len(found) > 30
    untried = [
        (module, words)
        for module, words in found
        if not any(row.startswith(words) or words.startswith(row) for row in rows)
    ]
    assert {words for _, words in untried} == ASKED_BY_OTHER_WORDS
