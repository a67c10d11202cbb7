"""ISO 286-2:1988/Cor.1:2006, the three hole deviations that it corrects."""

from __future__ import annotations

from tests.published.case import Case, Source, check, each_case
from tests.published.test_iso286 import upper_um

SOURCE = Source(
    "iso286-2-cor1",
    "ISO 286-2:1988/Cor.1:2006, corrected hole deviations",
    (
        Case("E8 over 80 to 120, upper deviation", upper_um("120 E8"), 126, unit="µm", place="page 9, Table 3"),
        Case("R10 over 18 to 30, upper deviation", upper_um("30 R10"), -28, unit="µm", place="page 17, Table 11"),
        Case("A13 over 315 to 355, upper deviation", upper_um("355 A13"), 2090, unit="µm", place="page 8, Table 2"),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
