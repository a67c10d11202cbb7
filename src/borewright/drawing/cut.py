"""A cut before it is made: the chip under the nose to scale, and where each pass leaves the hole against its limits."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final

import numpy as np

from borewright.cutting.chip import nose_thickness
from borewright.cutting.outlook import PassOutlook
from borewright.drawing.svg import Drawing, hatching, text_width
from borewright.quantity.odds import say_odds
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length
from borewright.sizing.cut_outlook import CutOutlook

ROW: Final = 92.0
_WALL, _SIDE, _TALLEST = 46.0, 24.0, 190.0
_SIZE, _LEAD = 16.0, 22.0
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
    section = _Section(looked, width)
    top = section.foot + 12.0
    foot = [*_lines(_FOOT, width), *_lines(_limits(looked), width)]
    height = top + ROW * len(looked.passes) + _LEAD * (len(foot) + 1)
    title = f"{looked.callout.written}: the chip, and where each pass leaves the hole"
    drawing = Drawing(width, height, title=title, desc=_desc(looked), name="cut", standalone=standalone)
    section.draw(drawing)
    _draw_passes(drawing, looked, width, top)
    for place, line in enumerate(foot):
        drawing.text("d-note", _SIDE, height - _LEAD * (len(foot) - place - 0.4), _SIZE, line)
    return drawing.svg()


class _Section:
    """The nose in the wall, outward upwards, the feed to the right; one scale both ways."""

    def __init__(self, looked: CutOutlook, width: float) -> None:
        self.looked, self.width = looked, width
        self.one = looked.passes[-1]
        chip = self.one.chip
        self.feed, self.nose, self.kappa = float(chip.feed), float(chip.nose), float(chip.kappa)
        self.depth, self.end, self.start = float(chip.depth), float(chip.end), float(chip.start)
        outer = self.outer()
        self.left, self.right = -2.6 * self.feed - 0.5 * self.depth, max(x for x, _ in outer) + 1.2 * self.feed
        self.scale = min((width - 2.0 * _SIDE) / (self.right - self.left), _TALLEST / self.depth)
        self.shift = 0.5 * (width - self.scale * (self.right + self.left))
        self.words = [line for told in self._told() for line in _lines(told, width)]
        self.below = _WALL + self.scale * self.depth
        self.foot = self.below + _LEAD * (len(self.words) + 0.6)

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

    def draw(self, drawing: Drawing) -> None:
        ridges, outer = self._ridges(), self.outer()
        far = (self.width - self.shift) / self.scale
        near = -self.shift / self.scale
        wall = [(near, -_WALL / self.scale), *ridges, *outer, (far, self.depth), (far, -_WALL / self.scale)]
        drawing.polygon("d-stock", [self.at(*corner) for corner in wall])
        chip = [self.at(*corner) for corner in [*outer, *reversed(self.inner())]]
        drawing.polygon("d-next", chip, 0.45)
        surface = [self.at(*corner) for corner in [*ridges, *outer]]
        drawing.path("d-edge", [(*a, *b) for a, b in pairwise(surface)])
        before = [self.at(*corner) for corner in self.inner()]
        drawing.path("d-edge", [(*a, *b) for a, b in pairwise(before)])
        drawing.line("d-edge", surface[-1], self.at(far, self.depth))
        for place, line in enumerate(self.words):
            drawing.text("d-word", _SIDE, self.below + _LEAD * (place + 1.2), _SIZE, line)

    def _told(self) -> tuple[str, str]:
        unit, chip = self.looked.unit, self.one.chip
        nose, feed, depth = (show_length(each, unit) for each in (self.nose, self.feed, self.depth))
        thickest, least = (say_length(each, unit) for each in (float(chip.thickest), self.looked.setup.least_chip))
        return (
            f"Pass {self.looked.before + self.one.number}, to scale: nose {nose}, feed {feed}, {depth} on the radius",
            f"chip {thickest} at its thickest; the edge cuts from {least}",
        )

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


def _draw_passes(drawing: Drawing, looked: CutOutlook, width: float, top: float) -> None:
    setup = looked.setup
    left, right = setup.hole, setup.upper + 0.14 * (setup.upper - setup.hole)
    bottom = top + ROW * len(looked.passes)

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


def _draw_pass(drawing: Drawing, looked: CutOutlook, one: PassOutlook, ends: tuple[float, float], top: float) -> None:
    number, aim = looked.before + one.number, show_length(one.aim, looked.unit)
    words = f"Pass {number} to {aim}, over size {say_odds(one.oversize)}"
    drawing.rect("d-plate", _SIDE - 4.0, top + 4.0, _SIDE + 8.0 + 1.04 * text_width(words, _SIZE), top + 26.0)
    drawing.text("d-word", _SIDE, top + 20.0, _SIZE, words)
    drawing.rect("d-stock", ends[0], top + 44.0, ends[1], top + 62.0)
    for y in (top + 44.0, top + 62.0):
        drawing.line("d-edge", (ends[0], y), (ends[1], y))


def _draw_spread(drawing: Drawing, ends: list[float], top: float) -> None:
    low, middle, high = ends
    y = top + 53.0
    drawing.polygon("d-aim", [(low, y), (middle, y - 14.0), (high, y), (middle, y + 14.0)], 0.6)
    drawing.line("d-aim-at", (middle, y - 20.0), (middle, y + 20.0))


def _lines(words: str, width: float) -> list[str]:
    """Fill words into lines of the drawing's width."""
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, _SIZE) > width - 2.0 * _SIDE:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _limits(looked: CutOutlook) -> str:
    ends = (show_length(each, looked.unit) for each in (looked.setup.lower, looked.setup.upper))
    return f"The limits are {' to '.join(ends)}."


_FOOT: Final = "Diameter, to scale along: what each pass takes off, and where it leaves the hole 95 times in 100."


def _desc(looked: CutOutlook) -> str:
    unit = looked.unit
    told = []
    for one in looked.passes:
        least, most = (show_length(one.set_diameter - each, unit) for each in (one.high, one.low))
        told.append(
            f"Pass {looked.before + one.number} is to leave {show_length(one.aim, unit)};"
            f" by push-off alone it leaves {least} to {most}"
            f" 95 times in 100, and is over size {say_odds(one.oversize)}."
        )
    return " ".join(told)
