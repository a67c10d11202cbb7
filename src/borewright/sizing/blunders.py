"""Readings weighed together: which are ordinary, which are blunders, and whether the tool is where it was thought.

A reading that surprises is neither averaged in nor thrown away. Each way that the readings since the last pass can have
come about is given its probability; the belief is the mixture's mean and covariance, and the causes are named, ranked,
each with the two-minute check that tells it apart.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Final

from borewright.sizing.gaussian import Gaussian, State, Vector, mixed
from borewright.sizing.measuring import reading_row
from borewright.sizing.model import MOUTH_SD_MM, Line, Model, drawn_again

SURPRISE: Final = 2.6
"""Standard deviations below which readings are taken as ordinary without weighing anything else."""

FAULT_SD_MM: Final = 0.020
"""How far a tool that is not where it was thought may be off. Common practice, no source."""

SMALLEST_BLUNDER_MM, LARGEST_BLUNDER_MM = 0.002, 3.0
"""Between these a blunder may be of any size, alike on a logarithmic scale. Common practice, no source."""

LIKELY_ENOUGH: Final = 0.01
"""Odds from which on a cause of a surprise is named. Chosen, not measured."""

REDRAWN: Final = 4
"""Times at most that the line of a pass is drawn again."""

CURVE: Final = (State.PUSH_OFF, State.EXPONENT, State.EDGE)
"""What the line of a pass is drawn through; never further than three standard deviations from where it was believed."""

PAIRED: Final = 4
"""Readings, at most, among which two are tried as blunders together."""

NEEDLE_TURNS: Final = (100, 200)
"""Steps in one turn of a bore gauge's needle. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as it stands in the weighing.

    Args:
        number: the bore's event that tells of it.
        as_read_mm: what the gauge showed, mm.
        gauge_number: the gauge's event that began the setting.
        doubt: probability that it is a blunder.
    """

    number: int
    as_read_mm: float
    gauge_number: int
    doubt: float = 0.0


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing that may lie behind a surprising reading.

    Args:
        reading: the event of the reading that surprises most.
        cause: what may have happened.
        check: what tells it apart in two minutes.
        odds: its share among the causes named.
    """

    reading: int
    cause: str
    check: str
    odds: float


