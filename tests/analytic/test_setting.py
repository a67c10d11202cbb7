"""The belief reduced to setting a machine from parts made one after another: an offset that stays, errors that do not.

With an offset of standard deviation ``s_d`` and an error ``s`` of each part, the best correction after part t is the
share ``1/(t + s^2/s_d^2)`` of its deviation, and ``1/t`` where nothing is known of the offset: Grubbs, F. E. (1954), An
optimum procedure for setting machines or adjusting processes, Industrial Quality Control; reprinted in the Journal of
Quality Technology 15 (1983) 4. The expected squared deviations follow from the shares by arithmetic.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest

from borewright.sizing.gaussian import State
from borewright.sizing.measuring import reading_row
from borewright.sizing.model import cut, opening_belief
from borewright.sizing.tool_moves import set_tool
from tests.analytic.reduced import ERROR_MM, mean_squared_deviation, next_part, only, shares


def test_an_offset_of_which_nothing_is_known_is_corrected_by_the_harmonic_rule() -> None:
    assert shares(500.0, 5) == pytest.approx([1.0, 1 / 2, 1 / 3, 1 / 4, 1 / 5], abs=2e-4)


@pytest.mark.parametrize("ratio", [0.5, 1.0, 3.0])
def test_any_other_offset_by_its_own(ratio: float) -> None:
    expected = [1.0 / (part + ratio**-2) for part in range(1, 7)]
    assert shares(ratio, 6) == pytest.approx(expected, abs=2e-4)


def test_without_correction_and_with_all_of_each_deviation_it_is_more() -> None:
    assert mean_squared_deviation([0.0] * 10, 2.0) == pytest.approx(5.0)
    assert [mean_squared_deviation([1.0] * parts, 2.0) for parts in (5, 10, 20)] == pytest.approx([2.6, 2.3, 2.15])


def test_the_width_left_falls_with_every_part() -> None:
    model = only(2.0 * ERROR_MM)
    belief = set_tool(opening_belief(model), model, model.diameter_mm, locked=True)
    widths = [belief.sd(State.UNLOCKED)]
    for _ in range(6):
        after = cut(next_part(belief, model.diameter_mm - 0.3), model).belief
        belief = after.measured(reading_row(model), after.at(State.HOLE), 1e-12)[0]
        widths.append(belief.sd(State.UNLOCKED))
    assert all(later < earlier for earlier, later in pairwise(widths))
    assert widths[-1] == pytest.approx(ERROR_MM / math.sqrt(6 + 0.25), rel=1e-3)
    assert np.isfinite(belief.covariance).all()
