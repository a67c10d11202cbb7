"""Readings weighed together: which are ordinary, which are blunders, and whether the tool is where it was thought.

A reading that surprises is neither averaged in nor thrown away. Each way that the readings since the last pass can have
come about is given its probability; the belief is the mixture's mean and covariance, and the causes are named, ranked,
each with the two-minute check that tells it apart.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

from borewright.sizing.causes import LIKELY_ENOUGH, Circumstances, Doubt, Surprise, gauge_causes, ranked, tool_causes
from borewright.sizing.form import NOWHERE, Place, oval_by_chance
from borewright.sizing.gaussian import Gaussian, State, Vector, mixed
from borewright.sizing.measuring import reading_row
from borewright.sizing.model import MOUTH_SD_MM, Model, drawn_again

SURPRISE: Final = 2.6
"""Standard deviations below which readings are taken as ordinary without weighing anything else."""

FAULT_SD_MM: Final = 0.020
"""How far a tool that is not where it was thought may be off. Common practice, no source."""

SMALLEST_BLUNDER_MM, LARGEST_BLUNDER_MM = 0.002, 3.0
"""Between these a blunder may be of any size, alike on a logarithmic scale. Common practice, no source."""

REDRAWN: Final = 8
"""Times at most that the line of a pass is drawn again."""

CURVE: Final = (State.PUSH_OFF, State.EXPONENT, State.EDGE)
"""What the line of a pass is drawn through; never further than three standard deviations from where it was believed."""

NEARER: Final = 0.6
"""Share of its distance at which a reading lies at least, once the line of the pass is drawn again. Chosen, and held by
a test."""

PAIRED: Final = 4
"""Readings, at most, among which two are tried as blunders together."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as it stands in the weighing.

    Args:
        number: the bore's event that tells of it.
        as_read_mm: what the gauge showed, mm.
        gauge_number: the gauge's event that began the setting.
        doubt: probability that it is a blunder.
        place: where in the bore it was taken.
        state: how the part was held, in words; empty where nobody said.
        probe: whether the machine's own probe took it.
        in_clamps: whether the part was in clamps that may change the bore when they are let go.
    """

    number: int
    as_read_mm: float
    gauge_number: int
    doubt: float = 0.0
    place: Place = NOWHERE
    state: str = ""
    probe: bool = False
    in_clamps: bool = False


@dataclass(frozen=True, slots=True)
class Weighed:
    """What readings taken together leave.

    Args:
        belief: the joint belief after them.
        readings: the readings with the probability that each is a blunder.
        doubts: causes named where the readings surprise, ranked; empty where they do not.
        log_evidence: logarithm of how likely these readings were beforehand, each way they can have come about counted.
    """

    belief: Gaussian
    readings: tuple[Reading, ...]
    doubts: tuple[Doubt, ...]
    log_evidence: float = 0.0


@dataclass(frozen=True, slots=True)
class _Way:
    """One way the readings can have come about."""

    fault: bool
    blunders: frozenset[int]
    belief: Gaussian
    log_weight: float


def weigh(
    base: Gaussian, model: Model, readings: Sequence[Reading], before: Circumstances, *, least: float | None = None
) -> Weighed:
    """Weigh the readings taken since the belief ``base``.

    Args:
        base: the belief before any of them.
        model: the bore's constants.
        readings: the readings, oldest first, at least one.
        before: what came before them.
        least: odds from which on a cause is named even where nothing surprises; None names those of a surprise alone.

    Returns:
        The belief after them, their doubts, and the causes.
    """
    look = _Look(model, before, reading_row(model, trial=before.trial))
    values = [look.at(reading) for reading in readings]
    row = look.row
    plain = look.follow(base, values)
    if plain.worst < SURPRISE and least is None:
        as_they_are = _as_ordinary(model, len(values)) + plain.log_likelihood
        return Weighed(plain.belief, tuple(readings), (), as_they_are)
    ways = _ways(base, look, values, plain)
    top = max(way.log_weight for way in ways)
    shares = [math.exp(way.log_weight - top) for way in ways]
    total = math.fsum(shares)
    evidence = top + math.log(total)
    shares = [share / total for share in shares]
    belief = mixed([way.belief for way in ways], shares)
    doubted = tuple(
        replace(
            reading,
            doubt=math.fsum(share for way, share in zip(ways, shares, strict=True) if index in way.blunders),
        )
        for index, reading in enumerate(readings)
    )
    ordinary = math.fsum(share for way, share in zip(ways, shares, strict=True) if not way.fault and not way.blunders)
    if ordinary > 0.5 and least is None:
        return Weighed(belief, doubted, (), evidence)
    fault = math.fsum(share for way, share in zip(ways, shares, strict=True) if way.fault)
    blunder = max(0.0, 1.0 - ordinary - fault)
    index = _most_doubtful({each for way in ways for each in way.blunders}, doubted, base, row)
    likeliest = max((way for way in ways if index in way.blunders), key=lambda way: way.log_weight)
    slip = _surprise(look, likeliest.belief, [doubted[index]])
    shift = _surprise(look, base, [each for each in doubted if each.doubt < 0.5] or [doubted[index]])
    families = ((blunder, slip, gauge_causes(slip)), (fault, shift, tool_causes(shift)))
    named = LIKELY_ENOUGH if least is None else least
    return Weighed(belief, doubted, ranked(readings[index].number, ordinary, families, named), evidence)


def most_likely(base: Gaussian, model: Model, reading: Reading, before: Circumstances) -> float:
    """Bound how likely a first reading can be beforehand, as a logarithm, without weighing its ways.

    As an ordinary reading its density is that of a normal; the line of the pass drawn again brings it no nearer than to
    three fifths of its distance, and at most doubles its density. Otherwise it is one with the tool elsewhere, of
    density ``1/(sqrt(2 pi) s)`` at most, or a blunder.

    Args:
        base: the belief before it.
        model: the bore's constants.
        reading: the reading.
        before: what came before it.

    Returns:
        A number that ``log_evidence`` does not exceed.
    """
    look = _Look(model, before, reading_row(model, trial=before.trial))
    value = look.at(reading)
    sd = math.sqrt(float(value.row @ base.covariance @ value.row) + value.variance + look.common)
    off = value.off(base)
    ordinary = math.exp(-0.5 * (NEARER * off / sd) ** 2) / (math.sqrt(2.0 * math.pi) * sd)
    elsewhere = model.priors.fault.value / (math.sqrt(2.0 * math.pi) * FAULT_SD_MM)
    return math.log(2.0 * ordinary + elsewhere + model.priors.misread.value * math.exp(log_blunder_density(off)))


def _as_ordinary(model: Model, count: int) -> float:
    """Log of how likely it is that the tool is where it was thought and no reading a blunder."""
    return math.log(1.0 - model.priors.fault.value) + count * math.log(1.0 - model.priors.misread.value)


@dataclass(frozen=True, slots=True)
class _Followed:
    belief: Gaussian
    log_likelihood: float
    worst: float


@dataclass(frozen=True, slots=True)
class _Value:
    """A reading with what it is of."""

    mm: float
    row: Vector
    variance: float

    def off(self, base: Gaussian) -> float:
        """Return how far it is off what a belief expects of it, mm."""
        return self.mm - float(self.row @ base.mean)


@dataclass(frozen=True, slots=True)
class _Look:
    """How readings are taken in."""

    model: Model
    before: Circumstances
    row: Vector

    @property
    def variance(self) -> float:
        return self.model.reading_variance(self.before.scatter_mm)

    def at(self, reading: Reading) -> _Value:
        """Say what a reading is of, by its place."""
        if reading.place is NOWHERE or self.before.trial:
            return _Value(reading.as_read_mm, self.row, self.variance)
        row = reading_row(self.model, place=reading.place)
        by_chance = oval_by_chance(self.model, reading.place)
        return _Value(reading.as_read_mm, row, self.model.reading_variance(self.before.scatter_mm, by_chance))

    @property
    def common(self) -> float:
        """Variance of an error common to these readings alone."""
        return MOUTH_SD_MM**2 if self.before.trial else 0.0

    def follow(self, base: Gaussian, values: Sequence[_Value]) -> _Followed:
        """Take readings in, and again along the line of the pass drawn through what they teach, till it holds still."""
        first = followed = self._along(base, values)
        line = self.before.line
        if line is None or not values:
            return followed
        point, before, share = base.mean, 0.0, 1.0
        for _ in range(REDRAWN):
            off = self._reached(base, followed.belief.mean) - point
            share = _damped(share, before, float(off[State.PUSH_OFF]))
            point, before = point + share * off, float(off[State.PUSH_OFF])
            again = self._along(drawn_again(base, line, point, self.model, trial=self.before.trial), values)
            still = abs(again.belief.at(State.PUSH_OFF) - followed.belief.at(State.PUSH_OFF)) < 1e-3
            followed = again
            if still:
                return followed
        # A line that swings to and fro has found nothing that the readings teach of the curve.
        return followed if share == 1.0 else first

    def _reached(self, base: Gaussian, believed: Vector) -> Vector:
        """Return what is believed, its curve no further off than three standard deviations."""
        reached = believed.copy()
        for state in CURVE:
            guess, reach = base.at(state), 3.0 * base.sd(state)
            reached[state] = min(max(believed[state], guess - reach), guess + reach)
        return reached

    def _along(self, base: Gaussian, values: Sequence[_Value]) -> _Followed:
        """Take readings in one after the other; those of a trial's land by their mean, with their common error."""
        if not values:
            return _Followed(base, 0.0, 0.0)
        if self.common:
            variance, mean = self.variance, math.fsum(value.mm for value in values) / len(values)
            belief, innovation, spread = base.measured(self.row, mean, variance / len(values) + self.common)
            within = math.fsum((value.mm - mean) ** 2 for value in values) / variance
            free = (len(values) - 1) * math.log(2 * math.pi * variance)
            log_likelihood = -0.5 * (innovation**2 / spread + math.log(2 * math.pi * spread) + within + free)
            furthest = max(abs(value.mm - mean) for value in values) / math.sqrt(variance)
            return _Followed(belief, log_likelihood, max(abs(innovation) / math.sqrt(spread), furthest))
        log_likelihood, worst, belief = 0.0, 0.0, base
        for value in values:
            belief, innovation, spread = belief.measured(value.row, value.mm, value.variance)
            log_likelihood -= 0.5 * (innovation**2 / spread + math.log(2.0 * math.pi * spread))
            worst = max(worst, abs(innovation) / math.sqrt(spread))
        return _Followed(belief, log_likelihood, worst)


