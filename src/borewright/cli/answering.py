"""How a command that records nothing answers: in rows for the eye, in JSON for a program, or with what is wrong."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping
from typing import TypeVar

from borewright.cli.talk import Row, Terminal
from borewright.errors import BorewrightError

Found = TypeVar("Found")


def answer(
    look: Callable[[], Found],
    plain: Callable[[Found], Mapping[str, object]],
    rows: Callable[[Found, int], list[Row]],
    *,
    as_json: bool,
) -> int:
    """Look, and say what was found.

    Args:
        look: what looks.
        plain: makes plain values of what it found.
        rows: draws it, by the columns there are.
        as_json: whether to answer in JSON.

    Returns:
        The exit code: 0, or 2 where it could not be done; the message then stands on stderr, a JSON problem on stdout.
    """
    try:
        found = look()
    except BorewrightError as error:
        if as_json:
            print(json.dumps(error.as_problem(), ensure_ascii=False))
        else:
            print(error, file=sys.stderr)
        return 2
    if as_json:
        print(json.dumps(plain(found), ensure_ascii=False))
        return 0
    talk = Terminal()
    talk.show(rows(found, talk.width))
    return 0
