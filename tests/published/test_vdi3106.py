"""Specific cutting forces by the procedure of VDI 3106, and the power law that is fitted to each row."""

from __future__ import annotations

import math
from collections.abc import Callable

from borewright.materials.work import find_work
from borewright.materials.work_tables import READ_FEEDS_MM, WORK
from tests.published.case import Case, Source, check, each_case

# kc in N/mm² at feeds of 0.16, 0.25, 0.40, 0.63, 1.0 and 1.6 mm, at 45°.
TABLE_2 = {
    "S275": (2600, 2400, 2200, 2050, 1900, 1800),
    "E295": (3500, 3100, 2750, 2450, 2150, 1950),
    "C45": (3050, 2800, 2600, 2400, 2200, 2050),
    "18CrNi8": (4350, 3800, 3300, 2900, 2500, 2200),
    "42CrMo4": (4350, 3900, 3450, 3100, 2750, 2450),
    "16MnCr5": (3750, 3300, 2950, 2600, 2300, 2050),
    "Mn and CrNi steel": (3700, 3400, 3100, 2800, 2550, 2350),
    "austenitic steel": (5400, 4900, 4400, 4000, 3600, 3300),
    "GE240": (2300, 2100, 1950, 1800, 1700, 1600),
    "GE260": (2550, 2350, 2200, 2050, 1900, 1800),
    "EN-GJL-150": (1500, 1350, 1200, 1100, 1000, 900),
    "EN-GJL-250": (2050, 1800, 1600, 1450, 1300, 1150),
}
HALF_A_STEP = 25.0
"""The table goes in steps of 50 N/mm²."""

BEYOND = {("austenitic steel", 1.0), ("E295", 1.0), ("GE240", 0.16), ("GE240", 0.63)}
FINDING = "A power law does not follow this printed row to half a step of the table."


def ours(name: str, feed: float) -> Callable[[], float]:
    """Ours: the specific cutting force at the chip thickness of a feed at 45°."""

    def force() -> float:
        work = find_work(name, WORK)
        return float(work.kc.value * (feed * math.sin(math.pi / 4.0)) ** -work.exponent.value)

    return force


SOURCE = Source(
    "vdi3106",
    "Specific cutting force, VDI 3106 procedure",
    tuple(
        Case(
            f"{name} at {feed:g} mm a turn",
            ours(name, feed),
            printed,
            tolerance=HALF_A_STEP,
            unit="N/mm²",
            place="table 2",
            disagreement=FINDING if (name, feed) in BEYOND else "",
        )
        for name, row in TABLE_2.items()
        for feed, printed in zip(READ_FEEDS_MM, row, strict=True)
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
