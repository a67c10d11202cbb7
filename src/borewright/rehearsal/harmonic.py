"""Grubbs' harmonic rule: an adjustment of the whole of the first deviation, half of the second, a third of the third.

The rule sets a machine whose bias is not known at all and does not change, from parts measured one after the other:
after the n-th the setting is changed by its deviation divided by n, which leaves the mean of all deviations corrected.
Here the parts are the passes of one bore. Each like pass has an aim of its own; by what it deviates from that, divided
by its number, the tool is set otherwise than the next share of the stock alone would ask.

The sequence 1, 1/2, 1/3 and what the rule assumes are from memory; what is made of it for passes is this program's own.
"""

from __future__ import annotations

from typing import Final

from borewright.rehearsal.outcome import Ending, Outcome, outcome
from borewright.rehearsal.practice import MOST_PASSES, measured, move_by
from borewright.rehearsal.truth import Truth

NAME: Final = "harmonic rule"


def harmonic(truth: Truth, *, passes: int = 3, with_temperature: bool = True) -> Outcome:
    """Size a bore by like passes whose settings are corrected by the harmonic rule.

    The tool is first set as for equal passes. After pass n, whose aim was ``h + n (M - h)/passes`` from the start hole
    h to mid size M, it is moved by the next aim less this one, less ``(size - aim)/n``. A hole that reads within the
    limits is released, one that reads over is scrapped, and one that still reads under is brought up by the same rule
    with mid size as its aim, and set aside when that does not help.

    Args:
        truth: the machine, before its first act; it is used up.
        passes: how many like passes, at least 2.
        with_temperature: whether readings are corrected to 20 °C for the part's temperature.

    Returns:
        How it ended.

    Source: [grubbs1954]
    """
    told = truth.told()
    share = told.stock_mm / passes
    truth.set_tool(round(told.hole_mm + share + told.push_off_guess_mm, 3))
    truth.seat()
    for done in range(1, passes + MOST_PASSES + 1):
        truth.cut()
        size = measured(truth, told, with_temperature=with_temperature)
        if size >= told.lower_mm:
            ending: Ending = "released" if size <= told.upper_mm else "scrapped"
            return outcome(NAME, truth, ending)
        aim = told.hole_mm + share * min(done, passes)
        following = told.hole_mm + share * min(done + 1, passes)
        move_by(truth, told, following - aim - (size - aim) / done)
    return outcome(NAME, truth, "quarantined")
