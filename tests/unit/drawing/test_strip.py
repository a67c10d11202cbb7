"""The stock strip: what stands where, what it says, and that the same strip gives the same bytes."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from borewright.drawing.ink import INKS
from borewright.drawing.strip import Size, Span, Strip, _layout, _scale, draw_strip
from borewright.drawing.svg import text_width
from tests.golden.make_drawings import DRAWINGS
from tests.unit.drawing.strips import ALL, BEFORE, BLANK, IN, INCH, NEAR, OVER

ROOT = Path(__file__).parents[3]
WIDTHS = (1240.0, 760.0, 372.0)


def parsed(strip: Strip, width: float = 1240.0, size: Size = "large") -> ET.Element:
    return ET.fromstring(draw_strip(strip, width=width, size=size))  # noqa: S314  # our own text


def of(root: ET.Element, ink: str) -> list[ET.Element]:
    return [element for element in root if element.get("class") == ink]


def at(element: ET.Element, name: str) -> float:
    return float(element.attrib[name])


def words(root: ET.Element) -> list[str]:
    return [element.text or "" for element in root if element.tag == "text"]


@pytest.mark.parametrize("name", sorted(DRAWINGS))
def test_bytes_are_those_that_were_looked_at(name: str) -> None:
    stored = (ROOT / "tests" / "golden" / f"{name}.svg").read_text("utf-8")
    assert DRAWINGS[name]() == stored


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("strip", ALL.values(), ids=ALL)
def test_nothing_is_drawn_outside(strip: Strip, width: float) -> None:
    root = parsed(strip, width)
    height = float(root.attrib["viewBox"].split()[3])
    for element in root.iter("rect"):
        assert at(element, "x") >= -0.01
        assert at(element, "x") + at(element, "width") <= width + 0.01
        assert at(element, "y") + at(element, "height") <= height
    for element in root.iter("text"):
        assert 0 < at(element, "y") <= height


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("strip", ALL.values(), ids=ALL)
def test_figures_of_the_rule_do_not_touch(strip: Strip, width: float) -> None:
    taken = sorted(
        (at(element, "x"), at(element, "x") + text_width(element.text or "", at(element, "font-size")))
        for element in of(parsed(strip, width), "d-word")
        if re.fullmatch(r"[\d.]+", element.text or "")
    )
    assert len(taken) >= 3
    assert all(right < left for (_, right), (left, _) in pairwise(taken))


def test_what_is_cut_stock_tolerance_and_cliff_follow_each_other() -> None:
    root = parsed(NEAR)
    (void,), (stock,), (tolerance,), (cliff,) = (
        of(root, ink) for ink in ("d-void", "d-stock", "d-tolerance", "d-cliff")
    )
    assert at(void, "x") + at(void, "width") == pytest.approx(at(stock, "x"), abs=0.02)
    assert at(stock, "x") + at(stock, "width") == pytest.approx(at(tolerance, "x"), abs=0.02)
    assert at(tolerance, "x") + at(tolerance, "width") == pytest.approx(at(cliff, "x"), abs=0.02)
    assert at(cliff, "y") < at(tolerance, "y")
    assert of(root, "d-hatch")


def test_a_hole_within_limits_leaves_no_stock() -> None:
    assert not of(parsed(IN), "d-stock")
    assert not any("to come off" in text for text in words(parsed(IN)))


def test_a_hole_over_the_upper_limit_says_by_how_much() -> None:
    desc = parsed(OVER)[1].text or ""
    assert "11.1 µm over the upper limit" in desc


def test_the_scale_is_stated() -> None:
    assert any(re.search(r"drawn \d+ times larger at the limits", text) for text in words(parsed(NEAR)))
    assert any(re.search(r"\d+ times larger at the limits", text) for text in words(parsed(NEAR, 372)))


def test_each_aim_is_a_lozenge_as_wide_as_its_interval_and_pointed_at_its_size() -> None:
    root, (aim,) = parsed(NEAR), NEAR.aims
    scale = _scale(NEAR, _layout(1240.0, "large"))
    corners = [tuple(map(float, pair.split(","))) for pair in of(root, "d-next")[0].attrib["points"].split()]
    (left, side), (x, top), (right, other), (foot, bottom) = corners
    assert left == pytest.approx(scale.x(aim.low_mm), abs=0.01)
    assert right == pytest.approx(scale.x(aim.high_mm), abs=0.01)
    assert x == foot == pytest.approx(scale.x(aim.size_mm), abs=0.01)
    assert side == other == pytest.approx((top + bottom) / 2, abs=0.01)
    assert len(of(root, "d-next")) > 5


def test_soft_steps_narrow_to_the_size_and_add_up_to_one_density() -> None:
    boxes = of(parsed(IN), "d-soft")
    widths = [at(box, "width") for box in boxes]
    assert widths == sorted(widths, reverse=True)
    bare = 1.0
    for box in boxes:
        bare *= 1.0 - at(box, "fill-opacity")
    assert 1.0 - bare == pytest.approx(0.5, abs=0.01)


def test_the_next_aim_is_told_apart_and_named_first() -> None:
    root = parsed(BEFORE)
    assert len(of(root, "d-aim-at")) == 4
    named = [element.text for element in of(root, "d-aim-figure")]
    assert named[0] == "46.161"
    assert "Pass 1 aims at 46.161" in (root[1].text or "")


def test_inches_are_said_in_thou_and_tenths() -> None:
    said = words(parsed(INCH))
    assert "8 tenths" in said
    assert any("thou" in text and "to come off" in text for text in said)


def test_what_comes_off_is_dimensioned_to_the_last_aim_and_no_second_line_stands_beside_it() -> None:
    aimed = replace(BEFORE, aims=(*BEFORE.aims[:-1], replace(BEFORE.aims[-1], size_mm=46.5204)))
    for width in (1240.0, 372.0):
        root = parsed(aimed, width)
        (aim, *_) = sorted(of(root, "d-aim-at"), key=lambda line: -float(line.get("x1", "0")))
        centres = of(root, "d-centre")
        assert [line.get("x1") for line in centres] == [aim.get("x1")]
        assert float(centres[0].get("y2", "0")) <= float(of(root, "d-tolerance")[0].get("y", "0"))
        assert "to come off to the last aim" in (root[1].text or "")
    unplanned = parsed(replace(BEFORE, aims=()))
    assert len(of(unplanned, "d-centre")) == 2


def test_no_figure_runs_into_another_on_a_phone() -> None:
    for low in (33.28, 33.37, 33.393):
        strip = Strip("", "mm", 33.4, 33.425, 33.25, Span(low, low - 0.006, low + 0.006), (), (), "expected")
        for width in (1240.0, 760.0, 372.0):
            rows: dict[str, list[tuple[float, float]]] = {}
            for text in of(parsed(strip, width), "d-figure"):
                wide = text_width(text.text or "", float(text.get("font-size", "0")))
                x = float(text.get("x", "0"))
                left = x - wide if text.get("text-anchor") == "end" else x
                rows.setdefault(text.get("y", ""), []).append((left, left + wide))
            for spans in rows.values():
                spans.sort()
                assert all(after[0] - before[1] >= 16 for before, after in pairwise(spans)), (low, width, spans)


def test_a_bore_nobody_measured_shows_its_limits_alone() -> None:
    root = parsed(BLANK)
    assert not of(root, "d-hole")
    assert root[0].text == "limits 46.512 to 46.528 mm"


def test_a_miniature_has_no_figures_but_says_the_same() -> None:
    small, large = parsed(NEAR, 560, "small"), parsed(NEAR)
    assert not words(small)
    assert [small[0].text, small[1].text] == [large[0].text, large[1].text]


def test_a_name_is_text_whatever_it_holds() -> None:
    root = parsed(replace(NEAR, name='<b>"&'))
    assert (root[0].text or "").startswith('<b>"&: hole')


def test_every_ink_has_its_look_on_pages() -> None:
    sheet = (ROOT / "frontend" / "css" / "drawing.css").read_text("utf-8")
    missing = [ink for ink in INKS if not re.search(rf"\.{ink}\b(?!-)", sheet)]
    assert not missing


def test_limits_and_tolerance_are_never_drawn_as_more_than_they_are() -> None:
    half = replace(NEAR, lower_mm=21.9935, upper_mm=22.0065, unit="mm")
    assert half.limit_figures == ("21.9935", "22.0065")
    inch = replace(NEAR, lower_mm=46.512, upper_mm=46.528, unit="in")
    assert (inch.limit_figures, inch.tolerance_words) == (("1.83119", "1.83181"), "6 tenths")
    metric = replace(inch, unit="mm")
    assert (metric.limit_figures, metric.tolerance_words) == (("46.512", "46.528"), "16 µm")
