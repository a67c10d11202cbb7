"""What is believed about a bore, and the state the work on it is in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import fsum, sqrt
from typing import Final, Literal, TypeAlias

from borewright.gauging.evidence import Warmth
from borewright.sizing.blunders import Reading
from borewright.sizing.causes import Circumstances, Doubt, Supposition
from borewright.sizing.gaussian import Gaussian, State, unit_row
from borewright.sizing.measuring import UNKNOWN_MASTER, Master, freedom_of, setting_told, shares
from borewright.sizing.model import Line, Model, opening_belief
from borewright.sizing.screw import TAKEN_UP, Play, ReadoutMoves, Side

UNSURE: Final = 0.05
"""A reading that is a blunder with a probability between this and its complement wants another beside it."""

Status: TypeAlias = Literal["open", "released", "quarantined"]
Stage: TypeAlias = Literal[
    "to set", "set", "moved, not cut", "cut, not measured", "measured", "released", "quarantined"
]


@dataclass(frozen=True, slots=True)
class PassRecord:
    """A pass as it went.

    Args:
        number: the bore's event that tells of it.
        trial: whether it was a trial cut.
        tool_mm: the tool's diameter as believed, mm.
        depth_mm: depth set as believed, mm.
        push_off_mm: push-off expected, mm.
        expected_mm: size expected, mm.
        expected_sd_mm: its standard deviation, mm.
        rubbed: whether nothing was expected to come off.
    """

    number: int
    trial: bool
    tool_mm: float
    depth_mm: float
    push_off_mm: float
    expected_mm: float
    expected_sd_mm: float
    rubbed: bool


@dataclass(frozen=True, slots=True)
class LastMove:
    """The last change of the tool, for naming what may have gone wrong with it.

    Args:
        change_mm: what was asked, mm on the diameter, plus opens.
        lines: the same in lines of a dial, or None.
        seated: whether the tool was put into the spindle as part of it.
        readout: the moves under the eye of a readout since the tip was last touched or the bore read, or None.
    """

    change_mm: float = 0.0
    lines: float | None = None
    seated: bool = False
    readout: ReadoutMoves | None = None


@dataclass(frozen=True, slots=True)
class Other:
    """What is believed beside the belief acted upon, were something otherwise than told.

    Args:
        share: its probability.
        before: the same before the readings that are weighed together.
        belief: the belief; nothing stands beside it.
    """

    share: float
    before: float
    belief: Belief


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed, and the state the work is in.

    Args:
        now: the joint belief.
        status: open, released or quarantined.
        tool_set: whether the tool's diameter is known from a setting or from the hole that it cut.
        tool_retired: whether the tool was put out of use.
        awaiting_seat: whether the next seating is the one that the setting already counts.
        play: how far the tip stands off the screw's opening flank.
        uncut_move: whether the tool was set or moved since the last pass.
        passes: full passes cut.
        moves: moves made in the spindle.
        proved: whether the adjuster was proved with an indicator on the tip since the bore was opened.
        moves_shown: whether a reading after a move, or a proof, has shown what the adjuster does.
        unshown_mm: how far it was opened by moves that nothing has shown yet, mm on the diameter.
        after_trial: whether the last pass was a trial cut.
        readings: readings since the last pass, or of the hole as it is.
        apart: how many of the readings are older than those that are weighed together.
        before_readings: the joint belief before the readings that are weighed together.
        doubts: what may lie behind a reading that surprises, ranked.
        last_move: the last change of the tool.
        moved_from: what would be believed now had the tool not been moved last; None once it has cut, or was touched
            otherwise since.
        misses_cut: whether the next pass that is entered is supposed not to cut.
        misses_move: whether the next move that is entered is supposed not to have been made.
        lines_off: by how many lines the next move is supposed to be off what is entered.
        history: the passes.
        line: the line along which the last pass was carried, where the tool was not touched since.
        part_told: the part's warmth by thermometer alone, mean and standard deviation, K above 20 °C.
        thermometer_used: whether the part's temperature was taken.
        room_above_20: the room's warmth by thermometer, K; None where it was not taken.
        tool_above_20: the tool's warmth by thermometer, K above 20 °C; None where it was not taken.
        lock_scatter_mm: scatter of one lock shift with what a proof showed of it; None where none did.
        stuck_below_mm: moves below this may stick, as a proof showed it; None where none did.
        set_told: what the gauge's setting is known to show too much as it was set, and its standard deviation, mm.
        drifts: what re-checks showed of its drift since, with their variances, mm and mm^2.
        settings_told: by the number of each setting before, what it is known to have shown too much, and its standard
            deviation, mm.
        master: what the gauge is set on now.
        masters: by the number of each setting before, what it was made on.
        gauge_scatter_mm: scatter of one reading in force.
        gauge_scatter_dof: degrees of freedom of that; None where it is no estimate from few.
        gauge_number: the gauge's event that began the present setting; 0 for the one it had.
        gauge_off: whether a re-check showed that the gauge is not as it was set, and it was not set since.
        own_probe: whether the gauge is the machine's own probe, by its record.
        clamped: whether the part is in its clamps.
        log_evidence: logarithm of how likely the readings that are weighed together were beforehand.
        waited: whether the part was left to come to its room's temperature since the last pass.
        supposed: what it takes to be so though it was not told, or was told otherwise.
        others: what is believed beside it, likeliest first.
    """

    now: Gaussian
    status: Status = "open"
    tool_set: bool = False
    tool_retired: bool = False
    awaiting_seat: bool = False
    play: Play = TAKEN_UP
    uncut_move: bool = False
    passes: int = 0
    moves: int = 0
    proved: bool = False
    moves_shown: bool = False
    unshown_mm: float = 0.0
    after_trial: bool = False
    readings: tuple[Reading, ...] = ()
    apart: int = 0
    before_readings: Gaussian | None = None
    doubts: tuple[Doubt, ...] = ()
    last_move: LastMove = LastMove()
    moved_from: Belief | None = None
    misses_cut: bool = False
    misses_move: bool = False
    lines_off: float = 0.0
    history: tuple[PassRecord, ...] = ()
    line: Line | None = None
    part_told: tuple[float, float] = (0.0, 0.0)
    thermometer_used: bool = False
    room_above_20: float | None = None
    tool_above_20: float | None = None
    lock_scatter_mm: float | None = None
    stuck_below_mm: float | None = None
    set_told: tuple[float, float] = (0.0, 0.0)
    drifts: tuple[tuple[float, float], ...] = ()
    settings_told: tuple[tuple[int, tuple[float, float]], ...] = ()
    master: Master = UNKNOWN_MASTER
    masters: tuple[tuple[int, Master], ...] = ()
    gauge_scatter_mm: float = 0.0
    gauge_scatter_dof: float | None = None
    gauge_number: int = 0
    gauge_off: bool = False
    own_probe: bool = False
    clamped: bool = True
    log_evidence: float = 0.0
    waited: bool = False
    supposed: tuple[Supposition, ...] = ()
    others: tuple[Other, ...] = ()

    @property
    def share(self) -> float:
        """The probability of what it takes to be so, against those beside it."""
        return 1.0 - fsum(other.share for other in self.others)

    @property
    def before_share(self) -> float:
        """The same before the readings that are weighed together."""
        return 1.0 - fsum(other.before for other in self.others)

    @property
    def stage(self) -> Stage:
        """The state the work is in, in words that stand large."""
        if self.status != "open":
            return self.status
        if not self.tool_set:
            return "to set"
        if self.uncut_move:
            return "moved, not cut" if self.moves else "set"
        if self.history and not self.readings:
            return "cut, not measured"
        return "measured" if self.readings else "set"

    @property
    def side(self) -> Side:
        """The side of the screw that the tool stands on."""
        return self.play.side

    @property
    def readings_open(self) -> bool:
        """Whether readings surprise, and it is open which of them can be believed."""
        return bool(self.doubts) and any(UNSURE < reading.doubt < 1.0 - UNSURE for reading in self.readings)

    @property
    def as_told(self) -> bool:
        """Whether the readings fit what was told, and only that it may be otherwise is open beside it."""
        beside = {what.words for other in self.others for what in other.belief.supposed}
        named = {doubt.cause for doubt in self.doubts}
        return not self.readings_open and not self.supposed and named <= beside

    @property
    def unsettled(self) -> bool:
        """Whether readings surprise, and it is open which of them, or which supposition, can be believed."""
        return self.readings_open or (bool(self.doubts) and self.share < 1.0 - UNSURE)

    @property
    def weighed_together(self) -> tuple[Reading, ...]:
        """The readings that are weighed together with the next one: those on one setting, in or out of the clamps."""
        return () if self.before_readings is None else self.readings[self.apart :]

    @property
    def hole_mm(self) -> float:
        """The hole as believed, mm at 20 °C."""
        return self.now.at(State.HOLE)

    @property
    def tool_mm(self) -> float:
        """The tool's diameter as believed, locked, mm."""
        return self.now.at(State.UNLOCKED) + self.now.at(State.LOCK)

    @property
    def tool_sd_mm(self) -> float:
        """Its standard deviation, mm."""
        row = unit_row(State.UNLOCKED, State.LOCK)
        return sqrt(max(float(row @ self.now.covariance @ row), 0.0))

    @property
    def circumstances(self) -> Circumstances:
        """What came before the readings that are weighed together now."""
        move, cut_before = self.last_move, bool(self.history) and not self.uncut_move
        return Circumstances(
            self.gauge_scatter_mm, self.after_trial, cut_before, move.change_mm, move.lines, move.seated, line=self.line
        )

    def gauge_told(self, model: Model) -> tuple[float, float]:
        """Return what the gauge's setting is known to show too much, by master and re-checks alone.

        Args:
            model: the bore's constants.

        Returns:
            What it shows too much, and its standard deviation, mm.
        """
        return setting_told(shares(model, self.master.u_mm)[0], self.set_told, self.drifts)

    def warmth(self, model: Model, *, once_taken: bool = False) -> Warmth:
        """Return the part's warmth for the evidence of a release: by thermometer, not by what the cut suggests.

        Args:
            model: the bore's constants.
            once_taken: with the width that it will have once the part's temperature is taken.

        Returns:
            The warmth with the part's expansion.
        """
        growth, sd = model.priors.part_expansion, self.part_told[1]
        if once_taken:
            sd = min(sd, model.priors.thermometer.width)
        return Warmth(self.part_told[0], sd, growth.value, growth.width)


