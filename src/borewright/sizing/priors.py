"""What is believed before anything is cut: each prior with its width and origin, frozen when a bore is opened."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from typing import Final

from borewright.cutting.prior import PushOffPrior
from borewright.errors import DamagedRecordError, EntryError
from borewright.materials.expansion import expansion_of
from borewright.quantity.length import Length, parse_length
from borewright.record.payloads.opened import CutHole, Frozen, PushOff, Start, Temperatures, ToolFacts
from borewright.record.payloads.shared import NOT_KNOWN
from borewright.sizing.cut_prior import least_depth_by_cut, push_off_by_cut
from borewright.sizing.pushoff import SIGN_SCALE_MM

TYPED: Final = "typed"
LEARNED: Final = "learned"
COMMON: Final = "assumed: common practice, no source"
NORMAL_95: Final = 1.959964
USUAL_DEPTH_MM, EXPONENT, EDGE = 0.25, 0.75, 0.15
"""Depth set that a guess of push-off is for, and the usual shape of its growth. Common practice, no source."""

MOST_TAKEN, MOST_GUESSED = 0.8, 2.0
"""Push-off is less than the depth set: a guess of over 0.8 of it is taken as that, one of twice it is a slip. Common
practice, no source."""

MISSPOKEN, NOT_KNOWN_SHARE, UNENTERED = 0.02, 0.5, 0.01
"""Odds that a line of a dial is not worth what was told of it, the same where nobody knows whether it speaks of the
diameter, and odds that a move was made and not entered. Common practice, no source."""

BUILT_UP, MISCOUNTED, CHIP = 0.01, 0.01, 0.005
"""Shares of passes cut large by a built-up edge, of moves counted a line wrong, and odds of a chip on the taper at a
seating. Common practice, no source."""
UNMADE, TURNED = 0.003, 0.001
"""Odds that a move was entered and not made, and that one is a whole turn off. Chosen, not measured."""

WITHOUT: Final[dict[str, float]] = {
    **dict.fromkeys(
        ("land", "misspoken", "unentered", "unmade", "turned", "stick", "miscount", "chip", "built_up"), 0.0
    ),
    **dict.fromkeys(("blunting", "new_edge", "taper", "bell", "deep", "clamps"), 0.0),
    "lock_return": 1.0,
}
"""Values with which a bore goes on that was opened before these were thought of: as it did then."""

_NO_GUESS: Final = PushOff(guess=parse_length("0 mm"))
"""Stands in for a guess where priors are only wanted for their words."""

WANDER_SHARE: Final = 0.4
"""How much of a part's warmth comes and goes from one act to the next. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Prior:
    """One thing believed beforehand.

    Args:
        value: best estimate, in its unit.
        width: one standard deviation, in its unit; 0 where it is a setting and not a belief.
        origin: typed, assumed (and on what ground), or where it was learned.
        unit: ``mm`` on the diameter, ``K``, ``1/K`` or ``1``.
        about: what it is, in the trade's words.
    """

    value: float
    width: float
    origin: str
    unit: str
    about: str

    @property
    def learned(self) -> bool:
        """Whether earlier bores taught it."""
        return self.origin.startswith(LEARNED)


def _mm(value: float, width: float, origin: str, about: str) -> Prior:
    return Prior(value, width, origin, "mm", about)