@dataclass(frozen=True, slots=True)
class Weighed:
    """What readings taken together leave.

    Args:
        belief: the joint belief after them.
        readings: the readings with the probability that each is a blunder.
        doubts: causes named where the readings surprise, ranked; empty where they do not.
    """

    belief: Gaussian
    readings: tuple[Reading, ...]
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class _Way:
    """One way the readings can have come about."""

    fault: bool
    blunders: frozenset[int]
    belief: Gaussian
    log_weight: float


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What came before the readings.

    Args:
        scatter_mm: scatter of one reading, mm.
        trial: whether they are of the land of a trial cut.
        cut_before: whether a pass was cut since the tool was last moved; else they are of the hole as it was.
        change_mm: the last move, mm on the diameter.
        lines: the last move in lines of a dial, or None.
        seated: whether the tool was put into the spindle as part of the last move.
        line: the line along which the last pass was carried, where nothing was moved since; else None.
    """

    scatter_mm: float
    trial: bool = False
    cut_before: bool = False
    change_mm: float = 0.0
    lines: float | None = None
    seated: bool = False
    line: Line | None = None


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
    values = [reading.as_read_mm for reading in readings]
    look = _Look(model, before, reading_row(model, trial=before.trial))
    row = look.row
    plain = look.follow(base, values)
    if plain.worst < SURPRISE and least is None:
        return Weighed(plain.belief, tuple(readings), ())
    ways = _ways(base, look, values)
    top = max(way.log_weight for way in ways)
    shares = [math.exp(way.log_weight - top) for way in ways]
    total = math.fsum(shares)
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
        return Weighed(belief, doubted, ())
    fault = math.fsum(share for way, share in zip(ways, shares, strict=True) if way.fault)
    blunder = max(0.0, 1.0 - ordinary - fault)
    index = _most_doubtful(doubted, base, row)
    likeliest = max((way for way in ways if index in way.blunders), key=lambda way: way.log_weight)
    slip = _surprise(look, likeliest.belief, [doubted[index]])
    shift = _surprise(look, base, [each for each in doubted if each.doubt < 0.5] or [doubted[index]])
    families = ((blunder, slip, _gauge_causes(slip)), (fault, shift, _tool_causes(shift)))
    named = LIKELY_ENOUGH if least is None else least
    return Weighed(belief, doubted, _causes(readings[index].number, ordinary, families, named))


@dataclass(frozen=True, slots=True)
class _Followed:
    belief: Gaussian
    log_likelihood: float
    worst: float


@dataclass(frozen=True, slots=True)
class _Look:
    """How readings are taken in."""

    model: Model
    before: Circumstances
    row: Vector

    @property
    def variance(self) -> float:
        return self.model.reading_variance(self.before.scatter_mm)

    @property
    def common(self) -> float:
        """Variance of an error common to these readings alone."""
        return MOUTH_SD_MM**2 if self.before.trial else 0.0

    def follow(self, base: Gaussian, values: Sequence[float]) -> _Followed:
        """Take readings in, and again along the line of the pass drawn through what they teach, till it holds still."""
        followed = self._along(base, values)
        line = self.before.line
        if line is None or not values:
            return followed
        for _ in range(REDRAWN):
            believed = followed.belief.mean.copy()
            for state in CURVE:
                guess, reach = base.at(state), 3.0 * base.sd(state)
                believed[state] = min(max(believed[state], guess - reach), guess + reach)
            again = self._along(drawn_again(base, line, believed, self.model, trial=self.before.trial), values)
            still = abs(again.belief.at(State.PUSH_OFF) - followed.belief.at(State.PUSH_OFF)) < 1e-3
            followed = again
            if still:
                break
        return followed

    def _along(self, base: Gaussian, values: Sequence[float]) -> _Followed:
        """Take readings in one after the other; those of a trial's land by their mean, with their common error."""
        if not values:
            return _Followed(base, 0.0, 0.0)
        variance = self.variance
        if self.common:
            mean = math.fsum(values) / len(values)
            belief, innovation, spread = base.measured(self.row, mean, variance / len(values) + self.common)
            within = math.fsum((value - mean) ** 2 for value in values) / variance
            free = (len(values) - 1) * math.log(2 * math.pi * variance)
            log_likelihood = -0.5 * (innovation**2 / spread + math.log(2 * math.pi * spread) + within + free)
            furthest = max(abs(value - mean) for value in values) / math.sqrt(variance)
            return _Followed(belief, log_likelihood, max(abs(innovation) / math.sqrt(spread), furthest))
        log_likelihood, worst, belief = 0.0, 0.0, base
        for value in values:
            belief, innovation, spread = belief.measured(self.row, value, variance)
            log_likelihood -= 0.5 * (innovation**2 / spread + math.log(2.0 * math.pi * spread))
            worst = max(worst, abs(innovation) / math.sqrt(spread))
        return _Followed(belief, log_likelihood, worst)


def _ways(base: Gaussian, look: _Look, values: Sequence[float]) -> list[_Way]:
    """List the ways: tool where it was thought or not, and no reading, one, or (from three on) two of them blunders."""
    count = len(values)
    sets = [frozenset[int](), *(frozenset({i}) for i in range(count))]
    if count >= 3:
        sets += [frozenset(pair) for pair in combinations(_furthest_off(values), 2)]
    misread, fault = look.model.priors.misread.value, look.model.priors.fault.value
    expected = float(look.row @ base.mean)
    ways = []
    for off in (False, True):
        start = _elsewhere(base, look) if off else base
        for blunders in sets:
            followed = look.follow(start, [value for index, value in enumerate(values) if index not in blunders])
            log_weight = followed.log_likelihood + math.log(fault if off else 1.0 - fault)
            log_weight += (count - len(blunders)) * math.log(1.0 - misread)
            for index in blunders:
                log_weight += math.log(misread) + _log_blunder_density(values[index] - expected)
            ways.append(_Way(off, blunders, followed.belief, log_weight))
    return ways


