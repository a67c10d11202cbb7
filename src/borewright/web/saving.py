"""What can still be done with a hole that has too little left to cut: a list on the Size page."""

from __future__ import annotations

from dataclasses import dataclass

from borewright.quantity.odds import say_odds
from borewright.web.plain import Plain, between, group, groups


@dataclass(frozen=True, slots=True)
class SavingView:
    """One way to save the hole.

    Args:
        what: what is done.
        within: odds that the whole hole is then within limits.
        over: odds that any of it is over size.
        size: the size expected.
        between: where that lies 95 times in 100.
        cost: what it is expected to cost.
        finish: what it leaves of the surface.
        forfeits: what is given up with it.
    """

    what: str
    within: str
    over: str
    size: str
    between: str
    cost: str
    finish: str
    forfeits: str


def savings_of(advice: Plain) -> tuple[SavingView, ...]:
    """Make the list from an advice.

    Args:
        advice: the advice.

    Returns:
        The ways, the best first; none where nothing is to be saved.
    """
    return tuple(
        SavingView(
            what=str(way["what"]),
            within=say_odds(group(way, "odds").get("in_tolerance", 0)),
            over=say_odds(group(way, "odds").get("oversize", 0)),
            size=str(group(way, "expect").get("size", "")),
            between=between(group(way, "expect")),
            cost=str(way["said"]),
            finish=str(way["finish"]),
            forfeits=str(way["forfeits"]),
        )
        for way in groups(advice, "save")
    )