@dataclass(frozen=True, slots=True)
class Priors:
    """All that a bore's belief starts from; lengths in mm on the diameter at 20 °C.

    Args:
        hole: the hole as it is.
        push_off: push-off at the reference depth.
        push_off_depth: the reference depth set.
        exponent: how push-off grows with what comes off.
        edge: share of push-off that stays at no depth.
        bench: the bench's reading against the spindle.
        seat: one seating in the spindle.
        tool_at_hole: depth set of the pass by which the tool in the spindle cut the hole; 0 where it did not.
        lock_mean: mean lock shift of this tool.
        lock_scatter: scatter of one lock shift.
        gain: relative error of the adjuster's figures.
        move: error of one move.
        backlash: what is lost on reversal.
        edge_change: change of the tool's diameter when the edge is changed.
        wear: what the tool loses in a pass.
        pass_scatter: scatter of a pass.
        pass_share: scatter of a pass as a share of push-off.
        gauge_scatter: one reading's scatter.
        gauge_setting: error common to the readings of one setting.
        gauge_step: smallest step of the gauge.
        misread: share of readings that are blunders.
        fault: share of passes at which the tool is not where it was thought.
        part_warmth: the part above 20 °C.
        tool_warmth: the tool above 20 °C.
        thermometer: error of the thermometer.
        wander: change of the part's warmth from a cut to its reading, and from a reading to the next cut.
        part_expansion: the part's coefficient.
        tool_expansion: the tool's coefficient.
        ovality: out of round.
        min_depth: smallest depth set that still cuts.
        proved: 1 where a known move has shown what a line is worth.
        lock_return: share of a lock shift that unlocking gives back.
        stick: moves smaller than this may stick, the smaller the likelier, and then come with the next.
        miscount: share of moves of a dial that are a line off.
        misspoken: odds that a line of an unproved dial is worth something else than was told.
        unentered: odds that a move was made and not entered, where a pass is entered without one.
        unmade: odds that a move was entered and not made, where no readout shows it.
        turned: share of moves of a dial that are a whole turn off.
        chip: odds of a chip on the taper at a seating.
        built_up: share of passes that a built-up edge cuts large.
        blunting: what push-off grows by in a pass as the edge blunts, a share.
        new_edge: change of push-off when the edge is changed, a share.
        taper: difference of the hole's two ends after a pass.
        bell: what its mouth is larger after a pass.
        deep: how deep the bore is.
        clamps: what letting the clamps go may change of the hole.
        land: 1 where the mouth's chamfer or lead-in takes the land of a trial cut away, so that one can be made.
    """

    hole: Prior
    push_off: Prior
    push_off_depth: Prior
    exponent: Prior
    edge: Prior
    bench: Prior
    seat: Prior
    tool_at_hole: Prior
    lock_mean: Prior
    lock_scatter: Prior
    gain: Prior
    move: Prior
    backlash: Prior
    edge_change: Prior
    wear: Prior
    pass_scatter: Prior
    pass_share: Prior
    gauge_scatter: Prior
    gauge_setting: Prior
    gauge_step: Prior
    misread: Prior
    fault: Prior
    part_warmth: Prior
    tool_warmth: Prior
    thermometer: Prior
    wander: Prior
    part_expansion: Prior
    tool_expansion: Prior
    ovality: Prior
    min_depth: Prior
    proved: Prior
    lock_return: Prior
    stick: Prior
    miscount: Prior
    misspoken: Prior
    unentered: Prior
    unmade: Prior
    turned: Prior
    chip: Prior
    built_up: Prior
    blunting: Prior
    new_edge: Prior
    taper: Prior
    bell: Prior
    deep: Prior
    clamps: Prior
    land: Prior

    def named(self) -> tuple[tuple[str, Prior], ...]:
        """Return every prior with its name.

        Returns:
            Pairs of name and prior, in the order of the fields.
        """
        return tuple((field.name, getattr(self, field.name)) for field in fields(self))


def priors_of(start: Start) -> Priors:
    """Make the priors of a bore from what was typed; what was not typed is assumed, widely, and says so.

    Args:
        start: what was typed.

    Returns:
        The priors.
    """
    tool = start.tool or ToolFacts()
    return Priors(
        hole=_hole(start),
        **_push_off_priors(start),
        **_tool_priors(tool),
        **_adjuster_priors(start, tool),
        **_gauge_priors(start),
        **_warmth_priors(start, tool),
        **_cut_priors(start),
    )


def freeze(priors: Priors) -> tuple[Frozen, ...]:
    """Write priors as they are stored with the opening.

    Args:
        priors: the priors.

    Returns:
        One record each, values as decimal text with unit.
    """
    return tuple(
        Frozen(
            what=name,
            value=f"{_plain(prior.value)} {prior.unit}",
            width=f"{_plain(prior.width)} {prior.unit}" if prior.width else None,
            origin=prior.origin,
        )
        for name, prior in priors.named()
    )


def thaw(frozen: Iterable[Frozen], start: Start) -> Priors:
    """Read priors back from the opening, whatever today's defaults are.

    Args:
        frozen: the stored records.
        start: what was typed; gives the words, not the numbers.

    Returns:
        The priors.

    Raises:
        DamagedRecordError: one is missing, unknown, or of another unit.
    """
    # The cut that it was opened with need not be one that today's tables still know.
    today = priors_of(replace(start, cut=None, push_off=start.push_off or _NO_GUESS))
    stored: dict[str, Prior] = {
        name: replace(getattr(today, name), value=value, width=0.0) for name, value in WITHOUT.items()
    }
    for record in frozen:
        pattern: Prior | None = getattr(today, record.what, None)
        if pattern is None:
            raise DamagedRecordError("This prior is not known to the program.", given=record.what, where="frozen")
        stored[record.what] = replace(
            pattern,
            value=_number(record.value, pattern.unit),
            width=_number(record.width, pattern.unit) if record.width is not None else 0.0,
            origin=record.origin,
        )
    return replace(today, **stored)


