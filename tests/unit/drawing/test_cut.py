"""The picture of a cut: to scale, the same bytes, and the chip where it is."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from borewright.drawing.cut import draw_cut
from borewright.sizing.cut_outlook import CutOutlook, look_at_cut

PUSHES = [{"load": "100", "gives": "0.02"}]


def looked(depth: str = "61.5", passes: int = 2, **cut: object) -> CutOutlook:
    fields = {"feed": "0.1", "nose": "0.4", "push_test": PUSHES, **cut}
    given = {"callout": "62 H6", "unit": "mm", "hole": depth, "material": "42CrMo4", "cut": fields}
    return look_at_cut(given, passes)


def corners(element: ET.Element) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in (pair.split(",") for pair in element.attrib["points"].split())]


def area(polygon: list[tuple[float, float]]) -> float:
    turned = zip(polygon, [*polygon[1:], polygon[0]], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in turned)) / 2.0


@pytest.mark.parametrize(
    ("outlook", "depth"),
    [(looked(), 0.1274), (looked("60.5", 1, edge_angle="75"), 0.75475), (looked("61.98", 1), 0.01475)],
)
def test_the_chip_is_drawn_to_scale(outlook: CutOutlook, depth: float) -> None:
    root = ET.fromstring(draw_cut(outlook))  # noqa: S314  # our own text
    chip = next(each for each in root if each.get("class") == "d-next")
    drawn = corners(chip)
    scale = (max(y for _, y in drawn) - min(y for _, y in drawn)) / depth
    assert area(drawn) / scale**2 == pytest.approx(float(outlook.passes[-1].chip.area), rel=0.03)


def test_same_bytes_for_the_same_cut_and_no_ink_of_its_own_on_a_page() -> None:
    assert draw_cut(looked()) == draw_cut(looked())
    assert "fill=" not in draw_cut(looked())
    assert "fill=" in draw_cut(looked(), standalone=True)


def test_each_pass_is_named_and_told_to_those_who_do_not_see_it() -> None:
    root = ET.fromstring(draw_cut(looked(passes=3)))  # noqa: S314  # our own text
    words = [element.text or "" for element in root if element.tag == "text"]
    assert sum(text.startswith("Pass ") and "over size" in text for text in words) == 3
    told = root.findtext("desc") or ""
    assert told.count("95 times in 100") == 3
