"""NIST's reference datasets for analysis of variance and for a straight line, to fourteen digits, the hard sets too."""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest
import scipy

from borewright.gauging.exact import OneWay, one_way, straight_line
from tests.published.case import Case, Source, check, each_case

DATA = Path(scipy.__file__).parent / "stats" / "tests" / "data"
SETS = ("SiRstv", *(f"SmLs0{n}" for n in range(1, 10)), "AtmWtAg")
HARD = frozenset({"SmLs07", "SmLs08", "SmLs09"})
"""Thirteen leading digits are the same in every reading of these."""


def rows(path: Path) -> list[list[str]]:
    """Return the rows of data of a file, which say at its top where they begin."""
    return [line.split() for line in path.read_text(encoding="ascii").splitlines()[60:] if line.strip()]


@cache
def analysed(name: str) -> OneWay:
    """Ours: the analysis of one set."""
    groups: dict[str, list[Decimal]] = {}
    for group, reading in rows(DATA / "nist_anova" / f"{name}.dat"):
        groups.setdefault(group, []).append(Decimal(reading))
    return one_way(list(groups.values()))


@cache
def certified(name: str) -> tuple[float, float]:
    """Return the certified F and residual sum of squares that stand in a file."""
    lines = (DATA / "nist_anova" / f"{name}.dat").read_text(encoding="ascii").splitlines()
    between = next(line for line in lines if line.startswith("Between") and "E" in line)
    within = next(line for line in lines if line.startswith("Within") and "E" in line)
    return float(between.split()[-1]), float(within.split()[-2])


@cache
def norris() -> tuple[float, float]:
    """Ours: start and slope of Norris's line."""
    points = [(Decimal(x), Decimal(y)) for y, x in rows(DATA / "nist_linregress" / "Norris.dat")]
    line = straight_line(points)
    return line.start, line.slope


def f_of(name: str) -> Case:
    """The case of one set's F; certified values have fifteen digits, of which the hard sets are asked for ten."""
    theirs = certified(name)[0]
    digits = 10 if name in HARD else 12
    tolerance = float(f"{theirs * 10.0**-digits:.0e}")
    return Case(f"{name}, F", lambda: analysed(name).f, theirs, tolerance=tolerance, place=f"{name}.dat")


SOURCE = Source(
    "strd",
    "NIST statistical reference datasets",
    (
        *(f_of(name) for name in SETS),
        Case("Norris, start", lambda: norris()[0], -0.262323073774029, tolerance=1e-13, place="Norris.dat"),
        Case("Norris, slope", lambda: norris()[1], 1.00211681802045, tolerance=1e-12, place="Norris.dat"),
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)


@pytest.mark.parametrize("name", SETS)
def test_what_is_left_within_groups_is_the_certified_one(name: str) -> None:
    assert analysed(name).within == pytest.approx(certified(name)[1], rel=1e-12)
