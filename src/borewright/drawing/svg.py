"""A small writer of SVG: elements in the order they are drawn, numbers to a hundredth, text escaped, no identifiers.

No style and no script ever stands in a drawing, so that a page may forbid both.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final

from borewright.drawing.ink import FAMILY, INKS

NARROW, DIGIT, WIDE, USUAL = 0.26, 0.6, 0.86, 0.54
"""Widths of letters in shares of the type size, measured on Atkinson Hyperlegible with figures of equal width."""

_MARKUP: Final = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"})
_MARKED: Final = re.compile('[&<>"]').search
_WIDTHS: Final = {
    **dict.fromkeys("0123456789", DIGIT),
    **dict.fromkeys(" .,:;'!|iljI·", NARROW),
    **dict.fromkeys("mMwW%", WIDE),
}


@lru_cache(maxsize=4096)  # most coordinates of a drawing stand in it several times
def number(value: float) -> str:
    """Write a coordinate: two decimals at most, without a zero at the end and never a negative zero.

    Args:
        value: the coordinate, finite.

    Returns:
        Such as ``12``, ``0.5`` or ``-3.25``.
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def points(corners: Iterable[tuple[float, float]]) -> str:
    """Write the corners of a polygon.

    Args:
        corners: x and y of each.

    Returns:
        As the attribute ``points`` wants it.
    """
    return " ".join([f"{number(x)},{number(y)}" for x, y in corners])


def text_width(text: str, size: float) -> float:
    """Estimate how wide a text is set.

    Args:
        text: the text.
        size: the type size.

    Returns:
        The width, in the same unit as the size.
    """
    return size * sum([_WIDTHS.get(letter, USUAL) for letter in text])


def hatching(box: tuple[float, float, float, float], apart: float) -> list[tuple[float, float, float, float]]:
    """Return section lining at 45 degrees, clipped to a box.

    Args:
        box: left, top, right, bottom.
        apart: distance of the lines along the top edge.

    Returns:
        The lines, each from its lower left to its upper right end.
    """
    left, top, right, bottom = box
    height = bottom - top
    lines = []
    foot = left - height + apart / 2
    while foot < right:
        start = max(foot, left)
        end = min(foot + height, right)
        if end > start:
            lines.append((start, bottom - (start - foot), end, bottom - (end - foot)))
        foot += apart
    return lines


class Drawing:
    """A drawing that grows element by element.

    Args:
        width: of its coordinates.
        height: of its coordinates.
        title: what it shows, in a few words.
        desc: what it says to somebody who does not see it.
        name: class of the whole drawing.
        standalone: whether each element carries its own ink, for docs and paper, where there is no style sheet.
    """

    def __init__(
        self, width: float, height: float, *, title: str, desc: str, name: str, standalone: bool = False
    ) -> None:
        self.standalone = standalone
        self._head = f"<svg {self._root(width, height, name)}>"
        self._lines = [f"<title>{escaped(title)}</title>", f"<desc>{escaped(desc)}</desc>"]

    def line(self, ink: str, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Draw a straight line.

        Args:
            ink: its class.
            start: x and y.
            end: x and y.
        """
        (x1, y1), (x2, y2) = start, end
        self._add("line", ink, f'x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}"')

    def rect(
        self, ink: str, left: float, top: float, right: float, bottom: float, density: float | None = None
    ) -> None:
        """Draw a rectangle; one without width or height is left out.

        Args:
            ink: its class.
            left: x of its left edge.
            top: y of its top edge.
            right: x of its right edge.
            bottom: y of its bottom edge.
            density: how much of what lies under it it covers, 0 to 1; all where it is left out.
        """
        if right > left and bottom > top:
            corner = f'x="{number(left)}" y="{number(top)}"'
            sides = f'width="{number(right - left)}" height="{number(bottom - top)}"'
            self._add("rect", ink, f"{corner} {sides}{_covering(density)}")

    def polygon(self, ink: str, corners: Sequence[tuple[float, float]], density: float | None = None) -> None:
        """Draw a closed shape.

        Args:
            ink: its class.
            corners: x and y of each.
            density: how much of what lies under it it covers, 0 to 1; all where it is left out.
        """
        self._add("polygon", ink, f'points="{points(corners)}"{_covering(density)}')

    def path(self, ink: str, lines: Iterable[tuple[float, float, float, float]]) -> None:
        """Draw many straight lines as one element.

        Args:
            ink: its class.
            lines: x and y of both ends of each.
        """
        drawn = "".join([f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}" for x1, y1, x2, y2 in lines])
        if drawn:
            self._add("path", ink, f'd="{drawn}"')

    def text(self, ink: str, x: float, y: float, size: float, words: str, anchor: str = "start") -> None:
        """Set a line of text.

        Args:
            ink: its class.
            x: where it starts, ends or has its middle, by the anchor.
            y: its base line.
            size: the type size.
            words: the text.
            anchor: ``start``, ``middle`` or ``end``.
        """
        place = f'x="{number(x)}" y="{number(y)}" font-size="{number(size)}" text-anchor="{anchor}"'
        self._add("text", ink, place, words)

    def svg(self) -> str:
        """Return the drawing.

        Returns:
            The SVG element.
        """
        return "".join([self._head, *self._lines, "</svg>"])

    def _root(self, width: float, height: float, name: str) -> str:
        drawn = f'class="{name}" viewBox="0 0 {number(width)} {number(height)}" role="img"'
        if not self.standalone:
            return drawn
        size = f'width="{number(width)}" height="{number(height)}"'
        return f'xmlns="http://www.w3.org/2000/svg" {drawn} {size} font-family="{FAMILY}"'

    def _add(self, tag: str, ink: str, attributes: str, words: str | None = None) -> None:
        """Add an element; its attributes are numbers and names of our own, only its words come from elsewhere."""
        drawn = _inked(ink) if self.standalone else f'class="{ink}"'
        self._lines.append(
            f"<{tag} {drawn} {attributes}/>"
            if words is None
            else f"<{tag} {drawn} {attributes}>{escaped(words)}</{tag}>"
        )


def _inked(ink: str) -> str:
    return " ".join(f'{name}="{value}"' for name, value in INKS[ink].items())


def _covering(density: float | None) -> str:
    return "" if density is None else f' fill-opacity="{f"{density:.3f}".rstrip("0")}"'


def escaped(text: str) -> str:
    """Escape what would be read as markup.

    Args:
        text: any text.

    Returns:
        The text, safe between tags and in an attribute.
    """
    return text.translate(_MARKUP) if _MARKED(text) else text
