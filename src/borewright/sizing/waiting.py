"""Waiting for a part to come to its room's temperature: what it does to its warmth, and whether it pays.

A part comes to its room by ``T - T_room = left (T_0 - T_room)`` with ``left = exp(-t/tau)``. How fast differs with its
size and with what it stands on, so the time constant is known within a factor only.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from borewright.sizing.belief import Belief
from borewright.sizing.gaussian import State, unit_row

WAIT_MINUTES: Final = 60
"""How long is waited, where waiting is advised. Common practice, no source."""

TAU_MINUTES: Final = 50.0
TAU_LOG_SD: Final = 0.5
"""The time constant of a part, minutes, and how far it is known, as a logarithm. Common practice, no source."""

ROOM_SD: Final = 0.5
"""How far a room lies from 20 °C where nobody took its temperature, K, one standard deviation. Common practice, no
source."""


def left_after(minutes: float) -> tuple[float, float]:
    """Return the share of its distance from the room that a part keeps.

    ``left = exp(-t/tau)``, and to first order ``left (t/tau)`` times the width of the logarithm of tau.

    Args:
        minutes: how long it was left, 0 or more.

    Returns:
        The share, and its standard deviation.
    """
    share = math.exp(-minutes / TAU_MINUTES)
    return share, share * minutes / TAU_MINUTES * TAU_LOG_SD


def waited(belief: Belief, minutes: float) -> Belief:
    """Let a part stand: its warmth is another, and what it was read at before is no evidence at the warmth of now.

    What the readings showed of the hole stays believed; a release asks for readings of the part as it is now.

    Args:
        belief: the belief before.
        minutes: how long, 0 or more.

    Returns:
        The belief after.
    """
    left, left_sd = left_after(minutes)
    now, mean = belief.now, belief.now.mean.copy()
    mean[State.WARMTH] *= left
    room = ((1.0 - left) * ROOM_SD) ** 2
    noise = left_sd**2 * (now.at(State.WARMTH) ** 2 + now.sd(State.WARMTH) ** 2) + room
    cooled = now.carried(mean, {State.WARMTH: left * unit_row(State.WARMTH)}, {State.WARMTH: noise})
    told, told_sd = belief.part_told
    known = math.sqrt((left * told_sd) ** 2 + left_sd**2 * (told**2 + told_sd**2) + room)
    return replace(
        belief,
        now=cooled,
        part_told=(left * told, known),
        readings=(),
        apart=0,
        before_readings=None,
        line=None,
        doubts=(),
        log_evidence=0.0,
        waited=True,
    )
