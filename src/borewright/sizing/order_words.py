"""The order of several like bores as plain values, and in a sentence why it is advised."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Final

from borewright.errors import EntryError
from borewright.quantity.length import Unit
from borewright.quantity.odds import say_odds
from borewright.quantity.show import show_length
from borewright.sizing.ahead import measured_next
from borewright.sizing.belief import in_force
from borewright.sizing.bore import Bore
from borewright.sizing.choice import outlook_of
from borewright.sizing.gaussian import State
from borewright.sizing.judging import judge
from borewright.sizing.order import MOST_BORES, Kind, Ordered, Orders, Pace, Way, compare_orders, pace_of
from borewright.sizing.outlook import Outlook
from borewright.sizing.plan_words import ASKED, BY_COST, COUNTS, UNLIKE, WORTH_SAYING
from borewright.sizing.priors import COMMON, NORMAL_95
from borewright.sizing.walk import Cutting, Like
from borewright.sizing.words import say_cost

KINDS: Final[Mapping[Kind, str]] = {
    "each": "each bore finished before the next",
    "first": "the first finished, then the rest in fewer passes",
    "together": "all brought along at each setting",
}
"""The three kinds of way, in the trade's words."""

ONE_PART: Final = "all bores in one part"
OWN_PARTS: Final = "each bore in a part of its own"
NOTE: Final = (
    "Size goes by what was entered for its own bore and by what was learned before that was opened: a bore that is"
    " opened after the first is released begins with what the first taught, one that is open already does not."
)


def order_of(
    bores: Mapping[str, Bore],
    *,
    unit: Unit | None = None,
    one_part: bool = False,
    pass_minutes: object = None,
    measurement_minutes: object = None,
    move_minutes: object = None,
    between_minutes: object = None,
) -> dict[str, object]:
    """Lay the ways to bring several like bores to size side by side. Nothing is recorded.

    Args:
        bores: the bores by their names in the record; one tool cuts them all, to one callout.
        unit: unit to show lengths in; the first bore's own where it is left out.
        one_part: whether all are in one part: one bore too large then loses it with all, and they share its warmth.
        pass_minutes: minutes that a pass takes with its move, a number or its text; assumed where they are left out.
        measurement_minutes: minutes that a measurement of two readings takes, likewise.
        move_minutes: minutes that one move of the tool takes, likewise.
        between_minutes: minutes from one bore to the next, likewise.

    Returns:
        Plain values, as ``docs/reference/order.md`` lists them.

    Raises:
        EntryError: there are too few bores or too many, they are not alike, or one is finished; or the minutes cannot
            be.
    """
    check_alike(bores)
    first = next(iter(bores.values()))
    shown = unit or first.unit
    likes = [like_of(bore) for bore in bores.values()]
    pace = pace_of(
        likes[0].outlook,
        one_part=one_part,
        pass_minutes=pass_minutes,
        measurement_minutes=measurement_minutes,
        move_minutes=move_minutes,
        between_minutes=between_minutes,
    )
    orders = compare_orders(likes, pace, one_part=one_part)
    names = [bore.opening.given.name or name for name, bore in bores.items()]
    said = _Said(tuple(bores), tuple(names), orders, likes[0].outlook, shown)
    return {
        "callout": first.opening.given.callout,
        "unit": shown,
        "tool": first.streams["tool"].identity,
        "known_by": tuple(bores)[orders.shared],
        "one_part": one_part,
        "parts": ONE_PART if one_part else OWN_PARTS,
        "bores": [
            {
                "bore": name,
                "name": called,
                "state": bore.state,
                "hole": show_length(like.now.at(State.HOLE), shown),
                "within": show_length(NORMAL_95 * like.now.sd(State.HOLE), shown),
                "room": show_length(like.room_mm, shown),
            }
            for (name, bore), called, like in zip(bores.items(), names, likes, strict=True)
        ],
        "why": said.why(),
        "minutes": _minutes_plain(pace),
        "ways": [said.way(ordered) for ordered in orders.ways],
        "firsts": [said.first(ordered) for ordered in orders.firsts],
        "shut": [_shut_plain(*key, likes) for key in orders.shut],
        "note": NOTE,
    }


