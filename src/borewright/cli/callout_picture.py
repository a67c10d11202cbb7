"""The limits of a bore drawn to scale in plain characters: stock on the left, the tolerance, the cliff on the right."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from borewright.callout import Callout
from borewright.quantity import Length

NARROWEST: Final = 48


def limits_picture(callout: Callout, width: int = 72) -> str:
    """Draw the limits along a strip of diameter, linear and to scale, with no character beyond ASCII.

    Args:
        callout: what the drawing asks.
        width: columns of the terminal, at least 48; the picture is never wider.

    Returns:
        Lines without trailing spaces, joined by line ends.
    """
    width = max(width, NARROWEST)
    lower, upper = width * 2 // 7, width * 5 // 7
    middle = (lower + upper) // 2
    upper -= (upper - lower) % 2
    unit = callout.unit
    ends = {lower: "|", middle: ":", upper: "|"}
    stock = ("-  " * width)[:lower]
    strip = f"{stock}[{'=' * (middle - lower - 1)}#{'=' * (upper - middle - 1)}]"
    names = [(lower // 2, "undersize: cut again"), (middle, "GOOD"), ((upper + width) // 2, "oversize: lost")]
    places = [(lower, callout.lower), (middle, callout.mid), (upper, callout.upper)]
    lines = [
        *_row(names, width),
        "".join(ends.get(column, " ") for column in range(upper + 1)) + _hatch(0, upper, width),
        strip + _hatch(1, upper, width),
        "".join(ends.get(column, " ") for column in range(upper + 1)) + _hatch(2, upper, width),
        *_row([(place, _digits(length)) for place, length in places], width),
        *_row([(lower, "lower"), (middle, "mid"), (upper, f"upper, {unit}")], width),
        *_nominal(callout, lower, upper, width),
    ]
    return "\n".join(lines)


def _hatch(row: int, upper: int, width: int) -> str:
    """Section lining beyond the upper limit: slanting lines that join from row to row."""
    return "".join("/" if (column + row) % 3 == 0 else " " for column in range(upper + 1, width)).rstrip()


def _digits(length: Length) -> str:
    return f"{length.value:f}"


def _nominal(callout: Callout, lower: int, upper: int, width: int) -> list[str]:
    if callout.nominal is None:
        return []
    text = f"nominal {_digits(callout.nominal)}"
    above = callout.nominal.exact_mm - callout.lower.exact_mm
    column = lower + round(above / callout.tolerance.exact_mm * (upper - lower))
    if 0 <= column < width:
        return [*_row([(column, "^")], width), *_row([(column, text)], width)]
    if column < 0:
        return [f"<-- {text}", f"{_digits(callout.lower - callout.nominal)} below the lower limit"]
    over = f"{_digits(callout.nominal - callout.upper)} above the upper limit"
    return [f"{text} -->".rjust(width), over.rjust(width)]


def _row(labels: Sequence[tuple[int, str]], width: int) -> list[str]:
    """Set labels centred on their columns, kept inside the width; one that would touch another goes a line lower."""
    rows: list[str] = []
    for column, text in labels:
        start = max(0, min(column - len(text) // 2, width - len(text)))
        for place, row in enumerate(rows):
            if len(row) < start or not row:
                rows[place] = row.ljust(start) + text
                break
        else:
            rows.append(" " * start + text)
    return rows
