"""A bore's door as JSON lines: one question a line, one answer a line, in memory only."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING, BinaryIO, Final

from borewright.errors import BorewrightError, EntryError, OutOfTurnError
from borewright.exchange.plain_json import read_object

if TYPE_CHECKING:
    from borewright import Bore

ASKED: Final = ("start", "record", "advise", "plans", "cut")
_EXAMPLE: Final = 'Write {"start": {...}}, {"record": {"event": ...}}, {"advise": {}}, {"plans": {}} or {"cut": {}}.'
MINUTES: Final = ("pass_minutes", "measurement_minutes")
_MINUTES: Final = 'Write {"plans": {"pass_minutes": 4, "measurement_minutes": 1.5}}, or {"plans": {}}.'
_LONGEST: Final = 1_000_000


class Door:
    """Answers lines, one bore at a time; a new start begins another."""

    def __init__(self) -> None:
        self.bore: Bore | None = None

    def answer(self, line: bytes) -> Mapping[str, object]:
        """Answer one line.

        Args:
            line: JSON in UTF-8.

        Returns:
            Plain values.

        Raises:
            BorewrightError: the line cannot be understood, or what it asks cannot be done.
        """
        asked, given = _understood(line)
        if asked == "start":
            from borewright import Bore

            self.bore = Bore.start(given)
            return self.bore.recorded(self.bore.events()[0])
        if self.bore is None:
            raise OutOfTurnError("No bore is started.", right='Write {"start": {...}} first.')
        if asked == "plans":
            return _plans(self.bore, given)
        if asked == "cut":
            return _cut(self.bore, given)
        return self.bore.record(given) if asked == "record" else self.bore.advise()


def _plans(bore: Bore, given: Mapping[str, object]) -> Mapping[str, object]:
    for name in given:
        if name not in MINUTES:
            raise EntryError("There is no such field.", given=name, right=_MINUTES, where="plans")
    return bore.plans(pass_minutes=given.get(MINUTES[0]), measurement_minutes=given.get(MINUTES[1]))


def _cut(bore: Bore, given: Mapping[str, object]) -> Mapping[str, object]:
    from borewright.sizing.taught_push_off import cut_of_bore

    for name in given:
        raise EntryError("There is no such field.", given=name, right='Write {"cut": {}}.', where="cut")
    found = cut_of_bore(bore, bore.plans(), bore.unit)
    return {"cut": None if found is None else found.plain()}


def run_lines() -> int:
    """Answer standard input line by line on standard output until it ends.

    Returns:
        The exit code: 0; a line that cannot be answered is answered by its problem.
    """
    door = Door()
    source: BinaryIO = sys.stdin.buffer
    for number, line in enumerate(source, 1):
        if line.strip():
            _write(_answer(door, line, number))
    return 0


def _answer(door: Door, line: bytes, number: int) -> Mapping[str, object]:
    try:
        return door.answer(line)
    except BorewrightError as error:
        return {**error.as_problem(), "line": number}


def _write(answer: Mapping[str, object]) -> None:
    text = json.dumps(answer, ensure_ascii=False, default=str)
    sys.stdout.buffer.write(text.encode("utf-8", "backslashreplace") + b"\n")
    sys.stdout.buffer.flush()


def _understood(line: bytes) -> tuple[str, Mapping[str, object]]:
    if len(line) > _LONGEST:
        raise EntryError(f"The line is longer than {_LONGEST} bytes.", right=_EXAMPLE)
    body = read_object(line, _EXAMPLE)
    if len(body) != 1 or next(iter(body)) not in ASKED:
        raise EntryError("That is not one question.", given=line.decode("utf-8-sig").strip()[:80], right=_EXAMPLE)
    asked, given = next(iter(body.items()))
    if not isinstance(given, dict):
        raise EntryError("Named fields are wanted.", given=str(given)[:80], right=_EXAMPLE, where=asked)
    return asked, given
