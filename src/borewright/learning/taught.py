"""What a finished bore taught: its evidence, the group it belongs to, and what of it is left out and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from borewright.learning.evidence import Evidence, evidence_between
from borewright.record.effect import Effective, void_releases
from borewright.record.payloads import bore as b
from borewright.record.payloads.opened import Start
from borewright.record.payloads.shared import StreamRef
from borewright.record.timeline import timeline
from borewright.sizing.belief import UNSURE, Belief, opened
from borewright.sizing.blunders import Reading
from borewright.sizing.bore import OTHERS, Bore
from borewright.sizing.folding import fold
from borewright.sizing.model import Model
from borewright.sizing.priors import priors_of

NOTHING_READ: Final = "no pass was cut and read"
OTHERWISE: Final = "something went otherwise than was told or entered"
IN_DOUBT: Final = "it ended with readings in doubt"


@dataclass(frozen=True, slots=True)
class Repeated:
    """Readings repeated on the same hole with the same setting: what the gauge's scatter follows from.

    Args:
        squares: sum of their squared distances from their mean, each time, mm^2.
        freedom: readings less one, each time.
    """

    squares: float = 0.0
    freedom: int = 0


@dataclass(frozen=True, slots=True)
class Taught:
    """What a finished bore taught.

    Args:
        bore: its name in the record.
        start: what was typed when it was opened.
        tool: the name of its tool's record.
        gauge: the name of its gauge's record.
        at: when it was finished, ISO 8601, or None.
        evidence: what it says about the parts that outlive it, or None where it is left out.
        record: what the tool's record said by itself by then, such as what a readout showed before and after locking;
            None where the bore is left out, or where that is counted in.
        depth_mm: the reference depth that its push-off is spoken of at, mm.
        guess_mm: push-off at that depth as it was guessed, mm.
        edges: how often the tool's edge was changed before it was finished.
        seating: the event of which record the tool came into the spindle by, number 0 where none tells of it.
        moves_shown: whether a reading after a move showed what the adjuster does.
        repeated: readings repeated with the gauge.
        floor_mm2: what step and out of round add to the variance of a reading, mm^2.
        left_out: why it is left out; empty where it is not.
    """

    bore: str
    start: Start
    tool: str
    gauge: str
    at: str | None
    evidence: Evidence | None
    record: Evidence | None
    depth_mm: float
    guess_mm: float
    edges: int
    seating: tuple[str, int]
    moves_shown: bool
    repeated: Repeated
    floor_mm2: float
    left_out: str = ""

    @property
    def material(self) -> str:
        """The part's material, or nothing where it was not said."""
        return self.start.material or ""

    def with_record(self) -> Taught:
        """Count in what the tool's record said by itself.

        Returns:
            The same, of use to a bore that does not fold that record.
        """
        if self.evidence is None or self.record is None:
            return self
        return replace(self, evidence=self.evidence.joined(self.record), record=None)


def taught_by(bore: Bore) -> Taught | None:
    """Learn from a bore, once it is finished.

    What its tool's record says by itself is kept apart: every bore of the tool folds that record anew.

    Args:
        bore: the bore.

    Returns:
        What it taught; None while it is open.
    """
    if bore.belief.status == "open":
        return None
    model, given = bore.model, bore.opening.given
    own, others = _until_finished(bore)
    start = priors_of(given)
    seating = [event.number for event in others["tool"] if event.kind in {"set", "seated"}]
    seating = [number for number in seating if number <= _tool_number(own)]
    after, repeated = _folded(model, timeline(own, others))
    before = _folded(model, others["tool"])[0]
    left_out = "" if any(isinstance(event.payload, b.Read) for event in own) else NOTHING_READ
    if after.unsettled:
        left_out = IN_DOUBT
    elif after.supposed:
        left_out = OTHERWISE
    return Taught(
        bore=bore.streams["bore"].identity,
        start=given,
        tool=bore.streams["tool"].identity,
        gauge=bore.streams["gauge"].identity,
        at=bore.events()[own[-1].number - 1].draft.at,
        evidence=None if left_out else evidence_between(before.now, after.now),
        record=None if left_out else evidence_between(opened(model).now, before.now),
        depth_mm=model.priors.push_off_depth.value,
        guess_mm=start.push_off.value,
        edges=edges_in(others["tool"]),
        seating=(bore.streams["tool"].identity, seating[-1] if seating else 0),
        moves_shown=after.moves_shown and not left_out,
        repeated=Repeated() if left_out else repeated,
        floor_mm2=model.reading_variance(0.0),
        left_out=left_out,
    )


def edges_in(tool: Sequence[Effective]) -> int:
    """Count how often a tool's edge was changed.

    Args:
        tool: the events of its record, corrected.

    Returns:
        How often, without what was withdrawn.
    """
    return sum(event.kind == "edge_changed" and not event.withdrawn for event in tool)


def _until_finished(bore: Bore) -> tuple[Sequence[Effective], dict[str, Sequence[Effective]]]:
    """Return a bore's events up to its end, and those of its tool and gauge as far as they are named by then."""
    whole = {kind: bore.in_effect(kind) for kind in ("bore", *OTHERS)}
    own = void_releases(whole["bore"], {kind: whole[kind] for kind in OTHERS})
    folded = [event for event in own if not event.withdrawn and event.kind != "corrected"]
    while folded and not isinstance(folded[-1].payload, b.Released | b.Quarantined):
        folded.pop()
    others: dict[str, Sequence[Effective]] = {}
    for kind in OTHERS:
        upto = max((_named(event, kind) for event in folded), default=0)
        stream = (event for event in whole[kind] if event.number <= upto)
        others[kind] = [event for event in stream if not event.withdrawn and event.kind != "corrected"]
    return folded, others


def _named(event: Effective, kind: str) -> int:
    ref = getattr(event.payload, kind, None)
    return ref.number if isinstance(ref, StreamRef) else 0


def _tool_number(own: Sequence[Effective]) -> int:
    """Return how far the tool's record went when the first pass was cut."""
    return next((_named(event, "tool") for event in own if isinstance(event.payload, b.Passed)), 0)


def _folded(model: Model, events: Sequence[Effective]) -> tuple[Belief, Repeated]:
    belief, squares, freedom = opened(model), 0.0, 0
    for event in events:
        following = fold(belief, model, event)
        if belief.readings and not following.readings:
            more = _repeated(belief.readings)
            squares, freedom = squares + more.squares, freedom + more.freedom
        belief = following
    more = _repeated(belief.readings)
    return belief, Repeated(squares + more.squares, freedom + more.freedom)


def _repeated(readings: Sequence[Reading]) -> Repeated:
    """Return how readings of one hole lie about their mean, setting by setting, without those that are in doubt."""
    squares, freedom = 0.0, 0
    for setting in {reading.gauge_number for reading in readings}:
        values = [r.as_read_mm for r in readings if r.gauge_number == setting and r.doubt < UNSURE]
        mean = sum(values) / max(len(values), 1)
        squares += sum((value - mean) ** 2 for value in values)
        freedom += max(len(values) - 1, 0)
    return Repeated(squares, freedom)