def like_groups(bores: Mapping[str, Bore]) -> tuple[tuple[str, ...], ...]:
    """Sort open bores into groups whose order can be asked.

    Args:
        bores: bores by their names in the record, finished ones among them.

    Returns:
        The groups of two or more, each in the order given, and no larger than can be compared.
    """
    by_kind: dict[tuple[object, ...], list[str]] = {}
    for name, bore in bores.items():
        if bore.belief.status == "open":
            by_kind.setdefault(_kind_of(bore), []).append(name)
    found = []
    for names in by_kind.values():
        group = [name for name in names if not _not_to_cut(bores[name])[0]] if len(names) > 1 else []
        if len(group) > 1:
            found.append(tuple(group[:MOST_BORES]))
    return tuple(found)


def like_of(bore: Bore) -> Like:
    """Take from a bore what its order among like bores is reckoned from.

    Args:
        bore: the bore as it stands; where it is cut and not measured, it is taken as measured.

    Returns:
        The belief about it and what its plans are judged by.
    """
    belief, model = bore.belief, in_force(bore.belief, bore.model)
    outlook = outlook_of(belief, model, bore.costs, bore.rule)
    unread = belief.stage == "cut, not measured"
    now = measured_next(belief.now, outlook, trial=belief.after_trial) if unread else belief.now
    return Like(now, outlook, bore.opening.given.gauge_id or "")


def check_alike(bores: Mapping[str, Bore]) -> None:
    """Check that an order can be asked of bores: two or more that are open, to one callout, with one tool.

    Args:
        bores: the bores by their names in the record.

    Raises:
        EntryError: one of that does not hold.
    """
    if not 2 <= len(bores) <= MOST_BORES:
        raise EntryError(
            "There is no order of one bore." if len(bores) < 2 else "These are too many bores at once.",
            given=", ".join(bores),
            right=f"Name 2 to {MOST_BORES} bores that one tool cuts to one callout.",
            where="bores",
        )
    (name, first), *others = bores.items()
    for other, bore in others:
        for wrong, right in _unlike(first, bore):
            raise EntryError(wrong, given=f"{name} and {other}", right=right, where="bores")
    for other, bore in bores.items():
        wrong, right = _not_to_cut(bore)
        if wrong:
            raise EntryError(wrong, given=other, right=right, where="bores")


def _kind_of(bore: Bore) -> tuple[object, ...]:
    """Return what like bores have in common."""
    material = (bore.opening.given.material or "").casefold()
    return bore.streams["tool"], bore.model.lower_mm, bore.model.upper_mm, material


def _unlike(one: Bore, other: Bore) -> Iterator[tuple[str, str]]:
    """List what is not alike in two bores."""
    tools = [bore.streams["tool"].identity for bore in (one, other)]
    if tools[0] != tools[1]:
        yield (
            f"They are cut by different tools, {tools[0]} and {tools[1]}.",
            "Name bores of one tool; a tool that cuts several is named by tool.id at their start.",
        )
    limits = [(bore.model.lower_mm, bore.model.upper_mm) for bore in (one, other)]
    if limits[0] != limits[1]:
        asked = " and ".join(bore.opening.given.callout for bore in (one, other))
        yield f"They have different callouts, {asked}.", "Name bores that are to come to the same limits."
    materials = [bore.opening.given.material or "not said" for bore in (one, other)]
    if materials[0].casefold() != materials[1].casefold():
        yield (
            f"They are of different materials, {materials[0]} and {materials[1]}.",
            "Name bores of one material: what one pushes off says nothing of the other.",
        )


