"""Where a bore was read: its section with the depths, and the view into it with the directions.

A reading stands in the view at its direction and in the section at its depth. How far it lies over or under the mean
is drawn outward or inward from the wall, many times larger, to the scale that is written below.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from borewright.drawing.svg import Drawing
from borewright.gauging.form import Placed
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length

HEIGHT: Final = 330.0
VIEW: Final = 100.0
"""Radius of the view into the bore."""
LONGEST: Final = 26.0
"""How far the largest departure is drawn from the wall."""


def draw_places(placed: Sequence[Placed], unit: Unit, *, width: float = 900.0, standalone: bool = True) -> str:
    """Draw where a bore was read.

    Args:
        placed: sizes by place, at least one.
        unit: unit to show lengths in.
        width: how wide it is drawn.
        standalone: whether it carries its own ink, for docs and paper.

    Returns:
        An SVG element, the same bytes for the same readings.
    """
    mean = math.fsum(each.mm for each in placed) / len(placed)
    most = max((abs(each.mm - mean) for each in placed), default=0.0)
    drawing = Drawing(
        width,
        HEIGHT,
        title="Where the bore was read",
        desc=" ".join(_said(each, unit) for each in placed),
        name="places",
        standalone=standalone,
    )
    scale = LONGEST / most if most > 0.0 else 0.0
    _draw_view(drawing, placed, mean, scale, (30.0 + VIEW + LONGEST + 40.0, 0.5 * HEIGHT - 12.0))
    _draw_section(drawing, placed, mean, scale, unit, (460.0, width - 150.0))
    shown = show_length(most, unit, decimals=4 if unit == "mm" else 5)
    words = "every place reads the same" if most == 0.0 else f"the longest flag is {shown} from the mean"
    drawing.text("d-note", 30.0, HEIGHT - 10.0, 15, f"{words}; mean {show_length(mean, unit)} at 20 °C")
    return drawing.svg()


def _said(each: Placed, unit: Unit) -> str:
    depth = show_length(each.depth_mm, unit, decimals=1 if unit == "mm" else 2)
    return f"{show_length(each.mm, unit)} at {depth} deep, {each.direction_deg:g}°."


def _draw_view(
    drawing: Drawing, placed: Sequence[Placed], mean: float, scale: float, middle: tuple[float, float]
) -> None:
    ring = [_on_circle(middle, VIEW, turn * 6.0) for turn in range(60)]
    drawing.polygon("d-tolerance", ring)
    for start, end in zip(ring, (*ring[1:], ring[0]), strict=True):
        drawing.line("d-edge", start, end)
    for direction in sorted({round(each.direction_deg % 180.0, 1) for each in placed}):
        drawing.line("d-centre", _on_circle(middle, VIEW, direction), _on_circle(middle, VIEW, direction + 180.0))
        label = _on_circle(middle, VIEW + LONGEST + 18.0, direction)
        drawing.text("d-word", label[0], label[1] + 5.0, 15, f"{direction:g}°", "middle")
    for each in placed:
        for turn in (0.0, 180.0):
            wall = _on_circle(middle, VIEW, each.direction_deg + turn)
            flag = _on_circle(middle, VIEW + scale * (each.mm - mean), each.direction_deg + turn)
            drawing.line("d-aim-at", wall, flag)
            drawing.rect("d-flag", flag[0] - 3.0, flag[1] - 3.0, flag[0] + 3.0, flag[1] + 3.0)


def _draw_section(
    drawing: Drawing, placed: Sequence[Placed], mean: float, scale: float, unit: Unit, across: tuple[float, float]
) -> None:
    left, right = across
    top, bottom = 70.0, HEIGHT - 70.0
    deepest = max(each.depth_mm for each in placed) or 1.0
    drawing.rect("d-tolerance", left, top, right, bottom)
    drawing.line("d-wall", (left, top), (right, top))
    drawing.line("d-wall", (left, bottom), (right, bottom))
    drawing.line("d-extension", (left, top), (left, bottom))
    drawing.text("d-note", left - 8.0, 0.5 * (top + bottom) + 5.0, 15, "mouth", "end")
    for depth in sorted({round(each.depth_mm, 1) for each in placed}):
        x = left + (right - left) * (0.04 + 0.92 * depth / deepest)
        drawing.line("d-centre", (x, top), (x, bottom))
        words = show_length(depth, unit, decimals=1 if unit == "mm" else 2)
        drawing.text("d-word", x, bottom + 42.0, 15, words, "middle")
    for each in placed:
        x = left + (right - left) * (0.04 + 0.92 * each.depth_mm / deepest)
        off = scale * (each.mm - mean)
        for wall, way in ((top, -1.0), (bottom, 1.0)):
            drawing.line("d-aim-at", (x, wall), (x, wall + way * off))
            drawing.rect("d-flag", x - 3.0, wall + way * off - 3.0, x + 3.0, wall + way * off + 3.0)


def _on_circle(middle: tuple[float, float], radius: float, direction_deg: float) -> tuple[float, float]:
    turn = math.radians(direction_deg)
    return middle[0] + radius * math.cos(turn), middle[1] - radius * math.sin(turn)
