"""Bores measured in every way, each a comparison whose budget is held against general libraries of uncertainty."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Final

from borewright.gauging.budget import Cause
from borewright.gauging.comparison import (
    BOTH_GROW,
    CYCLE,
    GAUGE_WARMTH,
    MASTER,
    MASTER_GROWS,
    MASTER_ROCKING,
    MASTER_WARMTH,
    OFF_CENTRE,
    PART_GROWS,
    PART_WARMTH,
    ROCKING,
    THERMOMETER,
    Body,
    Comparison,
)
from borewright.gauging.instruments import AirZero, instrument, machine_error_mm
from borewright.gauging.masters import anvils_u_mm, stacked_u_mm
from tests.published.test_gum import BLOCK, BORE

STEEL: Final = Body(above_20=2.0, u_own=0.3, per_kelvin=11.5e-6, u_per_kelvin=0.4e-6)
STEEL_RING: Final = Body(above_20=0.5, u_own=0.2, per_kelvin=11.5e-6, u_per_kelvin=0.4e-6)
ALUMINIUM: Final = Body(above_20=3.0, u_own=0.4, per_kelvin=23.1e-6, u_per_kelvin=0.8e-6, own_dof=9.0)
AIR: Final = AirZero(49.99, 50.01, -20.0, 20.0, 0.0004, 0.0004).size(6.0)


def feel(name: str) -> tuple[Cause, ...]:
    """Return the cause that an instrument's feel is."""
    return (Cause("feel", instrument(name).feel_mm),)


NAMED: Final = frozenset(
    {BOTH_GROW, CYCLE, GAUGE_WARMTH, MASTER, MASTER_GROWS, MASTER_ROCKING, MASTER_WARMTH, OFF_CENTRE, PART_GROWS}
    | {PART_WARMTH, ROCKING, THERMOMETER}
)
"""Causes with a term of their own in the equation; every other is straight on a reading, in mm."""


def by_equation(c: Comparison, off: Mapping[str, Any]) -> Any:  # noqa: ANN401  # numbers of whichever library
    """Return the size by the stated equation, term by term and by none of the code that is under test.

    Tilt and distance from the diameter are uniform within their half widths, so that their squares have a third of the
    half width's square as mean.
    """

    def of(name: str) -> Any:  # noqa: ANN401  # as above
        return off.get(name, 0.0)

    part_warm = c.part.above_20 + of(PART_WARMTH) + of(THERMOMETER) + of(CYCLE)
    master_warm = c.master.above_20 + of(MASTER_WARMTH) + of(THERMOMETER) + of(CYCLE)
    part_grows = c.part.per_kelvin + of(PART_GROWS) + of(BOTH_GROW)
    master_grows = c.master.per_kelvin + of(MASTER_GROWS) + of(BOTH_GROW)
    tilted = math.radians(c.tilt_deg) ** 2 / 3.0 + of(ROCKING)
    master_tilted = math.radians(c.master_tilt_deg) ** 2 / 3.0 + of(MASTER_ROCKING)
    beside = c.off_mm**2 / 3.0 + of(OFF_CENTRE)
    read = c.over_mm + sum(each for name, each in off.items() if name not in NAMED)
    read = read + c.master_mm * c.gauge_per_kelvin * (c.gauge_warmer + of(GAUGE_WARMTH))
    read = read - c.master_mm * (tilted - master_tilted) / 2.0 + 2.0 * beside / c.master_mm
    on_master = (c.master_mm + of(MASTER)) * (1.0 + master_grows * master_warm)
    return (on_master + read) / (1.0 + part_grows * part_warm)


BUDGETS: Final[dict[str, Comparison]] = {
    "bore on a ring": BORE,
    "gauge block": BLOCK,
    "dial bore gauge, aluminium on a steel ring": Comparison(
        master_mm=120.002,
        u_master_mm=0.0006,
        over_mm=-0.0035,
        readings=4,
        master_readings=3,
        scatter_mm=0.0012,
        scatter_dof=24.0,
        step_mm=0.001,
        part=ALUMINIUM,
        master=STEEL_RING,
        u_both_warm=0.3,
        gauge_warmer=1.0,
        u_gauge_warmer=0.5,
        tilt_deg=0.2,
        master_tilt_deg=0.2,
        off_mm=0.05,
        operator_mm=0.0006,
    ),
    "dial bore gauge on blocks": Comparison(
        master_mm=62.0,
        u_master_mm=stacked_u_mm((0.0001, 0.00015)),
        over_mm=0.0084,
        readings=2,
        master_readings=2,
        scatter_mm=0.001,
        step_mm=0.001,
        part=STEEL,
        master=STEEL_RING,
        u_both_grow=0.5e-6,
    ),
    "two-point inside micrometer": Comparison(
        master_mm=75.012,
        u_master_mm=0.003 / 3.0**0.5,
        readings=3,
        scatter_mm=0.002,
        scatter_dof=2.0,
        step_mm=0.001,
        part=STEEL,
        master=STEEL_RING,
        tilt_deg=0.5,
        off_mm=0.1,
        others=feel("two-point inside micrometer"),
    ),
    "three-point inside micrometer": Comparison(
        master_mm=40.001,
        u_master_mm=0.0008,
        over_mm=0.006,
        readings=3,
        master_readings=3,
        scatter_mm=0.001,
        step_mm=0.001,
        part=STEEL,
        master=STEEL_RING,
        others=feel("three-point inside micrometer"),
    ),
    "telescoping gauge": Comparison(
        master_mm=32.015,
        u_master_mm=0.002 / 3.0**0.5,
        readings=3,
        scatter_mm=0.003,
        step_mm=0.001,
        part=STEEL,
        master=STEEL_RING,
        others=feel("telescoping gauge"),
    ),
    "bore gauge between anvils": Comparison(
        master_mm=95.0,
        u_master_mm=anvils_u_mm(0.002, 0.001),
        over_mm=0.004,
        readings=2,
        master_readings=2,
        scatter_mm=0.0015,
        step_mm=0.001,
        part=STEEL,
        master=STEEL_RING,
        others=feel("bore gauge between anvils"),
    ),
    "air gauge": Comparison(
        master_mm=AIR[0],
        u_master_mm=AIR[1],
        readings=4,
        master_readings=4,
        scatter_mm=0.0003,
        step_mm=0.0002,
        part=STEEL,
        master=STEEL_RING,
    ),
    "coordinate measuring machine": Comparison(
        master_mm=150.004,
        u_master_mm=machine_error_mm(0.0015, 1.0 / 350_000.0, 150.0),
        readings=1,
        scatter_mm=0.0008,
        scatter_dof=9.0,
        part=STEEL,
        master=Body(above_20=0.3, u_own=0.1, per_kelvin=8.0e-6, u_per_kelvin=1.0e-6),
    ),
    "touch probe in the spindle": Comparison(
        master_mm=55.003,
        u_master_mm=0.003,
        readings=2,
        scatter_mm=0.001,
        part=STEEL,
        master=Body(above_20=4.0, u_own=1.0, per_kelvin=11.0e-6, u_per_kelvin=1.0e-6),
    ),
}
