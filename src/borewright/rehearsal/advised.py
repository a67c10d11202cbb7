"""The advice at work: a rehearsed bore sized through the front door, doing as it says.

Nothing here knows more than a machinist would: the machine's acts are done as advised, and what it shows is recorded.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from borewright.errors import EntryError
from borewright.quantity.length import parse_length
from borewright.rehearsal.outcome import Ending, Outcome, outcome
from borewright.rehearsal.told import Told
from borewright.rehearsal.truth import Truth
from borewright.sizing.bore import Bore

ENDS: Final = frozenset({"quarantine", "prove"})
"""Actions that end a rehearsed bore: it is set aside, or wants an indicator on the tip, which no machine here has."""

MOST_ACTIONS: Final = 60
"""Actions after which a bore is taken to be going round in circles, and set aside."""

SIGNED: Final = ("verdict", "probability", "rule", "size", "expanded")
"""What is in view when a bore is signed."""


def start_of(told: Told) -> dict[str, object]:
    """Return what a bore is started with: what the player is told.

    Args:
        told: what is known of the rehearsed bore.

    Returns:
        The mapping for ``Bore.start``.
    """
    adjuster: dict[str, object] = {"kind": told.adjuster, "on": "diameter"}
    if told.adjuster == "dial":
        adjuster |= {"line": _mm(told.line_mm), "lines_per_turn": told.lines_per_turn}
    else:
        adjuster |= {"step": _mm(told.step_mm)}
    return {
        "callout": f"{told.lower_mm:.4f}-{told.upper_mm:.4f} mm",
        "hole": {"size": _mm(told.hole_mm), "within": _mm(1.96 * told.hole_sd_mm)},
        "adjuster": adjuster,
        "gauge": {
            "step": _mm(told.gauge_step_mm),
            "scatter": _mm(told.gauge_scatter_mm),
            "bias": _mm(told.gauge_bias_sd_mm),
        },
        "push_off": {
            "guess": _mm(told.push_off_guess_mm),
            "at": _mm(told.push_off_at_mm),
            "factor": f"{2.718281828459045**told.push_off_log_sd:.4f}",
        },
        "material": told.material,
        "tool": {"bench": _mm(told.bench_sd_mm), "seat": _mm(told.seat_sd_mm)},
        "min_depth": _mm(told.min_depth_mm),
        "temperature": {"spread": f"{told.warm_sd_k}", "within": f"{told.thermometer_sd_k}"},
    }


def advised(truth: Truth, *, with_temperature: bool = True) -> Outcome:
    """Size a bore as the advice says, and release or set it aside as it says.

    Args:
        truth: the machine, before its first act; it is used up.
        with_temperature: whether the part's temperature is taken after each pass.

    Returns:
        How it ended.
    """
    return sized(Bore.start(start_of(truth.told())), truth, with_temperature=with_temperature)


def sized(bore: Bore, truth: Truth, *, with_temperature: bool = True) -> Outcome:
    """Size an opened bore as the advice says, and release or set it aside as it says; its record tells of it.

    Args:
        bore: the bore, just opened.
        truth: its machine, before its first act; it is used up.
        with_temperature: whether the part's temperature is taken after each pass.

    Returns:
        How it ended.
    """
    for _ in range(MOST_ACTIONS):
        advice: Mapping[str, Any] = bore.advise()
        if advice["action"] == "release":
            bore.record({"event": "released", **{name: advice["release"][name] for name in SIGNED}})
            return outcome("advised", truth, "released")
        if advice["action"] in ENDS:
            bore.record({"event": "quarantined", "reason": advice["say"]})
            ending: Ending = "scrapped" if truth.verdict() == "over" else "quarantined"
            return outcome("advised", truth, ending)
        for entry in follow(truth, advice, with_temperature=with_temperature):
            enter(bore, entry)
    bore.record({"event": "quarantined", "reason": "it goes round in circles"})
    return outcome("advised", truth, "quarantined")


def enter(bore: Bore, entry: Mapping[str, object]) -> bool:
    """Enter what happened; a reading that is refused because it cannot be true is left out, and taken again.

    Args:
        bore: the bore.
        entry: the entry.

    Returns:
        Whether it was taken in.

    Raises:
        EntryError: something other than a reading is refused.
    """
    try:
        bore.record(entry)
    except EntryError:
        if "as_read" not in entry:
            raise
        return False
    return True


def follow(truth: Truth, advice: Mapping[str, Any], *, with_temperature: bool = True) -> list[dict[str, object]]:
    """Do on the machine what the advice says.

    Args:
        truth: the machine.
        advice: what ``Bore.advise`` returned.
        with_temperature: whether the part's temperature is taken after each pass.

    Returns:
        The entries that a machinist would make for it.
    """
    action = advice["action"]
    if action == "set":
        wanted = parse_length(advice["set"]["diameter"]).mm
        shown = truth.set_tool(wanted)
        truth.seat()
        return [{"event": "set", "diameter": _mm(shown)}, {"event": "seated"}]
    if action == "check_hole":
        return [{"event": "hole_checked", "as_read": _mm(truth.check_hole())}]
    if action == "move_and_cut":
        return [_moved(truth, advice["move"])]
    if action == "cut":
        return _cut(truth, with_temperature=with_temperature, trial=advice["cut"]["depth"] == "trial")
    if action == "measure" and advice["measure"]["setting"] == "anew":
        truth.set_gauge()
        return [{"event": "set_on", "on": "ring", "size": _mm(truth.told().size_mm)}]
    if action == "wait":
        return _waited(truth, advice, with_temperature=with_temperature)
    direction = 90.0 * (len(truth.acts) % 2)
    return [{"event": "read", "as_read": _mm(truth.read(direction))}]


def _cut(truth: Truth, *, with_temperature: bool, trial: bool) -> list[dict[str, object]]:
    truth.cut("trial" if trial else "full")
    entries: list[dict[str, object]] = [{"event": "passed", "depth": "trial" if trial else "full"}]
    if with_temperature:
        at_cut, now = truth.part_celsius("cut"), truth.part_celsius()
        entries.append({"event": "temperature", "of": "part", "celsius": f"{at_cut:.1f}", "when": "cut"})
        entries.append({"event": "temperature", "of": "part", "celsius": f"{now:.1f}"})
    return entries


def _waited(truth: Truth, advice: Mapping[str, Any], *, with_temperature: bool) -> list[dict[str, object]]:
    truth.wait()
    entries: list[dict[str, object]] = [{"event": "waited", "minutes": advice["wait"]["minutes"]}]
    if with_temperature:
        entries.append({"event": "temperature", "of": "part", "celsius": f"{truth.part_celsius():.1f}"})
    return entries


def _moved(truth: Truth, move: Mapping[str, Any]) -> dict[str, object]:
    if "lines" in move:
        truth.move(lines=float(move["lines"]))
        return {"event": "moved", "lines": move["lines"]}
    if "unlocked" not in move:
        truth.move(change_mm=parse_length(move["change"], signed=True).mm)
        return {"event": "moved", "change": move["change"]}
    # The readout is zeroed while the tool is locked: what it is turned to counts from there.
    before = truth.readout_mm or 0.0
    shown = truth.move(to_mm=before + parse_length(move["unlocked"], signed=True).mm)
    return {
        "event": "moved",
        "shown_unlocked": _mm((shown.unlocked_mm or 0.0) - before),
        "shown_locked": _mm((shown.locked_mm or 0.0) - before),
    }


def _mm(value_mm: float) -> str:
    return f"{value_mm:.4f} mm"
