"""From a comparison with a master to a size at 20 °C: the model, its budget, and draws of it.

``D20 = [D_m (1 + a_m (T_m - 20)) + (reading in the bore - reading on the master) + D_m a_g (T_g,bore - T_g,master)
- D phi^2 / 2 + 2 e^2 / D] / (1 + a_p (T_p - 20))``

with master m, part p, gauge g, tilt phi left after rocking and distance e from the diameter. An instrument with a scale
of its own is compared with that scale: the scale is its master. Temperatures and coefficients of part and master are
written as what both share and what each has of its own, so that no two causes are correlated ([gum] H.1.2).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from borewright.errors import EntryError
from borewright.gauging.budget import Budget, Cause, Pair

Draws: TypeAlias = NDArray[np.float64]

MASTER: Final = "master"
SCATTER: Final = "gauge scatter in the bore"
SETTING: Final = "gauge scatter on the master"
STEP: Final = "step of the gauge in the bore"
MASTER_STEP: Final = "step of the gauge on the master"
THERMOMETER: Final = "temperature of part and master alike"
CYCLE: Final = "the room's warming and cooling"
PART_WARMTH: Final = "part temperature"
MASTER_WARMTH: Final = "master temperature"
BOTH_GROW: Final = "expansion of part and master alike"
PART_GROWS: Final = "part expansion"
MASTER_GROWS: Final = "master expansion"
GAUGE_WARMTH: Final = "gauge temperature"
ROCKING: Final = "rocking in the bore"
MASTER_ROCKING: Final = "rocking on the master"
OFF_CENTRE: Final = "off the diameter"
OPERATOR: Final = "operator"

MEAN_SQUARE: Final = 3.0
"""The square of a half width over the mean square of what is uniform within it."""

SQUARED: Final = 2.0 / (3.0 * math.sqrt(5.0))
"""Standard deviation of the square of what is uniform from -1 to 1, ``sqrt(1/5 - 1/9)``; its mean is 1/3."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A part or a master: how warm it is and how it grows.

    Args:
        above_20: best estimate of its temperature minus 20 °C, K.
        u_own: standard uncertainty of that which is its own, K.
        own_dof: degrees of freedom of that.
        per_kelvin: coefficient of expansion, 1/K.
        u_per_kelvin: standard uncertainty of that which is its own, 1/K.
        growth_dof: degrees of freedom of that.
    """

    above_20: float = 0.0
    u_own: float = 0.0
    own_dof: float = math.inf
    per_kelvin: float = 11.5e-6
    u_per_kelvin: float = 0.0
    growth_dof: float = math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """A bore compared with a master. Every u is a standard uncertainty; every half width that of a uniform spread.

    Args:
        master_mm: the master's size at 20 °C, mm.
        u_master_mm: its standard uncertainty, mm.
        master_dof: degrees of freedom of that.
        over_mm: mean reading in the bore minus mean reading on the master, mm; a larger hole gives more.
        readings: how many readings in the bore its mean rests on; 0 where the scatter is told for the mean.
        master_readings: how many readings on the master; 0 where nothing is read there.
        scatter_mm: standard deviation of one reading, mm.
        scatter_dof: degrees of freedom of that.
        step_mm: smallest step that the gauge shows, mm.
        part: the part.
        master: the master.
        u_both_warm: temperature that part and master share, K: the thermometer's own error.
        u_cycle: standard uncertainty of a room that warms and cools in turn, K.
        u_both_grow: coefficient that part and master share, 1/K, where both are of one material.
        gauge_warmer: gauge in the bore warmer than on the master, K.
        u_gauge_warmer: of that, K.
        gauge_per_kelvin: the gauge's coefficient of expansion, 1/K.
        tilt_deg: half width of the tilt left after rocking in the bore, degrees.
        master_tilt_deg: the same on the master.
        off_mm: half width of the distance from the diameter, mm.
        operator_mm: standard deviation between operators, mm.
        others: further causes, each straight on the size in mm.
        confidence: what the expanded uncertainty is to hold.
    """

    master_mm: float
    u_master_mm: float
    master_dof: float = math.inf
    over_mm: float = 0.0
    readings: int = 1
    master_readings: int = 0
    scatter_mm: float = 0.0
    scatter_dof: float = math.inf
    step_mm: float = 0.0
    part: Body = Body()
    master: Body = Body()
    u_both_warm: float = 0.0
    u_cycle: float = 0.0
    u_both_grow: float = 0.0
    gauge_warmer: float = 0.0
    u_gauge_warmer: float = 0.0
    gauge_per_kelvin: float = 11.5e-6
    tilt_deg: float = 0.0
    master_tilt_deg: float = 0.0
    off_mm: float = 0.0
    operator_mm: float = 0.0
    others: tuple[Cause, ...] = ()
    confidence: float = 0.95

    def __post_init__(self) -> None:
        if not (math.isfinite(self.master_mm) and self.master_mm > 0.0):
            raise EntryError(
                "A master has a size larger than 0.", given=self.master_mm, right="Give its size.", where="master"
            )
        if self.readings < 1:
            raise EntryError(
                "There is no reading to make a size of.",
                given=self.readings,
                right="Read it at least once.",
                where="readings",
            )

    def size(self, off: Mapping[str, Any]) -> Any:  # noqa: ANN401  # numbers in, number out; arrays in, array out
        """Return the size at 20 °C with causes off their estimates.

        Args:
            off: by cause how far it is off, in the cause's unit; numbers, or arrays of one shape. A cause that is left
                out is at its estimate.

        Returns:
            The size, mm: a number or an array of that shape.
        """
        both_warm = off.get(THERMOMETER, 0.0) + off.get(CYCLE, 0.0)
        both_grow = off.get(BOTH_GROW, 0.0)
        part_warm = self.part.above_20 + both_warm + off.get(PART_WARMTH, 0.0)
        master_warm = self.master.above_20 + both_warm + off.get(MASTER_WARMTH, 0.0)
        part_grows = self.part.per_kelvin + both_grow + off.get(PART_GROWS, 0.0)
        master_grows = self.master.per_kelvin + both_grow + off.get(MASTER_GROWS, 0.0)
        straight = self.over_mm + self._corrected_mm
        for name, worth in self._straight_worth().items():
            if name in off:
                straight = straight + worth * off[name]
        master = (self.master_mm + off.get(MASTER, 0.0)) * (1.0 + master_grows * master_warm)
        return (master + straight) / (1.0 + part_grows * part_warm)

    def budget(self) -> Budget:
        """Return the size with its budget, in closed form.

        Returns:
            The budget; the second order is that of temperatures with coefficients of expansion.

        Source: [gum] 5.1.2 with its note; H.1 for the causes.
        """
        size = float(self.size({}))
        part, master = self.part, self.master
        q = 1.0 + part.per_kelvin * part.above_20
        grown = self.master_mm / q
        shrunk = size / q
        causes = [
            Cause(MASTER, self.u_master_mm, (1.0 + master.per_kelvin * master.above_20) / q, dof=self.master_dof),
            Cause(PART_WARMTH, part.u_own, -shrunk * part.per_kelvin, "K", "uniform", part.own_dof),
            Cause(MASTER_WARMTH, master.u_own, grown * master.per_kelvin, "K", "uniform", master.own_dof),
            Cause(THERMOMETER, self.u_both_warm, grown * master.per_kelvin - shrunk * part.per_kelvin, "K"),
            Cause(CYCLE, self.u_cycle, grown * master.per_kelvin - shrunk * part.per_kelvin, "K", "arcsine"),
            Cause(PART_GROWS, part.u_per_kelvin, -shrunk * part.above_20, "1/K", "uniform", part.growth_dof),
            Cause(MASTER_GROWS, master.u_per_kelvin, grown * master.above_20, "1/K", "uniform", master.growth_dof),
            Cause(BOTH_GROW, self.u_both_grow, grown * master.above_20 - shrunk * part.above_20, "1/K", "uniform"),
            *(self._with_worth(cause, q) for cause in self._straight()),
        ]
        wanted = tuple(cause for cause in causes if cause.u > 0.0)
        names = {cause.name for cause in wanted}
        pairs = tuple(pair for pair in self._pairs(-shrunk, grown) if pair.first in names and pair.second in names)
        return Budget(size, wanted, pairs, self.confidence)

    @property
    def _tilt_squared(self) -> tuple[float, float]:
        return math.radians(self.tilt_deg) ** 2, math.radians(self.master_tilt_deg) ** 2

    @property
    def _corrected_mm(self) -> float:
        """What gauge warmth, rocking and being off the diameter take off the reading on average, turned round, mm."""
        size = self.master_mm
        tilt = rocked_mm(size, self.master_tilt_deg) - rocked_mm(size, self.tilt_deg)
        warmth = warmed_gauge_mm(size, self.gauge_per_kelvin, self.gauge_warmer)
        return warmth + (tilt - off_diameter_mm(size, self.off_mm)) / MEAN_SQUARE

    def _straight(self) -> tuple[Cause, ...]:
        """Return the causes that act straight on the reading, each with what one unit changes the reading by."""
        in_bore, on_master = self._tilt_squared
        width = self.step_mm / math.sqrt(12.0)
        on = self.master_readings
        return (
            Cause(SCATTER, self.scatter_mm / math.sqrt(self.readings), dof=self.scatter_dof),
            Cause(SETTING, self.scatter_mm / math.sqrt(on) if on else 0.0, dof=self.scatter_dof),
            Cause(STEP, width, shape="uniform"),
            Cause(MASTER_STEP, width if on else 0.0, shape="uniform"),
            Cause(GAUGE_WARMTH, self.u_gauge_warmer, self.master_mm * self.gauge_per_kelvin, "K"),
            Cause(ROCKING, SQUARED * in_bore, -0.5 * self.master_mm, "rad²", "square of uniform"),
            Cause(MASTER_ROCKING, SQUARED * on_master, 0.5 * self.master_mm, "rad²", "square of uniform"),
            Cause(OFF_CENTRE, SQUARED * self.off_mm**2, 2.0 / self.master_mm, "mm²", "square of uniform"),
            Cause(OPERATOR, self.operator_mm),
            *self.others,
        )

    def _straight_worth(self) -> dict[str, float]:
        return {cause.name: cause.sensitivity for cause in self._straight()}

    @staticmethod
    def _with_worth(cause: Cause, q: float) -> Cause:
        return Cause(cause.name, cause.u, cause.sensitivity / q, cause.unit, cause.shape, cause.dof)

    @staticmethod
    def _pairs(by_part: float, by_master: float) -> tuple[Pair, ...]:
        both = tuple(
            pair
            for warm in (THERMOMETER, CYCLE)
            for pair in (Pair(warm, PART_GROWS, by_part), Pair(warm, MASTER_GROWS, by_master))
        )
        return (
            *both,
            Pair(PART_WARMTH, PART_GROWS, by_part),
            Pair(MASTER_WARMTH, MASTER_GROWS, by_master),
            Pair(PART_WARMTH, BOTH_GROW, by_part),
            Pair(MASTER_WARMTH, BOTH_GROW, by_master),
        )


def rocked_mm(diameter_mm: float, tilt_deg: float) -> float:
    """Return what a gauge tilted in the bore reads too much, ``D phi^2 / 2``: the least reading while rocking counts.

    Args:
        diameter_mm: the bore's diameter, mm.
        tilt_deg: the tilt, degrees.

    Returns:
        The error, mm.

    Source: common practice, no source; the series of ``D (1/cos phi - 1)``.
    """
    return 0.5 * diameter_mm * math.radians(tilt_deg) ** 2


def off_diameter_mm(diameter_mm: float, off_mm: float) -> float:
    """Return what a gauge that lies beside the diameter reads, less the diameter, ``-2 e^2 / D``.

    Args:
        diameter_mm: the bore's diameter, mm.
        off_mm: how far its axis passes the bore's, mm.

    Returns:
        The error, mm, negative.

    Raises:
        EntryError: the gauge's axis would pass outside the bore.

    Source: common practice, no source; the series of ``sqrt(D^2 - 4 e^2) - D``.
    """
    if not 2.0 * abs(off_mm) < diameter_mm:
        raise EntryError(
            "That is outside the bore.", given=off_mm, right="Give the distance from the diameter.", where="off"
        )
    return -2.0 * off_mm**2 / diameter_mm


def warmed_gauge_mm(diameter_mm: float, per_kelvin: float, warmer: float) -> float:
    """Return what a gauge warmer in the bore than on the master reads too little, ``D a_g dT``.

    Args:
        diameter_mm: the bore's diameter, mm.
        per_kelvin: the gauge's coefficient of expansion, 1/K.
        warmer: how much warmer, K.

    Returns:
        What is to be added to the reading, mm.

    Source: common practice, no source.
    """
    return diameter_mm * per_kelvin * warmer
