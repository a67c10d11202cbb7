"""What the Learned page is made from: each tool with its materials, and each thing learned with its picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from borewright.drawing.narrowed import draw_narrowed
from borewright.learning.ledger import Lesson, Line
from borewright.learning.words import counted
from borewright.quantity.length import Unit
from borewright.sizing.priors import LEARNED
from borewright.web.pictures import Picture

NONE_YET: Final = "No bore of its own is finished; what other tools showed is all there is."
"""What a lesson rests on where no bore of the tool in the material counts."""


@dataclass(frozen=True, slots=True)
class LineView:
    """One thing learned.

    Args:
        what: what it is.
        value: the best estimate.
        interval: where it lies 95 times in 100; empty for a setting.
        before: where it was thought to lie.
        origin: what it rests on.
        picture: both intervals; empty for a setting.
    """

    what: str
    value: str
    interval: str
    before: str
    origin: str
    picture: Picture


@dataclass(frozen=True, slots=True)
class LessonView:
    """What was learned of a tool in a material.

    Args:
        tool: what the tool is called, or which bore's it is.
        material: the material; empty where it was not said.
        rehearsed: whether simulated machines taught it.
        rests_on: how many bores, and when.
        bores: their names in the record.
        lines: what was learned.
        left_out: what it does not rest on, and why.
    """

    tool: str
    material: str
    rehearsed: bool
    rests_on: str
    bores: tuple[str, ...]
    lines: tuple[LineView, ...]
    left_out: tuple[str, ...]


def learned_view(lessons: Sequence[Lesson], unit: Unit) -> tuple[LessonView, ...]:
    """Make what the page shows.

    Args:
        lessons: what was learned.
        unit: the unit shown.

    Returns:
        One for each lesson, in their order.
    """
    return tuple(_lesson(lesson, unit) for lesson in lessons)


def _lesson(lesson: Lesson, unit: Unit) -> LessonView:
    said: dict[str, Any] = lesson.said(unit)
    days = "" if said["first"] is None else f", {said['first']} to {said['last']}"
    return LessonView(
        tool=_called(lesson.tool),
        material=lesson.material,
        rehearsed=bool(said["simulated"]),
        rests_on=f"{counted(len(said['bores']))}{days}:" if said["bores"] else NONE_YET,
        bores=tuple(said["bores"]),
        lines=tuple(_line(line, unit) for line in lesson.lines),
        left_out=tuple(f"{left['bore']}: {left['why']}" for left in said["left_out"]),
    )


def _called(tool: str) -> str:
    """Say which tool it is; one that was never named has a record after its bore, and no other bore begins with it."""
    bore = tool.removesuffix(".tool")
    return tool if bore == tool else f"the tool of {bore}, never named"


def _line(line: Line, unit: Unit) -> LineView:
    said = line.said(unit)
    interval = said.get("interval", "")
    picture = ""
    if interval:
        desc = f"{said['what']}: {interval}; before, {said['before']}."
        picture = draw_narrowed(
            line.ends(line.before), line.ends(line.now), line.now.value, title=said["what"], desc=desc
        )
    rests_on = said["origin"].removeprefix(f"{LEARNED}: ")
    return LineView(said["what"], said["value"], interval, said["before"], rests_on, Picture(picture))
