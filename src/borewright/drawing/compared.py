"""Policies side by side: what a bore cost under each, kind by kind, and how much of the gap the advice closes.

Each kind is a slot milled from the common practice, at its right end, down to what the knowing twin needs. The advice
is a soft-edged lozenge as wide as its interval; what it has closed of the slot is filled, what it has not is hatched.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from borewright.drawing.svg import Drawing, hatching
from borewright.rehearsal.compare import ADVICE, PRACTICE, TWIN
from borewright.rehearsal.figures import KindFigures, PolicyFigures
from borewright.rehearsal.intervals import Figure

ROW: Final = 112.0
LEFT: Final = 40.0
RIGHT: Final = 40.0
TICKS: Final = (2, 2.5, 3, 4, 5, 6, 8, 10, 15, 20, 30, 50, 80, 120)


def draw_compared(figures: Sequence[KindFigures], *, width: float = 1200.0, standalone: bool = True) -> str:
    """Draw a comparison; equal ratios of cost are drawn equally long.

    Args:
        figures: the kinds, each with practice, advice and knowing twin.
        width: how wide it is drawn; type keeps its size.
        standalone: whether it carries its own ink, for docs and paper.

    Returns:
        An SVG element, the same bytes for the same figures; kinds without all three are left out.
    """
    shown = [each for each in figures if {PRACTICE, ADVICE, TWIN} <= set(each.policies)]
    height = 70.0 + ROW * len(shown) + 50.0
    drawing = Drawing(
        width,
        height,
        title="What a bore costs under practice, advice and knowing twin",
        desc=" ".join(_said(each) for each in shown),
        name="compared",
        standalone=standalone,
    )
    scale = _Scale.of(shown, width)
    drawing.text("d-note", LEFT, 30, 16, "cost of a bore, in passes; further left is better")
    for place, each in enumerate(shown):
        _draw_kind(drawing, each, scale, 70.0 + ROW * place)
    _draw_ticks(drawing, scale, 70.0 + ROW * len(shown) + 10.0)
    return drawing.svg()


@dataclass(frozen=True, slots=True)
class _Scale:
    """Where a cost lies: its logarithm, from the least to the most."""

    least: float
    most: float
    width: float

    @classmethod
    def of(cls, shown: Sequence[KindFigures], width: float) -> _Scale:
        """Make the scale that holds every interval drawn."""
        drawn = [each.policies[name].cost for each in shown for name in (PRACTICE, ADVICE, TWIN)]
        least = min((figure.low for figure in drawn), default=2.0)
        return cls(0.95 * least, 1.05 * max((figure.high for figure in drawn), default=4.0), width)

    def x(self, cost: float) -> float:
        """Return where a cost lies."""
        share = math.log(cost / self.least) / math.log(self.most / self.least)
        return LEFT + share * (self.width - LEFT - RIGHT)


def _draw_kind(drawing: Drawing, each: KindFigures, scale: _Scale, top: float) -> None:
    practice, advice, twin = (each.policies[name] for name in (PRACTICE, ADVICE, TWIN))
    at, best, worst = (scale.x(done.cost.value) for done in (advice, twin, practice))
    middle, half = top + 64.0, 11.0
    drawing.text("d-figure", LEFT, top + 18, 18, each.kind)
    drawing.text("d-word", scale.width - RIGHT, top + 18, 18, closed_words(each.closed), "end")
    drawing.rect("d-tolerance", min(best, worst), middle - half, max(best, worst), middle + half)
    drawing.path("d-hatch", hatching((best, middle - half, max(best, min(at, worst)), middle + half), 10))
    drawing.rect("d-stock", max(at, best), middle - half, worst, middle + half)
    for y in (middle - half, middle + half):
        drawing.line("d-edge", (min(best, worst), y), (max(best, worst), y))
    drawing.line("d-wall", (best, middle - half - 5), (best, middle + half + 5))
    drawing.line("d-limit", (worst, middle - half - 5), (worst, middle + half + 5))
    _draw_lozenge(drawing, scale, advice, middle)
    for x, word in ((best, f"twin {twin.cost.value:.2f}"), (worst, f"practice {practice.cost.value:.2f}")):
        drawing.text("d-note", x, middle + half + 20, 14, word, "start" if x < 0.75 * scale.width else "end")


def _draw_lozenge(drawing: Drawing, scale: _Scale, advice: PolicyFigures, middle: float) -> None:
    low, at, high = (scale.x(cost) for cost in (advice.cost.low, advice.cost.value, advice.cost.high))
    for share, density in ((1.0, 0.25), (0.66, 0.35), (0.33, 0.5)):
        left, right = at - share * (at - low), at + share * (high - at)
        drawing.polygon("d-aim", [(left, middle), (at, middle - 9), (right, middle), (at, middle + 9)], density)
    drawing.line("d-aim-at", (at, middle - 16), (at, middle + 16))
    drawing.text("d-aim-figure", at, middle - 20, 14, f"advice {advice.cost.value:.2f}", "middle")


def _draw_ticks(drawing: Drawing, scale: _Scale, y: float) -> None:
    drawing.line("d-extension", (LEFT, y), (scale.width - RIGHT, y))
    for tick in TICKS:
        if scale.least <= tick <= scale.most:
            drawing.line("d-tick", (scale.x(tick), y), (scale.x(tick), y + 7))
            drawing.text("d-note", scale.x(tick), y + 24, 14, f"{tick:g}", "middle")


def closed_words(closed: Figure | None) -> str:
    """Say how much of the gap is closed.

    Args:
        closed: the share with its interval, or None where it was not asked for.

    Returns:
        Words.
    """
    if closed is None:
        return ""
    if not math.isfinite(closed.value):
        return "no gap: the practice costs no more than the twin"
    if not math.isfinite(closed.low):
        return f"{100 * closed.value:.0f} % of the gap closed, too few bores to bound it"
    return f"{100 * closed.value:.0f} % of the gap closed, {100 * closed.low:.0f} to {100 * closed.high:.0f} %"


def _said(each: KindFigures) -> str:
    costs = ", ".join(f"{word} {each.policies[name].cost.value:.2f}" for word, name in _SAID)
    return f"{each.kind}: {costs}; {closed_words(each.closed)}."


_SAID: Final = (("practice", PRACTICE), ("advice", ADVICE), ("twin", TWIN))
