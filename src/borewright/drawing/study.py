"""A gauge study drawn: every reading by part and by person, each as far off its part's mean as it is.

The upper band stands a part beside a part: what one part reads differently shows there, and who read it, by the shape
of the mark. The lower band stands a person beside a person: a mean off the line shows who reads more or less than the
others, the height of a cloud how much a person's own readings scatter; its readings stand in the order of the parts.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from borewright.drawing.svg import Drawing
from borewright.gauging.study import Study
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length

BAND: Final = 200.0
LEFT, RIGHT = 120.0, 30.0
TOP: Final = 56.0
BETWEEN: Final = 74.0
MARK: Final = 5.0
MOST_NAMED: Final = 24
"""Parts or people, at most, whose names are written; of more, every second, third and so on."""

Corners = list[tuple[float, float]]


def _square(x: float, y: float) -> Corners:
    return [(x - MARK, y - MARK), (x + MARK, y - MARK), (x + MARK, y + MARK), (x - MARK, y + MARK)]


def _diamond(x: float, y: float) -> Corners:
    return [(x, y - 1.4 * MARK), (x + 1.4 * MARK, y), (x, y + 1.4 * MARK), (x - 1.4 * MARK, y)]


def _up(x: float, y: float) -> Corners:
    return [(x, y - 1.3 * MARK), (x + 1.3 * MARK, y + MARK), (x - 1.3 * MARK, y + MARK)]


def _down(x: float, y: float) -> Corners:
    return [(x, y + 1.3 * MARK), (x + 1.3 * MARK, y - MARK), (x - 1.3 * MARK, y - MARK)]


SHAPES: Final[tuple[Callable[[float, float], Corners], ...]] = (_square, _diamond, _up, _down)
"""Marks of people, in turn: told apart by their shape, never by colour alone."""


def draw_study(study: Study, unit: Unit, *, width: float = 900.0, standalone: bool = True) -> str:
    """Draw a study by part and by person.

    Args:
        study: the study.
        unit: unit to show lengths in.
        width: how wide it is drawn.
        standalone: whether it carries its own ink, for docs and paper.

    Returns:
        An SVG element, the same bytes for the same study.
    """
    off = study.readings_mm - study.readings_mm.mean(axis=(1, 2), keepdims=True)
    most = float(np.abs(off).max())
    drawing = Drawing(
        width,
        TOP + 2.0 * BAND + BETWEEN + 46.0,
        title="The study by part and by person",
        desc=_said(study, off, unit),
        name="study",
        standalone=standalone,
    )
    shown = _length(most, unit)
    drawing.text("d-note", LEFT, 24.0, 16, f"each reading less its part's mean; the bands reach {shown} either way")
    scale = 0.0 if most == 0.0 else 0.46 * BAND / most
    tops = (TOP, TOP + BAND + BETWEEN)
    for top, names, words in zip(tops, (study.parts, study.people), ("by part", "by person"), strict=True):
        _band(drawing, (top, width), names, words)
    _by_part(drawing, study, off, scale, width)
    _by_person(drawing, study, off, scale, (tops[1], width))
    return drawing.svg()


def _length(mm: float, unit: Unit) -> str:
    return show_length(mm, unit, decimals=5 if unit == "mm" else 6)


def _said(study: Study, off: np.ndarray, unit: Unit) -> str:
    means = [
        f"{who} reads {_length(float(off[:, place].mean()), unit)} off the mean, "
        f"at most {_length(float(np.abs(off[:, place]).max()), unit)}."
        for place, who in enumerate(study.people)
    ]
    widest = int(np.ptp(off, axis=(1, 2)).argmax())
    return " ".join([*means, f"Part {study.parts[widest]} is read most differently."])


def _column(place: int, count: int, width: float) -> float:
    return LEFT + (width - LEFT - RIGHT) * (place + 0.5) / count


def _band(drawing: Drawing, across: tuple[float, float], names: tuple[str, ...], words: str) -> None:
    top, width = across
    drawing.rect("d-tolerance", LEFT, top, width - RIGHT, top + BAND)
    drawing.line("d-limit", (LEFT, top + 0.5 * BAND), (width - RIGHT, top + 0.5 * BAND))
    drawing.text("d-figure", LEFT - 14.0, top + 0.5 * BAND + 6.0, 17, words, "end")
    every = -(-len(names) // MOST_NAMED)
    for place, name in enumerate(names):
        x = _column(place, len(names), width)
        drawing.line("d-extension", (x, top), (x, top + BAND))
        if place % every == 0:
            drawing.text("d-word", x, top + BAND + 22.0, 15, name if len(name) <= 14 else f"{name[:13]}…", "middle")


def _by_part(drawing: Drawing, study: Study, off: np.ndarray, scale: float, width: float) -> None:
    middle, count = TOP + 0.5 * BAND, len(study.people)
    step = min(16.0, 0.8 * (width - LEFT - RIGHT) / len(study.parts) / count)
    for part in range(len(study.parts)):
        for who in range(count):
            x = _column(part, len(study.parts), width) + step * (who - 0.5 * (count - 1))
            for reading in off[part, who]:
                drawing.polygon("d-flag", SHAPES[who % len(SHAPES)](x, middle - scale * float(reading)))


def _by_person(drawing: Drawing, study: Study, off: np.ndarray, scale: float, across: tuple[float, float]) -> None:
    top, width = across
    middle = top + 0.5 * BAND
    for who, name in enumerate(study.people):
        x = _column(who, len(study.people), width)
        apart = min(6.0, 0.6 * (width - LEFT - RIGHT) / len(study.people) / len(study.parts))
        for part, readings in enumerate(off[:, who]):
            beside = x + apart * (part - 0.5 * (len(study.parts) - 1))
            for reading in readings:
                drawing.polygon("d-flag", SHAPES[who % len(SHAPES)](beside, middle - scale * float(reading)))
        mean = middle - scale * float(off[:, who].mean())
        half = 0.5 * apart * len(study.parts) + 14.0
        drawing.line("d-aim-at", (x - half, mean), (x + half, mean))
        drawing.polygon("d-flag", SHAPES[who % len(SHAPES)](x - 0.5 * 8.0 * len(name[:14]) - 18.0, top + BAND + 17.0))
