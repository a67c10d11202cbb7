"""Evidence: what was seen, without what was known before."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.random import default_rng

from borewright.learning.evidence import Evidence, at_depth, evidence_between
from borewright.learning.parts import NAMES, PLACE, STATES
from borewright.sizing.gaussian import SIZE, Gaussian, Matrix, State, Vector
from borewright.sizing.pushoff import from_signed_log, push_off, signed_log

PLACES = list(STATES)


def wide(seed: int = 1, reference_mm: float = 0.03) -> Gaussian:
    """A belief with correlations between all parts, about a push-off well away from nothing."""
    draws = default_rng(seed)
    widths = np.ones(SIZE)
    widths[PLACES] = [0.004, 0.0025, 0.004, 0.006, 0.3, 0.1, 0.05]
    roots = draws.normal(size=(SIZE, SIZE)) * 0.3 + np.eye(SIZE)
    mean = np.zeros(SIZE)
    mean[State.PUSH_OFF], mean[State.EXPONENT], mean[State.EDGE] = signed_log(reference_mm), 0.75, 0.15
    return Gaussian(mean, roots @ roots.T * np.outer(widths, widths))


def seen(belief: Gaussian, seed: int, readings: int = 3) -> Gaussian:
    draws = default_rng(seed)
    for _ in range(readings):
        row = np.zeros(SIZE)
        row[PLACES] = draws.normal(size=len(PLACES)) * [0.2, 1.0, 1.0, 1.0, 0.01, 0.01, 0.01]
        row[State.WARMTH] = 0.001
        belief = belief.measured(row, float(row @ belief.mean) + 0.001 * draws.normal(), 1e-6)[0]
    return belief


def told(before: Gaussian, evidence: Evidence) -> Gaussian:
    """Take evidence into the parts of a belief, push-off carried to its coordinate at the evidence's centre."""
    p = PLACE["push_off"]
    slope = from_signed_log(signed_log(float(evidence.centre[p])))[1]
    scale, centre = np.ones(len(NAMES)), evidence.centre.copy()
    scale[p], centre[p] = slope, signed_log(float(evidence.centre[p]))
    information = evidence.information * np.outer(scale, scale)
    mean, covariance = before.mean[PLACES], before.covariance[np.ix_(PLACES, PLACES)]
    precision = np.linalg.inv(covariance)
    after: Matrix = np.asarray(np.linalg.inv(precision + information), dtype=np.float64)
    joint = precision @ mean + information @ centre + scale * evidence.gradient
    return Gaussian(after @ joint, after)


def test_evidence_taken_into_the_belief_before_gives_the_belief_after() -> None:
    before = wide()
    after = seen(before, 2)
    again = told(before, evidence_between(before, after))
    np.testing.assert_allclose(again.mean, after.mean[PLACES], rtol=0, atol=1e-9)
    np.testing.assert_allclose(again.covariance, after.covariance[np.ix_(PLACES, PLACES)], rtol=1e-6, atol=1e-14)


def test_what_was_known_before_is_not_in_it() -> None:
    """The same readings, taken in from another belief, are the same evidence, though the beliefs after them differ."""
    draws = default_rng(5)
    rows = np.zeros((3, SIZE))
    rows[:, PLACES] = draws.normal(size=(3, len(PLACES))) * [0.2, 1, 1, 1, 0.01, 0.01, 0.01]
    values = draws.normal(0.0, 0.001, 3)

    def evidence(before: Gaussian) -> tuple[Evidence, Vector]:
        after = before
        for row, value in zip(rows, values, strict=True):
            after = after.measured(row, float(value), 1e-8)[0]
        found = evidence_between(before, after)
        scale = np.ones(len(NAMES))
        scale[PLACE["push_off"]] = from_signed_log(float(after.mean[State.PUSH_OFF]))[1]
        return found, scale

    (one, scale_1), (two, scale_2) = evidence(wide(1)), evidence(wide(7))
    np.testing.assert_allclose(
        one.information * np.outer(scale_1, scale_1), two.information * np.outer(scale_2, scale_2), rtol=1e-5, atol=1e-2
    )


def test_nothing_seen_is_no_evidence_and_a_wider_belief_is_none_either() -> None:
    before = wide()
    assert not evidence_between(before, before).information.any()
    wider = Gaussian(before.mean + 1e-4, 1.5 * before.covariance)
    found = evidence_between(before, wider)
    assert not found.information.any()
    assert not found.gradient.any()


def test_a_part_that_is_no_matter_of_belief_is_left_untold() -> None:
    before = wide().redrawn(State.BENCH, 0.002, 0.0)
    found = evidence_between(before, seen(before, 3))
    assert not found.information[PLACE["bench"]].any()
    assert found.information[PLACE["lock_mean"], PLACE["lock_mean"]] > 0.0


def test_joined_evidence_is_the_product_of_both() -> None:
    before = wide()
    middle = seen(before, 2)
    after = seen(middle, 3)
    both = evidence_between(middle, after).joined(evidence_between(before, middle))
    again = told(before, both)
    np.testing.assert_allclose(again.mean[[0, 1, 2, 3]], after.mean[PLACES][[0, 1, 2, 3]], rtol=0, atol=2e-5)


@pytest.mark.parametrize(("from_mm", "to_mm"), [(0.25, 0.1), (0.1, 0.4), (0.3, 0.3)])
def test_another_reference_depth_speaks_of_the_same_curve(from_mm: float, to_mm: float) -> None:
    centre = np.array([0.0, 0.001, 0.002, 0.015, 0.03, 0.7, 0.2])
    p, m, e = (PLACE[name] for name in ("push_off", "exponent", "edge"))
    there = at_depth(Evidence(centre, np.eye(7), np.ones(7)), from_mm, to_mm).centre
    for removed in (0.05, 0.2, 0.5):
        assert push_off(removed, there[p], there[m], there[e], to_mm) == pytest.approx(
            push_off(removed, 0.03, 0.7, 0.2, from_mm), rel=1e-12
        )


def test_evidence_at_another_depth_rises_as_much_along_the_same_change() -> None:
    """The derivatives by which it is carried over, against small steps of the curve itself."""
    centre = np.array([0.0, 0.001, 0.002, 0.015, 0.03, 0.7, 0.2])
    draws = default_rng(9)
    root = draws.normal(size=(7, 7))
    here = Evidence(centre, root @ root.T, draws.normal(size=7))
    there = at_depth(here, 0.25, 0.1)
    step = 1e-6 * draws.normal(size=7) * [1, 1, 1, 1, 0.01, 1, 1]
    moved = at_depth(Evidence(centre + step, here.information, here.gradient), 0.25, 0.1).centre - there.centre
    np.testing.assert_allclose(there.gradient @ moved, here.gradient @ step, rtol=1e-4)
    np.testing.assert_allclose(moved @ there.information @ moved, step @ here.information @ step, rtol=1e-4)
