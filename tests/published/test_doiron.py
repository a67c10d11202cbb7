"""What a national laboratory states for rings, and what a class leaves open where there is no certificate."""

from __future__ import annotations

from borewright.gauging.masters import national_u_mm
from tests.published.case import Case, Source, check, each_case

SOURCE = Source(
    "doiron1997",
    "Doiron and Stoup, uncertainty and dimensional calibrations, ring gages",
    (
        Case(
            "Expanded uncertainty of a ring of 50 mm",
            lambda: 2.0 * national_u_mm(50.0) * 1000.0,
            0.112,
            tolerance=0.0005,
            unit="µm",
            place="0.094 µm + 0.36e-6 L, to 100 mm",
            standing="recomputed",
        ),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
