"""A cut before it is made: the chip under the nose to scale, and where each pass leaves the hole against its limits."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final

import numpy as np

from borewright.cutting.chip import nose_thickness
from borewright.cutting.outlook import PassOutlook
from borewright.drawing.svg import Drawing, hatching
from borewright.quantity.odds import say_odds
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length
from borewright.sizing.cut_outlook import CutOutlook

CHIP_HEIGHT, ROW, FOOT = 330.0, 92.0, 64.0
_WALL, _SIDE = 46.0, 24.0
_STEPS: Final = 120
Corner = tuple[float, float]


def draw_cut(looked: CutOutlook, *, width: float = 1200.0, standalone: bool = False) -> str:
    """Draw the chip of the last pass, and where each pass leaves the hole.

    Args:
        looked: the outlook.
        width: how wide it is drawn; type keeps its size.
        standalone: whether it carries its own ink, for docs and paper.

    Returns:
        An SVG element, the same bytes for the same outlook.
    """
    height = CHIP_HEIGHT + ROW * len(looked.passes) + FOOT
    title = f"{looked.callout.written}: the chip, and where each pass leaves the hole"
    drawing = Drawing(width, height, title=title, desc=_desc(looked), name="cut", standalone=standalone)
    _Section(drawing, looked, width).draw()
    _draw_passes(drawing, looked, width)
    return drawing.svg()


class _Section:
    """The nose in the wall, outward upwards, the feed to the right; one scale both ways."""

    def __init__(self, drawing: Drawing, looked: CutOutlook, width: float) -> None:
        self.drawing, self.looked, self.width = drawing, looked, width
        self.one = looked.passes[-1]
        chip = self.one.chip
        self.feed, self.nose, self.kappa = float(chip.feed), float(chip.nose), float(chip.kappa)
        self.depth, self.end, self.start = float(chip.depth), float(chip.end), float(chip.start)
        outer = self.outer()
        self.left, self.right = -2.6 * self.feed - 0.5 * self.depth, max(x for x, _ in outer) + 1.2 * self.feed
        tall = CHIP_HEIGHT - 2.0 * _WALL
        self.scale = min((width - 2.0 * _SIDE) / (self.right - self.left), tall / (1.25 * self.depth))
        self.shift = 0.5 * (width - self.scale * (self.right + self.left))

    def at(self, x: float, inward: float) -> Corner:
        return self.shift + self.scale * x, _WALL + self.scale * inward

    def outer(self) -> list[Corner]:
        arc = [(self.nose * math.sin(a), self.nose * (1.0 - math.cos(a))) for a in self._angles()]
        straight = float(self.one.chip.straight)
        if straight > 0.0:
            x, y = arc[-1]
            arc.append((x + straight * math.cos(self.kappa), y + straight * math.sin(self.kappa)))
        return arc

    def inner(self) -> list[Corner]:
        angles = np.array(self._angles())
        thickness = nose_thickness(angles, self.depth, self.feed, self.nose, self.kappa)
        left = [
            ((self.nose - h) * math.sin(a), self.nose - (self.nose - h) * math.cos(a))
            for a, h in zip(angles.tolist(), np.asarray(thickness).tolist(), strict=True)
        ]
        if float(self.one.chip.straight) > 0.0:
            x, _ = self.outer()[-1]
            left.append((x - self.feed, self.depth))
        return [(x, min(inward, self.depth)) for x, inward in left]

    def draw(self) -> None:
        ridges, outer = self._ridges(), self.outer()
        far = (self.width - self.shift) / self.scale
        near = -self.shift / self.scale
        wall = [(near, -_WALL / self.scale), *ridges, *outer, (far, self.depth), (far, -_WALL / self.scale)]
        self.drawing.polygon("d-stock", [self.at(*corner) for corner in wall])
        chip = [self.at(*corner) for corner in [*outer, *reversed(self.inner())]]
        self.drawing.polygon("d-next", chip, 0.45)
        surface = [self.at(*corner) for corner in [*ridges, *outer]]
        self.drawing.path("d-edge", [(*a, *b) for a, b in pairwise(surface)])
        before = [self.at(*corner) for corner in self.inner()]
        self.drawing.path("d-edge", [(*a, *b) for a, b in pairwise(before)])
        self.drawing.line("d-edge", surface[-1], self.at(far, self.depth))
        self._words()

    def _words(self) -> None:
        unit, chip = self.looked.unit, self.one.chip
        setup = self.looked.setup
        thick = f"chip {say_length(float(chip.thickest), unit)} at its thickest; the edge cuts from"
        words = (
            f"Pass {self.one.number}, to scale: nose {show_length(self.nose, unit)}, feed"
            f" {show_length(self.feed, unit)}, {show_length(self.depth, unit)} on the radius"
        )
        self.drawing.text("d-figure", _SIDE, CHIP_HEIGHT - 24.0, 18.0, words)
        self.drawing.text("d-note", _SIDE, CHIP_HEIGHT - 2.0, 16.0, f"{thick} {say_length(setup.least_chip, unit)}")

    def _angles(self) -> list[float]:
        return [self.start + (self.end - self.start) * place / _STEPS for place in range(_STEPS + 1)]

    def _ridges(self) -> list[Corner]:
        """Return the finished wall to the left: the nose's groove of each turn before."""
        half = math.asin(min(self.feed / (2.0 * self.nose), 1.0))
        turns = math.ceil((self.shift / self.scale) / self.feed) + 1
        return [
            (self.nose * math.sin(a) - turn * self.feed, self.nose * (1.0 - math.cos(a)))
            for turn in range(min(turns, 200), 0, -1)
            for a in (half * (2.0 * place / 8 - 1.0) for place in range(9))
        ]


