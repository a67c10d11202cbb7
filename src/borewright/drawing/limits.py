"""The limits of a callout, drawn to scale: what is too small, what is good, and the cliff of what is too large."""

from __future__ import annotations

from typing import Final

from borewright.callout.callout import Callout
from borewright.drawing.svg import Drawing, hatching, text_width
from borewright.quantity.length import Unit
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length, show_limits

SIDE: Final = 0.8
"""How much is drawn beside the tolerance on either side, as a share of it."""


def draw_limits(callout: Callout, unit: Unit, *, width: float = 1200.0, standalone: bool = False) -> str:
    """Draw the limits of a callout; equal lengths on the diameter are drawn equally long.

    Args:
        callout: the callout.
        unit: unit of the figures.
        width: how wide it is drawn; type keeps its size.
        standalone: whether it carries its own ink, for docs and paper.

    Returns:
        An SVG element, the same bytes for the same callout.
    """
    narrow = width < 600
    size, small, height = (17.0, 15.0, 210.0) if narrow else (24.0, 18.0, 240.0)
    top, bottom = 74.0, height - 62.0
    share = 1.0 / (1.0 + 2.0 * SIDE)
    lower, upper = width * SIDE * share, width * (1.0 - SIDE * share)
    words = _Words(callout, unit)
    drawing = Drawing(width, height, title=words.title, desc=words.desc, name="limits", standalone=standalone)
    drawing.rect("d-stock", 0, top, lower, bottom)
    drawing.rect("d-tolerance", lower, top, upper, bottom)
    ground = (upper, top - 16, width, bottom)
    drawing.rect("d-cliff", *ground)
    drawing.path("d-hatch", hatching(ground, 12))
    drawing.line("d-edge", (0, top), (upper, top))
    drawing.line("d-edge", (0, bottom), (width, bottom))
    drawing.line("d-edge", (upper, top - 16), (width, top - 16))
    drawing.line("d-limit", (lower, top), (lower, bottom))
    drawing.line("d-wall", (upper, top - 16), (upper, bottom))
    _draw_middle(drawing, (lower, upper, top, bottom), words, (size, small))
    _name_sides(drawing, (lower, upper, top, bottom), width, small)
    _draw_nominal(drawing, callout, (lower, upper, bottom), words, (width, small))
    drawing.text("d-figure", lower, bottom + 12 + size, size, words.lower, "middle")
    drawing.text("d-figure", upper, bottom + 12 + size, size, words.upper, "middle")
    return drawing.svg()


class _Words:
    """The figures of a callout in the unit that is shown."""

    def __init__(self, callout: Callout, unit: Unit) -> None:
        usual = 3 if unit == "mm" else 4
        decimals = max(usual, *(min(side.to(unit).decimals, usual + 1) for side in (callout.lower, callout.upper)))
        self.unit = unit
        self.lower, self.upper = show_limits(callout.lower, callout.upper, unit, decimals)
        half = min(callout.mid.to(unit).decimals, usual + 1)
        self.middle = show_length(callout.mid, unit, decimals=max(decimals, half), with_unit=False)
        self.nominal = (
            "" if callout.nominal is None else show_length(callout.nominal, unit, decimals=decimals, with_unit=False)
        )
        self.tolerance = say_length(callout.tolerance, unit, down=True)
        self.title = f"{callout.written}: {self.lower} to {self.upper} {unit}"
        self.desc = (
            f"Below {self.lower} the hole is under size and can be cut again; above {self.upper} it is lost. "
            f"Between them lie {self.tolerance}; the middle is {self.middle}."
        )


def _draw_middle(
    drawing: Drawing, box: tuple[float, float, float, float], words: _Words, sizes: tuple[float, float]
) -> None:
    lower, upper, top, bottom = box
    size, small = sizes
    middle, row = 0.5 * (lower + upper), top - 30
    drawing.line("d-extension", (lower, row - 14), (lower, top))
    drawing.line("d-extension", (upper, row - 14), (upper, top - 16))
    wide = text_width(words.tolerance, small)
    drawing.path("d-dimension", [(lower + 1, row, upper - 1, row)])
    drawing.polygon("d-head", [(lower + 1, row), (lower + 12, row - 4), (lower + 12, row + 4)])
    drawing.polygon("d-head", [(upper - 1, row), (upper - 12, row - 4), (upper - 12, row + 4)])
    drawing.rect("d-plate", middle - wide / 2 - 6, row - small / 2, middle + wide / 2 + 6, row + small / 2)
    drawing.text("d-word", middle, row + small * 0.34, small, words.tolerance, "middle")
    drawing.line("d-centre", (middle, top), (middle, bottom))
    y = 0.5 * (top + bottom) + size * 0.34
    wide = text_width(words.middle, size)
    drawing.rect("d-tolerance", middle - wide / 2 - 6, y - size, middle + wide / 2 + 6, y + size * 0.3)
    drawing.text("d-aim-figure", middle, y, size, words.middle, "middle")


def _name_sides(drawing: Drawing, box: tuple[float, float, float, float], width: float, small: float) -> None:
    lower, upper, top, bottom = box
    sides = ((lower / 2, "under size", "cut again", "d-stock"), ((upper + width) / 2, "over size", "lost", "d-plate"))
    middle = 0.5 * (top + bottom)
    for x, first, second, plate in sides:
        wide = max(text_width(first, small), text_width(second, small))
        drawing.rect(plate, x - wide / 2 - 8, middle - small - 6, x + wide / 2 + 8, middle + small + 6)
        drawing.text("d-word", x, middle - 4, small, first, "middle")
        drawing.text("d-figure", x, middle + small, small, second, "middle")


def _draw_nominal(
    drawing: Drawing,
    callout: Callout,
    box: tuple[float, float, float],
    words: _Words,
    sizes: tuple[float, float],
) -> None:
    """Mark the nominal size where it lies, or say how far outside the drawing it lies."""
    if callout.nominal is None:
        return
    lower, upper, bottom = box
    width, small = sizes
    share = (callout.nominal.mm - callout.lower_mm) / callout.tolerance_mm
    x = lower + share * (upper - lower)
    said = f"nominal {words.nominal}"
    y = bottom + 18 + 24 + small
    if not 0 <= x <= width:
        anchor, edge = ("start", 6.0) if x < 0 else ("end", width - 6.0)
        drawing.text("d-note", edge, y, small, f"{'← ' if x < 0 else ''}{said}{'' if x < 0 else ' →'}", anchor)
        return
    drawing.polygon("d-past", [(x - 6, bottom + 11), (x + 6, bottom + 11), (x, bottom + 1)])
    half = text_width(said, small) / 2
    drawing.text("d-note", min(max(x, half + 6), width - half - 6), y, small, said, "middle")