def in_force(belief: Belief, model: Model) -> Model:
    """Return the bore's constants with the tool's warmth as it was taken last, and its lock as it was proved.

    Args:
        belief: what is believed.
        model: the bore's constants as they were frozen.

    Returns:
        The constants for the next pass.
    """
    priors = model.priors
    if belief.tool_above_20 is not None:
        priors = replace(priors, tool_warmth=replace(priors.tool_warmth, value=belief.tool_above_20))
    if belief.lock_scatter_mm is not None:
        priors = replace(priors, lock_scatter=replace(priors.lock_scatter, width=belief.lock_scatter_mm))
    if belief.stuck_below_mm is not None and priors.stick.value:
        priors = replace(priors, stick=replace(priors.stick, value=belief.stuck_below_mm))
    return model if priors is model.priors else replace(model, priors=priors)


def opened(model: Model) -> Belief:
    """Return what is believed when the bore is opened.

    Args:
        model: the bore's constants.

    Returns:
        The belief before any other event.
    """
    priors = model.priors
    return Belief(
        now=opening_belief(model),
        tool_set=priors.tool_at_hole.value > 0.0,
        part_told=(priors.part_warmth.value, priors.part_warmth.width),
        set_told=(priors.gauge_setting.value, priors.gauge_setting.width),
        gauge_scatter_mm=priors.gauge_scatter.value,
        gauge_scatter_dof=freedom_of(priors.gauge_scatter),
    )
