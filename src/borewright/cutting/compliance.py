"""How far the tip gives way for each newton: typed, from a push test, or of a plain bar in its spindle.

A load ``F`` at the tip across the axis moves it by ``F [1/kr + L^2/kth + L^3/(3EI)]``. A feed force ``Ff`` at the tip's
radius R bends the bar the other way, outward, by ``Ff R L [1/kth + L/(2EI)]``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from borewright.errors import EntryError, NotHeldError
from borewright.materials.bar import Bar

TYPED_LOG_SD, TEST_LOG_SD = 0.15, 0.08
"""Relative standard deviation of a compliance typed without one, and of one push test. Common practice, no source."""

OUTWARD_SHARE, OUTWARD_SD = 1.25, 0.15
"""Outward over radial compliance times L/R: 1.5 where the bar bends, 1 where the spindle tilts, 0 where it shifts."""

JOINT_LOG_SD: Final = 0.5
"""Joints are known to the order of magnitude and no better. From memory."""

TWO_OVERHANGS: Final = "of push tests at two overhangs"
"""Stands for the taper's name where the spindle was measured."""

BENT_OUTWARD_SD: Final = 0.1
"""Relative standard deviation of how far a plain bar's feed force bends it out, beside the radial one's. Common
practice, no source."""

SLIDE_LOG_SD: Final = 0.25
"""A plain bar is not the tool: slide, dovetail and cartridge give way too. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Compliance:
    """How far the tip gives way.

    Args:
        radial: away from the wall, for each newton of radial force, mm/N.
        outward: towards the wall, for each newton of feed force, mm/N.
        log_sd: standard deviation of the radial one's logarithm.
        outward_sd: standard deviation of the outward one as a share of itself, beside that.
        origin: on what ground.
    """

    radial: float
    outward: float
    log_sd: float
    outward_sd: float
    origin: str


@dataclass(frozen=True, slots=True)
class Joint:
    """How a spindle and its taper give way.

    Args:
        taper: what it is called.
        shift: radial stiffness kr, N/mm.
        tilt: stiffness against tilting kth, N mm/rad.
    """

    taper: str
    shift: float
    tilt: float


# From memory, order of magnitude, to be overwritten by a push test at two overhangs.
JOINTS: Final = (
    Joint("steep 40", 1e5, 6e8),
    Joint("steep 50", 2.5e5, 2e9),
    Joint("hollow 63", 1.5e5, 1e9),
    Joint("hollow 100", 3e5, 3e9),
)
"""The spindle tapers held, from memory."""


def joint_of(taper: str) -> Joint:
    """Find a spindle taper.

    Args:
        taper: its name, such as ``steep 40``.

    Returns:
        The joint.

    Raises:
        NotHeldError: it is none of those held.
    """
    for joint in JOINTS:
        if joint.taper == " ".join(taper.lower().split()):
            return joint
    raise NotHeldError(
        "Nothing is held of this taper.",
        given=taper,
        right=f"Held here: {', '.join(joint.taper for joint in JOINTS)}; or give a push test.",
        where="taper",
    )


def typed_compliance(
    load: float, gives: float, radius: float, overhang: float | None, log_sd: float | None = None
) -> Compliance:
    """Make a compliance of one push: a load across the axis at the tip, and how far the tip went.

    Args:
        load: the load, N.
        gives: how far the tip moved under it, mm, on the radius.
        radius: radius at which the tip cuts, mm.
        overhang: from spindle face to tip, mm; None where it is not known.
        log_sd: standard deviation of the logarithm, or None.

    Returns:
        The compliance; the outward part from overhang and radius, wide.

    Raises:
        EntryError: load or movement is not one of a push test.
    """
    _check_push(load, gives)
    radial = gives / load
    share, sd = (OUTWARD_SHARE, OUTWARD_SD / OUTWARD_SHARE) if overhang is not None else (OUTWARD_SHARE, 0.5)
    reach = overhang if overhang is not None else 4.0 * radius
    ground = f"push of {load:g} N gave {1e3 * gives:g} µm"
    return Compliance(radial, share * radial * radius / reach, TYPED_LOG_SD if log_sd is None else log_sd, sd, ground)


def push_test(loads: Sequence[float], gives: Sequence[float], radius: float, overhang: float | None) -> Compliance:
    """Evaluate a push test of several loads: ``gives = a + c load`` by least squares, so that a zero error drops out.

    Args:
        loads: the loads, N, shape (n,), at least two that differ.
        gives: movements of the tip, mm on the radius, shape (n,).
        radius: radius at which the tip cuts, mm.
        overhang: from spindle face to tip, mm, or None.

    Returns:
        The compliance, as wide as the points scatter and no narrower than one indicator allows.

    Raises:
        EntryError: the loads do not differ, the lists differ in length, or the slope is none of a push test.
    """
    if len(loads) != len(gives) or len(set(loads)) < 2:
        raise EntryError(
            "A push test wants a movement for each load, and two loads that differ.",
            given=f"{len(loads)} loads, {len(gives)} movements",
            right="Push with 50, 100 and 200 N, and note the indicator at the tip each time.",
            where="push_test",
        )
    mean, height = sum(loads) / len(loads), sum(gives) / len(gives)
    squares = sum((load - mean) ** 2 for load in loads)
    slope = sum((load - mean) * (give - height) for load, give in zip(loads, gives, strict=True)) / squares
    _check_push(1.0, slope)
    log_sd = TEST_LOG_SD
    if len(loads) > 2:
        left = [give - height - slope * (load - mean) for load, give in zip(loads, gives, strict=True)]
        variance = sum(each**2 for each in left) / (len(loads) - 2)
        log_sd = math.hypot(TEST_LOG_SD, math.sqrt(variance / squares) / slope)
    made = typed_compliance(1.0, slope, radius, overhang, log_sd)
    return Compliance(made.radial, made.outward, log_sd, made.outward_sd, f"push test of {len(loads)} loads")


def joint_from_two(overhangs: tuple[float, float], compliances: tuple[float, float], bending: float) -> Joint:
    """Work out shift and tilt of a spindle from push tests at two overhangs of one bar.

    ``c(L) - L^3/(3EI) = 1/kr + L^2/kth`` at both, two equations.

    Args:
        overhangs: the two, mm, different.
        compliances: what the tip gave at each, mm/N.
        bending: bending stiffness EI of the bar, N mm^2.

    Returns:
        The joint.

    Raises:
        EntryError: the overhangs do not differ, or what is left after the bar's own bending is none of a joint.
    """
    short, long = sorted(zip(overhangs, compliances, strict=True))
    if not 0.0 < short[0] < long[0]:
        raise EntryError(
            "Two overhangs that differ are wanted.",
            given=overhangs,
            right="Push at, say, 80 and 140 mm.",
            where="push_test",
        )
    left = [give - length**3 / (3.0 * bending) for length, give in (short, long)]
    tilt = (left[1] - left[0]) / (long[0] ** 2 - short[0] ** 2)
    shift = left[0] - tilt * short[0] ** 2
    if not (tilt > 0.0 and shift > 0.0):
        raise EntryError(
            "The bar alone would give way more than was measured, or less at the longer overhang.",
            given=compliances,
            right="Check that the indicator stood on the radius, and the bar's diameter and material.",
            where="push_test",
        )
    return Joint(TWO_OVERHANGS, 1.0 / shift, 1.0 / tilt)


def plain_bar(bar: Bar, diameter: float, overhang: float, radius: float, joint: Joint) -> Compliance:
    """Return the compliance of a plain round bar in its spindle.

    Args:
        bar: its material.
        diameter: its diameter, mm.
        overhang: from spindle face to tip, mm.
        radius: radius at which the tip cuts, mm.
        joint: spindle and taper.

    Returns:
        The compliance, with the joint's wide width by its share.

    Raises:
        EntryError: diameter or overhang is none of a bar.
    """
    if not (diameter > 0.0 and overhang > 0.0):
        raise EntryError(
            "A bar has a diameter and an overhang larger than 0.",
            given=f"{diameter:g} x {overhang:g}",
            right="Give both in mm.",
            where="bar",
        )
    bending = bar.modulus.value * math.pi * diameter**4 / 64.0
    own, behind = overhang**3 / (3.0 * bending), 1.0 / joint.shift + overhang**2 / joint.tilt
    radial = own + behind
    outward = radius * overhang * (1.0 / joint.tilt + overhang / (2.0 * bending))
    joint_log_sd = TEST_LOG_SD if joint.taper == TWO_OVERHANGS else JOINT_LOG_SD
    log_sd = math.sqrt(
        (joint_log_sd * behind / radial) ** 2 + (bar.modulus.relative * own / radial) ** 2 + SLIDE_LOG_SD**2
    )
    behind_it = TWO_OVERHANGS if joint.taper == TWO_OVERHANGS else f"{joint.taper} taper"
    ground = f"plain {bar.name} bar {diameter:g} x {overhang:g} mm, {behind_it}"
    return Compliance(radial, outward, log_sd, BENT_OUTWARD_SD, ground)


def _check_push(load: float, gives: float) -> None:
    if not (load > 0.0 and gives > 0.0):
        raise EntryError(
            "Load and movement of a push test are larger than 0.",
            given=f"{load:g} N, {gives:g} mm",
            right="Push the tip towards the axis, and give how far it went, such as 100 N and 0.012 mm.",
            where="push_test",
        )
    if gives / load > 0.01:
        raise EntryError(
            "A tool that gives way 10 µm for each newton cuts nothing.",
            given=f"{load:g} N, {gives:g} mm",
            right="Check the unit: N, and mm on the radius.",
            where="push_test",
        )
