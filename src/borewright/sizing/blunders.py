"""Readings weighed together: which are ordinary, which are blunders, and whether the tool is where it was thought.

A reading that surprises is neither averaged in nor thrown away. Each way that the readings since the last pass can have
come about is given its probability; the belief is the mixture's mean and covariance, and the causes are named, ranked,
each with the two-minute check that tells it apart.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from borewright.sizing.gaussian import Gaussian, State, Vector, mixed
from borewright.sizing.model import MOUTH_SD_MM, Line, Model, drawn_again, reading_row

SURPRISE: Final = 2.6
"""Standard deviations below which readings are taken as ordinary without weighing anything else."""

FAULT_SD_MM: Final = 0.020
"""How far a tool that is not where it was thought may be off. Common practice, no source."""

SMALLEST_BLUNDER_MM, LARGEST_BLUNDER_MM = 0.002, 3.0
"""Between these a blunder may be of any size, alike on a logarithmic scale. Common practice, no source."""

REDRAWN: Final = 4
"""Times at most that the line of a pass is drawn again."""

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


def weigh(base: Gaussian, model: Model, readings: Sequence[Reading], before: Circumstances) -> Weighed:
    """Weigh the readings taken since the belief ``base``.

    Args:
        base: the belief before any of them.
        model: the bore's constants.
        readings: the readings, oldest first, at least one.
        before: what came before them.

    Returns:
        The belief after them, their doubts, and the causes.
    """
    values = [reading.as_read_mm for reading in readings]
    look = _Look(model, before, reading_row(model, trial=before.trial))
    row = look.row
    plain = look.follow(base, values)
    if plain.worst < SURPRISE:
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
    if ordinary > 0.5:
        return Weighed(belief, doubted, ())
    fault = math.fsum(share for way, share in zip(ways, shares, strict=True) if way.fault)
    off = _Surprise(
        model=model,
        number=_most_doubtful(readings, values, base, row),
        innovation_mm=_innovation(values, base, row),
        sd_mm=math.sqrt(float(row @ base.covariance @ row) + look.variance + look.common),
        before=before,
    )
    return Weighed(belief, doubted, _causes(off, ordinary, fault, max(0.0, 1.0 - ordinary - fault)))


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
        reach = 3.0 * base.sd(State.PUSH_OFF)
        for _ in range(REDRAWN):
            believed = followed.belief.mean.copy()
            guess = base.mean[State.PUSH_OFF]
            believed[State.PUSH_OFF] = min(max(believed[State.PUSH_OFF], guess - reach), guess + reach)
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
            return _Followed(belief, log_likelihood, max(abs(innovation) / math.sqrt(spread), math.sqrt(within)))
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
        sets += [frozenset({i, j}) for i in range(count) for j in range(i)]
    misread, fault = look.model.priors.misread.value, look.model.priors.fault.value
    expected = float(look.row @ base.mean)
    ways = []
    for off in (False, True):
        start = _tool_elsewhere(base, look.row) if off else base
        for blunders in sets:
            followed = look.follow(start, [value for index, value in enumerate(values) if index not in blunders])
            log_weight = followed.log_likelihood + math.log(fault if off else 1.0 - fault)
            log_weight += (count - len(blunders)) * math.log(1.0 - misread)
            for index in blunders:
                log_weight += math.log(misread) + _log_blunder_density(values[index] - expected)
            ways.append(_Way(off, blunders, followed.belief, log_weight))
    return ways


def _tool_elsewhere(base: Gaussian, row: Vector) -> Gaussian:
    """Widen hole and tool together: what moved the tip moved the hole that it cut."""
    off = row.copy()
    off[State.GAUGE] = off[State.WARMTH] = 0.0
    off[State.UNLOCKED] = 1.0
    return Gaussian(base.mean, base.covariance + FAULT_SD_MM**2 * off[:, None] * off[None, :])


def _log_blunder_density(off_mm: float) -> float:
    """Log of the density of a blunder: alike on a logarithmic scale of size, either way, 1/mm."""
    size = min(max(abs(off_mm), SMALLEST_BLUNDER_MM), LARGEST_BLUNDER_MM)
    return -math.log(2.0 * size * math.log(LARGEST_BLUNDER_MM / SMALLEST_BLUNDER_MM))


def _innovation(values: Sequence[float], base: Gaussian, row: Vector) -> float:
    expected = float(row @ base.mean)
    return max((value - expected for value in values), key=abs)


def _most_doubtful(readings: Sequence[Reading], values: Sequence[float], base: Gaussian, row: Vector) -> int:
    expected = float(row @ base.mean)
    return max(zip(readings, values, strict=True), key=lambda pair: abs(pair[1] - expected))[0].number


@dataclass(frozen=True, slots=True)
class _Surprise:
    """A reading that surprises, and what came before it."""

    model: Model
    number: int
    innovation_mm: float
    sd_mm: float
    before: Circumstances


@dataclass(frozen=True, slots=True)
class _Cause:
    """A cause with the offset it would bring, its spread, and how common it is within its family."""

    words: str
    check: str
    off_mm: float
    spread_mm: float
    common: float


def _causes(off: _Surprise, ordinary: float, fault: float, blunder: float) -> tuple[Doubt, ...]:
    """Rank the named causes: each family keeps its probability, shared out by how well each member fits."""
    ranked: list[tuple[float, _Cause]] = []
    for share, family in ((blunder, _gauge_causes(off)), (fault, _tool_causes(off))):
        fits = [
            cause.common * _density(off.innovation_mm - cause.off_mm, off.sd_mm, cause.spread_mm) for cause in family
        ]
        total = math.fsum(fits)
        if total > 0.0:
            ranked += [(share * fit / total, cause) for fit, cause in zip(fits, family, strict=True)]
    chance = _Cause("Nothing is wrong: an unlikely but ordinary result.", "Measure once more.", 0.0, 0.0, 1.0)
    ranked.append((ordinary, chance))
    ranked.sort(key=lambda pair: -pair[0])
    return tuple(Doubt(off.number, cause.words, cause.check, share) for share, cause in ranked[:5] if share >= 0.01)


def _gauge_causes(off: _Surprise) -> list[_Cause]:
    step = off.model.priors.gauge_step.value
    wide = abs(off.innovation_mm)
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
            causes += [
                _Cause(
                    "One digit was written wrong.",
                    "Read it again, digit by digit.",
                    s * digit * place * step,
                    0.0,
                    0.015,
                )
                for s in (1, -1)
            ]
    causes.append(
        _Cause(
            "A chip or film of oil under the gauge, or the gauge not rocked through its least reading.",
            "Wipe bore and feet, rock again, then check the ring.",
            0.0,
            wide,
            0.5,
        )
    )
    causes.append(
        _Cause(
            "The needle's sense was taken the wrong way.", "Go through the ring: which way is larger?", 0.0, wide, 0.3
        )
    )
    return causes


def _tool_causes(off: _Surprise) -> list[_Cause]:
    wide = abs(off.innovation_mm)
    if not off.before.cut_before:
        return [_Cause("The hole is not what was told.", "Check the hole again, across and along.", 0.0, wide, 1.0)]
    model = off.model
    causes = [
        _Cause(
            "Locking moved the tip.", "Check the lock; put an indicator on the tip and lock again.", 0.0, 0.006, 1.0
        ),
        _Cause("A built-up edge cut large, or the edge chipped.", "Look at the edge under a glass.", 0.003, 0.002, 0.7),
        _Cause(
            "The part was warm, or its clamps move it.",
            "Take the part's temperature; let it settle and measure again.",
            0.0,
            3.0 * model.growth,
            0.5,
        ),
        _Cause("Something else moved the tool or the part.", "Check lock, edge, taper and clamps.", 0.0, wide, 0.2),
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
        causes += [
            _Cause("The figures speak of the radius, not the diameter.", _PROVE, off.before.change_mm, 0.0, 1.0),
            _Cause("The figures speak of the diameter, not the radius.", _PROVE, -0.5 * off.before.change_mm, 0.0, 1.0),
        ]
    return causes


_LINES: Final = "Read the dial and count from the note of the last setting."
_TAKE_UP: Final = "Close by more than the backlash, then open to the setting."
_PROVE: Final = "Put an indicator on the tip and move ten lines or steps."


def _density(off_mm: float, sd_mm: float, spread_mm: float) -> float:
    sd = math.hypot(sd_mm, spread_mm)
    return math.exp(-0.5 * (off_mm / sd) ** 2) / sd
