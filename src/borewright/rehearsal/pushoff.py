"""How far the tool is pushed off by its cut, and what a pass therefore takes off."""

from __future__ import annotations

import math
from dataclasses import dataclass

REFERENCE_MM = 0.25  # the depth set at which push-off is spoken of
TWENTY = 20.0  # °C, the reference temperature of ISO 1


@dataclass(frozen=True, slots=True)
class PushOff:
    """Push-off as a power of the chip's area, with an edge part: p = p0·(e + (1 - e)·(q/q0)^n).

    q, what comes off, stands for the chip's area, to which it is proportional at one feed; q0 = 0.25 - p0 is what comes
    off at the reference depth set, so that p(0.25) = p0. All mm on the diameter.

    Args:
        at_reference_mm: p0, push-off at a depth set of 0.25 mm; above nothing, below 0.25.
        exponent: n, between 0 and 1.
        edge_share: e, the part that stays when the chip goes to nothing, between 0 and 1.
    """

    at_reference_mm: float
    exponent: float
    edge_share: float

    @property
    def edge_mm(self) -> float:
        """Return s*, the depth set at and below which nothing comes off."""
        return self.at_reference_mm * self.edge_share

    def of_chip(self, taken_mm: float) -> float:
        """Return push-off g(q) for what comes off.

        Args:
            taken_mm: q, on the diameter, mm.

        Returns:
            Push-off on the diameter, mm.
        """
        share = taken_mm / (REFERENCE_MM - self.at_reference_mm)
        return self.at_reference_mm * (self.edge_share + (1.0 - self.edge_share) * math.pow(share, self.exponent))

    def taken(self, depth_set_mm: float) -> float:
        """Return what comes off, q from q + g(q) = s, for a depth set s.

        q + g(q) rises and is concave, so Newton's steps from below never pass the root; a step that would leave the
        bracket halves it instead.

        Args:
            depth_set_mm: s, tool less hole, mm on the diameter.

        Returns:
            What comes off, mm on the diameter; nothing when s is no more than the edge part.
        """
        if depth_set_mm <= self.edge_mm:
            return 0.0
        low, high = 0.0, depth_set_mm
        taken = max(depth_set_mm - self.at_reference_mm, 0.5 * depth_set_mm)
        for _ in range(100):
            push_off = self.of_chip(taken)
            excess = taken + push_off - depth_set_mm
            if abs(excess) < 1e-12:
                break
            if excess > 0.0:
                high = taken
            else:
                low = taken
            slope = 1.0 + self.exponent * (push_off - self.edge_mm) / taken
            taken -= excess / slope
            if not low < taken < high:
                taken = 0.5 * (low + high)
        return taken

    def of_depth(self, depth_set_mm: float) -> float:
        """Return push-off p(s) = s - q for a depth set; where nothing is cut it is the whole depth set.

        Args:
            depth_set_mm: s, mm on the diameter.

        Returns:
            Push-off, mm on the diameter; nothing when s is not positive.
        """
        return depth_set_mm - self.taken(depth_set_mm) if depth_set_mm > 0.0 else 0.0

    def copied(self, depth_set_mm: float) -> float:
        """Return dp/ds, the share of an error of the old hole that the new one copies.

        dp/ds = g'/(1 + g'), which is C/(C + k) for a force gradient C on a stiffness k.

        Args:
            depth_set_mm: s, mm on the diameter.

        Returns:
            A share from 0 to 1; 1 where nothing is cut.

        Source: common practice, no source
        """
        taken = self.taken(depth_set_mm)
        if taken <= 0.0:
            return 1.0
        slope = self.exponent * (self.of_chip(taken) - self.edge_mm) / taken
        return slope / (1.0 + slope)


def bite(depth_set_mm: float, min_depth_mm: float, chance: float) -> float:
    """Return the share of its chip that a pass takes; below the least depth an edge rubs now more, now less.

    share = u^(m/s - 1) below the least depth m, so that its mean is s/m; 1 at and above it.

    Args:
        depth_set_mm: s, mm on the diameter.
        min_depth_mm: m, mm on the diameter.
        chance: u, drawn evenly between 0 and 1.

    Returns:
        A share from 0 to 1.
    """
    if depth_set_mm <= 0.0:
        return 0.0
    if depth_set_mm >= min_depth_mm:
        return 1.0
    return float(chance ** (min_depth_mm / depth_set_mm - 1.0))


def set_in_the_part(
    tool_mm: float,
    work_expansion: float,
    part_celsius: float,
    tool_expansion: float = 0.0,
    tool_celsius: float = TWENTY,
) -> float:
    """Return the diameter at 20 °C that a tool traces in a part that is warm while cut.

    S·(1 + α_t(T_t - 20)) / (1 + α_p(T_p - 20))

    Args:
        tool_mm: the tool's diameter at 20 °C, mm.
        work_expansion: the part's expansion per kelvin.
        part_celsius: the part's temperature when cut, °C.
        tool_expansion: the tool's expansion per kelvin.
        tool_celsius: the tool's temperature when it cuts, °C.

    Returns:
        The diameter, mm.
    """
    tool = 1.0 + tool_expansion * (tool_celsius - TWENTY)
    return tool_mm * tool / (1.0 + work_expansion * (part_celsius - TWENTY))
