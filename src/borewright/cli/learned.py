"""The command that lists what finished bores taught."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from borewright.cli.folder import looked_up
from borewright.cli.rows import hung, labelled
from borewright.cli.talk import Row, Terminal, say
from borewright.learning.ledger import Lesson
from borewright.learning.words import counted
from borewright.shop.learned import lessons


def run_learned(folder: Path, *, as_json: bool) -> int:
    """List what was learned, tool by tool.

    Args:
        folder: the folder of the records.
        as_json: whether to answer in JSON.

    Returns:
        The exit code.
    """
    found: tuple[Lesson, ...] = looked_up(folder, lessons, ())
    if as_json:
        print(json.dumps([lesson.said(lesson.unit) for lesson in found], ensure_ascii=False))
        return 0
    talk = Terminal()
    if not found:
        say(talk, "Nothing is learned yet: no bore on record is finished.")
    for lesson in found:
        talk.show(lesson_rows(lesson, talk.width))
    return 0


def lesson_rows(lesson: Lesson, width: int) -> list[Row]:
    """Lay out what was learned of one tool in one material.

    Args:
        lesson: the lesson.
        width: columns.

    Returns:
        The rows.
    """
    said: dict[str, Any] = lesson.said(lesson.unit)
    material = f" in {said['material']}" if said["material"] else ""
    days = "" if said["first"] is None else f", {said['first']} to {said['last']}"
    rehearsal = ", rehearsal" if said["simulated"] else ""
    rows = [
        Row(f"{said['tool']}{material}{rehearsal}", "strong"),
        *hung("  ", f"{counted(len(said['bores']))}{days}", width),
    ]
    for line in said["lines"]:
        interval = f" ({line['interval']}; it was {line['before']})" if "low" in line else ""
        rows += hung("  ", f"{line['what']}: {line['value']}{interval}", width)
        rows += hung("      ", line["origin"], width)
    for left in said["left_out"]:
        rows += labelled("left out", f"{left['bore']}: {left['why']}", width)
    return [*rows, Row("")]