def _not_to_cut(bore: Bore) -> tuple[str, str]:
    """Say why nothing is to be cut in a bore, and what would be right; empty where something is."""
    belief = bore.belief
    if belief.status != "open":
        return f"This bore is finished: {belief.status}.", "Leave it out."
    if belief.tool_retired:
        return "Its tool is out of use.", "Name bores whose tool still cuts."
    judged = judge(belief, bore.model, bore.rule) if belief.history else None
    if judged is not None and judged.verdict == "in":
        return "This bore is shown to be in: it is to be released and not cut.", "Release it, and leave it out."
    if belief.hole_mm >= bore.model.diameter_mm:
        return "This bore is at the middle of its limits or past it: nothing is to be cut.", "Leave it out."
    return "", ""


class _Said:
    """Ways as plain values, the bores by name."""

    def __init__(
        self, bores: tuple[str, ...], names: tuple[str, ...], orders: Orders, outlook: Outlook, unit: Unit
    ) -> None:
        self._bores, self._names, self._orders, self._unit = bores, names, orders, unit
        self._pass, self._upper_mm = outlook.costs.pass_, outlook.model.upper_mm

    def why(self) -> str:
        best = self._orders.best
        if best is None:
            return "No way is open: too little is left to cut, or nothing has shown the push-off or the adjuster yet."
        clauses = list(self._against(best))
        said = _says(best)[:1].upper() + _says(best)[1:]
        head = f"{said}: {'; '.join(clauses)}." if clauses else f"{said}."
        return f"{head} {self._first(best)}"

    def _against(self, best: Ordered) -> Iterator[str]:
        """Hold the best against the cheapest of the other kinds."""
        for kind, words in KINDS.items():
            other = next((way for way in self._orders.ways if way.way.kind == kind), None)
            if other is None or kind == best.way.kind:
                continue
            more = other.cost - best.cost
            clause = f"{words} would cost {say_cost(more, self._pass)} more"
            if more < WORTH_SAYING * self._pass:
                clause = f"{words} would cost next to nothing more"
            longer = other.minutes - best.minutes
            if abs(longer) >= 1.0:
                clause += f" and take {abs(longer):.0f} min {'longer' if longer > 0.0 else 'less'}"
            if other.losses.several > max(UNLIKE * best.losses.several, 1e-4):
                clause += f", and lose two or more in {say_odds(other.losses.several)} of such jobs"
            yield clause

    def _first(self, best: Ordered) -> str:
        name = self._names[best.order[0]]
        dearest = max(self._orders.firsts, key=lambda one: one.cost, default=best)
        more = dearest.cost - best.cost
        if more < WORTH_SAYING * self._pass:
            return f"Begin with {name}; it makes next to no difference which is first."
        other = self._names[dearest.order[0]]
        return f"Begin with {name}: with {other} first it would cost {say_cost(more, self._pass)} more."

    def way(self, ordered: Ordered) -> dict[str, object]:
        best = self._orders.best
        turns = [list(cuts) for _, cuts in groupby(ordered.cuts, key=lambda cut: cut.setting)]
        return {
            "kind": ordered.way.kind,
            "says": _says(ordered),
            "passes_first": ordered.way.first,
            "passes_rest": ordered.way.rest,
            "advised": ordered is best,
            "order": [self._bores[bore] for bore in ordered.order],
            "settings": ordered.settings,
            "passes": ordered.passes,
            "measurements": ordered.measurements,
            "minutes": round(ordered.minutes, 1),
            "cost": round(ordered.cost, 4),
            "spent": round(ordered.spent, 4),
            "said": say_cost(ordered.cost, self._pass),
            "lost": {
                "any": round(ordered.losses.any, 6),
                "several": round(ordered.losses.several, 6),
                "expected": round(ordered.losses.expected, 6),
            },
            "ends": [
                {
                    "bore": bore,
                    "oversize": round(odds.oversize, 6),
                    "in_tolerance": round(odds.in_tolerance, 6),
                    "undersize": round(odds.undersize, 6),
                }
                for bore, odds in zip(self._bores, ordered.ends, strict=True)
            ],
            "turns": [self._turn(cuts) for cuts in turns],
        }

    def first(self, ordered: Ordered) -> dict[str, object]:
        best = self._orders.best
        return {
            "bore": self._bores[ordered.order[0]],
            "name": self._names[ordered.order[0]],
            "kind": ordered.way.kind,
            "cost": round(ordered.cost, 4),
            "said": say_cost(ordered.cost, self._pass),
            "any": round(ordered.losses.any, 6),
            "several": round(ordered.losses.several, 6),
            "advised": best is not None and ordered.order[0] == best.order[0],
        }

    def _turn(self, cuts: Sequence[Cutting]) -> dict[str, object]:
        """One setting of the tool: where it stands, and what is cut and measured at it."""
        return {
            "setting": cuts[0].setting,
            "tool": show_length(cuts[0].step.tool_mm, self._unit),
            "closed": cuts[0].closed,
            "above_limit": cuts[0].step.tool_mm > self._upper_mm,
            "cuts": [
                {
                    "bore": self._bores[cut.bore],
                    "name": self._names[cut.bore],
                    "trial": cut.step.trial,
                    "last": cut.last,
                    "measured": cut.measured,
                    "leaves": {
                        "size": show_length(cut.step.aim_mm, self._unit),
                        "low": show_length(cut.step.aim_mm - NORMAL_95 * cut.step.sd_mm, self._unit),
                        "high": show_length(cut.step.aim_mm + NORMAL_95 * cut.step.sd_mm, self._unit),
                    },
                }
                for cut in cuts
            ],
        }