def _hole(start: Start) -> Prior:
    about = "the hole before the first pass"
    if start.hole.within is None:
        return _mm(start.hole.size.mm, 0.020, f"typed; its width {COMMON}", about)
    return _mm(start.hole.size.mm, max(start.hole.within.mm / NORMAL_95, 1e-5), TYPED, about)


def _push_off_priors(start: Start) -> Mapping[str, Prior]:
    """Take the guess, or what physics makes of the cut; of both the narrower level, and the shape from physics.

    Neither says whether it rests on the other, so the two are not added up as if they were independent.
    """
    if start.cut is None:
        return _guessed_push_off(start.push_off or _NO_GUESS)
    given = start.push_off
    depth = given.at.mm if given is not None and given.at is not None else USUAL_DEPTH_MM
    physics = push_off_by_cut(start.cut, start.material, start.hole.size.mm, depth)
    level = math.hypot(physics.reference, SIGN_SCALE_MM)
    made: dict[str, Prior] = {
        "push_off": _mm(physics.reference, physics.width * level, physics.origin, "push-off at the reference depth"),
        "push_off_depth": _mm(
            depth, 0.0, COMMON if given is None or given.at is None else TYPED, "the reference depth"
        ),
        **shape_by_physics(physics),
    }
    if given is None:
        return made
    guessed = _guessed_push_off(given)["push_off"]
    narrower = guessed.width / math.hypot(guessed.value, SIGN_SCALE_MM) < physics.width
    return {**made, "push_off": guessed} if narrower else made


def shape_by_physics(physics: PushOffPrior) -> dict[str, Prior]:
    """Take the shape half from physics and half from what is usual, since a smooth formula is no surer of thin cuts.

    The mixture of both: the mean of their means, and the spread of both with their distance in it.

    Args:
        physics: push-off by physics.

    Returns:
        Exponent and edge share.
    """
    usual = _usual_shape()

    def mixed(name: str, value: float, width: float) -> Prior:
        other = usual[name]
        apart = 0.5 * (value - other.value)
        spread = math.sqrt(0.5 * (width**2 + other.width**2) + apart**2)
        return replace(other, value=0.5 * (value + other.value), width=spread, origin=f"{physics.origin}; half usual")

    return {
        "exponent": mixed("exponent", physics.exponent, physics.exponent_sd),
        "edge": mixed("edge", physics.edge, physics.edge_sd),
    }


def _usual_shape() -> dict[str, Prior]:
    return {
        "exponent": Prior(EXPONENT, 0.12, COMMON, "1", "how push-off grows with depth"),
        "edge": Prior(EDGE, 0.06, COMMON, "1", "share of push-off from the edge alone"),
    }


def _guessed_push_off(given: PushOff) -> dict[str, Prior]:
    """Turn a guess of push-off at a depth set into the reference: push-off where that much comes off.

    ``P = p / (e + (1 - e)(q/s)^m)`` with ``q = s - p``, and a relative width that grows by ``1 + m p / q``: where
    push-off takes most of the depth, a little more of it takes much more force.
    """
    guess = given.guess.mm
    depth = given.at.mm if given.at is not None else USUAL_DEPTH_MM
    origin = TYPED if given.factor is not None else f"typed; its width {COMMON}"
    if guess >= MOST_GUESSED * depth:
        raise EntryError(
            "Push-off cannot be as much as the depth set.",
            given=given.guess.text,
            right=f"Guess less than {depth:g} mm, or give the depth that it is for as at.",
            where="push_off.guess",
        )
    if guess > MOST_TAKEN * depth:
        guess, origin = MOST_TAKEN * depth, f"typed {given.guess.text}; taken as {MOST_TAKEN:g} of the depth set"
    removed = depth - guess
    grown = EDGE + (1.0 - EDGE) * (removed / depth) ** EXPONENT
    log_sd = math.log(float(given.factor)) if given.factor is not None else math.log(1.5)
    relative = min(log_sd * (1.0 + EXPONENT * max(guess, 0.0) / removed), 1.0)
    reference = guess / grown
    slope = math.hypot(reference, SIGN_SCALE_MM)
    width = math.hypot(relative * abs(reference), SIGN_SCALE_MM) / slope
    return {
        "push_off": _mm(reference, width * slope, origin, "push-off at the reference depth"),
        "push_off_depth": _mm(depth, 0.0, TYPED if given.at is not None else COMMON, "the reference depth"),
        **_usual_shape(),
    }


