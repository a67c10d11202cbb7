"""An uncertainty budget drawn: each cause as long as what it brings, and all of them together.

The causes add as squares. Each bar's inner, solid part is how much the whole would shrink were that cause gone.
"""

from __future__ import annotations

import math
from typing import Final

from borewright.drawing.svg import Drawing
from borewright.gauging.budget import Budget, Row

ROW: Final = 34.0
LEFT: Final = 330.0
RIGHT: Final = 110.0
TOP: Final = 64.0


def draw_budget(budget: Budget, *, width: float = 900.0, most: int = 10, standalone: bool = True) -> str:
    """Draw a budget.

    Args:
        budget: the budget.
        width: how wide it is drawn.
        most: how many causes have a bar of their own; the rest share one.
        standalone: whether it carries its own ink, for docs and paper.

    Returns:
        An SVG element, the same bytes for the same budget.
    """
    rows = list(budget.rows())
    shown, rest = rows[:most], rows[most:]
    height = TOP + ROW * (len(shown) + bool(rest) + 1) + 20.0
    drawing = Drawing(
        width,
        height,
        title="What the uncertainty is made of",
        desc=" ".join(f"{row.name} {_um(row.part_mm)} µm." for row in rows),
        name="budget",
        standalone=standalone,
    )
    drawing.text("d-note", LEFT, 28, 16, "standard uncertainty, µm; solid: what the whole would shrink by without it")
    whole = budget.u_mm or 1.0
    scale = (width - LEFT - RIGHT) / whole
    y = TOP
    for row in shown:
        _bar(drawing, row, whole, scale, y)
        y += ROW
    if rest:
        together = math.hypot(*(row.part_mm for row in rest))
        _bar(drawing, Row(f"{len(rest)} more", None, "", None, math.inf, together, 0.0), whole, scale, y)
        y += ROW
    drawing.line("d-limit", (LEFT, y - 8.0), (width - RIGHT, y - 8.0))
    drawing.text("d-figure", LEFT - 14.0, y + 17.0, 17, "together", "end")
    drawing.rect("d-next", LEFT, y, LEFT + whole * scale, y + 20.0)
    drawing.text("d-figure", width - RIGHT + 10.0, y + 17.0, 17, _um(budget.u_mm))
    return drawing.svg()


def _bar(drawing: Drawing, row: Row, whole: float, scale: float, y: float) -> None:
    without = math.sqrt(max(whole**2 - row.part_mm**2, 0.0))
    drawing.text("d-word", LEFT - 14.0, y + 17.0, 16, row.name, "end")
    drawing.rect("d-stock", LEFT, y, LEFT + row.part_mm * scale, y + 20.0)
    drawing.rect("d-aim", LEFT, y, LEFT + (whole - without) * scale, y + 20.0)
    drawing.text("d-word", LEFT + row.part_mm * scale + 10.0, y + 17.0, 16, _um(row.part_mm))


def _um(mm: float) -> str:
    return f"{1000.0 * mm:.2f}"
