"""The ways to save a hole, said: what is done, what it leaves of finish, and what it forfeits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Final

from borewright.quantity.length import Unit
from borewright.quantity.show import show_length
from borewright.sizing.priors import NORMAL_95
from borewright.sizing.save_hole import Saving, Way
from borewright.sizing.words import say_cost


@dataclass(frozen=True, slots=True)
class Said:
    """One way in words.

    Args:
        what: what is done.
        finish: what it leaves of the surface.
        forfeits: what is given up with it.
    """

    what: str
    finish: str
    forfeits: str


SAID: Final[Mapping[Saving, Said]] = {
    "leave": Said(
        "Leave it, and measure on until it is shown in or set aside.",
        "As it was cut.",
        "The middle of the limits; near a limit it may never be shown in.",
    ),
    "spring pass": Said(
        "Cut again with the tool unmoved, at the same feed, feeding out with the spindle turning.",
        "As before, or burnished where the edge only rubs.",
        "A skin that rubbing has hardened: the next thin cut bites worse.",
    ),
    "thin pass": Said(
        "Open the tool and cut thin, with the edge that is in it.",
        "Torn or burnished in places: the chip is thinner than the edge surely cuts.",
        "The sureness of the last pass: now it takes more and now less.",
    ),
    "sharper edge": Said(
        "Change to a sharp, ground edge, set the tool anew, and cut thin.",
        "Finer than before, while the edge is fresh.",
        "Where the tool stood: another edge stands elsewhere; only bench or trial shows the set diameter anew.",
    ),
    "more feed": Said(
        "Cut thin with 1.4 times the feed, so that the chip is thick enough to be cut.",
        "About twice as high as before: see that the drawing allows it.",
        "What the passes before taught of push-off holds less well.",
    ),
    "hone": Said(
        "Let somebody qualified hone it to size.",
        "Crossed fine marks instead of turned ones: see that the drawing allows it.",
        "The bored surface; place and direction of the hole stay as they are, and its form can change.",
    ),
}
"""Common practice, no source."""


def ways_plain(ways: Sequence[Way], pass_: float, unit: Unit) -> list[dict[str, object]]:
    """Make plain values of the ways to save a hole.

    Args:
        ways: the ways.
        pass_: what a pass costs.
        unit: the unit of lengths.

    Returns:
        For each ``way``, ``what``, ``trial``, ``odds``, ``expect``, ``cost``, ``said``, ``finish`` and ``forfeits``.
    """
    return [
        {
            "way": way.saving,
            "what": SAID[way.saving].what,
            "trial": way.trial,
            "odds": {name: round(value, 6) for name, value in asdict(way.odds).items()},
            "expect": {
                "size": show_length(way.mean_mm, unit),
                "low": show_length(way.mean_mm - NORMAL_95 * way.sd_mm, unit),
                "high": show_length(way.mean_mm + NORMAL_95 * way.sd_mm, unit),
            },
            "cost": round(way.cost, 4),
            "said": say_cost(way.cost, pass_),
            "finish": SAID[way.saving].finish,
            "forfeits": SAID[way.saving].forfeits,
        }
        for way in ways
    ]