def _draw_passes(drawing: Drawing, looked: CutOutlook, width: float) -> None:
    setup, unit = looked.setup, looked.unit
    left, right = setup.hole, setup.upper + 0.14 * (setup.upper - setup.hole)
    top, bottom = CHIP_HEIGHT + 12.0, CHIP_HEIGHT + ROW * len(looked.passes)

    def at(size: float) -> float:
        return _SIDE + (width - 2.0 * _SIDE) * (size - left) / (right - left)

    lower, upper = at(setup.lower), at(setup.upper)
    drawing.rect("d-tolerance", lower, top, upper, bottom)
    drawing.rect("d-cliff", upper, top, width, bottom)
    drawing.path("d-hatch", hatching((upper, top, width, bottom), 12))
    drawing.line("d-limit", (lower, top), (lower, bottom))
    drawing.line("d-wall", (upper, top), (upper, bottom))
    for place, one in enumerate(looked.passes):
        _draw_pass(drawing, looked, one, (at(one.hole), at(one.aim)), top + ROW * place)
        _draw_spread(
            drawing, [at(one.set_diameter - edge) for edge in (one.high, one.push_off, one.low)], top + ROW * place
        )
    limits = f"{show_length(setup.lower, unit)} to {show_length(setup.upper, unit)}"
    drawing.text(
        "d-note", _SIDE, bottom + 26.0, 15.0, "diameter, to scale along; where a pass leaves the hole 95 times in 100"
    )
    drawing.text("d-figure", upper, bottom + 50.0, 17.0, limits, "end")


def _draw_pass(drawing: Drawing, looked: CutOutlook, one: PassOutlook, ends: tuple[float, float], top: float) -> None:
    words = f"Pass {one.number} to {show_length(one.aim, looked.unit)}, too large {say_odds(one.oversize)}"
    drawing.text("d-word", _SIDE, top + 20.0, 16.0, words)
    drawing.rect("d-stock", ends[0], top + 44.0, ends[1], top + 62.0)
    for y in (top + 44.0, top + 62.0):
        drawing.line("d-edge", (ends[0], y), (ends[1], y))


def _draw_spread(drawing: Drawing, ends: list[float], top: float) -> None:
    low, middle, high = ends
    y = top + 53.0
    drawing.polygon("d-aim", [(low, y), (middle, y - 14.0), (high, y), (middle, y + 14.0)], 0.6)
    drawing.line("d-aim-at", (middle, y - 20.0), (middle, y + 20.0))


def _desc(looked: CutOutlook) -> str:
    unit = looked.unit
    told = []
    for one in looked.passes:
        least, most = (show_length(one.set_diameter - each, unit) for each in (one.high, one.low))
        told.append(
            f"Pass {one.number} is to leave {show_length(one.aim, unit)}; by push-off alone it leaves {least} to {most}"
            f" 95 times in 100, and is too large {say_odds(one.oversize)}."
        )
    return " ".join(told)
