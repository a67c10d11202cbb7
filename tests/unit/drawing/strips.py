"""Strips of one invented bore, as its sizing goes on."""

from __future__ import annotations

from borewright.drawing.strip import Span, Strip


def span(mm: float, half_mm: float) -> Span:
    return Span(mm, mm - half_mm, mm + half_mm)


BEFORE = Strip(
    "pump face",
    "mm",
    46.512,
    46.528,
    45.906,
    span(45.922, 0.016),
    (span(46.161, 0.057), span(46.281, 0.02), span(46.4, 0.008), span(46.52, 0.005)),
)
NEAR = Strip("pump face", "mm", 46.512, 46.528, 45.906, span(46.3735, 0.0026), (span(46.5195, 0.0047),), (46.2135,))
IN = Strip("pump face", "mm", 46.512, 46.528, 45.906, span(46.516, 0.0032), (), (46.2135, 46.373))
OVER = Strip("pump face", "mm", 46.512, 46.528, 45.906, span(46.5391, 0.0032), (), (46.2135, 46.373))
INCH = Strip("collar", "in", 57.06364, 57.08396, 56.4515, span(56.8169, 0.0033), (span(56.946, 0.007),), ())
BLANK = Strip("", "mm", 46.512, 46.528, 46.472)

ALL = {"before": BEFORE, "near": NEAR, "in": IN, "over": OVER, "inch": INCH, "blank": BLANK}
