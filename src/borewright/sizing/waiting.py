"""Waiting for a part to come to its room's temperature: what it does to its warmth, and whether it pays.

A part comes to its room by ``T - T_room = left (T_0 - T_room)`` with ``left = exp(-t/tau)``. How fast differs with its
size and with what it stands on, so the time constant is known within a factor only.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from borewright.gauging.soak import left_after
from borewright.sizing.belief import Belief
from borewright.sizing.gaussian import State, unit_row
from borewright.sizing.model import Model

WAIT_MINUTES: Final = 60
"""How long is waited, where waiting is advised. Chosen, not measured."""

TAU_MINUTES: Final = 50.0
TAU_LOG_SD: Final = 0.5
"""The time constant of a part, minutes, and how far it is known, as a logarithm. Chosen, not measured."""

ROOM_SD: Final = 2.0
"""How far a room lies from 20 °C where nobody took its temperature, K, one standard deviation. Common practice, no
source."""


def waited(belief: Belief, model: Model, minutes: float) -> Belief:
    """Let a part stand: its warmth is another, and what it was read at before is no evidence at the warmth of now.

    What the readings showed of the hole stays believed; a release asks for readings of the part as it is now.

    Args:
        belief: the belief before.
        model: the bore's constants.
        minutes: how long, 0 or more.

    Returns:
        The belief after.
    """
    left, left_sd = left_after(minutes, TAU_MINUTES, TAU_LOG_SD)
    taken = belief.room_above_20 is not None
    room, room_sd = belief.room_above_20 or 0.0, model.priors.thermometer.width if taken else ROOM_SD
    now, mean = belief.now, belief.now.mean.copy()
    mean[State.WARMTH] = room + left * (mean[State.WARMTH] - room)
    unknown = ((1.0 - left) * room_sd) ** 2
    noise = left_sd**2 * ((now.at(State.WARMTH) - room) ** 2 + now.sd(State.WARMTH) ** 2) + unknown
    cooled = now.carried(mean, {State.WARMTH: left * unit_row(State.WARMTH)}, {State.WARMTH: noise})
    told, told_sd = belief.part_told
    known = math.sqrt((left * told_sd) ** 2 + left_sd**2 * ((told - room) ** 2 + told_sd**2) + unknown)
    return replace(
        belief,
        now=cooled,
        part_told=(room + left * (told - room), known),
        readings=(),
        apart=0,
        before_readings=None,
        line=None,
        doubts=(),
        log_evidence=0.0,
        waited=True,
    )