def _tool_priors(tool: ToolFacts) -> dict[str, Prior]:
    return {
        "bench": _typed_or(tool.bench, 0.004, "the setting bench against the spindle"),
        "seat": _typed_or(tool.seat, 0.003, "seating in the spindle"),
        "tool_at_hole": _tool_at_hole(tool.cut_hole),
        "lock_mean": _mm(0.0, 0.0025, COMMON, "mean lock shift"),
        "lock_scatter": _typed_or(tool.lock, 0.001, "lock shift"),
        # Each tool has a spread of its own between 10 and 25 µm: sqrt(mean of their squares) = 18 µm.
        "edge_change": _mm(0.0, 0.018, COMMON, "a change of edge"),
        "new_edge": Prior(0.0, 0.05, COMMON, "1", "change of push-off with a change of edge"),
        "blunting": Prior(0.001, 0.001, COMMON, "1", "growth of push-off in a pass"),
        "lock_return": Prior(0.98, 0.03, COMMON, "1", "share of a lock shift that unlocking gives back"),
        "chip": Prior(CHIP, 0.0, COMMON, "1", "odds of a chip on the taper at a seating"),
        "wear": _mm(0.00015, 0.0001, COMMON, "wear of the edge in a pass"),
        "proved": Prior(1.0 if tool.proved else 0.0, 0.0, TYPED if tool.proved is not None else COMMON, "1", "proof"),
    }


def _tool_at_hole(cut_hole: CutHole | None) -> Prior:
    about = "depth of the pass before"
    if cut_hole is None:
        return _mm(0.0, 0.0, COMMON, about)
    if cut_hole.depth is None:
        return _mm(USUAL_DEPTH_MM, 0.5 * USUAL_DEPTH_MM, COMMON, about)
    return _mm(cut_hole.depth.mm, 0.25 * cut_hole.depth.mm, TYPED, about)


def _adjuster_priors(start: Start, tool: ToolFacts) -> dict[str, Prior]:
    adjuster = start.adjuster
    dial = adjuster.kind == "dial"
    reading_error = 0.1 * adjuster.line_mm if dial else adjuster.grain_mm / math.sqrt(6.0)
    typed = None if tool.backlash is None else tool.backlash.mm
    backlash = (0.015, 0.006, COMMON) if typed is None else (typed, max(0.1 * typed, 0.001), TYPED)
    unmade, turned = (UNMADE, TURNED if adjuster.lines_per_turn else 0.0) if adjuster.kind != "direct" else (0.0, 0.0)
    doubtful = dial and not tool.proved
    misspoken = (NOT_KNOWN_SHARE if adjuster.on == NOT_KNOWN else MISSPOKEN) if doubtful else 0.0
    return {
        "stick": _mm(0.0 if adjuster.kind == "direct" else 0.002, 0.0, COMMON, "moves that may stick"),
        "miscount": Prior(MISCOUNTED if dial else 0.0, 0.0, COMMON, "1", "share of moves that are a line off"),
        "unmade": Prior(unmade, 0.0, COMMON, "1", "odds that a move was entered and not made"),
        "turned": Prior(turned, 0.0, COMMON, "1", "share of moves that are a whole turn off"),
        "misspoken": Prior(misspoken, 0.0, COMMON, "1", "odds that a line is worth something else than told"),
        "gain": Prior(0.0, 0.006 if dial else 0.002, COMMON, "1", "error of the adjuster's figures"),
        "move": _mm(0.0, math.hypot(reading_error, 0.0007 if dial else 0.0003), COMMON, "one move of the adjuster"),
        "backlash": _mm(*backlash, "backlash"),
    }


