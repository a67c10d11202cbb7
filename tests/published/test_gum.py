"""The GUM's rules on a bore measured against a ring, and its own example of a gauge block against another."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from borewright.gauging.budget import Budget, Cause
from borewright.gauging.comparison import (
    MASTER_WARMTH,
    Body,
    Comparison,
    off_diameter_mm,
    rocked_mm,
    warmed_gauge_mm,
)
from borewright.gauging.evidence import Size, Warmth, size_from_readings
from tests.published.case import Case, Source, check, each_case

ALPHA, U_ALPHA = 11.5e-6, 0.6e-6  # ring and part of steel, 1/K
RING, U_RING = 50.0012, 0.0005  # mm
OVER_THE_RING, SCATTER, STEP = 0.0063, 0.0012, 0.001  # mm
PART, RING_WARMTH, U_WARMTH = 3.0, 0.5, 0.3  # K above 20 °C

BORE = Comparison(
    master_mm=RING,
    u_master_mm=U_RING,
    over_mm=OVER_THE_RING,
    readings=5,
    scatter_mm=SCATTER,
    step_mm=STEP,
    part=Body(above_20=PART, u_own=U_WARMTH, per_kelvin=ALPHA, u_per_kelvin=U_ALPHA),
    master=Body(above_20=RING_WARMTH, u_own=U_WARMTH, per_kelvin=ALPHA, u_per_kelvin=U_ALPHA),
    others=(Cause("step of the gauge when it was set", STEP / 12.0**0.5, shape="uniform"),),
)
"""Five readings over a ring that was half a kelvin warm, of a part that was three; the gauge was set once."""

BLOCK = Comparison(
    master_mm=50.000623,
    u_master_mm=25e-6,
    master_dof=18,
    over_mm=215e-6,
    part=Body(above_20=-0.1, u_per_kelvin=0.58e-6, growth_dof=50),
    master=Body(above_20=-0.1, u_own=0.029, own_dof=2),
    u_both_warm=0.2,
    u_cycle=0.35,
    u_both_grow=1.2e-6,
    others=(
        Cause("comparison", 5.8e-6, dof=24),
        Cause("comparator, random", 3.9e-6, dof=5),
        Cause("comparator, systematic", 6.7e-6, dof=8),
    ),
    confidence=0.99,
)
"""The GUM's gauge block: the block is the part, the standard the master, both of one material in one room."""


def first_order() -> Budget:
    """Ours: the block's budget without second-order terms, as H.1 has it."""
    whole = BLOCK.budget()
    return Budget(whole.size_mm, whole.causes, (), whole.confidence)


def pair_nm(first: str, *others: str) -> Callable[[], float]:
    """Ours: what causes bring that act only together, nm."""
    names = {f"{other} × {first}" for other in others}
    return lambda: sum((row.part_mm * 1e6) ** 2 for row in BLOCK.budget().rows() if row.name in names) ** 0.5


def by_evidence() -> Size:
    """Ours: the bore by the way that the advice takes."""
    reading = RING * (1.0 + ALPHA * RING_WARMTH) + OVER_THE_RING
    setting = (U_RING**2 + STEP**2 / 12.0 + (RING * ALPHA * U_WARMTH) ** 2 + (RING * RING_WARMTH * U_ALPHA) ** 2) ** 0.5
    return size_from_readings([reading] * 5, SCATTER, setting, STEP, Warmth(PART, U_WARMTH, ALPHA, U_ALPHA))


def first_order_of(size: Size) -> float:
    """Ours: a size's uncertainty without the product of temperature and expansion, mm."""
    return math.hypot(*(part for name, part in size.parts_mm if "×" not in name))


def bore(name: str, ours: Callable[[], float], theirs: float, tolerance: float, unit: str = "µm") -> Case:
    """A case of the bore on a ring, worked out from the stated formula."""
    return Case(name, ours, theirs, tolerance=tolerance, unit=unit, place="4.1.4, 5.1.2", standing="exact")


