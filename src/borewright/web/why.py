"""Why does it read that: the causes on the Size page, each with the entry that settles it at hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from borewright.quantity.length import Length, Unit, parse_length
from borewright.quantity.odds import say_odds
from borewright.quantity.show import show_length
from borewright.sizing.belief import Belief
from borewright.sizing.bore import Bore
from borewright.sizing.proving import LIKELY_BLUNDER
from borewright.sizing.why_read import NOTHING, Behind, why_it_reads
from borewright.web.panel import Form, Tap, as_json, reading

EDGE: Final = (Tap("The insert was changed", '{"event":"edge_changed"}'),)


@dataclass(frozen=True, slots=True)
class Cause:
    """One cause.

    Args:
        cause: what may have happened.
        odds: its odds, in hundredths or as one in so many.
        check: what tells it apart in two minutes.
        form: the form of what settles it; None where it is answered elsewhere.
        taps: what may be entered besides.
        link: where it is answered, and what that says; empty where it is answered here.
    """

    cause: str
    odds: str
    check: str
    form: Form | None
    taps: tuple[Tap, ...] = ()
    link: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class Why:
    """The panel.

    Args:
        reading: the reading that does not fit, else the last, as it was typed; empty where there is none to ask about.
        surprises: whether it does not fit.
        settled: whether later readings have settled that, so that it is left out.
        fits: whether it fits what was told, and only that it may be otherwise is open.
        causes: what may lie behind it, likeliest first.
    """

    reading: str
    surprises: bool
    settled: bool
    fits: bool
    causes: tuple[Cause, ...]


def why_of(bore: Bore, bore_id: str, unit: Unit) -> Why:
    """Make the panel of a bore.

    Args:
        bore: the bore as it stands.
        bore_id: its name in the record.
        unit: unit that lengths are shown in.

    Returns:
        The panel; without causes where nothing was read since the last cut, or the bore is finished.
    """
    belief = bore.belief
    if not belief.readings or belief.status != "open":
        return Why("", surprises=False, settled=False, fits=True, causes=())
    asked = belief.doubts[0].reading if belief.doubts else belief.readings[-1].number
    causes = tuple(_cause(behind, bore, bore_id, unit) for behind in why_it_reads(belief, bore.model))
    surprises, fits = bool(belief.doubts) and not belief.as_told, belief.as_told
    return Why(_as_typed(bore, asked, unit), surprises, settled(belief), fits, causes)


def settled(belief: Belief) -> bool:
    """Tell whether a reading that did not fit is told from those that do: later ones say which to believe.

    While the last reading is the one that does not fit, nothing has settled it: it is read again.

    Args:
        belief: what is believed.

    Returns:
        Whether one is left out and none is in doubt.
    """
    left_out = any(reading.doubt >= LIKELY_BLUNDER for reading in belief.readings)
    last = belief.readings[-1].number if belief.readings else 0
    later = bool(belief.doubts) and belief.doubts[0].reading != last
    return left_out and later and not belief.unsettled


def _as_typed(bore: Bore, number: int, unit: Unit) -> str:
    """Show a reading as it was typed, where it was typed in the unit shown; else with the usual digits."""
    read = bore.event_in_effect(number)
    as_read = getattr(read.payload, "as_read", None)
    assert isinstance(as_read, Length)
    if as_read.unit == unit:
        return as_read.text
    return show_length(as_read, unit, decimals=3 if unit == "mm" else 4)


def _cause(behind: Behind, bore: Bore, bore_id: str, unit: Unit) -> Cause:
    odds = say_odds(behind.odds)
    event = "read" if bore.belief.history else "hole_checked"
    if behind.cause.startswith(NOTHING) or behind.settling == "read":
        return Cause(behind.cause, odds, behind.check, reading(unit, event))
    if behind.settling == "rechecked":
        return Cause(behind.cause, odds, behind.check, _ring(bore, unit))
    if behind.settling == "temperature":
        form = Form(
            "temperature", "celsius", "Part now", "Enter temperature", "°C", filled='{"of":"part","when":"now"}'
        )
        return Cause(behind.cause, odds, behind.check, form)
    if behind.settling == "proved":
        return Cause(behind.cause, odds, behind.check, None, link=(f"/bores/{bore_id}/prove", "Prove the adjuster"))
    looked = Form("noted", "text", "Looked at, and found", "Keep the note", filled='{"stream":"bore"}')
    return Cause(behind.cause, odds, behind.check, looked, EDGE if "edge" in behind.check.lower() else ())


def _ring(bore: Bore, unit: Unit) -> Form:
    """Read the gauge on the master it was set on last; where nobody said which that is, set it on one."""
    for event in reversed(bore.in_effect("gauge")):
        size = getattr(event.payload, "size", None)
        if event.kind in {"set_on", "rechecked"} and not event.withdrawn and size is not None:
            shown = show_length(parse_length(size.text), unit, decimals=3 if unit == "mm" else 4)
            filled = as_json({"size": size.text})
            return Form("rechecked", "as_read", f"Gauge shows on its master of {shown}", "Enter", unit, filled=filled)
    return Form("set_on", "size", "Gauge set on a ring of", "Gauge was set", unit, filled='{"on":"ring"}')
