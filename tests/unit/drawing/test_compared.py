"""Policies side by side, drawn."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from numpy.random import default_rng

from borewright.drawing.compared import closed_words, draw_compared
from borewright.rehearsal.compare import ADVICE, PRACTICE, TWIN
from borewright.rehearsal.figures import KindFigures, figures_of
from borewright.rehearsal.intervals import Figure
from tests.unit.rehearsal.test_figures import compared


def parsed(figures: tuple[KindFigures, ...]) -> list[ET.Element]:
    return list(ET.fromstring(draw_compared(figures, standalone=False)))  # noqa: S314  # our own text


def test_what_is_closed_of_the_slot_is_filled_and_the_rest_hatched() -> None:
    figures = figures_of(compared(), default_rng(1))
    drawn = parsed(figures)
    filled, slot = (next(each for each in drawn if each.get("class") == name) for name in ("d-stock", "d-tolerance"))
    share = float(filled.attrib["width"]) / float(slot.attrib["width"])
    costs = [figures[0].policies[name].cost.value for name in (PRACTICE, ADVICE, TWIN)]
    assert share == pytest.approx(math.log(costs[0] / costs[1]) / math.log(costs[0] / costs[2]), abs=0.01)
    assert any(each.get("class") == "d-hatch" for each in drawn)
    words = [each.text or "" for each in drawn]
    assert {"titanium", "advice 3.00", "twin 2.40", "practice 4.80"} <= set(words)


def test_kinds_without_all_three_are_left_out_and_the_bytes_are_the_same() -> None:
    figures = figures_of(compared(), default_rng(1))
    without = replace(figures[0], policies={PRACTICE: figures[0].policies[PRACTICE]})
    assert draw_compared((*figures, without)) == draw_compared(figures)
    assert "titanium" not in draw_compared((without,))


@pytest.mark.parametrize(
    ("closed", "words"),
    [
        (None, ""),
        (Figure(0.66, 0.5, 0.8), "66 % of the gap closed, 50 to 80 %"),
        (Figure(0.66, -math.inf, math.inf), "66 % of the gap closed, too few bores to bound it"),
        (Figure(math.nan, -math.inf, math.inf), "no gap: the practice costs no more than the twin"),
    ],
)
def test_how_much_is_closed_is_said(closed: Figure | None, words: str) -> None:
    assert closed_words(closed) == words
