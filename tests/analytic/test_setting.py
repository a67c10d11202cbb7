"""The belief reduced to setting a machine from parts made one after another: an offset that stays, errors that do not.

With an offset of standard deviation ``s_d`` and an error ``s`` of each part, the best correction after part t is the
share ``1/(t + s^2/s_d^2)`` of its deviation, and ``1/t`` where nothing is known of the offset: Grubbs, F. E. (1954), An
optimum procedure for setting machines or adjusting processes, Industrial Quality Control; reprinted in the Journal of
Quality Technology 15 (1983) 4. The expected squared deviations follow from the shares by arithmetic.
"""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from borewright.sizing.gaussian import Gaussian, State
from borewright.sizing.measuring import reading_row
from borewright.sizing.model import Model, cut, opening_belief
from borewright.sizing.tool_moves import set_tool
from tests.unit.sizing.plain import bore, without_widths

ERROR_MM = 0.004


def only(offset_sd_mm: float) -> Model:
    """A model in which the bench is off by what stays, each pass by what does not, and all else is known."""
    plain = without_widths(bore().model)
    priors = replace(
        plain.priors,
        bench=replace(plain.priors.bench, width=offset_sd_mm),
        pass_scatter=replace(plain.priors.pass_scatter, width=ERROR_MM),
        push_off=replace(plain.priors.push_off, value=0.0),
        wear=replace(plain.priors.wear, value=0.0),
    )
    return replace(plain, priors=priors)


def next_part(belief: Gaussian, hole_mm: float) -> Gaussian:
    """Take up another part of the run: the tool stays as it is."""
    return belief.redrawn(State.HOLE, hole_mm, 0.0)


def shares(offset_sd_mm: float, parts: int) -> list[float]:
    """Return the share of each part's deviation by which the belief shifts where the tool stands."""
    model = only(offset_sd_mm)
    start = model.diameter_mm - 0.3
    belief = next_part(set_tool(opening_belief(model), model, model.diameter_mm, locked=True), start)
    found = []
    for _ in range(parts):
        after = cut(next_part(belief, start), model).belief
        expected, stood = after.at(State.HOLE), after.at(State.UNLOCKED)
        belief = after.measured(reading_row(model), expected + 0.001, 1e-12)[0]
        found.append((belief.at(State.UNLOCKED) - stood) / 0.001)
    return found


def mean_squared_deviation(shares_taken: list[float], offset: float) -> float:
    """Return the mean over the parts of the expected squared deviation, in squares of the error of one part.

    With d the offset left and e the error of a part: ``E(d + e)^2 = mean^2 + variance + 1``, and a share K takes the
    mean to ``(1 - K) mean`` and the variance to ``(1 - K)^2 variance + K^2``.
    """
    mean, variance, total = offset, 0.0, 0.0
    for share in shares_taken:
        total += mean**2 + variance + 1.0
        mean, variance = (1.0 - share) * mean, (1.0 - share) ** 2 * variance + share**2
    return total / len(shares_taken)


def test_an_offset_of_twice_the_error_is_corrected_by_these_shares() -> None:
    assert shares(2.0 * ERROR_MM, 5) == pytest.approx([0.8, 0.444444, 0.307692, 0.235294, 0.190476], abs=2e-4)


def test_an_offset_of_which_nothing_is_known_is_corrected_by_the_harmonic_rule() -> None:
    assert shares(500.0 * ERROR_MM, 5) == pytest.approx([1.0, 1 / 2, 1 / 3, 1 / 4, 1 / 5], abs=2e-4)


@pytest.mark.parametrize("ratio", [0.5, 1.0, 3.0])
def test_any_other_offset_by_its_own(ratio: float) -> None:
    expected = [1.0 / (part + ratio**-2) for part in range(1, 7)]
    assert shares(ratio * ERROR_MM, 6) == pytest.approx(expected, abs=2e-4)


@pytest.mark.parametrize(
    ("parts", "harmonic", "with_prior"), [(5, 2.216667, 2.157486), (10, 1.682897, 1.650516), (20, 1.377387, 1.360536)]
)
def test_what_that_leaves_of_an_offset_of_two_errors(parts: int, harmonic: float, with_prior: float) -> None:
    assert mean_squared_deviation(shares(500.0 * ERROR_MM, parts), 2.0) == pytest.approx(harmonic, abs=1e-4)
    assert mean_squared_deviation(shares(2.0 * ERROR_MM, parts), 2.0) == pytest.approx(with_prior, abs=1e-4)


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
