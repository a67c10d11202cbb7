"""A person who says what a list says, for tests of the session."""

from __future__ import annotations

from collections.abc import Iterable

from borewright.cli.talk import LeftError, Row


class Scripted:
    """Gives one answer after another, and keeps everything that was shown.

    Args:
        answers: what is typed; ``PRESS`` takes what stands on the line already.
        width: columns.
    """

    def __init__(self, answers: Iterable[str], width: int = 80) -> None:
        self.answers = iter(answers)
        self.width = width
        self.rows: list[Row] = []
        self.offered: list[str] = []

    @property
    def screen(self) -> str:
        """Everything shown, with runs of spaces and line ends made one space."""
        return " ".join(" ".join(row.text for row in self.rows).split())

    def show(self, rows: Iterable[Row]) -> None:
        shown = list(rows)
        assert all(len(row.text) <= self.width for row in shown), max(shown, key=lambda row: len(row.text))
        self.rows += shown

    def ask(self, question: str, *, typed: str = "") -> str:
        self.offered.append(typed)
        self.rows.append(Row(question))
        try:
            return next(self.answers)
        except StopIteration:
            raise LeftError from None
