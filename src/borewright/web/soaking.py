"""What waiting for a part to cool buys: from two temperatures of it some minutes apart, in words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from borewright.errors import EntryError
from borewright.gauging.evidence import PART_TEMPERATURE
from borewright.gauging.soak import Soak, Waited, Waiting, soak_clock
from borewright.quantity.length import Unit
from borewright.quantity.number import parse_celsius
from borewright.quantity.odds import say_odds
from borewright.quantity.show import show_length
from borewright.shop.kept import Kept
from borewright.sizing.bore import Bore
from borewright.sizing.judging import Judged, judge

WAITS: Final = (0.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0)
"""Minutes that are looked at."""

APART: Final = 2.0
"""Minutes that two temperatures lie apart, at least, to tell anything. Common practice, no source."""

ROOM: Final = 20.0
"""Temperature of a room that nobody took, °C: that of the drawing."""

WORTH: Final = 0.05
"""Odds below which waiting is said to buy next to nothing. Common practice, no source."""

LARGEST_SHARE: Final = 0.95
"""Share of the most that any wait looked at buys, from which on a longer one is not named."""


@dataclass(frozen=True, slots=True)
class SoakView:
    """What waiting buys.

    Args:
        said: the sentence that matters.
        more: what it rests on, a sentence each.
    """

    said: str
    more: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Taken:
    """Temperatures of a part since it was last cut, as they are on record.

    Args:
        first: the first of them, °C.
        last: the last, °C.
        minutes: minutes between the two.
        room: the room's temperature, °C, or None where nobody took it.
    """

    first: float
    last: float
    minutes: float
    room: float | None


def soak_of(bore: Bore, kept: Sequence[Kept], unit: Unit) -> SoakView | None:
    """Say what waiting for a part buys.

    Args:
        bore: the bore as it stands.
        kept: what is on record since it was opened.
        unit: unit to show lengths in.

    Returns:
        The view; None where its temperature was not taken twice since it was cut, some minutes apart.
    """
    taken = _taken(kept)
    if taken is None or bore.belief.status != "open":
        return None
    room = ROOM if taken.room is None else taken.room
    try:
        clock = soak_clock(taken.first, taken.last, taken.minutes, room, bore.model.priors.thermometer.width)
    except EntryError as error:
        return SoakView("The temperatures do not yet tell what waiting buys.", (f"{error.wrong} {error.right}",))
    judged = judge(bore.belief, bore.model, bore.rule)
    assumed = (
        f"Nobody took the room's temperature: {room:g} °C is taken."
        if taken.room is None
        else f"The room is at {room:g} °C."
    )
    pace = (
        f"From {taken.first:g} to {taken.last:g} °C in {taken.minutes:.0f} minutes: "
        f"it will be within 1 K of its room in {clock.until(1.0):.0f} minutes."
    )
    if judged is None:
        return SoakView(pace, (assumed,))
    return SoakView(_bought(_table(bore, judged, clock), unit), (pace, assumed))


def _table(bore: Bore, judged: Judged, clock: Soak) -> tuple[Waited, ...]:
    model, growth = bore.model, bore.model.priors.part_expansion
    warm = (PART_TEMPERATURE, "expansion coefficient", f"{PART_TEMPERATURE} × expansion")
    others = math.hypot(*(part for name, part in judged.size.parts_mm if name not in warm))
    form = model.form_mm
    waiting = Waiting(
        judged.size.mm,
        others,
        model.lower_mm + form,
        model.upper_mm - form,
        growth.value,
        growth.width,
        model.priors.thermometer.width,
        rule=bore.rule,
    )
    return waiting.table(clock, WAITS)


def _bought(table: Sequence[Waited], unit: Unit) -> str:
    """Say the shortest wait that buys nearly the most, or that none buys anything."""
    now, most = table[0], max(each.proves for each in table)
    if now.proves > 0.5:
        return "It is shown in as it was read: waiting for the part buys nothing."
    if most - now.proves < WORTH:
        last = table[-1]
        return (
            f"Waiting for the part buys next to nothing: after {last.minutes:.0f} minutes it is "
            f"{say_odds(last.proves)} likely to be shown in."
        )
    enough = now.proves + LARGEST_SHARE * (most - now.proves)
    best = next(each for each in table if each.proves >= enough)
    digits = 4 if unit == "mm" else 5
    known = f"known within ± {show_length(2.0 * best.u_mm, unit, decimals=digits)}"
    return (
        f"Wait {best.minutes:.0f} minutes: it is then {say_odds(best.proves)} likely to be shown in, read now "
        f"{say_odds(now.proves)}. At {best.celsius:.1f} °C the size is {known}."
    )


def _taken(kept: Sequence[Kept]) -> _Taken | None:
    """Find the first and the last temperature of the part since it was last cut, and the room's last one."""
    found: list[tuple[datetime, float]] = []
    room: float | None = None
    for event in kept:
        if event.withdrawn:
            continue
        if event.event == "passed":
            found = []
        elif event.event == "temperature":
            celsius = float(parse_celsius(str(event.payload["celsius"]), "celsius"))
            if event.payload.get("of") == "room":
                room = celsius
            elif event.payload.get("of") == "part" and event.payload.get("when") != "cut" and event.at is not None:
                found.append((datetime.fromisoformat(event.at), celsius))
    if len(found) < 2:
        return None
    minutes = (found[-1][0] - found[0][0]).total_seconds() / 60.0
    return _Taken(found[0][1], found[-1][1], minutes, room) if minutes >= APART else None
