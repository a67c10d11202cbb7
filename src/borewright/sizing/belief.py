"""What is believed about a bore, folded over the events in effect of its tool, its gauge and itself."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import hypot, sqrt
from typing import Final, Literal, TypeAlias

from borewright.gauging.evidence import Warmth
from borewright.record.effect import Effective
from borewright.record.payloads import bore as b
from borewright.record.payloads import gauge as g
from borewright.record.payloads import tool as t
from borewright.sizing.blunders import Circumstances, Doubt, Reading, weigh
from borewright.sizing.gaussian import Gaussian, State, unit_row
from borewright.sizing.measuring import drift_seen, gauge_set, setting_told, warmth_taken
from borewright.sizing.model import Line, Model, cut, opening_belief, set_tool, tool_widened
from borewright.sizing.screw import TAKEN_UP, Play, ReadoutMoves, Side, lock_scatter_with, moved, proved

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
        moves_shown: whether a reading after a move, or a proof, has shown what the adjuster does.
        unshown_mm: how far it was opened by moves that nothing has shown yet, mm on the diameter.
        after_trial: whether the last pass was a trial cut.
        readings: readings since the last pass, or of the hole as it is.
        before_readings: the joint belief before the readings that are weighed together.
        doubts: what may lie behind a reading that surprises, ranked.
        last_move: the last change of the tool.
        history: the passes.
        line: the line along which the last pass was carried, where the tool was not touched since.
        part_told: the part's warmth by thermometer alone, mean and standard deviation, K above 20 °C.
        thermometer_used: whether the part's temperature was taken.
        tool_above_20: the tool's warmth by thermometer, K above 20 °C; None where it was not taken.
        lock_scatter_mm: scatter of one lock shift with what a proof showed of it; None where none did.
        set_told: what the gauge's setting is known to show too much as it was set, and its standard deviation, mm.
        drifts: what re-checks showed of its drift since, with their variances, mm and mm^2.
        settings_told: by the number of each setting before, what it is known to have shown too much, and its standard
            deviation, mm.
        gauge_scatter_mm: scatter of one reading in force.
        gauge_number: the gauge's event that began the present setting; 0 for the one it had.
        clamped: whether the part is in its clamps.
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
    moves_shown: bool = False
    unshown_mm: float = 0.0
    after_trial: bool = False
    readings: tuple[Reading, ...] = ()
    before_readings: Gaussian | None = None
    doubts: tuple[Doubt, ...] = ()
    last_move: LastMove = LastMove()
    history: tuple[PassRecord, ...] = ()
    line: Line | None = None
    part_told: tuple[float, float] = (0.0, 0.0)
    thermometer_used: bool = False
    tool_above_20: float | None = None
    lock_scatter_mm: float | None = None
    set_told: tuple[float, float] = (0.0, 0.0)
    drifts: tuple[tuple[float, float], ...] = ()
    settings_told: tuple[tuple[int, tuple[float, float]], ...] = ()
    gauge_scatter_mm: float = 0.0
    gauge_number: int = 0
    clamped: bool = True

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
    def unsettled(self) -> bool:
        """Whether readings surprise, and it is open which of them can be believed."""
        return bool(self.doubts) and any(UNSURE < reading.doubt < 1.0 - UNSURE for reading in self.readings)

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
            self.gauge_scatter_mm, self.after_trial, cut_before, move.change_mm, move.lines, move.seated, self.line
        )

    def gauge_told(self, model: Model) -> tuple[float, float]:
        """Return what the gauge's setting is known to show too much, by master and re-checks alone.

        Args:
            model: the bore's constants.

        Returns:
            What it shows too much, and its standard deviation, mm.
        """
        return setting_told(model, self.set_told, self.drifts)

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
    )


def fold(belief: Belief, model: Model, event: Effective) -> Belief:
    """Take in one event.

    Args:
        belief: the belief before.
        model: the bore's constants.
        event: the event in effect.

    Returns:
        The belief after it. Kinds of event that teach nothing leave it as it is.
    """
    step = _FOLDS.get((event.stream.kind, event.kind))
    return belief if step is None else step(belief, in_force(belief, model), event)


def fold_tool(belief: Belief, model: Model, event: Effective) -> Belief:
    """Take in an event of the tool's stream.

    Args:
        belief: the belief before.
        model: the bore's constants.
        event: the event.

    Returns:
        The belief after it.
    """
    payload = event.payload
    belief = replace(_weighed_apart(belief), line=None)
    if isinstance(payload, t.Moved):
        return _moved(belief, model, payload)
    belief = _readout_left(belief)
    if isinstance(payload, t.Set):
        now = set_tool(belief.now, model, payload.diameter.mm, locked=payload.locked is not False)
        return replace(
            belief,
            now=now,
            tool_set=True,
            awaiting_seat=True,
            play=TAKEN_UP,
            uncut_move=True,
            unshown_mm=0.0,
            last_move=LastMove(seated=True),
        )
    if isinstance(payload, t.Seated):
        if belief.awaiting_seat:
            return replace(belief, awaiting_seat=False)
        now = tool_widened(belief.now, model.priors.seat.width)
        return replace(belief, now=now, last_move=replace(belief.last_move, seated=True))
    if isinstance(payload, t.EdgeChanged):
        return replace(belief, now=tool_widened(belief.now, model.priors.edge_change.width))
    if isinstance(payload, t.Proved):
        scatter = lock_scatter_with(payload, model.priors.lock_scatter.width)
        now = proved(belief.now, model, payload)
        return replace(belief, now=now, moves_shown=True, lock_scatter_mm=scatter or belief.lock_scatter_mm)
    if isinstance(payload, t.Retired):
        return replace(belief, tool_retired=True)
    return belief


def fold_gauge(belief: Belief, model: Model, event: Effective) -> Belief:
    """Take in an event of the gauge's stream.

    Args:
        belief: the belief before.
        model: the bore's constants.
        event: the event.

    Returns:
        The belief after it.
    """
    payload = event.payload
    if isinstance(payload, g.SetOn):
        celsius = None if payload.celsius is None else float(payload.celsius)
        now = gauge_set(belief.now, model, celsius)
        belief = _alongside(belief, lambda joint: gauge_set(joint, model, celsius))
        told = (now.at(State.GAUGE), now.sd(State.GAUGE))
        before = (*belief.settings_told, (belief.gauge_number, belief.gauge_told(model)))
        return replace(
            _weighed_apart(belief),
            now=now,
            set_told=told,
            drifts=(),
            settings_told=before,
            gauge_number=event.number,
        )
    if isinstance(payload, g.Rechecked):
        off, celsius = payload.as_read.mm - payload.size.mm, None if payload.celsius is None else float(payload.celsius)
        drift, variance = drift_seen(model, off, celsius, belief.set_told[0], belief.gauge_scatter_mm)
        belief = _narrowed(belief, lambda joint: joint.measured(unit_row(State.DRIFT), drift, variance)[0])
        return replace(belief, drifts=(*belief.drifts, (drift, variance)))
    if isinstance(payload, g.Studied):
        return replace(_weighed_apart(belief), gauge_scatter_mm=payload.scatter.mm)
    return belief


def _weighed_apart(belief: Belief) -> Belief:
    """Close the readings so far: what follows is weighed on its own, from a belief that no longer lies on a line."""
    return replace(belief, before_readings=None, line=None if belief.readings else belief.line)


def _narrowed(belief: Belief, measured: Callable[[Gaussian], Gaussian]) -> Belief:
    """Take a measurement in beside the readings: they stay together, whether they came before it or come after."""
    base = belief.before_readings
    belief = _alongside(belief, measured)
    return replace(belief, now=measured(belief.now), before_readings=None if base is None else measured(base))


def _alongside(belief: Belief, step: Callable[[Gaussian], Gaussian]) -> Belief:
    """Take a step of the gauge or of warmth in the belief before moves under a readout too: they stay together."""
    readout = belief.last_move.readout
    if readout is None:
        return belief
    return replace(belief, last_move=replace(belief.last_move, readout=replace(readout, before=step(readout.before))))


def _readout_left(belief: Belief) -> Belief:
    """Close the moves under a readout: what comes next is not taken together with them."""
    return replace(belief, last_move=replace(belief.last_move, readout=None))


def fold_bore(belief: Belief, model: Model, event: Effective) -> Belief:
    """Take in an event of the bore's own stream.

    Args:
        belief: the belief before.
        model: the bore's constants.
        event: the event.

    Returns:
        The belief after it.
    """
    payload = event.payload
    if isinstance(payload, b.Passed):
        return _passed(belief, model, event.number, trial=payload.depth == "trial")
    if isinstance(payload, b.Read | b.HoleChecked):
        return _read(belief, model, event.number, payload)
    if isinstance(payload, b.Temperature):
        return _warmed(belief, model, payload)
    if isinstance(payload, b.Clamped | b.Unclamped):
        return replace(belief, clamped=isinstance(payload, b.Clamped))
    if isinstance(payload, b.Released):
        return replace(belief, status="released")
    if isinstance(payload, b.Quarantined):
        return replace(belief, status="quarantined")
    if isinstance(payload, b.Reopened):
        return replace(belief, status="open")
    return belief


def _moved(belief: Belief, model: Model, payload: t.Moved) -> Belief:
    move = moved(belief.now, model, belief.play, payload, belief.last_move.readout)
    return replace(
        belief,
        now=move.belief,
        play=move.play,
        awaiting_seat=False,
        uncut_move=True,
        moves=belief.moves + 1,
        unshown_mm=max(0.0, belief.unshown_mm + move.change_mm),
        last_move=LastMove(change_mm=move.change_mm, lines=move.lines, readout=move.readout),
    )


def _passed(belief: Belief, model: Model, number: int, *, trial: bool) -> Belief:
    belief = _readout_left(belief)
    done = cut(belief.now, model, trial=trial)
    target = State.TRIAL if trial else State.HOLE
    told_limit = max(belief.part_told[1], model.priors.part_warmth.width)
    record = PassRecord(
        number=number,
        trial=trial,
        tool_mm=belief.tool_mm,
        depth_mm=done.line.depth_mm,
        push_off_mm=done.line.push_off_mm,
        expected_mm=done.belief.at(target),
        expected_sd_mm=done.belief.sd(target),
        rubbed=done.rubs,
    )
    return replace(
        belief,
        now=done.belief,
        awaiting_seat=False,
        uncut_move=False,
        passes=belief.passes + (0 if trial else 1),
        after_trial=trial,
        readings=(),
        before_readings=None,
        doubts=(),
        history=(*belief.history, record),
        line=done.line,
        part_told=(
            belief.part_told[0],
            min(hypot(belief.part_told[1], sqrt(2.0) * model.priors.wander.width), told_limit),
        ),
    )


def _read(belief: Belief, model: Model, number: int, payload: b.Read | b.HoleChecked) -> Belief:
    belief = _readout_left(belief)
    trial = belief.after_trial and isinstance(payload, b.Read)
    base = belief.before_readings or belief.now
    old = () if belief.before_readings is None else belief.readings
    new = Reading(number, payload.as_read.mm, belief.gauge_number)
    before = replace(belief.circumstances, trial=trial)
    weighed = weigh(base, model, (*old, new), before)
    kept = belief.readings[: len(belief.readings) - len(old)]
    return replace(
        belief,
        now=weighed.belief,
        before_readings=base,
        moves_shown=belief.moves_shown or (before.cut_before and belief.moves > 0),
        readings=(*kept, *weighed.readings),
        doubts=weighed.doubts,
    )


def _warmed(belief: Belief, model: Model, payload: b.Temperature) -> Belief:
    celsius, at_cut = float(payload.celsius), payload.when == "cut"
    if payload.of == "tool":
        return replace(belief, tool_above_20=celsius - 20.0)
    belief = _narrowed(belief, lambda joint: warmth_taken(joint, model, celsius, at_cut=at_cut))
    belief = replace(belief, thermometer_used=True)
    told_sd = model.priors.thermometer.width
    if at_cut:
        told_sd = hypot(told_sd, model.priors.wander.width)
        if belief.part_told[1] <= told_sd:
            return belief
    return replace(belief, part_told=(celsius - 20.0, told_sd))


Step: TypeAlias = Callable[[Belief, Model, Effective], Belief]
_FOLDS: Final[dict[tuple[str, str], Step]] = {
    **{("tool", kind): fold_tool for kind in ("set", "seated", "moved", "edge_changed", "proved", "retired")},
    **{("gauge", kind): fold_gauge for kind in ("set_on", "rechecked", "studied")},
    **{
        ("bore", kind): fold_bore
        for kind in (
            "hole_checked",
            "passed",
            "read",
            "temperature",
            "clamped",
            "unclamped",
            "released",
            "quarantined",
            "reopened",
        )
    },
}
