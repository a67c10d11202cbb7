"""The NIST/SEMATECH e-Handbook: gauges within a day, from day to day and from run to run; gears by batch."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from borewright.gauging.exact import one_way, scatter_alike
from borewright.gauging.nested import Check, Levels, nested_levels, per_gauge
from borewright.running.capability import capability
from borewright.running.charts import forgetting_limits, single_limits
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


def recomputed(name: str, place: str, ours: float, theirs: float, tolerance: float, differs: str = "") -> Case:
    """A value recalled from the handbook and found again by computing."""
    return Case(
        name, lambda: ours, theirs, tolerance=tolerance, place=place, standing="recomputed", disagreement=differs
    )


SINGLES = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)
SINGLE, AVERAGE = single_limits(SINGLES), forgetting_limits(50.0, 2.0539, 0.3)
CAPABLE = capability(16.0, 2.0, (8.0, 20.0), 50)
ROUNDED = "The handbook divides by 1.128, a rounded d2; ours by 2/sqrt(pi) = 1.128379."


SOURCE = Source(
    "ehandbook",
    "NIST/SEMATECH e-Handbook of statistical methods",
    (
        recomputed("Probe 2362, level 1", "2.6.1", probe().within, 0.0729, 0.00005),
        recomputed("Probe 2362, level 2", "2.6.1", probe().days, 0.0362, 0.00005),
        recomputed("Probe 2362, level 3", "2.6.1", probe().runs, 0.0196, 0.00005),
        recomputed("Gears by batch, F", "1.3.5.4", one_way(gears()).f, 2.2969, 0.00005),
        recomputed("Gears by batch, Bartlett", "1.3.5.7", scatter_alike(gears()).statistic, 20.786, 0.0005),
        recomputed("Single values, mean", "6.3.2.2", SINGLE.middle, 50.81, 0.005),
        recomputed("Single values, upper limit", "6.3.2.2", SINGLE.upper, 55.8041, 0.00005, ROUNDED),
        recomputed("Single values, lower limit", "6.3.2.2", SINGLE.lower, 45.8159, 0.00005, ROUNDED),
        recomputed("Average that forgets, upper limit", "6.3.2.4", AVERAGE.upper, 52.5884, 0.00005),
        recomputed("Average that forgets, lower limit", "6.3.2.4", AVERAGE.lower, 47.4115, 0.0001),
        recomputed("Capability", "6.1.6", CAPABLE.cp, 1.0, 1e-12),
        recomputed("Capability above", "6.1.6", CAPABLE.upper, 0.6667, 0.00005),
        recomputed("Capability below", "6.1.6", CAPABLE.lower, 1.3333, 0.00005),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)


def test_the_disagreement_is_no_more_than_the_rounded_constant() -> None:
    half = (SINGLE.upper - SINGLE.middle) * 2.0 / math.sqrt(math.pi) / 1.128
    assert SINGLE.middle + half == pytest.approx(55.8041, abs=0.00005)
    assert SINGLE.middle - half == pytest.approx(45.8159, abs=0.00005)
