"""Where a bore was read, drawn."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from borewright.drawing.places import LONGEST, draw_places
from borewright.gauging.form import Placed

PLACES = (Placed(50.010, 5.0, 0.0), Placed(50.012, 5.0, 90.0), Placed(50.008, 30.0, 0.0))


def drawn(places: tuple[Placed, ...]) -> list[ET.Element]:
    return list(ET.fromstring(draw_places(places, "mm", standalone=False)))  # noqa: S314  # our own text


def test_flags_are_as_long_as_readings_lie_from_their_mean() -> None:
    flags = [each for each in drawn(PLACES) if each.get("class") == "d-aim-at"]
    lengths = [
        ((float(f.attrib["x2"]) - float(f.attrib["x1"])) ** 2 + (float(f.attrib["y2"]) - float(f.attrib["y1"])) ** 2)
        ** 0.5
        for f in flags
    ]
    assert len(flags) == 4 * len(PLACES)
    assert max(lengths) == pytest.approx(LONGEST, abs=0.1)
    assert sum(length < 0.1 for length in lengths) == 4


def test_depths_and_directions_are_written_once_each() -> None:
    words = [each.text for each in drawn(PLACES) if each.text]
    assert words.count("0°") == 1
    assert words.count("90°") == 1
    assert words.count("5.0 mm") == 1
    assert any("0.0020 mm from the mean; mean 50.0100 mm" in text for text in words)
    assert "50.0120 mm at 5.0 mm deep, 90°." in draw_places(PLACES, "mm")


def test_alike_readings_have_no_flags_and_the_bytes_are_the_same() -> None:
    alike = (Placed(50.0, 0.0, 0.0), Placed(50.0, 0.0, 60.0))
    assert "every place reads the same" in draw_places(alike, "mm")
    assert draw_places(alike, "in") == draw_places(alike, "in")