def _damped(share: float, before: float, off: float) -> float:
    """Return how far to go toward what is believed now: all the way, or less where the last step went past it.

    With the distances r and r' before and after a step of share w the secant through them is nought at
    ``w r / (r - r')``.

    Source: common practice, no source
    """
    if before * off >= 0.0 or abs(off) < 0.5 * abs(before):
        return share
    return share * before / (before - off)


def _ways(base: Gaussian, look: _Look, values: Sequence[_Value], plain: _Followed) -> list[_Way]:
    """List the ways: tool where it was thought or not, and no reading, one, or (from three on) two of them blunders."""
    count, furthest = len(values), _furthest_off(values)
    # Where all agree, a slip is as little likely in one as in another: the few furthest off stand for the rest.
    single = furthest if plain.worst < SURPRISE else range(count)
    sets = [frozenset[int](), *(frozenset({i}) for i in single)]
    if count >= 3 and plain.worst >= SURPRISE:
        sets += [frozenset(pair) for pair in combinations(furthest, 2)]
    misread, fault = look.model.priors.misread.value, look.model.priors.fault.value
    ways = []
    for off in (False, True):
        start = _elsewhere(base, look) if off else base
        for blunders in sets:
            left = [value for index, value in enumerate(values) if index not in blunders]
            followed = look.follow(start, left) if off or blunders else plain
            log_weight = followed.log_likelihood + math.log(fault if off else 1.0 - fault)
            log_weight += (count - len(blunders)) * math.log(1.0 - misread)
            for index in blunders:
                log_weight += math.log(misread) + log_blunder_density(values[index].off(base))
            ways.append(_Way(off, blunders, followed.belief, log_weight))
    return ways