AS_READ = "The value was worked out as read at 23 °C; ours is divided by 1 + α (T - 20) as the size is, 0.0035 % less."
ROUNDED = (
    "16.7 follows with 16.6 nm for the difference of temperatures, as rounded on the page; unrounded 16.675 give 16.64."
)

SOURCE = Source(
    "gum",
    "JCGM 100:2008, law of propagation, on a bore and a ring, and its gauge block",
    (
        bore("Bore at 20 °C", lambda: BORE.budget().size_mm, 50.00606230, 5e-9, "mm"),
        bore("The same as the advice takes it", lambda: by_evidence().mm, 50.00606230, 5e-9, "mm"),
        bore(
            "Error without any correction for warmth",
            lambda: (RING + OVER_THE_RING - BORE.budget().size_mm) * 1000.0,
            1.44,
            0.005,
        ),
        Case(
            "Combined standard uncertainty",
            lambda: BORE.budget().first_order_mm * 1000.0,
            0.87893,
            tolerance=0.000005,
            unit="µm",
            place="5.1.2",
            standing="exact",
            disagreement=AS_READ,
        ),
        bore("The same as the advice takes it ", lambda: first_order_of(by_evidence()) * 1000.0, 0.87893, 0.000005),
        bore("Tilt of 1° across 50 mm reads more by", lambda: rocked_mm(50.0, 1.0) * 1000.0, 7.616, 0.001),
        bore("0.1 mm off the diameter of 50 mm reads", lambda: off_diameter_mm(50.0, 0.1) * 1000.0, -0.400, 0.0005),
        bore("60 mm of steel gauge, 3 K warmer", lambda: warmed_gauge_mm(60.0, 11.5e-6, 3.0) * 1000.0, 2.07, 0.005),
        *(
            Case(name, ours, theirs, tolerance=tolerance, unit=unit, place="H.1", standing="recomputed")
            for name, ours, theirs, tolerance, unit in (
                ("Length of the block", lambda: BLOCK.budget().size_mm, 50.000838, 5e-7, "mm"),
                ("Its combined standard uncertainty", lambda: first_order().u_mm * 1e6, 32.0, 0.5, "nm"),
                ("Degrees of freedom cut to a whole number", lambda: math.floor(first_order().dof), 16.0, 0.0, ""),
                ("Coverage factor for 99 %", lambda: first_order().factor, 2.92, 0.005, ""),
                ("Expanded uncertainty for 99 %", lambda: first_order().expanded_mm * 1e6, 93.0, 0.5, "nm"),
            )
        ),
        Case(
            "Effective degrees of freedom",
            lambda: first_order().dof,
            16.7,
            tolerance=0.05,
            place="H.1.6",
            standing="recomputed",
            disagreement=ROUNDED,
        ),
        *(
            Case(name, ours, theirs, tolerance=tolerance, unit="nm", place="H.1.7", standing="memory")
            for name, ours, theirs, tolerance in (
                (
                    "Temperature with difference of expansions",
                    pair_nm("part expansion", "temperature of part and master alike", "the room's warming and cooling"),
                    11.7,
                    0.05,
                ),
                (
                    "Difference of temperatures with expansion",
                    pair_nm("expansion of part and master alike", "master temperature"),
                    1.7,
                    0.05,
                ),
                ("Combined with the second order", lambda: BLOCK.budget().u_mm * 1e6, 34.0, 0.5),
            )
        ),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)


def test_both_disagreements_are_what_they_are_said_to_be() -> None:
    assert BORE.budget().first_order_mm * 1000.0 * (1.0 + ALPHA * PART) == pytest.approx(0.87893, abs=5e-6)
    whole = first_order()
    below = math.fsum(c.part_mm**4 / c.dof for c in whole.causes if c.name != MASTER_WARMTH) + 16.6e-6**4 / 2.0
    assert 1002e-12**2 / below == pytest.approx(16.7, abs=0.05)
