"""The page of the order of like bores: each way as a lane, with what it takes and what it may lose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from borewright.errors import EntryError
from borewright.quantity.length import Unit
from borewright.quantity.odds import say_odds
from borewright.sizing.bore import Bore
from borewright.sizing.cut_words import LEANS
from borewright.sizing.order_words import order_of
from borewright.web.cuts import count_words
from borewright.web.minutes import Field, by_reason, fields_of
from borewright.web.panel import numbers_of
from borewright.web.plain import Plain, between, group, groups

ASKS = (
    ("pass_minutes", "A pass with its move takes", "pass"),
    ("measurement_minutes", "A measurement takes", "measurement"),
    ("move_minutes", "A move of the tool takes", "move"),
    ("between_minutes", "From one bore to the next", "between"),
)


@dataclass(frozen=True, slots=True)
class CutLine:
    """One cut at a setting.

    Args:
        bore: what the bore is called.
        size: the size that it is meant to leave.
        between: what that lies between, 95 times in 100.
        note: what belongs to it.
    """

    bore: str
    size: str
    between: str
    note: str


@dataclass(frozen=True, slots=True)
class Turn:
    """One setting of the tool.

    Args:
        number: its number.
        tool: where the tool stands.
        closed: whether it is closed for it and taken up again.
        leans: that it stands above the upper limit, where it does; else empty.
        cuts: what is cut.
    """

    number: int
    tool: str
    closed: bool
    leans: str
    cuts: tuple[CutLine, ...]


@dataclass(frozen=True, slots=True)
class WayLine:
    """One way.

    Args:
        says: the way in words.
        advised: whether it is expected to cost least.
        first: what the bore is called that is cut first.
        settings: how often the tool is set or moved.
        work: passes and measurements.
        minutes: minutes expected, whole.
        any: odds that one bore or more are too large.
        several: odds that two or more are.
        cost: the cost in passes.
        turns: its settings.
    """

    says: str
    advised: bool
    first: str
    settings: int
    work: str
    minutes: str
    any: str
    several: str
    cost: str
    turns: tuple[Turn, ...]


@dataclass(frozen=True, slots=True)
class OrderView:
    """The page of the order of like bores.

    Args:
        bore: the bore that it was asked from.
        name: what that is called.
        callout: what the drawing asks, as written.
        unit: the unit shown.
        numbers: the number of the last event of that bore by kind of stream, as JSON.
        state: the state of the work on it.
        bores: each bore with its hole and what is to come off.
        why: why the way is advised that is; else what is in the way.
        ways: the ways, cheapest first.
        firsts: what it costs with each bore first, where they differ.
        shut: what cannot be, by what is in its way.
        one_part: whether all are taken to be in one part.
        minutes: how long things take.
        note: what the rest learn from the first.
        problem: what is wrong with what was asked; empty where nothing is.
        rehearsed: whether a simulated machine stands behind it.
    """

    bore: str
    name: str
    callout: str
    unit: Unit
    numbers: str
    state: str
    bores: tuple[tuple[str, str, str], ...]
    why: str
    ways: tuple[WayLine, ...]
    firsts: tuple[tuple[str, str], ...]
    shut: tuple[tuple[str, str], ...]
    one_part: bool
    minutes: tuple[Field, ...]
    note: str
    problem: str
    rehearsed: bool


def order_view(
    bore_id: str,
    bore: Bore,
    alike: Mapping[str, Bore],
    *,
    unit: Unit | None = None,
    one_part: bool = False,
    minutes: Mapping[str, str],
    rehearsed: bool = False,
) -> OrderView:
    """Make the view of the ways to bring like bores to size.

    Args:
        bore_id: the name in the record of the bore that it was asked from.
        bore: that bore.
        alike: the bores whose order is asked, by their names in the record; none where it is alone.
        unit: unit to show lengths in; the bore's own where it is left out.
        one_part: whether all are in one part.
        minutes: how long things take, as typed; empty where nobody said.
        rehearsed: whether a simulated machine stands behind it.

    Returns:
        The view.
    """
    shown, problem, ordered = unit or bore.unit, "", {}
    asked: dict[str, object] = {name: value for name, value in minutes.items() if value}
    try:
        ordered = order_of(alike or {bore_id: bore}, unit=shown, one_part=one_part, **asked)
    except EntryError as error:
        problem = f"{error.given}: {error.wrong} {error.right}"
        if alike:  # what is wrong then are the minutes
            ordered = order_of(alike, unit=shown, one_part=one_part)
    given = bore.opening.given
    ways = tuple(_line(way) for way in groups(ordered, "ways"))
    firsts = groups(ordered, "firsts")
    return OrderView(
        bore=bore_id,
        name=given.name or bore_id,
        callout=given.callout,
        unit=shown,
        numbers=numbers_of(bore),
        state=bore.state,
        bores=tuple((str(one["name"]), str(one["hole"]), str(one["room"])) for one in groups(ordered, "bores")),
        why=str(ordered.get("why", problem)),
        ways=ways,
        firsts=tuple((str(one["name"]), str(one["said"])) for one in firsts) if len(firsts) > 1 else (),
        shut=by_reason((_in_passes(way), str(way["why"])) for way in groups(ordered, "shut")),
        one_part=one_part,
        minutes=fields_of(group(ordered, "minutes"), ASKS) if ordered else (),
        note=str(ordered.get("note", "")),
        problem=problem,
        rehearsed=rehearsed,
    )


def _line(way: Plain) -> WayLine:
    lost = group(way, "lost")
    says = str(way["says"])
    turns = tuple(_turn(turn) for turn in groups(way, "turns"))
    return WayLine(
        says=f"{says[:1].upper()}{says[1:]}",
        advised=bool(way["advised"]),
        first=turns[0].cuts[0].bore,
        settings=int(str(way["settings"])),
        work=f"{way['passes']} passes, {way['measurements']} measurements",
        minutes=f"{float(str(way['minutes'])):.0f}",
        any=say_odds(lost["any"]),
        several=say_odds(lost["several"]),
        cost=str(way["said"]),
        turns=turns,
    )


def _turn(turn: Plain) -> Turn:
    cuts = tuple(
        CutLine(
            str(cut["name"]),
            str(group(cut, "leaves")["size"]),
            between(group(cut, "leaves")),
            ", ".join(
                word
                for word, holds in (
                    ("trial cut", cut["trial"]),
                    ("to size", cut["last"]),
                    ("measure", cut["measured"]),
                )
                if holds
            ),
        )
        for cut in groups(turn, "cuts")
    )
    leans = LEANS if turn["above_limit"] else ""
    return Turn(int(str(turn["setting"])), str(turn["tool"]), bool(turn["closed"]), leans, cuts)


def _in_passes(way: Plain) -> str:
    first, rest = int(str(way["passes_first"])), int(str(way["passes_rest"]))
    count = count_words(first, 0)
    passes = f"{count} each" if first == rest else f"{count} in the first, {rest} in the rest"
    return f"{way['says']}, {passes}"
