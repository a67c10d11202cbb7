"""``borewright callout``: the limits, the mid size and the picture of what a drawing asks."""

from __future__ import annotations

import json
import sys

from borewright.callout import Callout, parse_callout
from borewright.cli.callout_picture import limits_picture
from borewright.errors import BorewrightError, EntryError
from borewright.quantity import UNITS, Unit, say_length


def run_callout(text: str, unit: str | None, as_json: bool) -> int:
    """Print what a callout asks, or what is wrong with it.

    Args:
        text: the callout as the drawing has it.
        unit: ``mm`` or ``in`` where the callout carries no unit, or None.
        as_json: whether one JSON object is printed instead of the lines and the picture.

    Returns:
        The exit code: 0, or 2 where it could not be read; the message then stands on stderr, a JSON problem on stdout.
    """
    try:
        callout = parse_callout(text, _checked(unit))
    except BorewrightError as error:
        if as_json:
            print(json.dumps(error.as_problem(), ensure_ascii=False))
        else:
            print(error, file=sys.stderr)
        return 2
    print(json.dumps(callout.plain(), ensure_ascii=False) if as_json else as_lines(callout))
    return 0


def as_lines(callout: Callout) -> str:
    """Return a callout as lines for a terminal, with the picture.

    Args:
        callout: what the drawing asks.

    Returns:
        The lines, joined by line ends.
    """
    said = say_length(callout.tolerance, callout.unit, down=True)
    in_digits = callout.tolerance.text
    tolerance = in_digits if said.endswith(f" {callout.unit}") else f"{in_digits}, {said}"
    rows = [
        ("lower", callout.lower.text),
        ("mid", callout.mid.text),
        ("upper", callout.upper.text),
        ("tolerance", tolerance),
        ("from", callout.source),
    ]
    listed = [f"{name:<10} {value}" for name, value in rows]
    return "\n".join([callout.written, "", *listed, "", limits_picture(callout)])


def _checked(unit: str | None) -> Unit | None:
    if unit is None:
        return None
    for known in UNITS:
        if unit == known:
            return known
    raise EntryError("That is not a unit held here.", given=unit, right="Use mm or in.", where="unit")
