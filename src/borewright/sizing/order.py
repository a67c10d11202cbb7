"""Hole order: of several like bores, which is cut first, how far all are brought at one setting, when the tool moves.

Three kinds of way stand side by side: each bore is finished before the next is begun, the first one alone is finished
and the rest follow in fewer passes with what it taught, or all are brought along together at each setting. Each is
reckoned from one joint belief in which the holes are states of their own and tool, push-off and gauge are shared: what
the first one's readings teach narrows the rest, and an error in common may lose several.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from borewright.errors import EntryError
from borewright.sizing.ahead import change_for, foresee
from borewright.sizing.among import OWN, OWN_PART, Among, among
from borewright.sizing.gaussian import State
from borewright.sizing.losses import Losses, losses
from borewright.sizing.outlook import Odds, Outlook
from borewright.sizing.plan import SPLITS, TRIAL_SPLITS, Split
from borewright.sizing.side_by_side import Minutes, minutes_asked, minutes_of, passes_of
from borewright.sizing.walk import Cutting, Like, Walk

Kind: TypeAlias = Literal["each", "first", "together"]
"""Each finished before the next is begun; the first one finished and then the rest; all together at each setting."""

MOST_BORES: Final = 12
"""Bores whose order is compared at once. Chosen, not measured."""

MOST_PASSES: Final = 3
"""Passes of a bore in the longest way that is compared."""

MOVE_SHARE: Final = 0.2
"""What of the minutes of a pass goes into moving the tool for it. Common practice, no source."""

BETWEEN_BORES, BETWEEN_PARTS = 0.2, 1.0
"""Minutes from one bore to the next in the same part and to one in another part, in passes. Common practice, no
source."""


@dataclass(frozen=True, slots=True)
class Pace:
    """How long things take where several bores are cut.

    Args:
        minutes: a pass with its move, a trial cut, a measurement.
        move: one move of the tool, minutes; contained in a pass.
        between: from one bore to the next, minutes.
        move_asked: whether somebody said the minutes of a move.
        between_asked: whether somebody said the minutes between bores.
    """

    minutes: Minutes
    move: float
    between: float
    move_asked: bool = False
    between_asked: bool = False


@dataclass(frozen=True, slots=True)
class Way:
    """A way to bring several bores to size.

    Args:
        kind: which of the three.
        first: passes of the first bore.
        rest: passes of each of the others.
        one_setting: whether those cut to size after the first was measured are cut at one setting, and not the tool
            corrected after each.
        corrected: whether the tool is corrected by what the first one measures before the rest are cut to size.
        all_measured: whether every bore is measured at every setting, and not the first alone.
        split: how the stock of the first is divided over the settings where all are cut together.
    """

    kind: Kind
    first: int
    rest: int
    one_setting: bool = False
    corrected: bool = True
    all_measured: bool = False
    split: Split = ()


@dataclass(frozen=True, slots=True)
class Ordered:
    """A way with its order of the bores, and all that it is compared by.

    Args:
        way: the way.
        order: the bores, the one cut first in front.
        cuts: its cuts, in turn.
        ends: for each bore, odds of it at the end.
        losses: how many of the bores may be too large.
        minutes: minutes expected, with those for one more pass where a bore ends under size.
        cost: expected cost.
        spent: what of it is time.
    """

    way: Way
    order: tuple[int, ...]
    cuts: tuple[Cutting, ...]
    ends: tuple[Odds, ...]
    losses: Losses
    minutes: float
    cost: float
    spent: float

    @property
    def settings(self) -> int:
        """How often the tool is set or moved."""
        return sum(cut.moved for cut in self.cuts)

    @property
    def measurements(self) -> int:
        """How often a bore is measured."""
        return sum(cut.measured for cut in self.cuts)

    @property
    def passes(self) -> int:
        """How many passes it has in all."""
        return passes_of([cut.step for cut in self.cuts])


@dataclass(frozen=True, slots=True)
class Orders:
    """Ways side by side.

    Args:
        ways: the cheapest of each kind and number of passes, each with the order that suits it, cheapest first.
        firsts: the cheapest way with each bore cut first, in the order of the bores; those alike stand once.
        shut: kinds and passes, of the first and of the rest, that cannot be.
        shared: the bore from whose belief the tool is taken.
    """

    ways: tuple[Ordered, ...]
    firsts: tuple[Ordered, ...]
    shut: tuple[tuple[Kind, int, int], ...]
    shared: int

    @property
    def best(self) -> Ordered | None:
        """The cheapest; None where no way can be."""
        return self.ways[0] if self.ways else None


def pace_of(
    outlook: Outlook,
    *,
    one_part: bool,
    pass_minutes: object = None,
    measurement_minutes: object = None,
    move_minutes: object = None,
    between_minutes: object = None,
) -> Pace:
    """Say how long things take where several bores are cut: as asked, else as assumed.

    Args:
        outlook: what plans are judged by.
        one_part: whether all bores are in one part.
        pass_minutes: minutes a pass with its move, a number or its text; None where nobody said them.
        measurement_minutes: minutes a measurement of two readings, likewise.
        move_minutes: minutes that one move of the tool takes, likewise.
        between_minutes: minutes from one bore to the next, likewise.

    Returns:
        The pace.

    Raises:
        EntryError: they are no number or no time that it can take, or a move takes as long as the pass it is for.
    """
    minutes = minutes_of(outlook, pass_minutes, measurement_minutes)
    move = minutes_asked(move_minutes, "move_minutes")
    between = minutes_asked(between_minutes, "between_minutes")
    if move is not None and move >= minutes.pass_:
        raise EntryError(
            "A pass holds its move, and takes longer than that.",
            given=move_minutes,
            right=f"Give less than the {minutes.pass_:g} minutes of a pass.",
            where="move_minutes",
        )
    return Pace(
        minutes,
        move=MOVE_SHARE * minutes.pass_ if move is None else move,
        between=(BETWEEN_BORES if one_part else BETWEEN_PARTS) * minutes.pass_ if between is None else between,
        move_asked=move is not None,
        between_asked=between is not None,
    )


def compare_orders(likes: Sequence[Like], pace: Pace, *, one_part: bool) -> Orders:
    """Compare the ways to bring several like bores to size with one tool.

    Args:
        likes: the bores, at least one.
        pace: how long things take.
        one_part: whether all are in one part: its warmth is then shared, and one bore too large loses it with all.

    Returns:
        The ways.
    """
    shared = best_known(likes)
    start = among([like.now for like in likes], shared, OWN if one_part else OWN_PART)
    search = _Search(likes, start, pace, one_part=one_part)
    usual = _usual_order(likes)
    found: dict[tuple[Kind, int, int], Ordered] = {}
    for way in _ways():
        ordered = search.walked(way, usual)
        if ordered is not None:
            key = way.kind, way.first, way.rest
            found[key] = ordered if key not in found else min(found[key], ordered, key=_cost)
    for key, ordered in found.items():
        for variant in _variants(ordered.way):
            other = search.walked(variant, usual)
            if other is not None:
                found[key] = min(found[key], other, key=_cost)
    kinds = {ordered.way.kind: ordered.way for ordered in sorted(found.values(), key=_cost, reverse=True)}
    firsts: list[Ordered] = []
    for bore in _unlike(likes, start):
        order = (bore, *(other for other in usual if other != bore))
        tried = [ordered for way in kinds.values() if (ordered := search.walked(way, order)) is not None]
        for ordered in tried:
            key = ordered.way.kind, ordered.way.first, ordered.way.rest
            found[key] = min(found[key], ordered, key=_cost)
        if tried:
            firsts.append(min(tried, key=_cost))
    asked = dict.fromkeys((way.kind, way.first, way.rest) for way in _ways())
    shut = tuple(key for key in asked if key not in found)
    return Orders(tuple(sorted(found.values(), key=_cost)), tuple(firsts), shut, shared)


def best_known(likes: Sequence[Like]) -> int:
    """Find the bore whose belief knows the tool best: whose next pass, straight to size, is foreseen the narrowest.

    Args:
        likes: the bores.

    Returns:
        Which.
    """

    def width(bore: int) -> float:
        like = likes[bore]
        outlook = like.outlook
        return foresee(like.now, outlook, change_for(like.now, outlook, outlook.model.diameter_mm)).step.sd_mm

    return min(range(len(likes)), key=width)


class _Search:
    """Walks ways and adds up what they come to."""

    def __init__(self, likes: Sequence[Like], start: Among, pace: Pace, *, one_part: bool) -> None:
        self._likes, self._start, self._pace, self._one_part = likes, start, pace, one_part
        self._splits: dict[tuple[bool, int], tuple[Split, ...]] = {}

    def walked(self, way: Way, order: tuple[int, ...]) -> Ordered | None:
        walk = Walk(self._likes, self._start, self._likes[self._start.here].outlook)
        go = self._together if way.kind == "together" else self._one_by_one
        return self._added_up(way, order, walk) if go(walk, way, order) else None

    def _one_by_one(self, walk: Walk, way: Way, order: tuple[int, ...]) -> bool:
        first, *rest = order
        if walk.bring(first, _splits_of(way.first, trials=self._likes[first].outlook.trials)) is None:
            return False
        if way.one_setting:
            return walk.to_size(rest) if rest else False
        every = splits = _splits_of(way.rest, trials=False)
        for bore in rest:
            taken = walk.bring(bore, splits)
            if taken is None and splits is not every:
                taken = walk.bring(bore, every)
            if taken is None:
                return False
            splits = (taken,)  # like bores divide their stock alike
        return True

    @staticmethod
    def _together(walk: Walk, way: Way, order: tuple[int, ...]) -> bool:
        first, *rest = order
        for cut in way.split:
            if not walk.through(order, cut.share, measured=order if way.all_measured else order[:1]):
                return False
        if way.corrected:
            return walk.to_size([first]) and (not rest or walk.to_size(rest))
        return walk.to_size(order)

    def _added_up(self, way: Way, order: tuple[int, ...], walk: Walk) -> Ordered:
        minutes, spent = self._time(walk.cuts)
        ends, too_large, risk = [], [], 0.0
        loss = math.fsum(cut.loss for cut in walk.cuts)
        for bore in range(len(self._likes)):
            own = [cut for cut in walk.cuts if cut.bore == bore]
            kept = math.prod(1.0 - cut.odds.oversize for cut in own[:-1])
            end = own[-1].odds
            ends.append(Odds(1.0 - kept * (1.0 - end.oversize), kept * end.in_tolerance, kept * end.undersize))
            too_large.append(ends[-1].oversize)
            risk += own[-1].risk
            minutes += ends[-1].undersize * (self._pace.minutes.pass_ + self._pace.minutes.measurement)
        counted = losses(too_large, walk.covariance)
        if self._one_part and counted.expected > 0.0:
            loss *= counted.any / counted.expected  # the part is lost once, however many of its bores are
        return Ordered(way, order, tuple(walk.cuts), tuple(ends), counted, minutes, spent + loss + risk, spent)

    def _time(self, cuts: Sequence[Cutting]) -> tuple[float, float]:
        """Add up minutes and their cost: a pass holds its move, and a tool that is closed is moved twice."""
        pace, total, spent = self._pace, 0.0, 0.0
        for place, cut in enumerate(cuts):
            costs, minutes = self._likes[cut.bore].outlook.costs, pace.minutes
            beside = 0.0
            if not cut.moved:
                beside -= pace.move
            elif cut.closed:
                beside += pace.move
            if place and cuts[place - 1].bore != cut.bore:
                beside += pace.between
            trial = cut.step.trial
            total += (minutes.trial if trial else minutes.pass_) + beside + cut.measured * minutes.measurement
            spent += (costs.trial if trial else costs.pass_) + cut.measured * costs.measurement
            spent += costs.pass_ * beside / minutes.pass_
        return total, spent


def _cost(ordered: Ordered) -> float:
    return ordered.cost


def _splits_of(passes: int, *, trials: bool) -> tuple[Split, ...]:
    """List the ways to divide the stock over so many passes."""
    every = (*SPLITS, *TRIAL_SPLITS) if trials else SPLITS
    return tuple(split for split in every if sum(not cut.trial for cut in split) == passes - 1)


def _ways() -> Iterator[Way]:
    for first in range(1, MOST_PASSES + 1):
        yield Way("each", first, first)
        for rest in range(1, first):
            yield Way("first", first, rest)
    yield from (Way("together", len(split) + 1, len(split) + 1, split=split) for split in SPLITS if len(split) < 3)


def _variants(way: Way) -> Iterator[Way]:
    """List what may be done otherwise in a way without another division of the stock."""
    if way.kind == "first" and way.rest == 1:
        yield Way("first", way.first, 1, one_setting=True)
    if way.kind == "together":
        measured = (False, True) if way.split else (False,)
        for all_measured in measured:
            for corrected in (False, True):
                if (all_measured, corrected) != (False, True):
                    yield Way(
                        "together", way.first, way.rest, corrected=corrected, all_measured=all_measured, split=way.split
                    )


def _usual_order(likes: Sequence[Like]) -> tuple[int, ...]:
    """Begin with the bore whose loss costs least, and of those alike in that with the one that has most room."""
    return tuple(sorted(range(len(likes)), key=lambda bore: (likes[bore].outlook.costs.scrap, -likes[bore].room_mm)))


def _unlike(likes: Sequence[Like], start: Among) -> Iterator[int]:
    """List one bore of those that it makes no difference between."""
    seen = set()
    for bore, like in enumerate(likes):
        alone = like.now.covariance[State.HOLE].copy()
        alone[State.HOLE] = 0.0
        tied = bore == start.here and bool(alone.any())
        key = (round(like.room_mm, 6), round(like.now.sd(State.HOLE), 6), like.outlook.costs, tied)
        if key not in seen:
            seen.add(key)
            yield bore
