"""Several suppositions held side by side, each a whole belief with its share, until what is read tells them apart.

With the share ``w`` that a supposition had before the readings which are weighed together, and the likelihood ``Z`` of
those readings under it, its share after them is ``w Z`` over the sum of that over all: Bayes' rule. The likeliest is
the belief that is acted upon; the others stand beside it, count in its odds, and are dropped once next to nothing is
left of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final

from borewright.gauging.conformity import normal_cdf
from borewright.sizing.belief import Belief, Other
from borewright.sizing.causes import LIKELY_ENOUGH, Doubt, Supposition

NEXT_TO_NOTHING: Final = 1e-4
"""Share below which a supposition is dropped. Chosen, not measured."""

WORTH_PARTING: Final = 0.005
"""Share from which on a belief is parted again by another supposition. Chosen, not measured."""

MOST_NAMED: Final = 5
"""Causes named at most."""


def parts(belief: Belief) -> tuple[tuple[float, Belief], ...]:
    """Return all that are held side by side, the one acted upon first.

    Args:
        belief: the belief acted upon.

    Returns:
        Each with its share; the shares add up to 1.
    """
    alone = replace(belief, others=()) if belief.others else belief
    return ((belief.share, alone), *((other.share, other.belief) for other in belief.others))


def parted(belief: Belief, ways: Sequence[tuple[Supposition, float, Callable[[Belief], Belief]]]) -> Belief:
    """Hold beside what is believed what would be if something were otherwise than told.

    Args:
        belief: the belief acted upon.
        ways: for each supposition its odds, and what it makes of a belief.

    Returns:
        The belief with the others beside it; each of weight is parted alike.
    """
    if not ways:
        return belief
    left = 1.0 - math.fsum(odds for _, odds, _ in ways)
    found = []
    for share, each in parts(belief):
        heavy = share >= WORTH_PARTING
        found.append(Other(share * (left if heavy else 1.0), 0.0, each))
        for what, odds, make in ways if heavy else ():
            supposed = replace(make(each), supposed=(*each.supposed, what))
            found.append(Other(share * odds, 0.0, supposed))
    return held([replace(one, before=one.share) for one in found])


def held(found: Sequence[Other]) -> Belief:
    """Put several side by side: the likeliest first, what is next to nothing left out.

    Args:
        found: each with its share and the share before the readings weighed together; the shares need not add up to 1.

    Returns:
        The likeliest, the others beside it. Of two alike the one that stands first in the list is taken.
    """
    total = math.fsum(one.share for one in found)
    kept = [one for one in found if one.share >= NEXT_TO_NOTHING * total]
    kept.sort(key=lambda one: -one.share)
    total, before = (math.fsum(values) for values in zip(*((one.share, one.before) for one in kept), strict=True))
    first, *rest = [replace(one, share=one.share / total, before=one.before / (before or 1.0)) for one in kept]
    return replace(first.belief, others=tuple(rest))


def stepped(belief: Belief, step: Callable[[Belief], Belief], most: Callable[[Belief], float] | None = None) -> Belief:
    """Take an event in under every supposition, and weigh them by what was read.

    Args:
        belief: the belief acted upon, others beside it.
        step: what the event does to one.
        most: for a first reading, a bound of its logarithm of likelihood under each: what can only be next to nothing
            is dropped without being weighed.

    Returns:
        The belief after it.
    """
    if most is not None:
        (share, acted_upon), *others = parts(belief)
        after = step(acted_upon)
        least = math.log(NEXT_TO_NOTHING * share) + after.log_evidence
        open_ = [Other(odds, odds, each) for odds, each in others if math.log(odds) + most(each) > least]
        if not open_:
            return after
        belief = held([Other(share, share, acted_upon), *open_])
    before = (belief.before_share, *(other.before for other in belief.others))
    found = [Other(share, earlier, step(each)) for (share, each), earlier in zip(parts(belief), before, strict=True)]
    if any(one.belief.before_readings is None for one in found):
        return held([replace(one, before=one.share) for one in found])
    top = max(one.belief.log_evidence for one in found)
    weighed = [replace(one, share=one.before * math.exp(one.belief.log_evidence - top)) for one in found]
    if math.fsum(one.share for one in weighed) <= 0.0:
        return held(found)
    return held(weighed)


def doubts_beside(belief: Belief, before: Belief, number: int) -> tuple[Doubt, ...]:
    """Name what is supposed among the causes of a reading, where the readings leave it open or have just shown it.

    Args:
        belief: the belief after a reading.
        before: the belief before it, others beside it.
        number: the event of the reading.

    Returns:
        The causes, likeliest first, with those that were named of the belief acted upon.
    """
    now, was = _odds_of(belief), _odds_of(before)
    named_since = {doubt.cause: doubt.reading for doubt in before.doubts}
    open_ = {
        what: odds
        for what, odds in now.items()
        if odds >= LIKELY_ENOUGH and (was.get(what, 0.0) < 0.5 or what.words in named_since)
    }
    if not open_:
        return belief.doubts
    told = 1.0 - math.fsum(open_.values())
    doubts = [replace(doubt, odds=doubt.odds * max(told, 0.0)) for doubt in belief.doubts]
    doubts += [Doubt(named_since.get(what.words, number), what.words, what.check, odds) for what, odds in open_.items()]
    named = [doubt for doubt in doubts if doubt.odds >= LIKELY_ENOUGH]
    return tuple(sorted(named, key=lambda doubt: -doubt.odds)[:MOST_NAMED])


def _odds_of(belief: Belief) -> dict[Supposition, float]:
    odds: dict[Supposition, float] = {}
    for share, each in parts(belief):
        for what in each.supposed:
            odds[what] = odds.get(what, 0.0) + share
    return odds


def between(spread: Sequence[tuple[float, float, float]], share: float) -> float:
    """Return the value below which a share of a mixture of normal distributions lies, by bisection.

    Args:
        spread: for each part its share, mean and standard deviation.
        share: from 0 to 1, ends left out.

    Returns:
        The value, in the unit of the means.
    """
    low = min(mean - 9.0 * sd for _, mean, sd in spread)
    high = max(mean + 9.0 * sd for _, mean, sd in spread)
    while high - low > 1e-8:
        middle = 0.5 * (low + high)
        below = math.fsum(part * normal_cdf((middle - mean) / max(sd, 1e-9)) for part, mean, sd in spread)
        low, high = (middle, high) if below < share else (low, middle)
    return 0.5 * (low + high)