def _furthest_off(values: Sequence[float]) -> list[int]:
    """Return the places of the readings that may be blunders two at a time: the few furthest off the middle one.

    Two blunders among many readings are both far off; to try every pair of thirty would take a second.
    """
    middle = sorted(values)[len(values) // 2]
    ranked = sorted(range(len(values)), key=lambda index: -abs(values[index] - middle))
    return sorted(ranked[:PAIRED])


def _elsewhere(base: Gaussian, look: _Look) -> Gaussian:
    """Widen the hole that is read and, where a pass cut it, the tool with it: what moved the tip moved the hole."""
    off = look.row.copy()
    off[State.GAUGE] = off[State.WARMTH] = 0.0
    if look.before.cut_before:
        off[State.UNLOCKED] = 1.0
    return Gaussian(base.mean, base.covariance + FAULT_SD_MM**2 * off[:, None] * off[None, :])


def _log_blunder_density(off_mm: float) -> float:
    """Log of the density of a blunder: alike on a logarithmic scale of size, either way, 1/mm."""
    size = min(max(abs(off_mm), SMALLEST_BLUNDER_MM), LARGEST_BLUNDER_MM)
    return -math.log(2.0 * size * math.log(LARGEST_BLUNDER_MM / SMALLEST_BLUNDER_MM))


def _most_doubtful(readings: Sequence[Reading], base: Gaussian, row: Vector) -> int:
    """Return the place of the likeliest blunder among the readings; where none is likely, of the one furthest off."""
    expected = float(row @ base.mean)
    return max(
        range(len(readings)),
        key=lambda i: (readings[i].doubt if readings[i].doubt > 0.5 else 0.0, abs(readings[i].as_read_mm - expected)),
    )


@dataclass(frozen=True, slots=True)
class _Surprise:
    """How far readings are off what a belief expects of them, and what came before."""

    model: Model
    before: Circumstances
    expected_mm: float
    innovation_mm: float
    sd_mm: float


def _surprise(look: _Look, belief: Gaussian, readings: Sequence[Reading]) -> _Surprise:
    """Hold the mean of some readings against a belief that does not rest on them."""
    expected = float(look.row @ belief.mean)
    mean = math.fsum(each.as_read_mm for each in readings) / len(readings)
    variance = float(look.row @ belief.covariance @ look.row) + look.variance / len(readings) + look.common
    return _Surprise(look.model, look.before, expected, mean - expected, math.sqrt(variance))


@dataclass(frozen=True, slots=True)
class _Cause:
    """A cause with the offset it would bring, its spread, and how common it is within its family."""

    words: str
    check: str
    off_mm: float
    spread_mm: float
    common: float


def _causes(
    number: int, ordinary: float, families: Sequence[tuple[float, _Surprise, Sequence[_Cause]]], least: float
) -> tuple[Doubt, ...]:
    """Rank the named causes: each family keeps its probability, shared out by how well each member fits."""
    checks = {_CHANCE.words: _CHANCE.check}
    odds = {_CHANCE.words: ordinary}
    for share, off, family in families:
        fits = [
            cause.common * _density(off.innovation_mm - cause.off_mm, off.sd_mm, cause.spread_mm) for cause in family
        ]
        total = math.fsum(fits)
        for fit, cause in zip(fits, family, strict=True):
            checks[cause.words] = cause.check
            odds[cause.words] = odds.get(cause.words, 0.0) + (share * fit / total if total > 0.0 else 0.0)
    ranked = sorted(odds, key=lambda words: -odds[words])
    return tuple(Doubt(number, words, checks[words], odds[words]) for words in ranked[:5] if odds[words] >= least)


_CHANCE: Final = _Cause("Nothing is wrong: an unlikely but ordinary result.", "Measure once more.", 0.0, 0.0, 1.0)


def _gauge_causes(off: _Surprise) -> list[_Cause]:
    step, wide = off.model.priors.gauge_step.value, abs(off.innovation_mm)
    causes = [
        _Cause("Ten steps of the gauge misread.", "Rock it again and read aloud.", s * 10 * step, 0.0, 1.0)
        for s in (1, -1)
    ]
    for turn in NEEDLE_TURNS:
        causes += [
            _Cause(
                "The needle was a whole turn away.", "Watch the small hand while entering.", s * turn * step, 0.0, 0.5
            )
            for s in (1, -1)
        ]
    for digit in range(1, 10):
        for place in (1, 10, 100, 1000):
            size = digit * place * step
            causes += [
                _Cause("One digit was written wrong.", "Read it again, digit by digit.", s * size, 0.0, 0.015)
                for s in (1, -1)
            ]
    # Taken the wrong way, a reading lies as far on the other side of the master, which stands near the middle.
    mirrored = 2.0 * (off.model.diameter_mm - off.expected_mm)
    return [
        *causes,
        _Cause(
            "The needle's sense was taken the wrong way.",
            "Go through the ring: which way is larger?",
            mirrored,
            0.1 * abs(mirrored),
            1.0,
        ),
        _Cause(
            "A chip or film of oil under the gauge, or the gauge not rocked through its least reading.",
            "Wipe bore and feet, rock again, then check the ring.",
            0.0,
            wide,
            0.5,
        ),
    ]


def _tool_causes(off: _Surprise) -> list[_Cause]:
    wide = abs(off.innovation_mm)
    if not off.before.cut_before:
        return [_Cause("The hole is not what was told.", "Check the hole again, across and along.", 0.0, wide, 1.0)]
    model = off.model
    causes = [
        _Cause(
            "Tightening the tool lock moved the tip.",
            "Put an indicator on the tip and tighten the tool lock again.",
            0.0,
            0.006,
            1.0,
        ),
        _Cause("A built-up edge cut large, or the edge chipped.", "Look at the edge under a glass.", 0.003, 0.002, 0.7),
        _Cause(
            "The part was warm, or its clamps move it.",
            "Take the part's temperature; let it settle and measure again.",
            0.0,
            3.0 * model.growth,
            0.5,
        ),
        _Cause(
            "Something else moved the tool or the part.", "Check tool lock, edge, taper and clamps.", 0.0, wide, 0.2
        ),
    ]
    if off.before.seated:
        causes.append(_Cause("A chip on the taper.", "Take the tool out, wipe both tapers.", 0.0, 0.015, 1.0))
    if off.before.lines is not None:
        line = model.adjuster.line_mm
        causes += [
            _Cause("A line of the dial was missed or counted twice.", _LINES, s * line, 0.0, 1.0) for s in (1, -1)
        ]
        if model.adjuster.lines_per_turn is not None:
            turn = model.adjuster.lines_per_turn * line
            causes += [_Cause("A whole turn of the dial was missed.", _LINES, s * turn, 0.0, 0.3) for s in (1, -1)]
    if off.before.change_mm and model.adjuster.kind != "direct":
        backlash = model.priors.backlash
        causes.append(_Cause("The backlash was not taken up.", _TAKE_UP, -backlash.value, backlash.width, 1.0))
    if off.before.change_mm and not model.priors.proved.value:
        causes.append(_misspoken(model, off.before.change_mm))
    return causes


def _misspoken(model: Model, change_mm: float) -> _Cause:
    """What is told of the adjuster's figures is the wrong way round: the move was twice as far, or half."""
    if model.adjuster.on == "diameter":
        return _Cause("The figures speak of the radius, not the diameter.", _PROVE, change_mm, 0.0, 1.0)
    return _Cause("The figures speak of the diameter, not the radius.", _PROVE, -0.5 * change_mm, 0.0, 1.0)


_LINES: Final = "Read the dial and count from the note of the last setting."
_TAKE_UP: Final = "Close by more than the backlash, then open to the setting."
_PROVE: Final = "Put an indicator on the tip and move ten lines or steps."


def _density(off_mm: float, sd_mm: float, spread_mm: float) -> float:
    sd = math.hypot(sd_mm, spread_mm)
    return math.exp(-0.5 * (off_mm / sd) ** 2) / sd
