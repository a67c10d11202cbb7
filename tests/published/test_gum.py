"""The GUM's rules on a bore measured against a ring, at two temperatures."""

from __future__ import annotations

import math

from borewright.gauging.evidence import Size, Warmth, size_from_readings
from tests.published.case import Case, Source, check, each_case

ALPHA, U_ALPHA = 11.5e-6, 0.6e-6  # ring and part of steel, 1/K
RING, U_RING = 50.0012, 0.0005  # mm
OVER_THE_RING, SCATTER, STEP = 0.0063, 0.0012, 0.001  # mm
PART, RING_WARMTH, U_WARMTH = 3.0, 0.5, 0.3  # K above 20 °C


def measured() -> Size:
    """Ours: five readings over a ring that was half a kelvin warm, of a part that was three."""
    reading = RING * (1.0 + ALPHA * RING_WARMTH) + OVER_THE_RING
    setting = math.hypot(U_RING, STEP / math.sqrt(12.0), RING * ALPHA * U_WARMTH, RING * RING_WARMTH * U_ALPHA)
    return size_from_readings([reading] * 5, SCATTER, setting, STEP, Warmth(PART, U_WARMTH, ALPHA, U_ALPHA))


SOURCE = Source(
    "gum",
    "JCGM 100:2008, law of propagation, on a bore and a ring",
    (
        Case(
            "Bore at 20 °C",
            lambda: measured().mm,
            50.00606230,
            tolerance=5e-9,
            unit="mm",
            place="4.1.4",
            standing="exact",
        ),
        Case(
            "Error without any correction for warmth",
            lambda: (RING + OVER_THE_RING - measured().mm) * 1000.0,
            1.44,
            tolerance=0.005,
            unit="µm",
            place="4.1.4",
            standing="exact",
        ),
        Case(
            "Combined standard uncertainty",
            lambda: measured().u_mm * 1000.0,
            0.87893,
            tolerance=0.000005,
            unit="µm",
            place="5.1.2",
            standing="exact",
        ),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
