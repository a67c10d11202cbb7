"""What of a cut is typed in one line, on the page or behind an option: a spindle's power, and finishes of before."""

from __future__ import annotations

from collections.abc import Mapping

from borewright.errors import EntryError


def spindle_typed(text: str) -> list[dict[str, str]]:
    """Read a spindle's power by speed.

    Args:
        text: points of speed and power with semicolons between, such as ``1500 rpm 11 kW; 8000 rpm 11 kW``.

    Returns:
        The points, as ``cut.spindle`` takes them.

    Raises:
        EntryError: a point is no speed with a power.
    """
    points = []
    for point in filter(None, (each.strip() for each in text.split(";"))):
        words = [word for word in point.split() if word.lower() not in {"rpm", "kw"}]
        if len(words) != 2:
            raise EntryError(
                "A point of a spindle's curve is a speed and the power there.",
                given=point,
                right='Write "1500 rpm 11 kW; 8000 rpm 11 kW"; 1 hp is 0.746 kW.',
                where="spindle",
            )
        points.append({"rpm": words[0], "kw": words[1]})
    return points


def finishes_typed(text: str, cut: Mapping[str, object]) -> list[dict[str, object]]:
    """Read what finish earlier bores came out with that were cut with this feed and nose.

    Args:
        text: one Ra or several, semicolons between, such as ``1.1 µm; 1.3 µm``.
        cut: the fields of the cut.

    Returns:
        The finishes, as ``cut.measured`` takes them.
    """
    each = filter(None, (ra.strip() for ra in text.split(";")))
    return [{"ra": ra, "feed": cut.get("feed"), "nose": cut.get("nose")} for ra in each]
