"""A small writer of SVG: elements in the order they are drawn, numbers to a hundredth, text escaped, no identifiers.

No style and no script ever stands in a drawing, so that a page may forbid both.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from borewright.drawing.ink import FAMILY, INKS

NARROW, DIGIT, WIDE, USUAL = 0.26, 0.6, 0.86, 0.54
"""Widths of letters in shares of the type size, measured on Atkinson Hyperlegible with figures of equal width."""

_NARROW: Final = frozenset(" .,:;'!|iljI·")
_WIDE: Final = frozenset("mMwW%")


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
    return " ".join(f"{number(x)},{number(y)}" for x, y in corners)


def text_width(text: str, size: float) -> float:
    """Estimate how wide a text is set.

    Args:
        text: the text.
        size: the type size.

    Returns:
        The width, in the same unit as the size.
    """
    return size * sum(
        DIGIT if letter.isdigit() else NARROW if letter in _NARROW else WIDE if letter in _WIDE else USUAL
        for letter in text
    )


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
        self._head = self._open("svg", self._root(width, height, name))
        self._lines = [f"<title>{escaped(title)}</title>", f"<desc>{escaped(desc)}</desc>"]

    def line(self, ink: str, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Draw a straight line.

        Args:
            ink: its class.
            start: x and y.
            end: x and y.
        """
        (x1, y1), (x2, y2) = start, end
        self._add("line", ink, [("x1", number(x1)), ("y1", number(y1)), ("x2", number(x2)), ("y2", number(y2))])

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
            sides = [("x", left), ("y", top), ("width", right - left), ("height", bottom - top)]
            self._add("rect", ink, [*((name, number(value)) for name, value in sides), *_covering(density)])

    def polygon(self, ink: str, corners: Sequence[tuple[float, float]], density: float | None = None) -> None:
        """Draw a closed shape.

        Args:
            ink: its class.
            corners: x and y of each.
            density: how much of what lies under it it covers, 0 to 1; all where it is left out.
        """
        self._add("polygon", ink, [("points", points(corners)), *_covering(density)])

    def path(self, ink: str, lines: Iterable[tuple[float, float, float, float]]) -> None:
        """Draw many straight lines as one element.

        Args:
            ink: its class.
            lines: x and y of both ends of each.
        """
        drawn = "".join(f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}" for x1, y1, x2, y2 in lines)
        if drawn:
            self._add("path", ink, [("d", drawn)])

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
        place = [("x", number(x)), ("y", number(y)), ("font-size", number(size)), ("text-anchor", anchor)]
        self._add("text", ink, place, words)

    def svg(self) -> str:
        """Return the drawing.

        Returns:
            The SVG element.
        """
        return "".join([self._head, *self._lines, "</svg>"])

    def _root(self, width: float, height: float, name: str) -> list[tuple[str, str]]:
        box = f"0 0 {number(width)} {number(height)}"
        attributes = [("class", name), ("viewBox", box), ("role", "img")]
        if self.standalone:
            size = [("width", number(width)), ("height", number(height))]
            return [("xmlns", "http://www.w3.org/2000/svg"), *attributes, *size, ("font-family", FAMILY)]
        return attributes

    def _add(self, tag: str, ink: str, attributes: list[tuple[str, str]], words: str | None = None) -> None:
        drawn = list(INKS[ink].items()) if self.standalone else [("class", ink)]
        opened = self._open(tag, [*drawn, *attributes])
        self._lines.append(f"{opened[:-1]}/>" if words is None else f"{opened}{escaped(words)}</{tag}>")

    @staticmethod
    def _open(tag: str, attributes: Iterable[tuple[str, str]]) -> str:
        written = "".join(f' {name}="{escaped(value)}"' for name, value in attributes)
        return f"<{tag}{written}>"


def _covering(density: float | None) -> list[tuple[str, str]]:
    return [] if density is None else [("fill-opacity", f"{density:.3f}".rstrip("0"))]


def escaped(text: str) -> str:
    """Escape what would be read as markup.

    Args:
        text: any text.

    Returns:
        The text, safe between tags and in an attribute.
    """
    for letter, name in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        text = text.replace(letter, name)
    return text