def _gauge_priors(start: Start) -> dict[str, Prior]:
    gauge = start.gauge
    coarse = max(0.001, gauge.step.mm)
    return {
        "gauge_scatter": _setting(gauge.scatter, coarse, "scatter of one reading"),
        "gauge_setting": _typed_or(gauge.bias, coarse, "error common to one setting of the gauge"),
        "gauge_step": _mm(gauge.step.mm, 0.0, TYPED, "smallest step of the gauge"),
        "misread": Prior(0.005, 0.0, COMMON, "1", "share of readings that are misread"),
        "fault": Prior(0.01, 0.0, COMMON, "1", "share of passes with the tool not where it was thought"),
    }


def _warmth_priors(start: Start, tool: ToolFacts) -> dict[str, Prior]:
    given = start.temperature or Temperatures()
    within, error = _number_or(given.within, 0.4)
    spread, ground = _number_or(given.spread, 1.5)
    part_expansion, tool_expansion = expansion_of(start.material), expansion_of(tool.material or "steel")
    part = Prior(0.0, spread, ground, "K", "warmth of the part")
    held = Prior(0.0, 0.0, "assumed: set and cut at one temperature", "K", "warmth of the tool")
    if given.part is not None:
        part = replace(part, value=float(given.part) - 20.0, width=within, origin=TYPED)
    if given.tool is not None:
        held = replace(held, value=float(given.tool) - 20.0, width=within, origin=TYPED)
    return {
        "part_warmth": part,
        "tool_warmth": held,
        "thermometer": Prior(0.0, within, error, "K", "thermometer"),
        "wander": Prior(0.0, WANDER_SHARE * spread, ground, "K", "change of warmth from one act to the next"),
        "part_expansion": Prior(
            part_expansion.per_kelvin, part_expansion.sd_per_kelvin, part_expansion.source, "1/K", "the part's growth"
        ),
        "tool_expansion": Prior(
            tool_expansion.per_kelvin, tool_expansion.sd_per_kelvin, tool_expansion.source, "1/K", "the tool's growth"
        ),
    }


def _cut_priors(start: Start) -> dict[str, Prior]:
    land = 0.0 if start.mouth == "sharp" else 1.0
    return {
        "pass_scatter": _mm(0.0, 0.0006, COMMON, "scatter of a pass"),
        "pass_share": Prior(0.0, 0.02, COMMON, "1", "scatter of a pass as a share of push-off"),
        "ovality": _typed_or(start.ovality, 0.0008, "out of round"),
        "min_depth": _min_depth(start),
        "built_up": Prior(BUILT_UP, 0.0, COMMON, "1", "share of passes cut large by a built-up edge"),
        "taper": _mm(0.0, 0.002, COMMON, "taper from end to end"),
        "bell": _mm(0.0, 0.002, COMMON, "bell mouth"),
        "deep": _setting(start.deep, 0.0, "how deep the bore is"),
        "clamps": _setting(start.clamps, 0.0, "what letting the clamps go may change"),
        "unentered": Prior(UNENTERED, 0.0, COMMON, "1", "odds that a move was made and not entered"),
        "land": Prior(land, 0.0, COMMON if start.mouth is None else TYPED, "1", "a chamfer as deep as a trial cut"),
    }


def _min_depth(start: Start) -> Prior:
    """Take the usual least depth, or what the edge's rounding asks where that is more."""
    found = _setting(start.min_depth, 0.03, "smallest depth set that still cuts")
    if start.min_depth is not None or start.cut is None:
        return found
    least = least_depth_by_cut(start.cut, start.material, start.hole.size.mm)
    return found if least <= found.value else replace(found, value=least, origin="assumed by physics: the least chip")


def _number_or(typed: Decimal | None, usual: float) -> tuple[float, str]:
    return (usual, COMMON) if typed is None else (float(typed), TYPED)


def _typed_or(typed: Length | None, usual_mm: float, about: str) -> Prior:
    """Make a prior about nothing, with the width typed or the usual one."""
    return _mm(0.0, usual_mm, COMMON, about) if typed is None else _mm(0.0, typed.mm, TYPED, about)


def _setting(typed: Length | None, usual_mm: float, about: str) -> Prior:
    """Make a setting that is a value and no belief."""
    return _mm(usual_mm, 0.0, COMMON, about) if typed is None else _mm(typed.mm, 0.0, TYPED, about)


def _plain(value: float) -> str:
    return format(Decimal(repr(value)).normalize(), "f")


def _number(stored: str, unit: str) -> float:
    number, _, found = stored.partition(" ")
    try:
        if found == unit:
            return float(number)
    except ValueError:
        pass
    raise DamagedRecordError(f"A number in {unit} was wanted.", given=stored, where="frozen")
