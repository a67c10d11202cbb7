"""Where a bore can be read, drawn."""

from __future__ import annotations

import xml.etree.ElementTree as ET

from borewright.drawing.where import draw_where

DEPTHS = ((3.0, "3.0 mm"), (15.0, "15.0 mm"), (27.0, "27.0 mm"))


def parts(svg: str, ink: str) -> list[ET.Element]:
    return [each for each in ET.fromstring(svg) if each.get("class") == ink]  # noqa: S314  # our own text


def test_places_that_were_read_and_the_next_one_stand_in_both_views() -> None:
    svg = draw_where(DEPTHS, (0.0, 90.0), {(3.0, 0.0), (3.0, 90.0)}, (15.0, 0.0), standalone=False)
    assert len(parts(svg, "d-flag")) == 3  # two directions, one depth
    assert len(parts(svg, "d-next")) == 2
    assert "Read at 3 mm, 0°. Read at 3 mm, 90°. Next: 15 mm, 0°." in svg
    assert [each.text for each in parts(svg, "d-word")] == ["0°", "90°", "3.0 mm", "15.0 mm", "27.0 mm"]


def test_deeper_stands_further_from_the_mouth() -> None:
    svg = draw_where(DEPTHS, (0.0,), set(), None, standalone=False)
    across = [float(each.attrib["x"]) for each in parts(svg, "d-word")[1:]]
    assert across == sorted(across)
    assert across[1] - across[0] == across[2] - across[1]
    assert "Nothing was read at a place yet." in svg
    assert svg == draw_where(DEPTHS, (0.0,), set(), None, standalone=False)
