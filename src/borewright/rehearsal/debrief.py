"""After a rehearsal: what the simulated machine hid, beside what was thought, and whether it was signed rightly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, cast

from borewright.quantity.length import Unit, parse_length
from borewright.quantity.show import show_length
from borewright.rehearsal.acts import Mishap, Verdict
from borewright.rehearsal.kinds import KINDS
from borewright.rehearsal.scoreboard import practice_words, practised
from borewright.sizing.gaussian import State
from borewright.sizing.model import push_off_at
from borewright.sizing.priors import NORMAL_95

if TYPE_CHECKING:
    from borewright.rehearsal.machine import SimulatedMachine
    from borewright.rehearsal.truth import Truth
    from borewright.sizing.belief import PassRecord
    from borewright.sizing.bore import Bore

LIES: Final[Mapping[Verdict, str]] = {
    "good": "the whole of it is inside the limits",
    "over": "some of it is over the upper limit",
    "under": "some of it is under the lower limit",
}
_ACTS: Final = {
    "set_tool": "setting the tool",
    "seat": "putting the tool in",
    "move": "moving the tool",
    "cut": "the cut",
    "read": "a reading",
    "wait": "waiting for the part",
    "check_hole": "a reading of the hole as it was",
}


@dataclass(frozen=True, slots=True)
class Compared:
    """One thing that was hidden.

    Args:
        what: what it is.
        thought: what was thought of it at the end.
        true: what it truly was.
    """

    what: str
    thought: str
    true: str


@dataclass(frozen=True, slots=True)
class PassTold:
    """One pass, as the advice expected it and as it truly came out.

    Args:
        title: such as ``Pass 2``.
        expected: the size that was expected.
        between: the interval that was to hold it 95 times in 100.
        true: the size that it truly left.
        inside: whether that lies in the interval.
    """

    title: str
    expected: str
    between: str
    true: str
    inside: bool


@dataclass(frozen=True, slots=True)
class Debrief:
    """What is told of a rehearsed bore once it is signed.

    Args:
        kind: the kind of job.
        seed: the seed of the hidden truth.
        again: whether one can begin it again by these two.
        came_out: how the hole truly came out.
        decided: whether what was signed was right, in a sentence.
        right: whether it was; None where nothing is signed.
        said: how the size that was signed compares with the true one, or empty.
        practice: what equal passes would have done on the same machine.
        passes: the passes, oldest first.
        compared: what was hidden, the hole first.
        mishaps: what went wrong unseen, a sentence each.
    """

    kind: str
    seed: int
    again: bool
    came_out: str
    decided: str
    right: bool | None
    said: str
    practice: str
    passes: tuple[PassTold, ...]
    compared: tuple[Compared, ...]
    mishaps: tuple[str, ...]


def debrief(machine: SimulatedMachine, bore: Bore, unit: Unit | None = None) -> Debrief:
    """Tell the hidden truth of a rehearsed bore.

    Args:
        machine: the simulated machine as the record has it.
        bore: the bore as its record stands.
        unit: unit to show lengths in; the bore's own where it is left out.

    Returns:
        What is told.
    """
    truth, show = machine.truth(), _Shown(unit or bore.unit)
    decided, right = _decided(bore.state, truth.verdict())
    across = f"from {show(truth.smallest_mm)} to {show(truth.largest_mm)} across"
    return Debrief(
        kind=machine.kind.name,
        seed=machine.seed,
        again=KINDS.get(machine.kind.name) == machine.kind,
        came_out=f"The hole came out at {show(truth.hole_mm)}, {across}.",
        decided=decided,
        right=right,
        said=_said(bore, truth, show) if bore.state == "released" else "",
        practice=practice_words(practised(machine.kind, machine.seed)),
        passes=_passes(bore.belief.history, machine.left_by_passes(), show),
        compared=tuple(_compared(truth, bore, show)),
        mishaps=tuple(_mishap(truth, mishap) for mishap in truth.mishaps) or ("Nothing went wrong unseen.",),
    )


class _Shown:
    """Shows lengths in one unit."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit

    def __call__(self, mm: float, *, sign: bool = False) -> str:
        return show_length(mm, self.unit, sign=sign)

    def about(self, mm: float, sd_mm: float, *, sign: bool = False) -> str:
        """Show what was thought, with half the width that was to hold it 95 times in 100."""
        return f"{self(mm, sign=sign)} ± {self(NORMAL_95 * sd_mm)}"


