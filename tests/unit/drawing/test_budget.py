"""A budget drawn."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import pytest

from borewright.drawing.budget import draw_budget
from borewright.gauging.budget import Budget, Cause

BUDGET = Budget(
    50.0, (Cause("ring", 0.0003), Cause("scatter", 0.0004), Cause("step", 0.0), Cause("warmth <part>", 0.0012))
)


def test_bars_are_as_long_as_what_they_bring_and_the_solid_part_is_what_would_go() -> None:
    drawn = list(ET.fromstring(draw_budget(BUDGET, standalone=False)))  # noqa: S314  # our own text
    whole = next(float(each.attrib["width"]) for each in drawn if each.get("class") == "d-next")
    bars = [float(each.attrib["width"]) for each in drawn if each.get("class") == "d-stock"]
    gone = [float(each.attrib["width"]) for each in drawn if each.get("class") == "d-aim"]
    assert [bar / whole for bar in bars] == pytest.approx([12 / 13, 4 / 13, 3 / 13], abs=1e-3)
    assert [each / whole for each in gone] == pytest.approx(
        [1.0 - math.sqrt(1.0 - (part / 13) ** 2) for part in (12, 4, 3)], abs=1e-3
    )
    words = [each.text for each in drawn if each.text]
    assert {"warmth <part>", "1.20", "0.40", "0.30", "1.30", "together"} <= set(words)


def test_the_many_small_ones_share_a_bar_and_the_bytes_are_the_same() -> None:
    many = Budget(50.0, tuple(Cause(f"cause {n}", 0.0001 * n) for n in range(1, 9)))
    drawn = draw_budget(many, most=5)
    assert "3 more" in drawn
    assert drawn == draw_budget(many, most=5)
    assert "cause 8 0.80 µm." in drawn