def _furthest_off(values: Sequence[_Value]) -> list[int]:
    """Return the places of the readings that may be blunders two at a time: the few furthest off the middle one.

    Two blunders among many readings are both far off; to try every pair of thirty would take a second.
    """
    middle = sorted(value.mm for value in values)[len(values) // 2]
    furthest = sorted(range(len(values)), key=lambda index: -abs(values[index].mm - middle))
    return sorted(furthest[:PAIRED])


def _elsewhere(base: Gaussian, look: _Look) -> Gaussian:
    """Widen the hole that is read and, where a pass cut it, the tool with it: what moved the tip moved the hole."""
    off = look.row.copy()
    off[State.GAUGE] = off[State.WARMTH] = 0.0
    if look.before.cut_before:
        off[State.UNLOCKED] = 1.0
    return Gaussian(base.mean, base.covariance + FAULT_SD_MM**2 * off[:, None] * off[None, :])


def log_blunder_density(off_mm: float) -> float:
    """Return the logarithm of the density of a blunder: alike on a logarithmic scale of size, either way.

    Args:
        off_mm: how far a reading is off what is expected of it, mm.

    Returns:
        The logarithm of the density, 1/mm.
    """
    size = min(max(abs(off_mm), SMALLEST_BLUNDER_MM), LARGEST_BLUNDER_MM)
    return -math.log(2.0 * size * math.log(LARGEST_BLUNDER_MM / SMALLEST_BLUNDER_MM))


def _most_doubtful(places: Iterable[int], readings: Sequence[Reading], base: Gaussian, row: Vector) -> int:
    """Return the place of the likeliest blunder of those weighed; where none is likely, of the one furthest off."""
    expected = float(row @ base.mean)
    return max(
        sorted(places),
        key=lambda i: (readings[i].doubt if readings[i].doubt > 0.5 else 0.0, abs(readings[i].as_read_mm - expected)),
    )


def _surprise(look: _Look, belief: Gaussian, readings: Sequence[Reading]) -> Surprise:
    """Hold the mean of some readings against a belief that does not rest on them."""
    expected = float(look.row @ belief.mean)
    mean = math.fsum(each.as_read_mm for each in readings) / len(readings)
    variance = float(look.row @ belief.covariance @ look.row) + look.variance / len(readings) + look.common
    return Surprise(look.model, look.before, expected, mean - expected, math.sqrt(variance))
