"""The picture of the calibration: what was stated, and how often it came, bin by bin and kind by kind."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from borewright.drawing.svg import Drawing

ROW: Final = 58.0
LEFT: Final = 260.0
HALF: Final = 0.06
"""How far a bin may lie off what was stated before it stands at the edge."""

SHOWN: Final = "in tolerance, last pass"


def draw_calibration(kinds: Mapping[str, Any], width: float = 1200.0) -> str:
    """Draw for each kind its ten bins in a row, least odds first, each a stroke from what was stated to what came.

    The middle line is what was stated; a stroke upward came more often, one downward less. The soft bar is the interval
    of what came.
    """
    height = 60.0 + ROW * len(kinds) + 20.0
    drawing = Drawing(
        width,
        height,
        title=f"What came less what was stated: {SHOWN}",
        desc=f"Bins that stay near the line came true as often as stated; the row is {HALF:.0%} high either way.",
        name="calibration",
        standalone=True,
    )
    words = f"{SHOWN}: came less stated, ten bins of equal count; a row is ±{HALF:.0%} high"
    drawing.text("d-note", 40, 30, 16, words.replace("%", " %"))
    for place, (kind, found) in enumerate(kinds.items()):
        _draw_row(drawing, kind, found["odds"][SHOWN]["bins"], 60.0 + ROW * (place + 0.5), width)
    return drawing.svg()


def _draw_row(drawing: Drawing, kind: str, bins: list[dict[str, float]], middle: float, width: float) -> None:
    drawing.text("d-word", 40, middle + 5, 15, kind)
    drawing.line("d-extension", (LEFT, middle), (width - 40, middle))
    apart = (width - 40 - LEFT) / 10

    def y(share: float, stated: float) -> float:
        off = max(-1.0, min(1.0, (share - stated) / HALF))
        return middle - 0.45 * ROW * off

    for place, each in enumerate(bins):
        x, stated = LEFT + apart * (place + 0.5), each["stated"]
        drawing.rect("d-aim", x - 14, y(each["high"], stated), x + 14, y(each["low"], stated), 0.25)
        drawing.line("d-aim-at", (x - 14, y(each["value"], stated)), (x + 14, y(each["value"], stated)))
        drawing.text("d-note", x + 18, middle - 4, 12, f"{100 * stated:.3g} %")
