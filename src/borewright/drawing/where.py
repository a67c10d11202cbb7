"""Where a bore can be read: its section with the depths, and the view into it with the directions.

A place that was read carries a flag, the next one a larger flag in the colour of what comes next, and says so in words.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from typing import Final, TypeAlias

from borewright.drawing.svg import Drawing

Spot: TypeAlias = tuple[float, float]
"""Depth below the mouth, mm, and direction across the bore, degrees."""

HEIGHT: Final = 250.0
RADIUS: Final = 80.0
FLAG: Final = 6.0


def draw_where(
    depths: Sequence[tuple[float, str]],
    directions: Sequence[float],
    read: Collection[Spot],
    next_: Spot | None,
    *,
    width: float = 640.0,
    standalone: bool = True,
) -> str:
    """Draw where a bore can be read.

    Args:
        depths: each depth that is offered, mm, with its words, the shallowest first; at least one.
        directions: each direction that is offered, degrees.
        read: the places that were read.
        next_: the place that is offered next, or None.
        width: how wide it is drawn.
        standalone: whether it carries its own ink, for docs and paper.

    Returns:
        An SVG element, the same bytes for the same places.
    """
    drawing = Drawing(
        width,
        HEIGHT,
        title="Where to read the bore",
        desc=_said(read, next_),
        name="where",
        standalone=standalone,
    )
    _view(drawing, directions, read, next_, (RADIUS + 44.0, 0.5 * HEIGHT))
    _section(drawing, depths, read, next_, (2.0 * RADIUS + 160.0, width - 30.0))
    return drawing.svg()


def _said(read: Collection[Spot], next_: Spot | None) -> str:
    said = [f"Read at {depth:g} mm, {direction:g}°." for depth, direction in sorted(read)]
    coming = [] if next_ is None else [f"Next: {next_[0]:g} mm, {next_[1]:g}°."]
    return " ".join([*said, *coming]) or "Nothing was read at a place yet."


def _view(
    drawing: Drawing,
    directions: Sequence[float],
    read: Collection[Spot],
    next_: Spot | None,
    middle: tuple[float, float],
) -> None:
    def at(radius: float, direction: float) -> tuple[float, float]:
        turn = math.radians(direction)
        return middle[0] + radius * math.cos(turn), middle[1] - radius * math.sin(turn)

    drawing.polygon("d-tolerance", [at(RADIUS, 6.0 * step) for step in range(60)])
    for step in range(60):
        drawing.line("d-edge", at(RADIUS, 6.0 * step), at(RADIUS, 6.0 * step + 6.0))
    for direction in directions:
        drawing.line("d-centre", at(RADIUS, direction), at(RADIUS, direction + 180.0))
        label = at(RADIUS + 22.0, direction)
        drawing.text("d-word", label[0], label[1] + 5.0, 15, f"{direction:g}°", "middle")
    for direction in sorted({spot[1] for spot in read}):
        _flag(drawing, "d-flag", at(RADIUS, direction), FLAG)
    if next_ is not None:
        _flag(drawing, "d-next", at(RADIUS, next_[1]), 1.6 * FLAG)


def _section(
    drawing: Drawing,
    depths: Sequence[tuple[float, str]],
    read: Collection[Spot],
    next_: Spot | None,
    across: tuple[float, float],
) -> None:
    (left, right), top, bottom = across, 50.0, HEIGHT - 70.0
    deepest = max(depth for depth, _ in depths) / 0.9

    def at(depth: float) -> float:
        return left + (right - left) * min(depth / deepest, 1.0)

    drawing.rect("d-tolerance", left, top, right, bottom)
    drawing.line("d-wall", (left, top), (right, top))
    drawing.line("d-wall", (left, bottom), (right, bottom))
    drawing.line("d-extension", (left, top), (left, bottom))
    drawing.text("d-note", left - 8.0, 0.5 * (top + bottom) + 5.0, 15, "mouth", "end")
    for depth, words in depths:
        drawing.line("d-centre", (at(depth), top), (at(depth), bottom))
        drawing.text("d-word", at(depth), bottom + 26.0, 15, words, "middle")
    for depth in sorted({spot[0] for spot in read}):
        _flag(drawing, "d-flag", (at(depth), top), FLAG)
    if next_ is not None:
        _flag(drawing, "d-next", (at(next_[0]), top), 1.6 * FLAG)
        drawing.text("d-aim-figure", at(next_[0]), top - 16.0, 16, "next", "middle")


def _flag(drawing: Drawing, ink: str, middle: tuple[float, float], half: float) -> None:
    drawing.rect(ink, middle[0] - half, middle[1] - half, middle[0] + half, middle[1] + half)
