"""A proof of the adjuster step by step: what the hands do next, and what was found, in the trade's words."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from borewright.quantity.length import Unit
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length
from borewright.record.fields import payload_plain, read_payload
from borewright.record.payloads.shared import Adjuster
from borewright.record.payloads.tool import ProofReadings
from borewright.sizing.adjuster_proof import (
    ROUNDS,
    SINGLE_LINES,
    Found,
    Place,
    Proof,
    check_shown,
    lines_opened,
    places,
    proof_of,
    proved_entry,
)
from borewright.sizing.priors import NORMAL_95
from borewright.sizing.words import SPINDLE

PAST_MM: Final = 0.06
"""What is closed beyond any backlash before the tip is brought home, on the diameter. Common practice, no source."""

CAUTIONS: Final = (
    SPINDLE,
    "Set the indicator on the slide or on the flat behind the edge, never by hand on the edge itself: it is sharp.",
    "Nobody turns the spindle while the indicator touches; take it away before anything else moves.",
)

ASKS: Final[dict[Place, str]] = {
    "opened": "Indicator, opened",
    "locked": "Indicator, locked",
    "back": "Indicator, closed again",
    "home": "Indicator, home",
    "line": "Indicator, one line on",
}


def proof_plain(given: Mapping[str, object], adjuster: Adjuster, unit: Unit) -> dict[str, object]:
    """Say what comes next in a proof and, once it is finished, what was found.

    Args:
        given: ``step``, the indicator's smallest step, and ``shown``, what it showed so far, in order.
        adjuster: the adjuster as it is told.
        unit: unit of numbers without one, and to show lengths in.

    Returns:
        Plain values: where the proof stands, what to do, and at the end the entry that keeps it.

    Raises:
        EntryError: a reading cannot be; ``where`` names it.
    """
    known = {"lines": lines_opened(adjuster), "step": given.get("step"), "shown": given.get("shown") or []}
    readings = read_payload(ProofReadings, known, unit, "readings")
    check_shown(readings, adjuster)
    order, done = places(adjuster), len(readings.shown)
    proof: dict[str, object] = {
        "unit": unit,
        "done": done,
        "of": len(order),
        "readings": payload_plain(readings),
        "cautions": list(CAUTIONS),
    }
    if done < len(order):
        at = order[done]
        do = do_next(at, adjuster, first=done == 0)
        if done == len(order) - 1:
            do = f"{do} Read it, then: {say_left(adjuster)}"
        return {**proof, "next": {"at": at, "round": min(done // 3 + 1, ROUNDS), "do": do, "ask": ASKS[at]}}
    found = proof_of(readings, adjuster)
    proof["found"] = found_rows(found, adjuster, unit)
    proof["say"] = say_found(found, adjuster, unit)
    proof["left"] = say_left(adjuster)
    if found.as_told:
        proof["entry"] = proved_entry(found, payload_plain(readings))
    return proof


def do_next(at: Place, adjuster: Adjuster, *, first: bool = False) -> str:
    """Say what the hands do before a reading.

    Args:
        at: where the adjuster is to stand.
        adjuster: the adjuster as it is told.
        first: whether nothing was read yet.

    Returns:
        A sentence or two.
    """
    lines = lines_opened(adjuster)
    begin = "Unlock; come up to a line by opening, and zero the indicator there. Then " if first else ""
    if adjuster.kind == "dial":
        turn = ", one whole turn" if adjuster.lines_per_turn == lines else ""
        past = math.ceil(PAST_MM / adjuster.line_mm)
        return {
            "opened": f"{begin}{'open' if first else 'Open'} {lines} lines{turn}.",
            "locked": "Lock it as you always do.",
            "back": f"Unlock, and close {lines} lines, back to the line that you began on.",
            "home": f"Close {past} lines more, then open {past}: home on the first line, by opening.",
            "line": "Open one line more.",
        }[at]
    assert adjuster.step is not None
    own = adjuster.step
    far = show_length(lines * own.mm, own.unit, step=own, sign=True)
    if adjuster.kind == "offset":
        return {
            "opened": f"{begin}{'enter' if first else 'Enter'} {far} at the control.",
            "locked": "Lock it as you always do.",
            "back": f"Unlock, and enter {show_length(-lines * own.mm, own.unit, step=own, sign=True)}.",
            "home": "Enter a tenth less and then a tenth more of that: home again, by opening.",
            "line": "",
        }[at]
    return {
        "opened": f"{begin}{'zero the readout too and open' if first else 'Open'} until it reads {far}.",
        "locked": "Lock it as you always do.",
        "back": "Unlock, and close until it reads what it read at the beginning.",
        "home": "Close a little further, then open to that figure: home by opening.",
        "line": "",
    }[at]


def say_left(adjuster: Adjuster) -> str:
    """Say how a finished proof leaves the tool, and what brings it back to where it began.

    Args:
        adjuster: the adjuster as it is told.

    Returns:
        A sentence.
    """
    if adjuster.kind == "dial":
        return (
            f"The tool now stands {SINGLE_LINES} lines open of where you began: close past the backlash, come up to "
            "your starting line, lock."
        )
    return "The tool now stands where you began, unlocked: lock it."


def found_rows(proof: Proof, adjuster: Adjuster, unit: Unit) -> list[dict[str, str]]:
    """Say what was found, each with what it lies between 95 times in 100.

    Args:
        proof: what was found.
        adjuster: the adjuster as it is told.
        unit: unit to show lengths in.

    Returns:
        For each what it is, its value and its width; all on the diameter.
    """
    one = "a line" if adjuster.kind == "dial" else "a step"
    rows = [_row(f"{one}, on the diameter", proof.line, unit, finer=3)]
    if proof.backlash is not None:
        rows.append(_row("backlash", proof.backlash, unit))
    rows.append(_row("locking moves the tip by", proof.lock, unit, sign=True))
    rows.append({"what": "from one locking to the next", "value": _scatter(proof, unit), "within": ""})
    if proof.stuck_mm is not None:
        low, high = proof.stuck_mm
        value = f"below {_say(high, unit)}" if low == 0.0 else f"between {_say(low, unit)} and {_say(high, unit)}"
        rows.append({"what": "moves that may stick", "value": value, "within": ""})
    return rows


def say_found(proof: Proof, adjuster: Adjuster, unit: Unit) -> str:
    """Say in a sentence or two what the proof comes to.

    Args:
        proof: what was found.
        adjuster: the adjuster as it is told.
        unit: unit to show lengths in.

    Returns:
        The sentences.
    """
    one = "line" if adjuster.kind == "dial" else "step"
    if not proof.as_told:
        meaning = f": {proof.meaning}" if proof.meaning else ", which is none of the usual slips"
        return (
            f"A {one} came to {proof.factor:.3g} times what is told of it{meaning}. It is not kept: have the adjuster "
            "described as it is, or prove it again."
        )
    off = 100.0 * (proof.factor - 1.0)
    more = "more" if off >= 0.0 else "less"
    told = show_length(adjuster.line_mm, unit, decimals=_decimals(unit) + 1)
    return f"A {one} is worth what is told of it: {told} on the diameter, and {abs(off):.2f} % {more}."


def _row(what: str, found: Found, unit: Unit, *, finer: int = 0, sign: bool = False) -> dict[str, str]:
    half = NORMAL_95 * found.sd
    if finer:
        decimals = _decimals(unit) + finer
        value = show_length(found.value, unit, decimals=decimals)
        return {"what": what, "value": value, "within": f"± {show_length(half, unit, decimals=decimals + 1)}"}
    said = _say(abs(found.value), unit)
    word = "" if not sign or said == "nothing" else "larger by " if found.value > 0.0 else "smaller by "
    return {"what": what, "value": f"{word}{said}", "within": f"± {_say(half, unit)}"}


def _scatter(proof: Proof, unit: Unit) -> str:
    """Say the scatter of the lock, and no finer than the indicator's step lets it be seen."""
    if proof.lock_scatter.value < proof.lock_unseen_mm:
        return f"below {_say(proof.lock_unseen_mm, unit)}"
    return f"± {_say(proof.lock_scatter.value, unit)}"


def _say(mm: float, unit: Unit) -> str:
    return say_length(round(mm, 7), unit)


def _decimals(unit: Unit) -> int:
    return 3 if unit == "mm" else 4