def _says(ordered: Ordered) -> str:
    """Say a way with its passes, and whether it begins with a trial cut."""
    trial = any(cut.step.trial for cut in ordered.cuts)
    return _says_way(ordered.way) + (", a trial cut in the first" if trial else "")


def _says_way(way: Way) -> str:
    if way.kind == "each":
        return f"{KINDS['each']}, in {_passes(way.first)} each"
    if way.kind == "first":
        rest = f"the first finished in {_passes(way.first)}, then the rest in {_passes(way.rest)} each"
        return f"{rest}, all at one setting" if way.one_setting else rest
    settings = "one setting" if way.first == 1 else f"{COUNTS[way.first]} settings"
    measured = "every bore measured at each" if way.all_measured else "the first measured at each"
    corrected = "the tool corrected before the rest are cut to size" if way.corrected else "the tool left as it is"
    return f"all brought along at {settings}, {measured}, {corrected}"


def _passes(count: int) -> str:
    return f"{COUNTS[count]} {'pass' if count == 1 else 'passes'}"


def _shut_plain(kind: Kind, first: int, rest: int, likes: Iterable[Like]) -> dict[str, object]:
    held = [like.outlook for like in likes]
    names = [
        name
        for name, holds in (
            ("the push-off", any(math.isfinite(each.largest_tool_mm) for each in held)),
            ("the adjuster", any(math.isfinite(each.widest_opening_mm) for each in held)),
        )
        if holds
    ]
    thin = "A pass would be left too thin to cut well."
    unshown = f"Nothing has shown {' or '.join(names)} yet, so the tool may not be opened that far at once;"
    why = f"{unshown} or a pass would be left too thin to cut well." if names else thin
    return {"kind": kind, "says": KINDS[kind], "passes_first": first, "passes_rest": rest, "why": why}


def _minutes_plain(pace: Pace) -> dict[str, object]:
    minutes = pace.minutes

    def plain(value: float, *, asked: bool, otherwise: str) -> dict[str, object]:
        return {"minutes": round(value, 3), "origin": ASKED if asked else otherwise}

    return {
        "pass": plain(minutes.pass_, asked=minutes.pass_asked, otherwise=COMMON),
        "measurement": plain(minutes.measurement, asked=minutes.measurement_asked, otherwise=BY_COST),
        "trial": plain(minutes.trial, asked=False, otherwise=BY_COST),
        "move": plain(pace.move, asked=pace.move_asked, otherwise=COMMON),
        "between": plain(pace.between, asked=pace.between_asked, otherwise=COMMON),
    }
