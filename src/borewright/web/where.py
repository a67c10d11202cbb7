"""Where in the bore a reading is taken and how the part is held: what is offered beside the number, one tap away."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import Final

from borewright.drawing.where import Spot, draw_where
from borewright.quantity.length import Unit
from borewright.quantity.show import show_length
from borewright.record.payloads.bore import HELD
from borewright.sizing.blunders import Reading
from borewright.sizing.bore import Bore
from borewright.web.pictures import Picture

SHARES: Final = (0.1, 0.5, 0.9)
"""Depths that are offered, as shares of the bore's: near the mouth, in the middle, near the end."""

DIRECTIONS: Final = (0.0, 45.0, 90.0, 135.0)
"""Directions that are offered, degrees."""

PATTERN: Final = (0.0, 90.0)
"""Directions in which each depth is read before the next, degrees: they show an oval that lies along either."""

NEAR_MM: Final = 0.06
"""Depths as near as this are one place: as they are written."""


@dataclass(frozen=True, slots=True)
class Option:
    """One of several things that may be said.

    Args:
        value: what is entered; empty where nothing is said.
        label: what the button says.
        checked: whether it is offered as chosen.
    """

    value: str
    label: str
    checked: bool


@dataclass(frozen=True, slots=True)
class WhereView:
    """What may be said of a reading besides its number.

    Args:
        open: whether it stands open: the reading before said where it was.
        depths: depths below the mouth.
        directions: directions across the bore.
        held: how the part is held.
        picture: where it was read, and what comes next.
        note: what the depths rest on, where nobody said how deep the bore is; else empty.
    """

    open: bool
    depths: tuple[Option, ...]
    directions: tuple[Option, ...]
    held: tuple[Option, ...]
    picture: Picture
    note: str


def where_of(bore: Bore, unit: Unit) -> WhereView | None:
    """Say what may be said of the next reading besides its number.

    Args:
        bore: the bore as it stands.
        unit: unit to show lengths in.

    Returns:
        The view; None where a land is read, which is one place.
    """
    belief = bore.belief
    if belief.after_trial or belief.status != "open":
        return None
    decimals = 1 if unit == "mm" else 2
    words = [show_length(share * bore.model.deep_mm, unit, decimals=decimals) for share in SHARES]
    per_mm = 1.0 if unit == "mm" else 25.4
    depths = [float(each.split()[0]) * per_mm for each in words]
    read = _read(belief.readings)
    last = belief.readings[-1] if belief.readings else None
    placed = last is not None and last.place.depth_mm is not None and last.place.direction_deg is not None
    next_ = _next(depths, read) if placed else None
    state = "" if last is None else last.state
    return WhereView(
        open=placed or bool(state),
        depths=_options(
            [(text, _named(place, text)) for place, text in enumerate(words)],
            "" if next_ is None else words[depths.index(next_[0])],
        ),
        directions=_options(
            [(f"{each:g}", f"{each:g}°") for each in DIRECTIONS], "" if next_ is None else f"{next_[1]:g}"
        ),
        held=_options([(each, each) for each in HELD], state),
        picture=Picture(
            draw_where(
                list(zip(depths, words, strict=True)), DIRECTIONS, _snapped(read, depths), next_, standalone=False
            )
        ),
        note=""
        if bore.model.priors.deep.value
        else "Nobody said how deep the bore is: as deep as it is wide is taken.",
    )


def _named(place: int, text: str) -> str:
    return f"{('near the mouth', 'middle', 'near the end')[place]}, {text}"


def _options(choices: list[tuple[str, str]], chosen: str) -> tuple[Option, ...]:
    nothing = Option("", "not said", chosen == "")
    return (nothing, *(Option(value, label, value == chosen) for value, label in choices))


def _read(readings: tuple[Reading, ...]) -> list[Spot]:
    places = [each.place for each in readings]
    return [
        (each.depth_mm, each.direction_deg % 180.0)
        for each in places
        if each.depth_mm is not None and each.direction_deg is not None
    ]


def _snapped(read: list[Spot], depths: list[float]) -> set[Spot]:
    """Take depths that are one place with an offered one as that one."""
    found = set()
    for depth, direction in read:
        near = min(depths, key=lambda each: abs(each - depth))
        found.add((near if abs(near - depth) <= NEAR_MM else depth, direction))
    return found


def _next(depths: list[float], read: list[Spot]) -> Spot | None:
    """Return the first place of the pattern that was not read yet; None where all were."""
    done = _snapped(read, depths)
    return next((spot for spot in product(depths, PATTERN) if spot not in done), None)