def _decided(state: str, verdict: Verdict) -> tuple[str, bool | None]:
    good, lies = verdict == "good", LIES[verdict]
    if state == "released":
        return (f"Released, and rightly: {lies}.", True) if good else (f"Released, and wrongly: {lies}.", False)
    if state == "quarantined":
        return (f"Set aside, though {lies}.", False) if good else (f"Set aside, and rightly: {lies}.", True)
    return "Nothing is signed yet.", None


def _said(bore: Bore, truth: Truth, show: _Shown) -> str:
    release = cast("Mapping[str, object]", bore.advise(show.unit).get("release") or {})
    if not release:
        return ""
    size, expanded = str(release["size"]), str(release["expanded"])
    off = truth.hole_mm - parse_length(size).mm
    larger = f"{show(abs(off))} {'larger' if off > 0 else 'smaller'}"
    return f"Signed at {size} ± {expanded}; truly {show(truth.hole_mm)}, {larger}."


def _passes(history: Sequence[PassRecord], left_mm: Sequence[float], show: _Shown) -> tuple[PassTold, ...]:
    told: list[PassTold] = []
    full = 0
    for record, true_mm in zip(history, left_mm, strict=False):
        full += not record.trial
        half = NORMAL_95 * record.expected_sd_mm
        told.append(
            PassTold(
                title="Trial" if record.trial else f"Pass {full}",
                expected=show(record.expected_mm),
                between=f"{show(record.expected_mm - half)} to {show(record.expected_mm + half)}",
                true=show(true_mm),
                inside=abs(true_mm - record.expected_mm) <= half,
            )
        )
    return tuple(told)


def _compared(truth: Truth, bore: Bore, show: _Shown) -> list[Compared]:
    believed, tool, told = bore.belief.now, truth.tool, truth.told()

    def thought(state: State, *, sign: bool = False) -> str:
        return show.about(believed.at(state), believed.sd(state), sign=sign)

    found = [
        Compared("hole", thought(State.HOLE), show(truth.hole_mm)),
        Compared("form: largest less smallest", _form(bore, show), show(truth.ovality_mm)),
    ]
    if truth.seated:
        in_spindle = cast("Mapping[str, object]", bore.advise(show.unit).get("tool") or {})
        found.append(Compared("tool in the spindle", _interval(in_spindle), show(truth.tool_mm)))
    learned, _ = push_off_at(believed.mean, bore.model, told.push_off_at_mm)
    given = bore.opening.given.push_off
    before = (
        f"{show(bore.model.priors.push_off.value)} by physics" if given is None else f"{show(given.guess.mm)} guessed"
    )
    gain = believed.at(State.GAIN), NORMAL_95 * believed.sd(State.GAIN)
    return [
        *found,
        Compared(
            f"push-off at {show(told.push_off_at_mm)} set",
            f"{before}, {show(learned.p)} learned",
            show(tool.push_off.at_reference_mm),
        ),
        Compared("lock shift, mean", thought(State.LOCK_MEAN, sign=True), show(tool.lock_mean_mm, sign=True)),
        Compared("bench to spindle", thought(State.BENCH, sign=True), show(tool.bench_mm, sign=True)),
        Compared("adjuster moves", f"{_more(gain[0])} ± {100 * gain[1]:.2f} %", _more(tool.gain)),
        Compared("backlash", thought(State.BACKLASH), show(tool.backlash_mm)),
        Compared("gauge's setting off by", thought(State.GAUGE, sign=True), show(truth.gauge_bias_mm, sign=True)),
        Compared("part at the last reading", _warmth(bore), f"{truth.celsius:.1f} °C"),
    ]


def _form(bore: Bore, show: _Shown) -> str:
    return f"usually up to {show(NORMAL_95 * bore.model.priors.ovality.width)}"


def _interval(part: Mapping[str, object]) -> str:
    return f"{part['size']}, {part['low']} to {part['high']}" if part else ""


def _more(gain: float) -> str:
    return f"{abs(100 * gain):.2f} % {'more' if gain > 0 else 'less'} than it says"


def _warmth(bore: Bore) -> str:
    now = bore.belief.now
    return f"{20 + now.at(State.WARMTH):.1f} °C ± {NORMAL_95 * now.sd(State.WARMTH):.1f}"


def _mishap(truth: Truth, mishap: Mishap) -> str:
    name = _ACTS.get(truth.acts[mishap.act - 1].name, "")
    return f"Act {mishap.act}{f', {name}' if name else ''}: {mishap.what}."
