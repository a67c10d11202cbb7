"""The limits of a callout drawn to scale."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from borewright.callout import parse_callout
from borewright.drawing.limits import SIDE, draw_limits
from borewright.quantity.length import Unit


def parsed(text: str, unit: Unit, width: float = 1000.0) -> ET.Element:
    return ET.fromstring(draw_limits(parse_callout(text, unit), unit, width=width))  # noqa: S314  # our own text


def words(root: ET.Element) -> list[str]:
    return [element.text or "" for element in root if element.tag == "text"]


def test_the_tolerance_is_drawn_to_scale_between_its_limits() -> None:
    root = parsed("62 H6", "mm")
    boxes = [element for element in root if element.get("class") == "d-tolerance"]
    left, wide = float(boxes[0].attrib["x"]), float(boxes[0].attrib["width"])
    assert wide == pytest.approx(1000 / (1 + 2 * SIDE), abs=0.02)
    assert left == pytest.approx(1000 * SIDE / (1 + 2 * SIDE), abs=0.02)
    assert {"62.000", "62.019", "19 µm"} <= set(words(root))
    assert {"cut again", "lost"} <= set(words(root))


def test_the_middle_keeps_its_last_digit() -> None:
    assert "62.0095" in words(parsed("62 H6", "mm"))


@pytest.mark.parametrize(
    ("callout", "unit", "said"),
    [
        ("62 H6", "mm", "nominal 62.000"),
        ("70 +0.092 / +0.080", "mm", "← nominal 70.000"),
        ("70 -0.080 / -0.092", "mm", "nominal 70.000 →"),
        ("2.2470 ±.0004", "in", "nominal 2.2470"),
    ],
)
def test_the_nominal_size_is_marked_or_said_to_lie_outside(callout: str, unit: Unit, said: str) -> None:
    assert said in words(parsed(callout, unit))


def test_two_limits_have_no_nominal_size() -> None:
    assert not any("nominal" in text for text in words(parsed("69.990/70.015", "mm")))


@pytest.mark.parametrize("width", [372.0, 760.0, 1240.0])
def test_the_same_callout_gives_the_same_bytes(width: float) -> None:
    callout = parse_callout("2.2470 ±.0004", "in")
    assert draw_limits(callout, "in", width=width) == draw_limits(callout, "in", width=width)
