"""Numbers large enough to read with the arm's length between eye and screen."""

from __future__ import annotations

from typing import Final

_ROWS: Final = 5
_PICTURES: Final[dict[str, tuple[str, str, str, str, str]]] = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", "###", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("###", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", "  #", "  #", "  #"),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "###"),
    ".": (" ", " ", " ", " ", "#"),
    "+": ("   ", " # ", "###", " # ", "   "),
    "-": ("   ", "   ", "###", "   ", "   "),
    " ": (" ", " ", " ", " ", " "),
}


def big_number(text: str, room: int, *, ink: str = "█") -> list[str]:
    """Draw a number in five rows of blocks, each dot as wide as it is tall where there is room for it.

    Args:
        text: digits, point, plus, minus and spaces; a typographic minus counts as one.
        room: columns there are.
        ink: the character a dot is drawn with.

    Returns:
        Five rows, or none where the number does not fit or holds another character.
    """
    plain = text.replace("−", "-")  # a typographic minus
    if not plain or any(letter not in _PICTURES for letter in plain):
        return []
    for dot in (2, 1):
        rows = [
            (" " * dot).join(_widened(_PICTURES[letter][row], dot, ink) for letter in plain) for row in range(_ROWS)
        ]
        if len(rows[0]) <= room:
            return [row.rstrip() for row in rows]
    return []


def _widened(row: str, dot: int, ink: str) -> str:
    return "".join((ink if mark == "#" else " ") * dot for mark in row)
