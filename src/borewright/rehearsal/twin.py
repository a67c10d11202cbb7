"""The knowing twin: it knows the tool, and sees the hole through the same gauge and by the same rule as the advice.

It is the advice itself, opened with the constants of its tool instead of guesses at them: push-off and how it grows,
what the adjuster moves, its backlash, its screw's error, the mean lock shift, what the bench shows too little. What is
redrawn each time stays hidden from it: seat, this locking, this pass, the part's warmth, this setting of the gauge, a
miscounted line, a slip of a reading. What the advice costs more than the twin is therefore what not knowing the tool
costs, and nothing else: a weakness of the advice's own judgement weakens both alike, and shows against the clairvoyant.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, Final

from borewright.quantity.length import parse_length
from borewright.record.canonical import GENESIS, chain_hash, event_bytes
from borewright.record.entry import draft_event
from borewright.record.kinds import event_kind
from borewright.record.stream import Event
from borewright.rehearsal.advised import follow, start_of
from borewright.rehearsal.hidden import HiddenTool
from borewright.rehearsal.outcome import Outcome
from borewright.rehearsal.pushoff import REFERENCE_MM
from borewright.rehearsal.truth import Truth
from borewright.rehearsal.watched import watched
from borewright.sizing.bore import Bore
from borewright.sizing.priors import Priors, freeze, thaw

NAME: Final = "knowing twin"

KNOWN_MM: Final = 1e-6
"""Standard deviation of a length that is known, mm: nothing beside the micrometres that matter, but not nothing."""

KNOWN: Final = 1e-4
"""The same of a share or an exponent."""


def knowing_twin(truth: Truth) -> Outcome:
    """Size a bore as the advice would if it knew the tool.

    Args:
        truth: the machine, before its first act; it is used up.

    Returns:
        How it ended.
    """
    return watched(truth, knowing(truth), NAME, _Hand(truth)).outcome


def knowing(truth: Truth) -> Bore:
    """Open a bore with the constants of its tool.

    Args:
        truth: the machine, before its first act.

    Returns:
        The bore.
    """
    bore = Bore.start(start_of(truth.told()))
    opening, tool = bore.opening, truth.tool
    known = known_priors(thaw(opening.frozen, opening.given), tool, readout=truth.kind.adjuster == "direct")
    draft = draft_event(event_kind("opened"), replace(opening, frozen=freeze(known)), bore.streams)
    event = Event(draft, 1, chain_hash(GENESIS, event_bytes(draft, 1)))
    return Bore.from_events([event, *bore.events("tool"), *bore.events("gauge")])


def known_priors(priors: Priors, tool: HiddenTool, *, readout: bool) -> Priors:
    """Return priors that know a tool.

    The truth's push-off ``p0 (e + (1 - e)(q/q0)^n)`` with ``q0 = 0.25 - p0`` is the belief's
    ``P (E + (1 - E)(q/0.25)^n)`` with ``P = p0 (e + (1 - e)(0.25/q0)^n)`` and ``P E = p0 e``.

    Args:
        priors: what is believed without knowing it.
        tool: its constants.
        readout: whether a readout looks at its tip; a move is then known as well as the readout shows it.

    Returns:
        The priors, as narrow as what is known.
    """
    off = tool.push_off
    grown = off.edge_share + (1.0 - off.edge_share) * (REFERENCE_MM / (REFERENCE_MM - off.at_reference_mm)) ** (
        off.exponent
    )
    reference = off.at_reference_mm * grown
    values = {
        "push_off": (reference, KNOWN_MM),
        "push_off_depth": (REFERENCE_MM, 0.0),
        "exponent": (off.exponent, KNOWN),
        "edge": (off.edge_share / grown, KNOWN),
        "bench": (tool.bench_mm, KNOWN_MM),
        "lock_mean": (tool.lock_mean_mm, KNOWN_MM),
        "gain": (tool.gain, 0.01 * KNOWN),
        "backlash": (tool.backlash_mm, KNOWN_MM),
        "proved": (1.0, 0.0),
    }
    if not readout:
        values["move"] = (0.0, KNOWN_MM)
    known = {
        name: replace(getattr(priors, name), value=value, width=width, origin="known")
        for name, (value, width) in values.items()
    }
    return replace(priors, **known)


@dataclass
class _Hand:
    """Does what is advised, and turns the screw to where its error, which it knows, leaves the tip as wanted.

    Args:
        truth: the machine whose screw it knows.
        dial_mm: where the graduation stands, as it was turned.
    """

    truth: Truth
    dial_mm: float = 0.0

    def __call__(self, truth: Truth, advice: Mapping[str, Any]) -> list[dict[str, object]]:
        """Do on the machine what an advice says."""
        if advice["action"] == "set":
            self.dial_mm = parse_length(advice["set"]["diameter"]).mm - truth.kind.size_mm
        if advice["action"] != "move_and_cut" or truth.kind.adjuster == "direct":
            return follow(truth, advice)
        dial = truth.kind.adjuster == "dial"
        step = truth.told().line_mm
        move = advice["move"]
        wanted = float(move["lines"]) * step if dial else parse_length(move["change"], signed=True).mm
        steps = self._nearest(wanted, step)
        moved = self._moves(steps * step)
        self.dial_mm += steps * step
        if dial:
            truth.move(lines=steps)
            return [{"event": "moved", "lines": _text(moved / step)}]
        truth.move(change_mm=round(steps * step, 9))
        return [{"event": "moved", "change": f"{_text(moved)} mm"}]

    def _nearest(self, wanted_mm: float, step_mm: float) -> int:
        """Return the whole steps whose true move, by the gain that the advice reckons with, is nearest to a move."""
        about = round(wanted_mm / step_mm)
        apart = 2 + math.ceil(2.0 * self.truth.tool.periodic_mm / step_mm)
        return min(
            range(about - apart, about + apart + 1), key=lambda steps: abs(self._moves(steps * step_mm) - wanted_mm)
        )

    def _moves(self, by_mm: float) -> float:
        """Return what a turn of the screw is worth without its error over a turn, mm by the graduation."""
        tool, kind = self.truth.tool, self.truth.kind
        turn = kind.line_um * 1e-3 * kind.lines_per_turn

        def wave(dial_mm: float) -> float:
            return tool.periodic_mm * math.sin(math.tau * dial_mm / turn + tool.phase)

        return by_mm + (wave(self.dial_mm + by_mm) - wave(self.dial_mm)) / (1.0 + tool.gain)


def _text(value: float) -> str:
    """Write a number as an entry takes it, with its sign and to a hundredth of a micrometre."""
    return f"{Decimal(repr(round(value, 5))):+f}"
