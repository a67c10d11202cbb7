"""The parts of what is believed that outlive a bore, and how much of each is common to whom.

Each part of a bore is a sum of deviations, from the widest group to the narrowest:

    part = everything + tools like it + this tool + this tool in this material + this edge + this bore

The variance that is believed of the part before anything is learned is shared out among them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np

from borewright.record.payloads.opened import Start
from borewright.sizing.gaussian import State, Vector
from borewright.sizing.known import LEARNABLE
from borewright.sizing.priors import Priors
from borewright.sizing.pushoff import SIGN_SCALE_MM

Level: TypeAlias = Literal["everything", "like", "tool", "material", "edge", "bore"]
LEVELS: Final[tuple[Level, ...]] = ("everything", "like", "tool", "material", "edge", "bore")

NAMES: Final[tuple[str, ...]] = tuple(LEARNABLE)
STATES: Final[tuple[State, ...]] = tuple(LEARNABLE.values())
PLACE: Final[dict[str, int]] = {name: place for place, name in enumerate(NAMES)}
OF_MATERIAL: Final = frozenset({"push_off", "exponent", "edge"})
"""Parts that hold for a tool in one material; the others hold for the tool in every one."""


@dataclass(frozen=True, slots=True)
class Shares:
    """How the variance of a part is shared out. Chosen, not measured; what is learned of many tools moves it.

    Args:
        everything: share common to all bores.
        like: share common to tools with the same kind of adjuster.
        material: share of the tool in one material.
        edge_sd: standard deviation from one edge to the next, in the part's unit; push-off's is a share of its size.
        bore_sd: standard deviation from one bore to the next, likewise.
    """

    everything: float
    like: float
    material: float
    edge_sd: float
    bore_sd: float


_ADJUSTER_MM: Final = 0.0003
SHARES: Final[dict[str, Shares]] = {
    "gain": Shares(0.0, 0.2, 0.0, 0.0, 0.0002),
    "lock_mean": Shares(0.0, 0.2, 0.0, 0.0, _ADJUSTER_MM),
    "bench": Shares(0.0, 0.2, 0.0, 0.0, 0.0005),
    "backlash": Shares(0.0, 0.2, 0.0, 0.0, 0.0005),
    "push_off": Shares(0.1, 0.1, 0.5, 0.10, 0.05),
    "exponent": Shares(0.1, 0.1, 0.5, 0.03, 0.02),
    "edge": Shares(0.1, 0.1, 0.5, 0.03, 0.01),
}
"""What adjusters do is told apart by their kind and says nothing of another kind's. Common practice, no source."""

MOST_OF_EDGE, MOST_OF_BORE = 0.2, 0.05
"""What an edge and a bore take of the variance at most, where the part is known narrowly before anything is learned."""


SCREW_MM: Final[dict[str, float]] = {"dial": 0.0007, "direct": 0.0, "offset": 0.0003}
USUAL_MOVE_MM: Final = 0.25
"""What a screw's error over a turn may add to a move, and the move over which it then looks like gain: bores of one
tool are moved alike, so that more of them do not tell the two apart. Common practice, no source."""


def screw_variance(start: Start) -> float:
    """Return the variance of what the screw's error looks like as gain.

    Args:
        start: what was typed.

    Returns:
        The variance of a share.
    """
    return (SCREW_MM[start.adjuster.kind] / USUAL_MOVE_MM) ** 2


READOUT_MISSES: Final = 0.15
"""Share of a lock shift that a readout of the tip may not see, one standard deviation. Common practice, no source."""


def never_told(start: Start, means: Vector) -> Vector:
    """Return the variance of what no number of bores that were cut alike tells.

    Args:
        start: what was typed.
        means: the parts as they were learned, shape (7,).

    Returns:
        Shape (7,).
    """
    variances = np.zeros(len(NAMES))
    variances[PLACE["gain"]] = screw_variance(start)
    if start.adjuster.kind == "direct":
        variances[PLACE["lock_mean"]] = (READOUT_MISSES * means[PLACE["lock_mean"]]) ** 2
    return variances


def start_means(priors: Priors) -> Vector:
    """Return where the parts are believed to be before anything is learned.

    Args:
        priors: from what was typed.

    Returns:
        Shape (7,).
    """
    return np.array([getattr(priors, name).value for name in NAMES])


def start_widths(priors: Priors) -> Vector:
    """Return how widely the parts are believed before anything is learned.

    Args:
        priors: from what was typed.

    Returns:
        Standard deviations, shape (7,).
    """
    return np.array([getattr(priors, name).width for name in NAMES])


def size_of(push_off_mm: float) -> float:
    """Return what a push-off is off by in proportion to: its own size, and no less than what its sign is unsure below.

    Args:
        push_off_mm: the push-off, mm, signed.

    Returns:
        mm.
    """
    return math.hypot(push_off_mm, SIGN_SCALE_MM)


def level_variances(start: Start, priors: Priors) -> dict[Level, Vector]:
    """Share out the variance of each part among the groups, before anything is learned; they add up to it.

    To that of gain comes what the screw's error looks like.

    A backlash that was typed is a word on this one tool: nothing of it is common to others.

    Args:
        start: what was typed.
        priors: what follows from it.

    Returns:
        For each level the variances, shape (7,).
    """
    whole = start_widths(priors) ** 2
    shares = [SHARES[name] for name in NAMES]
    unit = np.ones(len(NAMES))
    unit[PLACE["push_off"]] = size_of(priors.push_off.value)
    edge = np.minimum((unit * [share.edge_sd for share in shares]) ** 2, MOST_OF_EDGE * whole)
    bore = np.minimum((unit * [share.bore_sd for share in shares]) ** 2, MOST_OF_BORE * whole)
    rest = whole - edge - bore
    found: dict[Level, Vector] = {
        "everything": rest * [share.everything for share in shares],
        "like": rest * [share.like for share in shares],
        "material": rest * [share.material for share in shares],
        "edge": edge,
        "bore": bore,
    }
    if start.tool is not None and start.tool.backlash is not None:
        found["like"][PLACE["backlash"]] = 0.0
    found["tool"] = rest - found["everything"] - found["like"] - found["material"]
    # What bores of one tool agree on is its gain and its screw's error over their moves; a bore by itself knows it not.
    found["tool"][PLACE["gain"]] += screw_variance(start)
    return found
