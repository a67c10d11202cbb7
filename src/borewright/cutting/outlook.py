"""What each pass from the hole as it is to the size wanted gives: first whether it could lose the hole, then the rest.

Every pass is looked at as if it were set from physics alone, with nothing measured before it: so wide is what is known
in the office. Force, finish, power, wear and warmth are of the same pass.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from borewright.cutting.chip import Chip, chip_of
from borewright.cutting.finish import Finish, feed_for, finish_of
from borewright.cutting.force import Force
from borewright.cutting.heat import Warming, wall_volume, warming
from borewright.cutting.least_chip import SAFE_MULTIPLE, least_chip, least_depth
from borewright.cutting.power import Spindle, cutting_power_kw, pass_minutes, speed_rpm, torque_nm
from borewright.cutting.prior import NORMAL_95, PushOffPrior, push_off_prior
from borewright.cutting.pushoff import DOUBTS, Cut, force_for, settled_push_off
from borewright.cutting.starting import Starting, starting_of
from borewright.cutting.wear import Wear, wear_of
from borewright.errors import EntryError

LEAST_REMOVED_MM: Final = 1e-4
MOST_PASSES: Final = 6


@dataclass(frozen=True, slots=True)
class Setup:
    """The cut with all that its outlook needs beside it.

    Args:
        cut: the cut.
        speed: cutting speed, m/min.
        clearance_deg: clearance behind the edge, degrees.
        expansion: the part's growth, 1/K.
        lower: smallest size allowed, mm.
        upper: largest size allowed, mm.
        hole: the hole as it is, mm.
        length: how long the bore is, mm, or None.
        wall: the thinnest wall around it, mm, or None.
        ra: the roughest Ra allowed, mm, or None.
        ratios: measured Ra over the one worked out, one an earlier bore.
        spindle: what the spindle gives, or None.
        rated_rpm: the fastest speed that the tool is rated for, 1/min, or None.
        slender: how many times its own diameter a plain bar stands out, or None where it is no such bar.
        slender_to: how many it may stand out before it is likely to chatter.
        scale: scale of the coordinate of push-off, mm.
    """

    cut: Cut
    speed: float
    clearance_deg: float
    expansion: float
    lower: float
    upper: float
    hole: float
    length: float | None = None
    wall: float | None = None
    ra: float | None = None
    ratios: tuple[float, ...] = ()
    spindle: Spindle | None = None
    rated_rpm: float | None = None
    slender: float | None = None
    slender_to: float = 4.0
    scale: float = 0.003

    @property
    def rpm(self) -> float:
        """Spindle speed, 1/min."""
        return speed_rpm(self.speed, 0.5 * (self.lower + self.upper))

    @property
    def least_chip(self) -> float:
        """The thinnest chip that the edge cuts, mm."""
        return least_chip(self.cut.edge.radius_mm)

    @property
    def least_depth(self) -> float:
        """The least depth set that makes a chip worth the name, mm on the diameter."""
        return 2.0 * least_depth(self.cut.feed, self.cut.nose, self.cut.kappa, SAFE_MULTIPLE * self.least_chip)

    @property
    def starting(self) -> Starting:
        """Where to begin in this material."""
        return starting_of(self.cut.work)

    @property
    def feed_for_finish(self) -> float | None:
        """The fastest feed that leaves the finish wanted, mm; None where none does or none is wanted."""
        if self.ra is None:
            return None
        return feed_for(self.ra, self.cut.nose, self.least_chip, self.ratios, wiper=self.cut.wiper)


@dataclass(frozen=True, slots=True)
class PassOutlook:
    """What one pass gives.

    Args:
        number: which pass, from 1.
        last: whether it is to leave the size wanted.
        hole: the hole before it, mm.
        aim: the size that it is to leave, mm.
        set_diameter: the tool's diameter for that by physics alone, mm.
        depth: depth set, mm on the diameter.
        push_off: push-off expected, mm on the diameter.
        low: what it is above, 39 times in 40, mm.
        high: what it is below, 39 times in 40, mm.
        oversize: odds that it leaves the hole over the upper limit, by push-off alone and set from physics alone.
        chip: its chip.
        force: its force.
        force_log_sd: standard deviation of the logarithm of the cutting force.
        power_kw: power at the edge.
        torque: N m.
        finish: the finish that it leaves.
        minutes: how long the edge is at work, or None where the bore's length is not known.
        wear: what it costs the edge, or None likewise.
        warming: how warm it makes the part, or None where length or wall is not known.
        prior: push-off where this pass's stock comes off.
    """

    number: int
    last: bool
    hole: float
    aim: float
    set_diameter: float
    depth: float
    push_off: float
    low: float
    high: float
    oversize: float
    chip: Chip
    force: Force
    force_log_sd: float
    power_kw: float
    torque: float
    finish: Finish
    minutes: float | None
    wear: Wear | None
    warming: Warming | None
    prior: PushOffPrior


def outlook(setup: Setup, passes: int) -> tuple[PassOutlook, ...]:
    """Look at equal passes from the hole as it is to mid size.

    Args:
        setup: the cut and what stands around it.
        passes: how many.

    Returns:
        One outlook each.

    Raises:
        EntryError: the number of passes is none, or there is no stock.
    """
    if not 1 <= passes <= MOST_PASSES:
        raise EntryError(
            "That many passes are not planned.", given=passes, right=f"Ask for 1 to {MOST_PASSES}.", where="passes"
        )
    removed = (0.5 * (setup.lower + setup.upper) - setup.hole) / passes
    return outlook_to(setup, [setup.hole + (place + 1) * removed for place in range(passes)])


def outlook_to(setup: Setup, sizes: Sequence[float]) -> tuple[PassOutlook, ...]:
    """Look at the passes of a plan, each to the size that it is to leave.

    Args:
        setup: the cut and what stands around it; its hole is the one before the first of them.
        sizes: the size that each is to leave, mm, rising, at least one.

    Returns:
        One outlook each.

    Raises:
        EntryError: a pass would take nothing off.
    """
    holes = (setup.hole, *sizes[:-1])
    if not sizes or any(not size - hole > LEAST_REMOVED_MM for hole, size in zip(holes, sizes, strict=True)):
        raise EntryError(
            "No stock is left to mid size: nothing is to be cut.",
            given=f"{setup.hole:g} mm",
            right="Give the hole before its first pass.",
            where="hole",
        )
    return tuple(
        _pass(setup, place + 1, len(sizes), hole, size - hole)
        for place, (hole, size) in enumerate(zip(holes, sizes, strict=True))
    )


def oversize_odds(setup: Setup, hole: float, set_diameter: float) -> float:
    """Return the odds that a pass leaves the hole over the upper limit, from push-off alone.

    The hole is over it when what comes off up to the limit, ``q = upper - hole``, needs less push-off than is left of
    the depth set: ``g(q) < s - q``.

    Args:
        setup: the cut and what stands around it.
        hole: the hole before the pass, mm.
        set_diameter: the tool's diameter, mm.

    Returns:
        A probability.
    """
    room = setup.upper - hole
    prior = push_off_prior(setup.cut, max(room, LEAST_REMOVED_MM), setup.scale)
    standard = (math.asinh((set_diameter - setup.upper) / setup.scale) - math.asinh(prior.reference / setup.scale)) / (
        prior.width
    )
    return 0.5 * math.erfc(-standard / math.sqrt(2.0))


def _pass(setup: Setup, number: int, passes: int, hole: float, removed: float) -> PassOutlook:
    cut = setup.cut
    prior = push_off_prior(cut, removed, setup.scale)
    # By the middle of its distribution; the fixed point then holds for the depth that this gives.
    depth = removed + prior.reference
    low, high = _settled(cut, depth, prior)
    force = force_for(cut, 0.5 * removed)
    power = cutting_power_kw(float(force.cutting), setup.speed)
    middle = 0.5 * (setup.lower + setup.upper)
    minutes = None if setup.length is None else pass_minutes(setup.length, cut.feed, setup.rpm)
    wear = warm = None
    if minutes is not None and setup.length is not None:
        wear = wear_of(minutes, setup.speed, cut.edge.taylor_exponent, setup.starting.speed[1], setup.clearance_deg)
        if setup.wall is not None:
            metal = wall_volume(middle, setup.length, setup.wall)
            warm = warming(power, minutes, metal, cut.work.heat.value, setup.expansion, middle)
    return PassOutlook(
        number=number,
        last=number == passes,
        hole=hole,
        aim=hole + removed,
        set_diameter=hole + depth,
        depth=depth,
        push_off=prior.reference,
        low=low,
        high=high,
        oversize=oversize_odds(setup, hole, hole + depth),
        chip=chip_of(0.5 * removed, cut.feed, cut.nose, cut.kappa),
        force=force,
        force_log_sd=_force_width(cut, 0.5 * removed),
        power_kw=power,
        torque=torque_nm(float(force.cutting), middle),
        finish=finish_of(cut.feed, cut.nose, setup.least_chip, setup.ratios, wiper=cut.wiper),
        minutes=minutes,
        wear=wear,
        warming=warm,
        prior=prior,
    )


def _settled(cut: Cut, depth: float, prior: PushOffPrior) -> tuple[float, float]:
    """Return what holds push-off at a depth set 95 times in 100: a stiffer cut takes more off and so springs more."""
    if not depth > 0.0:
        return prior.interval()
    shallower, deeper = settled_push_off(cut, depth * np.array([0.99, 1.01]))
    share = float(deeper - shallower) / (0.02 * depth)
    follows = min(max(1.0 - share, 0.0), 1.0)
    low, high = prior.interval(NORMAL_95)
    return prior.reference + follows * (low - prior.reference), prior.reference + follows * (high - prior.reference)


def _force_width(cut: Cut, depth: float) -> float:
    doubt = np.zeros((2 * DOUBTS, DOUBTS))
    for place in range(DOUBTS):
        doubt[place, place], doubt[DOUBTS + place, place] = 1.0, -1.0
    logs = np.log(force_for(cut, depth, doubt).cutting)
    parts = 0.5 * (logs[:DOUBTS] - logs[DOUBTS:])
    return float(np.sqrt(parts @ parts))
