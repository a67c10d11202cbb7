"""The belief folded over the events in effect of a bore, its tool and its gauge: what each event does to it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from math import hypot, sqrt
from typing import Final, TypeAlias

from borewright.gauging.instruments import INSTRUMENTS
from borewright.record.effect import Effective
from borewright.record.payloads import bore as b
from borewright.record.payloads import gauge as g
from borewright.record.payloads import tool as t
from borewright.sizing.belief import Belief, LastMove, PassRecord, in_force
from borewright.sizing.blunders import Reading, most_likely, weigh
from borewright.sizing.form import NOWHERE, Place
from borewright.sizing.gaussian import Gaussian, State, unit_row
from borewright.sizing.meanings import before_first_move
from borewright.sizing.measuring import Master, drift_seen, gauge_set, warmth_taken
from borewright.sizing.model import Model, clamped, cut, unclamped
from borewright.sizing.screw import TAKEN_UP, lock_scatter_with, moved, proved
from borewright.sizing.settings_apart import found_off, weighed_apart
from borewright.sizing.supposing import doubts_beside, parted, stepped
from borewright.sizing.tool_moves import edge_changed, set_tool, tool_widened
from borewright.sizing.unentered import as_entered, before_move, before_pass, before_reading
from borewright.sizing.waiting import waited

OWN_PROBES: Final = frozenset(each.name for each in INSTRUMENTS if not each.independent)
"""Instruments of the machine that cuts: no independent evidence of what it cut."""


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
    if step is None:
        return belief
    moved_from = _unmoved(belief, model, event)
    belief = _parted(replace(belief, moved_from=None), model, event)
    if belief.others:
        after = stepped(belief, lambda each: step(each, in_force(each, model), event), _most(belief, model, event))
    else:
        after = step(belief, in_force(belief, model), event)
    if event.kind == "read" and (belief.others or after.supposed):
        after = replace(after, doubts=doubts_beside(after, belief, event.number))
    return after if moved_from is None else replace(after, moved_from=moved_from)


def _unmoved(belief: Belief, model: Model, event: Effective) -> Belief | None:
    """Return what would be believed after an event had the tool not been moved last; None where it was not moved."""
    if isinstance(event.payload, t.Moved):
        return belief
    if belief.moved_from is None or event.stream.kind == "tool" or isinstance(event.payload, b.Passed):
        return None
    return fold(belief.moved_from, model, event)


def _most(belief: Belief, model: Model, event: Effective) -> Callable[[Belief], float] | None:
    """Return what bounds the likelihood of a first reading under a supposition; None where it is not the first."""
    payload = event.payload
    if not isinstance(payload, b.Read) or belief.before_readings is not None:
        return None
    number, as_read, place = event.number, payload.as_read.mm, _place(payload)

    def most(each: Belief) -> float:
        reading = Reading(number, as_read, each.gauge_number, place=place)
        return most_likely(
            each.now, in_force(each, model), reading, replace(each.circumstances, trial=each.after_trial)
        )

    return most


def _parted(belief: Belief, model: Model, event: Effective) -> Belief:
    """Hold beside each other what an event may mean: what a dial's lines are worth, and what went otherwise."""
    payload = event.payload
    if isinstance(payload, t.Moved):
        lines = None if payload.lines is None else float(payload.lines)
        return parted(belief, (*before_first_move(belief, model), *before_move(belief, model, lines)))
    if isinstance(payload, b.Passed):
        trial = payload.depth == "trial"
        moved_before = () if trial else before_pass(belief, model)
        return parted(belief, (*moved_before, *as_entered(belief, model, trial=trial)))
    if isinstance(payload, b.Read):
        cut_ = _pass_unentered(model, event.number)
        return parted(belief, before_reading(belief, model, cut_))
    return belief


