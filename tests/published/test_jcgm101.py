"""Supplement 1 of the GUM: the gauge block by Monte Carlo, and by the law of propagation beside it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from borewright.gauging.budget import Budget, Cause
from borewright.gauging.draws import Drawn, draw_size
from tests.published.case import Case, Source, check, each_case
from tests.published.test_gum import BLOCK

DRAWN_TO = 0.5
"""The source stopped drawing when its figures stood still to half a nanometre, nm."""

PLACE = {0.0: "9.5.4", DRAWN_TO: "9.5.4, printed to 1 nm and drawn to 0.5"}

ROUNDED = replace(
    BLOCK,
    others=(
        Cause("comparison", 6e-6, dof=24),
        Cause("comparator, random", 4e-6, dof=5),
        Cause("comparator, systematic", 7e-6, dof=8),
    ),
)
"""The inputs as Table 10 rounds them."""


@cache
def drawn() -> Drawn:
    """Ours: two million draws, enough for the printed nanometre."""
    return draw_size(ROUNDED, np.random.default_rng(1), most=2_000_000, all_of_them=True)


def nm(mm: float) -> float:
    """A length of the block less 50 mm, nm."""
    return (mm - 50.0) * 1e6


def first_order() -> Budget:
    """Ours: by the law of propagation with the GUM's own inputs."""
    whole = BLOCK.budget()
    return Budget(whole.size_mm, whole.causes, (), whole.confidence)


SOURCE = Source(
    "jcgm101",
    "JCGM 101:2008, propagation of distributions, gauge block",
    tuple(
        Case(name, ours, theirs, tolerance=0.5 + drawn_to, unit="nm", place=PLACE[drawn_to], standing="recomputed")
        for name, ours, theirs, drawn_to in (
            ("Length by propagation", lambda: nm(first_order().size_mm), 838.0, 0.0),
            ("Standard uncertainty by propagation", lambda: first_order().u_mm * 1e6, 32.0, 0.0),
            ("99 % from, by propagation", lambda: nm(first_order().size_mm - first_order().expanded_mm), 745.0, 0.0),
            ("99 % to, by propagation", lambda: nm(first_order().size_mm + first_order().expanded_mm), 931.0, 0.0),
            ("Length by Monte Carlo", lambda: nm(drawn().mean_mm), 838.0, DRAWN_TO),
            ("Standard uncertainty by Monte Carlo", lambda: drawn().u_mm * 1e6, 36.0, DRAWN_TO),
            ("99 % from, by Monte Carlo", lambda: nm(drawn().low_mm), 745.0, DRAWN_TO),
            ("99 % to, by Monte Carlo", lambda: nm(drawn().high_mm), 932.0, DRAWN_TO),
        )
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)


def test_propagation_is_not_valid_to_two_digits_there() -> None:
    assert not drawn().agrees(first_order().size_mm, first_order().expanded_mm)
