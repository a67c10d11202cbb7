"""What is said of a reading that does not fit, before it counts: what was expected, and that it is read again first."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from borewright.quantity.length import Unit, parse_length
from borewright.quantity.show import show_length
from borewright.sizing.belief import Belief
from borewright.sizing.bore import Bore
from borewright.sizing.measuring import reading_row
from borewright.sizing.model import Model
from borewright.sizing.priors import NORMAL_95

READ_AGAIN = "Read it again first."


def doubts_said(bore: Bore, told: Bore, recorded: Mapping[str, object]) -> tuple[str, ...]:
    """Say what speaks against an entry that has not been stored.

    Of a reading the hand can take once more, that is said and no guess at what is wrong: the causes are ranked once it
    stands. One that lies where it was expected is let be: what it leaves open, such as whether the figures are on the
    radius, no second look at the gauge settles.

    Args:
        bore: the bore as it stands.
        told: the same, told of the entry.
        recorded: what ``record`` returned of that.

    Returns:
        Sentences; none where nothing speaks against it.
    """
    warnings = recorded["warnings"]
    assert isinstance(warnings, Sequence)
    doubts = told.belief.doubts
    if recorded["event"] not in {"read", "hole_checked"} or not warnings or not doubts:
        return tuple(str(words) for words in warnings)
    understood = recorded["understood"]
    assert isinstance(understood, Mapping)
    text = str(understood["as_read"])
    if doubts[0].reading != recorded["number"] and told.belief.readings_open:
        return (f"{text} does not settle it: the readings do not agree yet. {READ_AGAIN}",)
    expected = expected_reading(bore.belief, bore.model)
    if expected[0] <= parse_length(text).mm <= expected[1]:
        return ()
    low, high = (_as_gauged(mm, bore, text) for mm in expected)
    return (f"{text} does not fit (expected {low} to {high}). {READ_AGAIN}",)


def expected_reading(belief: Belief, model: Model) -> tuple[float, float]:
    """Return what the gauge is expected to show now.

    ``row m`` and ``row C row' + scatter^2``, with the row of what a reading is made of.

    Args:
        belief: what is believed before the reading, mean ``m`` and covariance ``C`` of the states, shapes (16,) and
            (16, 16).
        model: the bore's constants.

    Returns:
        The interval that holds it 95 times in 100, mm.
    """
    row = reading_row(model, trial=belief.after_trial)
    mean = float(row @ belief.now.mean)
    variance = float(row @ belief.now.covariance @ row) + model.reading_variance(belief.gauge_scatter_mm)
    half = NORMAL_95 * math.sqrt(variance)
    return mean - half, mean + half


def _as_gauged(mm: float, bore: Bore, text: str) -> str:
    """Show a size with the digits of the gauge, in the unit that was typed."""
    unit: Unit = "in" if parse_length(text).unit == "in" else "mm"
    step = bore.opening.given.gauge.step
    decimals = step.decimals if step.unit == unit else 3 if unit == "mm" else 4
    return show_length(round(mm, 9), unit, decimals=decimals, with_unit=False)
