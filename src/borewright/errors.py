"""One small family of errors that say what was given, what is wrong and what would be right.

The same object becomes a message beside a field, a line on stderr with exit code 2, and a JSON problem.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from math import isfinite
from typing import Final

LONGEST_GIVEN: Final = 200
"""How much of what was given a message repeats."""


class BorewrightError(Exception):
    """The root of the family; never raised itself.

    Args:
        wrong: what is wrong, one sentence.
        given: what was given, as it was given.
        right: what would be right, one sentence.
        where: the field, line or event it belongs to, such as ``bore[2].gauge.step`` or ``line 7``.
    """

    name = "error"

    def __init__(self, wrong: str, *, given: object = None, right: str = "", where: str = "") -> None:
        """Keep the four parts apart so that each edge can lay them out its own way."""
        super().__init__(wrong)
        self.wrong = wrong
        self.given = given
        self.right = right
        self.where = where

    def __str__(self) -> str:
        """Say it in one line: where, what was given, what is wrong, what would be right."""
        where = f"{self.where}: " if self.where else ""
        given = f"{_repeated(self.given)}: " if self.given is not None else ""
        right = f" {self.right}" if self.right else ""
        return f"{where}{given}{self.wrong}{right}"

    def at(self, where: str) -> BorewrightError:
        """Return this error with a place put in front of the one it has.

        Args:
            where: the outer field or line, joined to the inner one with a dot.

        Returns:
            The same error object, so that ``raise error.at("gauge")`` reads well.
        """
        if not self.where:
            self.where = where
        elif self.where.startswith("["):
            self.where = where + self.where
        else:
            self.where = f"{where}.{self.where}"
        return self

    def as_problem(self) -> dict[str, object]:
        """Return the error as plain values for a JSON answer.

        Returns:
            A mapping with ``problem``, ``where``, ``given``, ``wrong`` and ``right``.
        """
        return {
            "problem": self.name,
            "where": self.where,
            "given": _plain(self.given),
            "wrong": self.wrong,
            "right": self.right,
        }


class EntryError(BorewrightError, ValueError):
    """What a person, a file or a program gave cannot be understood or cannot be true."""

    name = "entry"


class NotHeldError(BorewrightError, LookupError):
    """What was asked for is not in the tables or records held here."""

    name = "not held"


class OutOfTurnError(BorewrightError, RuntimeError):
    """The event is understood but does not fit the state the bore or tool is in."""

    name = "out of turn"


class ConflictError(BorewrightError, RuntimeError):
    """The record has moved on since the number the act carried, or a key was used for another body.

    Args:
        wrong: what is wrong, one sentence.
        given: what was given.
        right: what would be right.
        where: the stream it happened on.
        since: the events that came since, as plain mappings, oldest first.
    """

    name = "conflict"

    def __init__(
        self,
        wrong: str,
        *,
        given: object = None,
        right: str = "",
        where: str = "",
        since: Sequence[Mapping[str, object]] = (),
    ) -> None:
        """Keep what came since, so that it can be shown."""
        super().__init__(wrong, given=given, right=right, where=where)
        self.since = tuple(since)

    def as_problem(self) -> dict[str, object]:
        """Return the error as plain values, with what came since.

        Returns:
            The mapping of the family, with ``since`` added.
        """
        return {**super().as_problem(), "since": [dict(event) for event in self.since]}


class DamagedRecordError(BorewrightError, RuntimeError):
    """The stored record does not agree with its own hashes, or cannot be read."""

    name = "damaged record"


class RecordUnavailableError(BorewrightError, OSError):
    """The stored record is there or could be, but cannot be opened, read or written now: locked, full, read-only."""

    name = "record unavailable"


def _plain(given: object) -> object:
    """Return what was given as a value that JSON has; what JSON has no number for, and what is long, as text."""
    if given is None or isinstance(given, bool):
        return given
    if isinstance(given, int | float):
        return given if abs(given) < 2**53 and isfinite(given) else _repeated(given)
    return given[:LONGEST_GIVEN] if isinstance(given, str) else _repeated(given)


def _repeated(given: object) -> str:
    """Repeat what was given, cut where it is long; what cannot even be written out is named by its type."""
    try:
        text = str(given) if isinstance(given, Decimal) else repr(given)
    except (ValueError, RecursionError):
        return f"<{type(given).__name__}>"
    return text if len(text) <= LONGEST_GIVEN else f"{text[:LONGEST_GIVEN]}…"
