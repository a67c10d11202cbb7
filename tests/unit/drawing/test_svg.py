"""The writer of drawings: numbers, text, ink, section lining."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from borewright.drawing.ink import INKS
from borewright.drawing.svg import Drawing, escaped, hatching, number, text_width


def drawn(*, standalone: bool = False) -> Drawing:
    return Drawing(100, 40, title="a < b", desc='what "it" says & means', name="trial", standalone=standalone)


@pytest.mark.parametrize(
    ("value", "text"), [(12.0, "12"), (0.5, "0.5"), (-3.254, "-3.25"), (-0.001, "0"), (1e-9, "0"), (99.999, "100")]
)
def test_numbers_are_short_and_never_a_negative_zero(value: float, text: str) -> None:
    assert number(value) == text


@given(st.text())
def test_any_text_survives_as_text(words: str) -> None:
    safe = "".join(letter for letter in words if letter.isprintable())
    root = ET.fromstring(f'<t a="{escaped(safe)}">{escaped(safe)}</t>')  # noqa: S314  # our own text
    assert (root.text or "") == root.attrib["a"] == safe


def test_a_drawing_says_what_it_is_and_holds_neither_style_nor_script_nor_identifier() -> None:
    drawing = drawn()
    drawing.rect("d-stock", 0, 0, 10, 10)
    drawing.text("d-word", 5, 5, 12, '<script>"')
    svg = drawing.svg()
    root = ET.fromstring(svg)  # noqa: S314  # our own text
    assert root.attrib["role"] == "img"
    assert [root[0].tag, root[0].text] == ["title", "a < b"]
    assert [root[1].tag, root[1].text] == ["desc", 'what "it" says & means']
    for word in ("style", "<script", " id=", "url(", "href", "http"):
        assert word not in svg


def test_on_a_page_the_style_sheet_draws_and_elsewhere_each_element_carries_its_ink() -> None:
    page, paper = drawn(), drawn(standalone=True)
    for drawing in (page, paper):
        drawing.line("d-wall", (0, 0), (0, 10))
    assert 'class="d-wall"' in page.svg()
    assert 'stroke="' not in page.svg()
    assert f'stroke-width="{INKS["d-wall"]["stroke-width"]}"' in paper.svg()
    assert 'class="d-wall"' not in paper.svg()
    assert 'xmlns="' in paper.svg()


def test_a_rectangle_without_extent_is_left_out() -> None:
    drawing = drawn()
    drawing.rect("d-stock", 10, 0, 10, 5)
    drawing.rect("d-stock", 10, 0, 4, 5)
    assert "<rect" not in drawing.svg()


def test_section_lining_stays_in_its_box_at_45_degrees() -> None:
    left, top, right, bottom = box = (10.0, 5.0, 40.0, 25.0)
    lines = hatching(box, 6)
    assert len(lines) > 5
    for x1, y1, x2, y2 in lines:
        assert left <= x1 <= x2 <= right
        assert top - 1e-9 <= y2 <= y1 <= bottom + 1e-9
        assert x2 - x1 == pytest.approx(y1 - y2)


def test_width_of_text_grows_with_its_size_and_length() -> None:
    assert text_width("46.520", 20) == pytest.approx(2 * text_width("46.520", 10))
    assert text_width("46.5200", 20) > text_width("46.520", 20)
    assert text_width("..", 20) < text_width("00", 20)
