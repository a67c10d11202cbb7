"""What was learned of one thing, as a dimension: where it was thought to lie, and within it where it lies now."""

from __future__ import annotations

from typing import Final

from borewright.drawing.svg import Drawing

WIDTH, HEIGHT = 300.0, 34.0
_MARGIN, _MIDDLE = 6.0, 17.0
_HEAD: Final = (9.0, 3.0)


def draw_narrowed(before: tuple[float, float], now: tuple[float, float], value: float, *, title: str, desc: str) -> str:
    """Draw an interval as it was and as it is, on one straight scale.

    Args:
        before: its ends before anything was learned.
        now: its ends now.
        value: the best estimate now.
        title: what it is, in a few words.
        desc: the same as the picture, in words.

    Returns:
        SVG; the same bytes for the same numbers.
    """
    drawing = Drawing(WIDTH, HEIGHT, title=title, desc=desc, name="narrowed")
    low, high = min(*before, *now), max(*before, *now)
    scale = (WIDTH - 2.0 * _MARGIN) / (high - low) if high > low else 0.0

    def at(size: float) -> float:
        return _MARGIN + scale * (size - low)

    left, right = at(before[0]), at(before[1])
    for end in (left, right):
        drawing.line("d-extension", (end, 4.0), (end, HEIGHT - 4.0))
    drawing.line("d-dimension", (left, _MIDDLE), (right, _MIDDLE))
    long, half = _HEAD
    if right - left > 3.0 * long:
        drawing.polygon("d-head", [(left, _MIDDLE), (left + long, _MIDDLE - half), (left + long, _MIDDLE + half)])
        drawing.polygon("d-head", [(right, _MIDDLE), (right - long, _MIDDLE - half), (right - long, _MIDDLE + half)])
    middle = at(value)
    drawing.polygon("d-aim", [(at(now[0]), _MIDDLE), (middle, 6.0), (at(now[1]), _MIDDLE), (middle, HEIGHT - 6.0)])
    drawing.line("d-aim-at", (middle, 3.0), (middle, HEIGHT - 3.0))
    return drawing.svg()