def _pass_unentered(model: Model, number: int) -> Callable[[Belief], Belief]:
    return lambda each: _passed(each, in_force(each, model), number, trial=False)


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
        return replace(belief, now=edge_changed(belief.now, model))
    if isinstance(payload, t.Proved):
        scatter = lock_scatter_with(payload, model.priors.lock_scatter.width)
        now = proved(belief.now, model, payload)
        stuck = belief.stuck_below_mm if payload.stuck_below is None else payload.stuck_below.mm
        lock = scatter or belief.lock_scatter_mm
        return replace(belief, now=now, proved=True, moves_shown=True, lock_scatter_mm=lock, stuck_below_mm=stuck)
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
        master = _master(payload)
        now = gauge_set(belief.now, model, master)
        belief = _alongside(belief, lambda joint: gauge_set(joint, model, master))
        told = (now.at(State.GAUGE), now.sd(State.GAUGE))
        before = (*belief.settings_told, (belief.gauge_number, belief.gauge_told(model)))
        masters = (*belief.masters, (belief.gauge_number, belief.master))
        return replace(
            _weighed_apart(belief),
            now=now,
            set_told=told,
            drifts=(),
            settings_told=before,
            master=master,
            masters=masters,
            gauge_number=event.number,
            gauge_off=False,
        )
    if isinstance(payload, g.Rechecked):
        off, master = payload.as_read.mm - payload.size.mm, _master(payload)
        drift, variance = drift_seen(model, off, master, belief.set_told[0], belief.gauge_scatter_mm)
        if (off_master := found_off(belief, model, drift, variance)) is not None:
            return off_master
        belief = _narrowed(belief, lambda joint: joint.measured(unit_row(State.DRIFT), drift, variance)[0])
        return replace(belief, drifts=(*belief.drifts, (drift, variance)))
    if isinstance(payload, g.Described):
        return replace(belief, own_probe=payload.instrument in OWN_PROBES)
    if isinstance(payload, g.Studied):
        dof = None if payload.dof is None else float(payload.dof)
        return replace(_weighed_apart(belief), gauge_scatter_mm=payload.scatter.mm, gauge_scatter_dof=dof)
    return belief


def _master(payload: g.SetOn | g.Rechecked) -> Master:
    """Return the master of a setting or of a re-check."""
    u = payload.master_u if isinstance(payload, g.SetOn) else None
    celsius = None if payload.celsius is None else float(payload.celsius)
    return Master(payload.master or payload.size.text, None if u is None else u.mm, celsius, payload.master_material)


def _weighed_apart(belief: Belief) -> Belief:
    """Close the readings so far: what follows is weighed on its own, from a belief that no longer lies on a line."""
    line = None if belief.readings else belief.line
    return replace(belief, before_readings=None, line=line, log_evidence=0.0)


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
        return _clamped(belief, model, tight=isinstance(payload, b.Clamped))
    if isinstance(payload, b.Waited):
        return waited(_readout_left(belief), model, float(payload.minutes))
    if isinstance(payload, b.Released):
        return replace(belief, status="released")
    if isinstance(payload, b.Quarantined):
        return replace(belief, status="quarantined")
    if isinstance(payload, b.Reopened):
        return replace(belief, status="open")
    return belief


def _clamped(belief: Belief, model: Model, *, tight: bool) -> Belief:
    if belief.clamped == tight or not model.priors.clamps.value:
        return replace(belief, clamped=tight)
    now = clamped(belief.now, model) if tight else unclamped(belief.now, model)
    return replace(_weighed_apart(_readout_left(belief)), now=now, clamped=tight)


def _moved(belief: Belief, model: Model, payload: t.Moved) -> Belief:
    if belief.misses_move:
        return replace(belief, misses_move=False, awaiting_seat=False, uncut_move=True)
    if belief.lines_off and payload.lines is not None:
        payload = replace(payload, lines=payload.lines + Decimal(belief.lines_off))
    move = moved(belief.now, model, belief.play, payload, belief.last_move.readout)
    return replace(
        belief,
        now=move.belief,
        play=move.play,
        awaiting_seat=False,
        uncut_move=True,
        moves=belief.moves + 1,
        lines_off=0.0,
        unshown_mm=max(0.0, belief.unshown_mm + move.change_mm),
        last_move=LastMove(change_mm=move.change_mm, lines=move.lines, readout=move.readout),
    )


