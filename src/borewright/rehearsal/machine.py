"""The simulated machine at which a recorded bore is rehearsed, rebuilt from the record before each act."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Literal, TypeAlias, cast

from borewright.errors import EntryError
from borewright.quantity.length import Length, Unit, parse_length
from borewright.quantity.rounding import round_to_step
from borewright.rehearsal.kinds import Kind

if TYPE_CHECKING:
    from borewright.rehearsal.truth import Truth

Done: TypeAlias = tuple[str, Mapping[str, object]]
"""An event in effect: its kind, and what it carries as plain values."""

Entry: TypeAlias = dict[str, object]
"""What ``Bore.record`` takes: ``event`` and the fields of its payload."""


class SimulatedMachine:
    """Does what is entered and shows what a gauge, a bench or a readout would show.

    It keeps nothing itself. Before each act the hidden truth is drawn from its seed and every act on record is done on
    it again, so what was undone never happened and what was recorded stands, whichever process recorded it.

    Args:
        kind: the kind of job.
        seed: the seed of the hidden truth.
        unit: the unit of the bore.
        history: gives the events on record that are in effect, in the order in which they were stored.
    """

    def __init__(self, kind: Kind, seed: int, unit: Unit, history: Callable[[], Iterable[Done]]) -> None:
        self.kind = kind
        self.seed = seed
        self.unit = unit
        self.history = history

    def truth(self) -> Truth:
        """Rebuild the truth as the record has it.

        Returns:
            The truth after every act on record.
        """
        from borewright.rehearsal.truth import Truth

        truth = Truth.draw(self.kind, self.seed)
        for event, payload in self.history():
            self._again(truth, event, payload)
        return truth

    def left_by_passes(self) -> tuple[float, ...]:
        """Rebuild what each pass on record truly left.

        Returns:
            The mean diameter at 20 °C after each pass, mm; after a trial cut, of the mouth.
        """
        from borewright.rehearsal.truth import Truth

        truth, left = Truth.draw(self.kind, self.seed), []
        for event, payload in self.history():
            self._again(truth, event, payload)
            if event == "passed":
                left.append(truth.mouth_mm if payload.get("depth") == "trial" else truth.hole_mm)
        return tuple(left)

    def carry_out(self, entry: Entry) -> Entry:
        """Do what an entry says, on the machine as the record has it.

        Args:
            entry: what is to be entered; what only a machine can show may be missing.

        Returns:
            The entry with what was shown.

        Raises:
            EntryError: nothing says what to set the tool to.
        """
        event = str(entry["event"])
        if event == "set":
            if "diameter" not in entry:
                right = "Give the diameter to set it to; what the bench then shows comes back."
                raise EntryError("Nothing says what to set the tool to.", right=right, where="diameter")
            aim = self._grid(_mm(entry["diameter"], self.unit), self._bench_step)
            return {**entry, "diameter": self._text(self.truth().set_tool(aim), self._bench_step)}
        if event == "moved":
            return {**entry, **self._readout(entry)}
        if event in {"read", "hole_checked"} and "as_read" not in entry:
            truth = self.truth()
            shown = _read(truth) if event == "read" else truth.check_hole()
            return {**entry, "as_read": self._text(shown, self._gauge_step)}
        if event == "temperature" and "celsius" not in entry:
            when: Literal["cut", "reading"] = "cut" if entry.get("when") == "cut" else "reading"
            return {**entry, "celsius": str(self.truth().part_celsius(when))}
        if event == "set_on" and "size" not in entry:
            return {**entry, "on": "ring", "size": self._text(self.truth().told().size_mm, self._gauge_step)}
        return entry

    def _readout(self, entry: Entry) -> Entry:
        """Turn a direct readout to what is asked before locking, and return what it shows from then on."""
        asked = next((entry[name] for name in _ASKED if entry.get(name) is not None), None)
        if self.kind.adjuster != "direct" or asked is None:
            return {}
        truth = self.truth()
        before = _readout_of(truth)
        shown = truth.move(to_mm=before + _mm(asked, self.unit))
        assert shown.unlocked_mm is not None
        assert shown.locked_mm is not None
        return {
            "change": self._text(_mm(asked, self.unit), self._line, sign=True),
            "shown_unlocked": self._text(shown.unlocked_mm - before, self._line, sign=True),
            "shown_locked": self._text(shown.locked_mm - before, self._line, sign=True),
        }

    def _again(self, truth: Truth, event: str, payload: Mapping[str, object]) -> None:
        """Do on the truth what an event on record says was done."""
        if event == "set":
            truth.set_tool(self._aim(truth, _mm(payload["diameter"], self.unit)))
        elif event == "moved":
            self._move_again(truth, payload)
        elif event == "passed":
            truth.cut("trial" if payload.get("depth") == "trial" else "full")
        elif event == "temperature" and payload.get("of") == "part":
            truth.part_celsius("cut" if payload.get("when") == "cut" else "reading")
        elif event in _ACTS:
            _ACTS[event](truth)

    def _aim(self, truth: Truth, shown_mm: float) -> float:
        """Find the diameter that was aimed at when the bench showed what is on record.

        Fortune does not depend on the aim, and both stand on the bench's steps, so what the bench shows beyond the aim
        can be seen on a copy of the machine.
        """
        beyond = _copy(truth).set_tool(shown_mm) - shown_mm
        return self._grid(shown_mm - beyond, self._bench_step)

    def _move_again(self, truth: Truth, payload: Mapping[str, object]) -> None:
        if payload.get("lines") is not None:
            truth.move(lines=float(str(payload["lines"])))
            return
        change = next(payload[name] for name in _ASKED if payload.get(name) is not None)
        if self.kind.adjuster == "direct":
            truth.move(to_mm=_readout_of(truth) + _mm(change, self.unit))
        else:
            truth.move(change_mm=_mm(change, self.unit))

    @property
    def _bench_step(self) -> Length:
        return self._step(self.kind.common.bench_step_um)

    @property
    def _gauge_step(self) -> Length:
        return self._step(self.kind.gauge_step_um)

    @property
    def _line(self) -> Length:
        return self._step(self.kind.line_um)

    def _step(self, um: float) -> Length:
        """Return a step given in µm, in the bore's own unit."""
        step = Length(Decimal(repr(um)).scaleb(-3), "mm").to(self.unit)
        return Length(step.value.normalize(), step.unit)

    @staticmethod
    def _grid(mm: float, step: Length) -> float:
        return round_to_step(mm, step).mm

    @staticmethod
    def _text(mm: float, step: Length, *, sign: bool = False) -> str:
        length = round_to_step(mm, step)
        return f"{'+' if sign and length.value >= 0 else ''}{length.text}"


_ASKED = ("change", "shown_unlocked", "shown_locked")
"""Where a move says what was turned to, the surest first."""


def _read(truth: Truth) -> float:
    """Read across, every second time after a pass a quarter round from the time before."""
    since = [act.name for act in truth.acts]
    last_cut = max((place for place, name in enumerate(since) if name == "cut"), default=0)
    return truth.read(direction_deg=90.0 * (since[last_cut:].count("read") % 2))


_ACTS: Mapping[str, Callable[[Truth], object]] = {
    "seated": lambda truth: truth.seat(),
    "read": _read,
    "hole_checked": lambda truth: truth.check_hole(),
    "set_on": lambda truth: truth.set_gauge(),
    "edge_changed": lambda truth: truth.change_edge(),
    "waited": lambda truth: truth.wait(),
}


def _copy(truth: Truth) -> Truth:
    return type(truth).replay(truth.kind, truth.seed, truth.acts, truth.tool_seed)


def _readout_of(truth: Truth) -> float:
    """Look at a direct readout, by moving a copy of the machine by nothing."""
    before = _copy(truth).move(change_mm=0.0).before_mm
    assert before is not None
    return before


def _mm(value: object, unit: Unit) -> float:
    return parse_length(cast("str", value), unit, signed=True).mm
