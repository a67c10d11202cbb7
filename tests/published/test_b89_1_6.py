"""Widths of ring classes: half of one over root 3 is how well a ring without a certificate is known."""

from __future__ import annotations

from collections.abc import Callable

from borewright.gauging.masters import class_u_mm
from tests.published.case import Case, Source, check, each_case


def width(ring_class: str) -> Callable[[], float]:
    """Ours: the class's width at 2 in, microinch."""
    return lambda: 2.0 * 3.0**0.5 * class_u_mm(50.8, ring_class) / 25.4e-6


SOURCE = Source(
    "b891-6",
    "ASME B89.1.6, classes of rings",
    tuple(
        Case(
            f"Class {name}, over 1.510 to 2.510 in",
            width(name),
            theirs,
            tolerance=1e-9,
            unit="µin",
            place="classes, read second-hand",
        )
        for name, theirs in (("XXX", 20.0), ("XX", 40.0), ("X", 80.0), ("Y", 120.0), ("Z", 160.0))
    ),
)


@each_case(SOURCE)
def test_as_printed(case: Case) -> None:
    check(case)
