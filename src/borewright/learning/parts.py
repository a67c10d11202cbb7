"""The parts of what is believed that outlive a bore, and how much of each is common to whom.

Each part of a bore is a sum of deviations, from the widest group to the narrowest:

    part = everything + tools like it + this tool + this tool in this material + this edge + this bore

The variance that is believed of the part before anything is learned is shared out among them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np

from borewright.record.payloads.opened import Start
from borewright.sizing.gaussian import State, Vector
from borewright.sizing.known import LEARNABLE
from borewright.sizing.priors import Priors
from borewright.sizing.pushoff import SIGN_SCALE_MM, signed_log

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
        edge_sd: standard deviation from one edge to the next, in the part's own coordinate.
        bore_sd: standard deviation from one bore to the next.
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


def never_told(start: Start) -> Vector:
    """Return the variance of what no number of bores that were cut alike tells.

    Args:
        start: what was typed.

    Returns:
        Shape (7,).
    """
    variances = np.zeros(len(NAMES))
    variances[PLACE["gain"]] = (SCREW_MM[start.adjuster.kind] / USUAL_MOVE_MM) ** 2
    return variances


def start_means(priors: Priors) -> Vector:
    """Return where the parts are believed to be before anything is learned, push-off in its coordinate.

    Args:
        priors: from what was typed.

    Returns:
        Shape (7,).
    """
    means = np.array([getattr(priors, name).value for name in NAMES])
    means[PLACE["push_off"]] = signed_log(priors.push_off.value)
    return means


def start_widths(priors: Priors) -> Vector:
    """Return how widely the parts are believed before anything is learned.

    Args:
        priors: from what was typed.

    Returns:
        Standard deviations, shape (7,), push-off's in its coordinate.
    """
    widths = np.array([getattr(priors, name).width for name in NAMES])
    widths[PLACE["push_off"]] /= float(np.hypot(priors.push_off.value, SIGN_SCALE_MM))
    return widths


def level_variances(start: Start, widths: Vector) -> dict[Level, Vector]:
    """Share out the variance of each part among the groups, before anything is learned; they add up to it.

    A backlash that was typed is a word on this one tool: nothing of it is common to others.

    Args:
        start: what was typed.
        widths: standard deviations of the parts, shape (7,).

    Returns:
        For each level the variances, shape (7,).
    """
    whole = widths**2
    shares = [SHARES[name] for name in NAMES]
    edge = np.minimum([share.edge_sd**2 for share in shares], MOST_OF_EDGE * whole)
    bore = np.minimum([share.bore_sd**2 for share in shares], MOST_OF_BORE * whole)
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
    return found
