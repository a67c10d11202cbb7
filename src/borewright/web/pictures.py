"""The pictures on the pages: a bore's strip from what is believed, at the widths that screens have."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from borewright.callout.callout import Callout
from borewright.drawing.limits import draw_limits
from borewright.drawing.strip import Span, Strip, draw_strip
from borewright.quantity.length import Unit, parse_length
from borewright.sizing.belief import Belief
from borewright.sizing.bore import Bore
from borewright.sizing.gaussian import State
from borewright.sizing.priors import NORMAL_95
from borewright.web.cuts import NO_CUTS, Cuts
from borewright.web.plain import Plain, group, groups
from borewright.web.story import Pass


class Picture(str):
    """A drawing of our own, which a template sets as it is: the writer has escaped every text in it."""

    __slots__ = ()

    def __html__(self) -> str:
        """Say to the template that this is markup.

        Returns:
            The drawing.
        """
        return str(self)


Pictures = tuple[tuple[str, Picture], ...]
"""One drawing at several widths, each by the name of its width."""

WIDTHS: Final = (("wide", 1240.0), ("middle", 760.0), ("narrow", 372.0))
"""Widths that a large strip is drawn at; the page shows the one that fits."""


def strip_of(bore: Bore, unit: Unit, advice: Plain, passes: Sequence[Pass], cuts: Cuts = NO_CUTS) -> Strip:
    """Make the strip of a bore.

    Args:
        bore: the bore as it stands.
        unit: unit of its figures.
        advice: its advice; the passes left are taken from it, and where it says to release, the size that is judged.
        passes: the passes so far.
        cuts: the cuts that the advice counts on, with the land of a trial cut as the tool will be set for it.

    Returns:
        The strip.
    """
    belief, model, hole = bore.belief, bore.model, bore.model.priors.hole
    left = [one.left_mm for one in passes if one.left_mm is not None]
    aims = [_span_of(step) for step in groups(advice, "plan")]
    if aims and cuts.land_mm is not None:
        aims[0] = Span(*cuts.land_mm)
    elif aims and group(advice, "cut").get("depth") != "trial":
        aims[0] = _span_of(group(advice, "expect"))
    return Strip(
        name=bore.opening.given.name or "",
        unit=unit,
        lower_mm=model.lower_mm,
        upper_mm=model.upper_mm,
        start_mm=hole.value - NORMAL_95 * hole.width,
        hole=_judged(advice) or _span(belief.hole_mm, belief.now.sd(State.HOLE)),
        aims=tuple(aims),
        past=tuple(left[:-1] if belief.readings else left),
        hole_words="expected" if _only_expected(belief) else "hole",
    )


def large_strips(strip: Strip) -> Pictures:
    """Draw a strip large.

    Args:
        strip: the strip.

    Returns:
        It at every width.
    """
    return tuple((name, Picture(draw_strip(strip, width=width))) for name, width in WIDTHS)


def small_strip(strip: Strip) -> Picture:
    """Draw a strip in miniature.

    Args:
        strip: the strip.

    Returns:
        It.
    """
    return Picture(draw_strip(strip, width=560, size="small"))


def limits_pictures(callout: Callout, unit: Unit) -> Pictures:
    """Draw the limits of a callout.

    Args:
        callout: the callout.
        unit: unit of the figures.

    Returns:
        The drawing at every width.
    """
    return tuple((name, Picture(draw_limits(callout, unit, width=width))) for name, width in WIDTHS)


def _span(mm: float, sd_mm: float) -> Span:
    return Span(mm, mm - NORMAL_95 * sd_mm, mm + NORMAL_95 * sd_mm)


def _only_expected(belief: Belief) -> bool:
    """Tell whether nobody has measured the hole since it was last cut through."""
    unread = belief.history and not belief.readings and not belief.after_trial
    return belief.stage == "cut, not measured" or bool(unread)


def _judged(advice: Plain) -> Span | None:
    """Return the size as the gauge alone gives it, where that is what the bore is released on."""
    judged = group(advice, "release")
    if advice.get("action") != "release" or not judged:
        return None
    size, half = (parse_length(str(judged[name])).mm for name in ("size", "expanded"))
    return Span(size, size - half, size + half)


def _span_of(step: Mapping[str, object]) -> Span:
    size, low, high = (parse_length(str(step[name])).mm for name in ("size", "low", "high"))
    return Span(size, low, high)
