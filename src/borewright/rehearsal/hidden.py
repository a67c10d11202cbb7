"""The constants of a rehearsed machine that nobody is told, and how they are drawn."""

from __future__ import annotations

import math
from dataclasses import dataclass

from numpy.random import Generator

from borewright.rehearsal.chance import generator
from borewright.rehearsal.kinds import Kind
from borewright.rehearsal.pushoff import REFERENCE_MM, PushOff
from borewright.rehearsal.slide import Slide
from borewright.rehearsal.warmth import Warmth

UM = 1e-3  # mm


@dataclass(frozen=True, slots=True)
class HiddenTool:
    """What stays the same while the same tool is used; mm on the diameter.

    Args:
        push_off: its push-off.
        push_off_guess_mm: what the player is told of it at the reference depth.
        lock_mean_mm: what tightening the lock does on average.
        lock_sense: the way its scatter is skewed, 1 or -1.
        lock_return: share of the lock shift given back by unlocking.
        lock_seen: share of the lock shift that a readout sees.
        gain: what it moves more than its graduation or readout says, a share.
        backlash_mm: play of its screw.
        periodic_mm: amplitude of its screw's error over a turn.
        phase: where in the turn that error begins, rad.
        stick_mm: moves smaller than this stick.
        slip_share: share of backlash left open that a cut pushes through the lock.
        bench_mm: what it is larger in the spindle than the bench says.
        edge_change_mm: standard deviation of changing its edge.
    """

    push_off: PushOff
    push_off_guess_mm: float
    lock_mean_mm: float
    lock_sense: float
    lock_return: float
    lock_seen: float
    gain: float
    backlash_mm: float
    periodic_mm: float
    phase: float
    stick_mm: float
    slip_share: float
    bench_mm: float
    edge_change_mm: float


@dataclass(frozen=True, slots=True)
class HiddenBore:
    """What belongs to one bore.

    Args:
        hole_mm: the start hole, mean diameter at 20 °C, mm.
        told_hole_mm: what the player is told of it, mm.
        oval_mm: its ovality, parts along 0° and 45°, mm on the diameter.
        warm_lasting_z: its lasting warmth, in standard deviations.
        warm_passing_z: its passing warmth at the start, in standard deviations.
    """

    hole_mm: float
    told_hole_mm: float
    oval_mm: tuple[float, float]
    warm_lasting_z: float
    warm_passing_z: float


def between(ends: tuple[float, float], draws: Generator) -> float:
    """Return an even draw between two ends.

    Args:
        ends: the two ends.
        draws: where it comes from.

    Returns:
        The draw.
    """
    return float(draws.uniform(*ends))


def oval(root_mean_square_mm: float, draws: Generator) -> tuple[float, float]:
    """Return an ovality of random size and direction.

    Args:
        root_mean_square_mm: of largest less smallest diameter, mm.
        draws: where it comes from.

    Returns:
        Its parts along 0° and 45°; their root sum square is largest less smallest diameter.
    """
    first, second = draws.normal(0.0, root_mean_square_mm / math.sqrt(2.0), 2).tolist()
    return first, second


def draw_tool(kind: Kind, seed: int) -> HiddenTool:
    """Draw the constants of a tool.

    Args:
        kind: the kind of job.
        seed: the tool's seed, not negative.

    Returns:
        The constants; the same for the same kind and seed.
    """
    draws, common = generator(seed, "tool"), kind.common
    # A bar pushed off by more than four fifths of its depth set would be no boring bar.
    push_off_um = kind.push_off_um * math.exp(kind.push_off_log_sd * draws.standard_normal())
    push_off_mm = min(push_off_um * UM, 0.8 * REFERENCE_MM)
    push_off = PushOff(push_off_mm, between(common.exponent, draws), between(common.edge_share, draws))
    # Nor does anybody guess that nearly all of the depth set will be pushed off.
    guess_mm = min(push_off_mm * math.exp(common.guess_log_sd * draws.standard_normal()), 0.9 * REFERENCE_MM)
    return HiddenTool(
        push_off=push_off,
        push_off_guess_mm=guess_mm,
        lock_mean_mm=float(draws.normal(0.0, common.lock_mean_um)) * UM,
        lock_sense=1.0 if draws.random() < 0.5 else -1.0,
        lock_return=between(common.lock_return, draws),
        lock_seen=between(common.lock_seen, draws),
        gain=float(draws.normal(0.0, common.gain_dial if kind.adjuster == "dial" else common.gain_other)),
        backlash_mm=between(common.backlash_um, draws) * UM,
        periodic_mm=between(common.periodic_um, draws) * UM,
        phase=float(draws.uniform(0.0, math.tau)),
        stick_mm=between(common.stick_um, draws) * UM,
        slip_share=between(common.slip_share, draws),
        bench_mm=float(draws.normal(0.0, kind.bench_um)) * UM,
        edge_change_mm=between(common.edge_change_um, draws) * UM,
    )


def draw_bore(kind: Kind, seed: int) -> HiddenBore:
    """Draw what belongs to one bore.

    Args:
        kind: the kind of job.
        seed: the bore's seed, not negative.

    Returns:
        The constants; the same for the same kind and seed.
    """
    draws, common = generator(seed, "bore"), kind.common
    hole = kind.size_mm - kind.stock_um * UM + float(draws.normal(0.0, common.hole_scatter_um)) * UM
    return HiddenBore(
        hole_mm=hole,
        told_hole_mm=round(hole + float(draws.normal(0.0, common.hole_known_um)) * UM, 3),
        oval_mm=oval(common.ovality_um * UM, draws),
        warm_lasting_z=float(draws.standard_normal()),
        warm_passing_z=float(draws.standard_normal()),
    )


def build_slide(kind: Kind, tool: HiddenTool) -> Slide:
    """Build the slide of a tool: a readout looks past its screw, a dial and an offset trust it.

    Args:
        kind: the kind of job.
        tool: its constants.

    Returns:
        The slide, unlocked, at nothing.
    """
    direct = kind.adjuster == "direct"
    return Slide(
        turn_mm=kind.line_um * UM * kind.lines_per_turn,
        screw_gain=0.0 if direct else tool.gain,
        readout_gain=tool.gain if direct else 0.0,
        backlash_mm=tool.backlash_mm,
        periodic_mm=0.0 if direct else tool.periodic_mm,
        phase=tool.phase,
        stick_mm=tool.stick_mm,
        lock_return=tool.lock_return,
        lock_seen=tool.lock_seen,
        slip_share=tool.slip_share,
    )


def build_warmth(kind: Kind, bore: HiddenBore) -> Warmth:
    """Build the warmth of a bore.

    Args:
        kind: the kind of job.
        bore: its constants.

    Returns:
        The warmth at the start.
    """
    common = kind.common
    return Warmth(kind.warm_k, common.warm_lasting, common.warm_memory, bore.warm_lasting_z, bore.warm_passing_z)
