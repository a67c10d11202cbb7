"""A study drawn by part and by person."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import numpy as np
import pytest

from borewright.drawing.study import BAND, TOP, draw_study
from borewright.gauging.study import Study

READINGS = np.array(
    [
        [[50.001, 50.003], [50.004, 50.004]],
        [[50.010, 50.010], [50.014, 50.014]],
        [[50.020, 50.022], [50.021, 50.021]],
    ]
)
STUDY = Study(("1", "2", "3"), ("Ann", "Bo"), READINGS)


def parts(svg: str, ink: str) -> list[ET.Element]:
    return [each for each in ET.fromstring(svg) if each.get("class") == ink]  # noqa: S314  # our own text


def middles(marks: list[ET.Element]) -> list[float]:
    """The height of each mark's middle."""
    found = []
    for mark in marks:
        heights = [float(corner.split(",")[1]) for corner in mark.attrib["points"].split()]
        found.append(0.5 * (min(heights) + max(heights)))
    return found


def test_every_reading_stands_once_in_each_band() -> None:
    marks = parts(draw_study(STUDY, "mm", standalone=False), "d-flag")
    assert len(marks) == 2 * READINGS.size + len(STUDY.people)  # and each person's mark beside the name
    heights = middles(marks)
    upper, lower = heights[: READINGS.size], heights[READINGS.size :]
    assert max(upper) < TOP + BAND < min(lower)


def test_marks_stand_as_far_from_the_line_as_readings_from_their_parts_mean() -> None:
    marks = parts(draw_study(STUDY, "mm", standalone=False), "d-flag")
    off = (READINGS - READINGS.mean(axis=(1, 2), keepdims=True)).ravel()
    heights = [TOP + 0.5 * BAND - height for height in middles(marks)[: READINGS.size]]
    scale = 0.46 * BAND / np.abs(off).max()
    assert heights == pytest.approx((scale * off).tolist(), abs=1.0)


def test_who_reads_more_shows_as_a_mean_off_the_line() -> None:
    ann, bo = parts(draw_study(STUDY, "mm", standalone=False), "d-aim-at")
    assert float(ann.attrib["y1"]) > float(bo.attrib["y1"])
    svg = draw_study(STUDY, "mm")
    assert "Part 2 is read most differently." in svg
    assert "Ann reads -0.00100 mm off the mean" in svg
    assert svg == draw_study(STUDY, "mm")


def test_alike_readings_are_drawn_on_the_line() -> None:
    alike = Study(("1", "2"), ("Ann", "Bo"), np.full((2, 2, 2), 50.0))
    heights = middles(parts(draw_study(alike, "in", standalone=False), "d-flag"))
    assert heights[:8] == pytest.approx([TOP + 0.5 * BAND] * 8)


def test_names_are_escaped_and_cut_short() -> None:
    named = Study(("<1>", "2"), ("Annabella Throgmorton", "Bo"), np.full((2, 2, 2), 50.0))
    svg = draw_study(named, "mm", standalone=False)
    assert "&lt;1&gt;" in svg
    assert "Annabella Thr…" in svg
