"""The NIST/SEMATECH e-Handbook: gauges within a day, from day to day and from run to run; gears by batch."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from borewright.gauging.exact import one_way, scatter_alike
from borewright.gauging.nested import Check, Levels, nested_levels, per_gauge
from tests.published.case import Case, Source, check, each_case

DATA = Path(__file__).parent / "data"


def table(name: str) -> Iterator[dict[str, str]]:
    """Read the rows of a file of data, without its source's line."""
    with (DATA / name).open(encoding="utf-8") as lines:
        yield from csv.DictReader(line for line in lines if not line.startswith("#"))


@cache
def probe() -> Levels:
    """Ours: the levels of probe 2362."""
    rows = [(r["probe"], Check(r["wafer"], r["run"], float(r["average"]), float(r["sd"]))) for r in table("wafers.csv")]
    return nested_levels(per_gauge(rows)["2362"], 6)


@cache
def gears() -> list[list[float]]:
    """Gear diameters by batch."""
    batches: dict[str, list[float]] = {}
    for row in table("gears.csv"):
        batches.setdefault(row["batch"], []).append(float(row["diameter"]))
    return list(batches.values())


def recomputed(name: str, place: str, ours: float, theirs: float, tolerance: float) -> Case:
    """A value recalled from the handbook and found again by computing."""
    return Case(name, lambda: ours, theirs, tolerance=tolerance, place=place, standing="recomputed")


SOURCE = Source(
    "ehandbook",
    "NIST/SEMATECH e-Handbook of statistical methods",
    (
        recomputed("Probe 2362, level 1", "2.6.1", probe().within, 0.0729, 0.00005),
        recomputed("Probe 2362, level 2", "2.6.1", probe().days, 0.0362, 0.00005),
        recomputed("Probe 2362, level 3", "2.6.1", probe().runs, 0.0196, 0.00005),
        recomputed("Gears by batch, F", "1.3.5.4", one_way(gears()).f, 2.2969, 0.00005),
        recomputed("Gears by batch, Bartlett", "1.3.5.7", scatter_alike(gears()).statistic, 20.786, 0.0005),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
