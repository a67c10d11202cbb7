"""What the pages are made from: a bore and its advice as plain values in the unit that is shown."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Final

from borewright.callout.callout import Callout
from borewright.gauging.conformity import Rule
from borewright.quantity.length import Unit
from borewright.quantity.odds import say_odds
from borewright.quantity.show import show_length, show_limits
from borewright.rehearsal.kinds import KINDS
from borewright.shop.kept import Kept, entries, in_spindle, since_opening
from borewright.sizing.bore import Bore
from borewright.sizing.gauge_fit import wanted_mm
from borewright.sizing.order_words import like_groups
from borewright.sizing.wanted import PUT_IN, wanted_by
from borewright.web.card import Card, Fact, card_of
from borewright.web.cuts import cuts_of
from borewright.web.panel import (
    OTHER_TAPS,
    PART_NOW,
    ROOM_NOW,
    Form,
    Panel,
    Tap,
    held_taps,
    numbers_of,
    others,
    panel_of,
)
from borewright.web.pictures import Picture, Pictures, large_strips, limits_pictures, small_strip, strip_of
from borewright.web.plain import Plain, group, groups, listed, tells, which_of, without_zeros
from borewright.web.saving import SavingView, savings_of
from borewright.web.soaking import SoakView, soak_of
from borewright.web.story import Pass, Row, last_undoable, passes_of, rows_of
from borewright.web.where import WhereView, where_of
from borewright.web.why import Why, why_of

AFTERWARDS: Final = {"released": "See what was signed.", "quarantined": "See why."}
"""What there is to do with a bore that is finished."""

FINISHED: Final = frozenset({"released", "quarantined"})


@dataclass(frozen=True, slots=True)
class SizeView:
    """The Size page of a bore.

    Args:
        bore: its name in the record.
        name: what it is called.
        which: its name in the record where what it is called does not tell it; else empty.
        callout: what the drawing asks, as written.
        limits: its limits in the unit shown.
        unit: the unit shown.
        numbers: the number of the last event by kind of stream, as JSON.
        state: the state the work is in.
        state_words: the same as it stands large.
        state_note: what belongs to it, or empty.
        moved_note: what was moved and what was advised, where that was something else; else empty.
        card: the next move.
        panel: what is asked beside it.
        where: what may be said of a reading besides its number; None where nothing is read.
        warm: the forms of the part's temperature and of its room's.
        soak: what waiting for it buys; None where its temperature was not taken twice.
        strips: the stock strip, by width.
        passes: how it came to where it stands.
        rows: every entry, newest first.
        entries: how many entries people made.
        undo: the entry that an undo withdraws, or None.
        others: forms of what else may have happened.
        taps: taps of what else may have happened.
        held: taps of a cut that is made while the server is out of reach.
        parts: what makes it uncertain.
        would_help: what would narrow it most.
        assumptions: what nobody typed.
        arithmetic: the arithmetic, line by line.
        heads: the hash at the end of each stream.
        why: what may lie behind the last reading.
        savings: what can still be done with a hole that has too little left to cut.
        machine: taps for a simulated machine; empty where a person stands at a real one.
        rehearsed: whether a simulated machine stands behind it.
        alike: how many open bores one tool brings to this callout, this one among them; 0 where it is alone.
    """

    bore: str
    name: str
    which: str
    callout: str
    limits: str
    unit: Unit
    numbers: str
    state: str
    state_words: str
    state_note: str
    moved_note: str
    card: Card
    panel: Panel
    where: WhereView | None
    warm: tuple[Form, ...]
    soak: SoakView | None
    strips: Pictures
    passes: tuple[Pass, ...]
    rows: tuple[Row, ...]
    entries: int
    undo: Row | None
    others: tuple[Form, ...]
    taps: tuple[Tap, ...]
    held: tuple[Tap, ...]
    parts: tuple[Fact, ...]
    would_help: tuple[Fact, ...]
    assumptions: tuple[Fact, ...]
    arithmetic: tuple[str, ...]
    heads: tuple[tuple[str, int, str], ...]
    why: Why
    savings: tuple[SavingView, ...]
    machine: tuple[Tap, ...] = ()
    rehearsed: bool = False
    alike: int = 0


@dataclass(frozen=True, slots=True)
class BoreLine:
    """A bore as a line of Today.

    Args:
        bore: its name in the record.
        name: what it is called.
        which: its name in the record where what it is called does not tell it; else empty.
        callout: what the drawing asks, as written.
        limits: its limits in the unit shown.
        state: the state the work is in.
        state_words: the same in large words.
        next: the next thing to do.
        over: odds of a hole too large, where the next move cuts; else empty.
        strip: the strip in miniature.
        entries: how many entries there are.
        rehearsed: whether a simulated machine stands behind it.
    """

    bore: str
    name: str
    which: str
    callout: str
    limits: str
    state: str
    state_words: str
    next: str
    over: str
    strip: Picture
    entries: int
    rehearsed: bool = False


@dataclass(frozen=True, slots=True)
class TodayView:
    """The bores on record.

    Args:
        under_way: those still to be brought to size, rehearsals last.
        finished: those released or set aside, likewise.
        alike: groups of open bores that one tool brings to one callout, each by the name of one in the record and what
            they are called.
    """

    under_way: tuple[BoreLine, ...]
    finished: tuple[BoreLine, ...]
    alike: tuple[tuple[str, tuple[str, ...]], ...] = ()

    @property
    def cut_in_metal(self) -> tuple[BoreLine, ...]:
        """Those under way at real machines."""
        return tuple(line for line in self.under_way if not line.rehearsed)

    @property
    def rehearsals(self) -> tuple[BoreLine, ...]:
        """Those under way at simulated machines."""
        return tuple(line for line in self.under_way if line.rehearsed)


@dataclass(frozen=True, slots=True)
class LimitsView:
    """A callout as it was understood.

    Args:
        written: the callout as it was typed.
        facts: its limits, for where the drawing has no room.
        source: the table they come from, or ``as written``.
        pictures: the limits drawn to scale, by width.
        narrow: which gauges the tolerance is too narrow for, a sentence each.
    """

    written: str
    facts: tuple[Fact, ...]
    source: str
    pictures: Pictures
    narrow: tuple[str, ...] = ()


def size_view(
    bore_id: str,
    bore: Bore,
    history: Sequence[Kept],
    *,
    unit: Unit | None = None,
    advice: Plain | None = None,
    machine: Sequence[Tap] = (),
    rehearsed: bool = False,
    alike: int = 0,
) -> SizeView:
    """Make the view of a bore that is being sized.

    Args:
        bore_id: the bore's name in the record.
        bore: the bore as it stands.
        history: everything on record of its bore, tool and gauge, in the order it was stored.
        unit: unit to show lengths in; the bore's own where it is left out.
        advice: what ``bore.advise(unit)`` returned, where it is at hand.
        machine: taps for a simulated machine.
        rehearsed: whether a simulated machine stands behind it.
        alike: how many open bores one tool brings to this callout.

    Returns:
        The view.
    """
    shown_in = unit or bore.unit
    said = advice if advice is not None else bore.advise(shown_in)
    kept = since_opening(history)
    seated = in_spindle(kept)
    wanted = wanted_by(said, in_spindle=seated)
    seat = PUT_IN if wanted.event == "seated" else ""
    cuts = cuts_of(said)
    given = bore.opening.given
    on = "radius" if given.adjuster.per_diameter == 2 else "diameter"
    words, note = state_words(bore, seated=seated)
    story = passes_of(kept, bore.belief, shown_in, bore.model.growth)
    return SizeView(
        bore=bore_id,
        name=given.name or bore_id,
        which=which_of(bore_id, given.name),
        callout=given.callout,
        limits=limits_of(bore, shown_in),
        unit=shown_in,
        numbers=numbers_of(bore),
        state=bore.state,
        state_words=words,
        state_note=note,
        moved_note=moved_otherwise(bore, kept),
        card=card_of(said, shown_in, adjuster=given.adjuster.kind, on=on, seat=seat, cuts=cuts),
        panel=panel_of(wanted, shown_in, bore_id),
        where=where_of(bore, shown_in) if wanted.event in {"read", "hole_checked"} else None,
        warm=(PART_NOW, ROOM_NOW),
        soak=soak_of(bore, kept, shown_in),
        strips=large_strips(strip_of(bore, shown_in, said, story, cuts)),
        passes=story,
        rows=rows_of(history),
        entries=entries(kept),
        undo=last_undoable(kept) if bore.state not in FINISHED else None,
        others=others(shown_in, given.adjuster.kind, moved=bore.belief.tool_set),
        taps=OTHER_TAPS,
        held=held_taps(said),
        parts=tuple(Fact(str(part["what"]), str(part["width"]), str(part["said"])) for part in groups(said, "parts")),
        would_help=tuple(
            Fact(str(help_["what"]), str(help_["said"]), f"about {help_['about']}")
            for help_ in groups(said, "would_help")
        ),
        assumptions=tuple(_assumption(row) for row in groups(said, "assumptions")),
        arithmetic=tuple(without_zeros(str(line)) for line in listed(said, "arithmetic")),
        heads=_heads(bore),
        machine=tuple(machine),
        rehearsed=rehearsed,
        alike=alike,
        why=why_of(bore, bore_id, shown_in),
        savings=savings_of(said),
    )


def today_view(
    stands: Sequence[tuple[str, Bore, Sequence[Kept], Plain | None]],
    unit: Unit | None = None,
    rehearsed: Collection[str] = (),
) -> TodayView:
    """Make the view of the bores on record.

    Args:
        stands: for each its name in the record, the bore, its history, and its advice in its own unit where at hand.
        unit: unit to show lengths in; each bore's own where it is left out.
        rehearsed: the bores that a simulated machine stands behind.

    Returns:
        The view.
    """
    lines = [replace(_line(*stand, unit=unit), rehearsed=stand[0] in rehearsed) for stand in stands]
    names = {line.bore: line.name for line in lines}
    groups_of = like_groups({stand[0]: stand[1] for stand in stands})
    lines.sort(key=lambda line: line.rehearsed)
    return TodayView(
        tuple(line for line in lines if line.state not in FINISHED),
        tuple(line for line in lines if line.state in FINISHED),
        tuple((group_[0], tuple(names[bore] for bore in group_)) for group_ in groups_of),
    )


def limits_view(
    callout: Callout, unit: Unit | None = None, *, rule: Rule | None = None, narrow: Sequence[str] = ()
) -> LimitsView:
    """Make the view of a callout.

    Args:
        callout: the callout as it was understood.
        unit: unit to show it in; its own where it is left out.
        rule: the rule that bores are judged by, to say how well a size must be known for it; None says nothing.
        narrow: which gauges the tolerance is too narrow for, a sentence each.

    Returns:
        The view.
    """
    shown_in = unit or callout.unit
    limits = (callout.lower, callout.upper)
    finer = 1 if max(length.to(shown_in).decimals for length in limits) > _digits(shown_in) else 0
    low, high = show_limits(callout.lower, callout.upper, shown_in, _digits(shown_in) + finer)
    return LimitsView(
        callout.written,
        (
            Fact("smallest", f"{low} {shown_in}"),
            Fact("largest", f"{high} {shown_in}"),
            *_to_show(callout, shown_in, rule),
        ),
        callout.source,
        limits_pictures(callout, shown_in),
        tuple(narrow),
    )


def _to_show(callout: Callout, unit: Unit, rule: Rule | None) -> tuple[Fact, ...]:
    """Say how well a size must be known so that any could be shown in."""
    if rule is None:
        return ()
    most = wanted_mm(callout.upper_mm - callout.lower_mm, rule)
    shown = show_length(most, unit, decimals=4 if unit == "mm" else 5)
    return (Fact(f"to be shown in by {rule.text}", f"size known within ± {shown}, form and all"),)


def state_words(bore: Bore, *, seated: bool) -> tuple[str, str]:
    """Say the state of the work as it stands large, and what belongs to it.

    Args:
        bore: the bore as it stands.
        seated: whether the tool is in the spindle as it was last set.

    Returns:
        Such as ``Cut, not measured`` and ``pass 2``.
    """
    belief, state = bore.belief, bore.state
    readings = len(belief.readings)
    count = f"pass {belief.passes}" if belief.passes else ""
    if state == "measured":
        times = {1: "once", 2: "twice"}.get(readings, f"{readings} times")
        return f"Measured {times}", count or "before the first pass"
    if state == "set" and not seated:
        return "Set, not in the spindle", ""
    if state == "set" and not belief.uncut_move:
        return "Hole roughed", "tool as it cut it"
    if state in {"set", "moved, not cut"}:
        return "Set, not cut" if state == "set" else "Moved, not cut", "tool lock tight?"
    return {"to set": "Tool not set", "quarantined": "Set aside"}.get(state, state.capitalize()), count


def kinds() -> tuple[tuple[str, str], ...]:
    """List the kinds of bore that can be rehearsed.

    Returns:
        Each by its name and what it is, in a line.
    """
    adjusters = {"dial": "graduated dial", "direct": "readout of the tip", "offset": "offset at the control"}
    return tuple(
        (kind.name, f"Ø {kind.size_mm:g} mm, ±{kind.tolerance_um:g} µm, {adjusters[kind.adjuster]}")
        for kind in KINDS.values()
    )


def _line(bore_id: str, bore: Bore, history: Sequence[Kept], advice: Plain | None, *, unit: Unit | None) -> BoreLine:
    shown_in = unit or bore.unit
    said = advice if advice is not None and shown_in == bore.unit else bore.advise(shown_in)
    kept = since_opening(history)
    seated = in_spindle(kept)
    seat = wanted_by(said, in_spindle=seated).event == "seated"
    given = bore.opening.given
    cuts = said.get("action") in {"set", "move_and_cut", "cut"}
    strip = strip_of(bore, shown_in, said, passes_of(kept, bore.belief, shown_in, bore.model.growth))
    return BoreLine(
        bore=bore_id,
        name=given.name or bore_id,
        which=which_of(bore_id, given.name),
        callout=given.callout,
        limits=limits_of(bore, shown_in),
        state=bore.state,
        state_words=state_words(bore, seated=seated)[0],
        next=AFTERWARDS.get(bore.state) or (PUT_IN if seat else str(said.get("say", ""))),
        over=say_odds(group(said, "odds").get("oversize", 0)) if cuts else "",
        strip=small_strip(strip),
        entries=entries(kept),
    )


def _assumption(row: Plain) -> Fact:
    width = str(row.get("width", ""))
    value = str(row.get("value", ""))
    # What is thought to be nothing, give or take, is said by its width alone.
    about = "" if value[:1].isdigit() and not tells(value) else value
    said = f"{about} ± {width}".strip() if tells(width) else about or "nothing"
    return Fact(str(row.get("what", "")), said, str(row.get("origin", "")))


def _digits(unit: Unit) -> int:
    return 3 if unit == "mm" else 4


def moved_otherwise(bore: Bore, history: Sequence[Kept]) -> str:
    """Say it where the tool was moved by other lines than were advised.

    Args:
        bore: the bore as it stands.
        history: everything on record of its bore, tool and gauge, in the order it was stored.

    Returns:
        Such as ``10 moved, 13 advised``; empty where it was moved as advised, or nobody knows what was.
    """
    if not bore.belief.uncut_move:
        return ""
    place = next((n for n in reversed(range(len(history))) if history[n].event == "moved"), 0)
    before = history[place - 1] if place else None
    if before is None or before.event != "advised" or history[place].withdrawn:
        return ""
    moved = history[place].payload.get("lines")
    advised = group(group(before.payload, "shown"), "move").get("lines")
    if moved is None or advised is None or float(str(moved)) == float(str(advised)):
        return ""
    return f"{_way_and_lines(moved, advised)} moved, {_way_and_lines(advised, moved)} advised"


def _way_and_lines(lines: object, other: object) -> str:
    """Show lines, with their sign where the other way round was meant."""
    mixed = (float(str(lines)) < 0.0) != (float(str(other)) < 0.0)
    return f"{float(str(lines)):+g}" if mixed else f"{abs(float(str(lines))):g}"


def limits_of(bore: Bore, unit: Unit) -> str:
    """Show the limits of a bore, never further apart than they are.

    Args:
        bore: the bore.
        unit: unit to show them in.

    Returns:
        Such as ``46.512 to 46.528 mm``.
    """
    limits = bore.opening.limits
    decimals = (
        max(_digits(unit), limits.lower.decimals, limits.upper.decimals) if bore.unit == unit else _digits(unit) + 1
    )
    low, high = show_limits(limits.lower, limits.upper, unit, decimals)
    return f"{low} to {high} {unit}"


def _heads(bore: Bore) -> tuple[tuple[str, int, str], ...]:
    found = []
    for kind in ("bore", "tool", "gauge"):
        events = bore.events(kind)
        if events:
            found.append((str(events[-1].stream), len(events), events[-1].hash))
    return tuple(found)