def _passed(belief: Belief, model: Model, number: int, *, trial: bool) -> Belief:
    belief = _readout_left(belief)
    if belief.misses_cut:
        return _not_cut(belief, number, trial=trial)
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
    told = belief.part_told[0], min(hypot(belief.part_told[1], sqrt(2.0) * model.priors.wander.width), told_limit)
    after = _after_pass(belief, done.belief, record)
    return replace(after, uncut_move=False, line=done.line, part_told=told)


def _after_pass(belief: Belief, now: Gaussian, record: PassRecord) -> Belief:
    """Begin anew with the readings once a pass is entered."""
    return replace(
        belief,
        now=now,
        awaiting_seat=False,
        passes=belief.passes + (0 if record.trial else 1),
        after_trial=record.trial,
        waited=False,
        readings=(),
        before_readings=None,
        log_evidence=0.0,
        doubts=(),
        history=(*belief.history, record),
    )


def _not_cut(belief: Belief, number: int, *, trial: bool) -> Belief:
    """Take in a pass that did not cut: the hole is as it was, and what is read of a land is read of the hole."""
    mean = belief.now.mean.copy()
    mean[State.TRIAL] = mean[State.HOLE]
    now = belief.now.carried(mean, {State.TRIAL: unit_row(State.HOLE)}, {})
    record = PassRecord(
        number=number,
        trial=trial,
        tool_mm=belief.tool_mm,
        depth_mm=0.0,
        push_off_mm=0.0,
        expected_mm=now.at(State.HOLE),
        expected_sd_mm=now.sd(State.HOLE),
        rubbed=False,
    )
    return replace(_after_pass(belief, now, record), misses_cut=False, line=None)


def _read(belief: Belief, model: Model, number: int, payload: b.Read | b.HoleChecked) -> Belief:
    belief = _held(_readout_left(belief), model, payload.state)
    trial = belief.after_trial and isinstance(payload, b.Read)
    base = belief.before_readings or belief.now
    old = belief.weighed_together
    new = Reading(
        number,
        payload.as_read.mm,
        belief.gauge_number,
        place=_place(payload),
        state=payload.state or "",
        probe=belief.own_probe if payload.probe is None else payload.probe,
        in_clamps=belief.clamped and model.priors.clamps.value > 0.0,
    )
    before = replace(belief.circumstances, trial=trial)
    placed = any(reading.place is not NOWHERE for reading in (*old, new))
    weighed = weigh(base, model, (*old, new), replace(before, placed=placed))
    kept = belief.readings[: len(belief.readings) - len(old)]
    after = replace(
        belief,
        now=weighed.belief,
        before_readings=base,
        moves_shown=belief.moves_shown or (before.cut_before and belief.moves > 0),
        readings=(*kept, *weighed.readings),
        apart=len(kept),
        doubts=weighed.doubts,
        log_evidence=weighed.log_evidence,
    )
    return weighed_apart(after, model) if kept else after


def _held(belief: Belief, model: Model, state: str | None) -> Belief:
    """Let the clamps go, or close them, where a reading says that the part was held otherwise than was recorded."""
    if state is None or belief.clamped == (state != "free"):
        return belief
    return _clamped(belief, model, tight=state != "free")


def _place(payload: b.Read | b.HoleChecked) -> Place:
    given = payload.place
    if given is None or (given.depth is None and given.direction_deg is None):
        return NOWHERE
    depth = None if given.depth is None else given.depth.mm
    return Place(depth, None if given.direction_deg is None else float(given.direction_deg))


def _warmed(belief: Belief, model: Model, payload: b.Temperature) -> Belief:
    celsius, at_cut = float(payload.celsius), payload.when == "cut"
    if payload.of == "room":
        return replace(belief, room_above_20=celsius - 20.0)
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
    **{("gauge", kind): fold_gauge for kind in ("described", "set_on", "rechecked", "studied")},
    **{
        ("bore", kind): fold_bore
        for kind in (
            "hole_checked",
            "passed",
            "read",
            "temperature",
            "clamped",
            "unclamped",
            "waited",
            "released",
            "quarantined",
            "reopened",
        )
    },
}
