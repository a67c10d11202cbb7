"""What may lie behind a reading that surprises: causes, the offset that each would bring, and what tells them apart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from borewright.sizing.model import Line, Model

LIKELY_ENOUGH: Final = 0.01
"""Odds from which on a cause of a surprise is named. Chosen, not measured."""

NEEDLE_TURNS: Final = (100, 200)
"""Steps in one turn of a bore gauge's needle. Common practice, no source."""


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
class Supposition:
    """Something that was not told, or was told otherwise, and that a belief beside the one as told takes to be so.

    Args:
        words: what is supposed, as a cause is told.
        check: what tells whether it is so.
    """

    words: str
    check: str


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
        placed: whether any of them told its place in the bore.
        line: the line along which the last pass was carried, where nothing was moved since; else None.
    """

    scatter_mm: float
    trial: bool = False
    cut_before: bool = False
    change_mm: float = 0.0
    lines: float | None = None
    seated: bool = False
    placed: bool = False
    line: Line | None = None


@dataclass(frozen=True, slots=True)
class Surprise:
    """How far readings are off what a belief expects of them, and what came before.

    Args:
        model: the bore's constants.
        before: what came before the readings.
        expected_mm: what they were expected to show, mm.
        innovation_mm: how much more their mean showed, mm.
        sd_mm: standard deviation of that, mm.
    """

    model: Model
    before: Circumstances
    expected_mm: float
    innovation_mm: float
    sd_mm: float


@dataclass(frozen=True, slots=True)
class Cause:
    """A cause within its family.

    Args:
        words: what may have happened.
        check: what tells it apart in two minutes.
        off_mm: the offset that it would bring to a reading, mm.
        spread_mm: standard deviation of that, mm.
        common: how common it is against the others of its family.
    """

    words: str
    check: str
    off_mm: float
    spread_mm: float
    common: float


def ranked(
    number: int, ordinary: float, families: Sequence[tuple[float, Surprise, Sequence[Cause]]], least: float
) -> tuple[Doubt, ...]:
    """Rank the named causes: each family keeps its probability, shared out by how well each member fits.

    Args:
        number: the event of the reading that surprises most.
        ordinary: probability that nothing is wrong.
        families: for each family its probability, the surprise it is held against, and its members.
        least: odds from which on a cause is named.

    Returns:
        The causes, likeliest first.
    """
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


_CHANCE: Final = Cause("Nothing is wrong: an unlikely but ordinary result.", "Measure once more.", 0.0, 0.0, 1.0)


def gauge_causes(off: Surprise) -> list[Cause]:
    """List what may be wrong with one reading.

    Args:
        off: how far it is off.

    Returns:
        The causes.
    """
    step, wide = off.model.priors.gauge_step.value, abs(off.innovation_mm)
    causes = [
        Cause("Ten steps of the gauge misread.", "Rock it again and read aloud.", s * 10 * step, 0.0, 1.0)
        for s in (1, -1)
    ]
    for turn in NEEDLE_TURNS:
        causes += [
            Cause(
                "The needle was a whole turn away.", "Watch the small hand while entering.", s * turn * step, 0.0, 0.5
            )
            for s in (1, -1)
        ]
    for digit in range(1, 10):
        for place in (1, 10, 100, 1000):
            size = digit * place * step
            causes += [
                Cause("One digit was written wrong.", "Read it again, digit by digit.", s * size, 0.0, 0.015)
                for s in (1, -1)
            ]
    # Taken the wrong way, a reading lies as far on the other side of the master, which stands near the middle.
    mirrored = 2.0 * (off.model.diameter_mm - off.expected_mm)
    return [
        *causes,
        Cause(
            "The needle's sense was taken the wrong way.",
            "Go through the ring: which way is larger?",
            mirrored,
            0.1 * abs(mirrored),
            1.0,
        ),
        Cause(
            "A chip or film of oil under the gauge, or the gauge not rocked through its least reading.",
            "Wipe bore and feet, rock again, then check the ring.",
            0.0,
            wide,
            0.5,
        ),
    ]


def tool_causes(off: Surprise) -> list[Cause]:
    """List what may have left another hole than was thought.

    Args:
        off: how far the readings that agree are off.

    Returns:
        The causes.
    """
    wide = abs(off.innovation_mm)
    if not off.before.cut_before:
        return [Cause("The hole is not what was told.", "Check the hole again, across and along.", 0.0, wide, 1.0)]
    model = off.model
    causes = [
        Cause(
            "Tightening the tool lock moved the tip.",
            "Put an indicator on the tip and tighten the tool lock again.",
            0.0,
            0.006,
            1.0,
        ),
        *(_edge_and_part(off) if model.priors.built_up.value else _edge_and_part_as_one(off)),
        Cause("Something else moved the tool or the part.", "Check tool lock, edge, taper and clamps.", 0.0, wide, 0.2),
    ]
    if off.before.seated:
        causes.append(Cause("A chip on the taper.", "Take the tool out, wipe both tapers.", 0.0, 0.015, 1.0))
    if off.before.lines is not None:
        line = model.adjuster.line_mm
        causes += [
            Cause("A line of the dial was missed or counted twice.", _LINES, s * line, 0.0, 1.0) for s in (1, -1)
        ]
        if model.adjuster.lines_per_turn is not None:
            turn = model.adjuster.lines_per_turn * line
            causes += [Cause("A whole turn of the dial was missed.", _LINES, s * turn, 0.0, 0.3) for s in (1, -1)]
    if off.before.change_mm and model.adjuster.kind != "direct":
        backlash = model.priors.backlash
        causes.append(Cause("The backlash was not taken up.", _TAKE_UP, -backlash.value, backlash.width, 1.0))
    if off.before.change_mm and not model.priors.proved.value and not model.priors.misspoken.value:
        causes.append(_misspoken(model, off.before.change_mm))
    return causes


def _edge_and_part_as_one(off: Surprise) -> list[Cause]:
    """The edge, warmth and clamps, as bores were told of them that were opened in the first model."""
    warm = "Take the part's temperature; let it settle and measure again."
    return [
        Cause("A built-up edge cut large, or the edge chipped.", _GLASS, 0.003, 0.002, 0.7),
        Cause("The part was warm, or its clamps move it.", warm, 0.0, 3.0 * off.model.growth, 0.5),
    ]


def _edge_and_part(off: Surprise) -> list[Cause]:
    """The edge, the lock left open, the part's warmth and its clamps, the gauge's setting, and form: each its check."""
    clamps = math.hypot(off.model.priors.clamps.value, 0.003)
    causes = [
        Cause("A built-up edge cut large.", _GLASS, 0.003, 0.001, 0.7),
        Cause("The edge chipped and cut small.", _GLASS, -0.010, 0.006, 0.2),
        Cause("The tool lock was left open.", "Try the tool lock: is it tight?", 0.0, 0.010, 0.3),
        Cause("The part was warm.", "Take the part's temperature now.", 0.0, 3.0 * off.model.growth, 0.4),
        Cause("The clamps press the part out of shape.", "Let go of the clamps and measure again.", 0.0, clamps, 0.2),
        Cause("The gauge is off its setting.", "Check the gauge on the ring.", 0.0, 0.004, 0.3),
    ]
    if off.before.placed:
        causes.append(
            Cause(
                "The hole is not round or not straight there.", "Measure at the same place once more.", 0.0, 0.006, 0.5
            )
        )
    return causes


def _misspoken(model: Model, change_mm: float) -> Cause:
    """What is told of the adjuster's figures is the wrong way round: the move was twice as far, or half."""
    if model.adjuster.on == "diameter":
        return Cause("The figures speak of the radius, not the diameter.", _PROVE, change_mm, 0.0, 1.0)
    return Cause("The figures speak of the diameter, not the radius.", _PROVE, -0.5 * change_mm, 0.0, 1.0)


_GLASS: Final = "Look at the edge under a glass."
_LINES: Final = "Read the dial and count from the note of the last setting."
_TAKE_UP: Final = "Close by more than the backlash, then open to the setting."
_PROVE: Final = "Put an indicator on the tip and move ten lines or steps."


def _density(off_mm: float, sd_mm: float, spread_mm: float) -> float:
    sd = math.hypot(sd_mm, spread_mm)
    return math.exp(-0.5 * (off_mm / sd) ** 2) / sd
