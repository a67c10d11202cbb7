"""Advice in the adjuster's own terms and the trade's words."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal, TypeAlias

from borewright.quantity.length import Length, Unit
from borewright.quantity.rounding import round_to_step
from borewright.quantity.say import say_length
from borewright.quantity.show import show_length
from borewright.record.payloads.shared import Adjuster
from borewright.sizing.belief import Belief
from borewright.sizing.choice import Chosen
from borewright.sizing.model import Model
from borewright.sizing.settings_apart import ANEW
from borewright.sizing.waiting import WAIT_MINUTES

WHY: Final = {
    "released": "The bore is released.",
    "quarantined": "The bore is set aside; reopen it to go on.",
    "surprise": "The last reading does not fit: one at the same place tells a misreading from a hole that is so.",
    "near size": "As it is it may be to size already, or over it: that is measured before anything is cut.",
    "check pays": "Knowing the hole before the first pass is worth more than the minute that it takes.",
    "set first": "Nobody knows the push-off yet: the first pass stays under the upper limit even if there is none.",
    "set last": "One pass is enough for what there is to cut; it stays under the upper limit even with no push-off.",
    "first reading": "The pass is cut; what it left is not known until it is measured.",
    "second reading": "A second reading across the first takes out some of the gauge's scatter and of the oval.",
    "trial": "The land of the trial cut shows the push-off before the whole bore is at stake.",
    "trial first": "A trial cut at the mouth shows for less than a pass where the tool stands and what pushes it off.",
    "after the trial": "The trial cut shows that the tool stands where the pass wants it.",
    "as it stands": "The tool stands where the next pass wants it.",
    "move again": "Where the tool now stands is further off than moving it again would cost.",
    "more to come": "A pass like the next one teaches what the last one needs to know.",
    "last pass": "What the passes so far have taught leaves no more to learn than the gauge can see.",
    "spring pass": "Cutting again without moving takes off what the tool sprang away from.",
    "shown in": "By the rule the readings show the bore within limits where it was measured.",
    "make sure": "The readings show it in, but two more, at other depths, make it surer than another cut could.",
    "temperature": "The part's warmth is the largest doubt in its size; a thermometer settles most of it.",
    "could be shown": "It is more likely in than not; more readings, at other depths, may show it.",
    "set anew": "It may be in; set on its master again the gauge errs otherwise, and both settings together show more.",
    "warm part": "The part's warmth is what keeps it from being shown in: nearer to 20 °C its size is better known.",
    "waited": "The part stands nearer to 20 °C now; a release asks for what the gauge shows of it as it is.",
    "sure it is lost": "It reads too large on one setting of the gauge; before it is lost, another must say so too.",
    "settings differ": "The settings of the gauge contradict each other; a third tells which of them was wrong.",
    "gauge off": "The gauge is not as it was set: what it showed since counts for nothing until it is set anew.",
    "fresh setting": "The gauge was set anew; what it shows now is worth as much as what it showed before.",
    "in clamps": "Letting the clamps go may change it, and it must be in tolerance out of them.",
    "own probe": "Only the machine's own probe measured it, with the slides that cut it: that releases no bore.",
    "near the upper limit": "It stands too near the upper limit to be shown in, and a cut can only make it larger.",
    "cannot be shown": "It is likely in, but with this gauge no reading can show it by the rule; another gauge may.",
    "too large": "The hole is over the upper limit, and metal cannot be put back.",
    "held back": "What its figures may mean keeps the tool from being opened; an indicator on the tip tells.",
    "nothing left to cut": "Any further cut is more likely to lose the part than to bring it in.",
}
"""One sentence for each ground of a choice."""

CLAMP: Final = "Clamp the part as it was cut before, and enter that."
"""The first step of a cut where the clamps were let go."""

SPINDLE: Final = (
    "Stop the spindle and lock it out before a hand, key or gauge goes near the tool; the machine builder's and local "
    "rules come first."
)
EDGE: Final = (
    "The edge and the bore's mouth cut: keep fingers off them, no gloves near a turning spindle, eyes protected."
)
HEAVY: Final = (
    "Lift heavy heads with a hoist; never run above the speed that the weakest part of the tool is rated for."
)
Place: TypeAlias = Literal["same", "across", "depth"]
"""Where to measure again: at the same place, a quarter round from it, or at another depth."""

ACROSS: Final = "Turn the gauge a quarter round, at the same depth, and rock it through its least reading."

AGAIN: Final[Mapping[Place, tuple[str, str]]] = {
    "same": ("Measure again at the same place.", "Rock the gauge through its least reading where it was read before."),
    "across": ("Measure again, a quarter round.", ACROSS),
    "depth": ("Measure again at another depth.", "Rock the gauge through its least reading deeper or shallower."),
}
"""How measuring again is said, and how it is done. A misreading shows at the same place, the hole's form elsewhere."""

AGAIN_ON: Final = frozenset({"surprise", "second reading", "make sure", "could be shown", "near size"})
"""Grounds on which a hole that was read is measured again, with nothing else to be done first."""

WATCHED: Final = (
    "Put an indicator on the tip and watch it as you turn: no move has shown yet what a line is worth. Where it goes "
    "much further than the move says, turn back and describe the adjuster anew."
)
HEIGHT: Final = "An inclined slide changes the tool's length too: check the depth stop where it matters."


TRIAL: Final = (
    "Cut at the mouth, only as far in as the chamfer takes away: the mouth may come out larger. No chamfer, or the "
    "land too short for the gauge's feet? Cut through."
)
THROUGH: Final = "Cut through, the whole depth, with speed and feed of the last pass."
"""How a pass is cut after a move; it never points at a trial cut, which stops at the mouth."""


@dataclass(frozen=True, slots=True)
class Turn:
    """A move of the adjuster, as it is done and entered.

    Args:
        direction: ``open`` or ``close``.
        change: the whole change on the diameter, signed.
        lines: the same in lines, signed decimal text, for a dial.
        turns: whole turns in it, where the dial's lines in a turn are known.
        lines_over: lines beyond the whole turns.
        back_lines: lines to close first, where the tool must be closed and taken up; 0 otherwise.
        locked: what a readout or the control is to show for it after locking, in its own terms.
        unlocked: what a readout is to show before locking, in its own terms.
        within: how far off the locked reading may be before turning again pays, in its own terms, in whole steps of it.
        zeroed: ``unlocked`` where a readout is to be zeroed after unlocking; else None.
    """

    direction: str
    change: str
    lines: str | None = None
    turns: int | None = None
    lines_over: str | None = None
    back_lines: int = 0
    locked: str | None = None
    unlocked: str | None = None
    within: str | None = None
    zeroed: str | None = None


def turn_of(
    chosen: Chosen, model: Model, unit: Unit, lock_seen_mm: float, backlash_mm: float, unlocking_mm: float = 0.0
) -> Turn:
    """Put a move into the adjuster's own terms.

    Args:
        chosen: the choice, with a step that moves the tool.
        model: the bore's constants.
        unit: the unit of the bore.
        lock_seen_mm: the mean lock shift as believed, mm on the diameter.
        backlash_mm: a backlash that is surely more than the screw's, mm on the diameter.
        unlocking_mm: what unlocking takes away and a readout that is zeroed after it counts, mm on the diameter.

    Returns:
        The move.
    """
    assert chosen.step is not None
    adjuster, change = model.adjuster, chosen.step.change_mm
    direction = "open" if change >= 0.0 else "close"
    shown = show_length(change, unit, decimals=_decimals(adjuster, unit), sign=True)
    if adjuster.kind == "dial":
        return _dial_turn(adjuster, change, direction, shown, backlash_mm)
    scale = 1.0 / adjuster.per_diameter
    assert adjuster.step is not None
    own = Length(adjuster.step.value.normalize(), adjuster.step.unit)
    change += unlocking_mm
    locked = show_length(change * scale, own.unit, step=own, sign=True)
    # What is a whole number of steps must not fall under it for the sake of a float's last digit.
    within = round_to_step(round(max(chosen.within_mm * scale, 0.0), 9), own, "toward_zero").text
    if adjuster.kind == "offset":
        return Turn(direction, shown, locked=locked)
    unlocked = show_length((change - lock_seen_mm) * scale, own.unit, step=own, sign=True)
    zeroed = "unlocked" if model.zeroed_unlocked else None
    return Turn(direction, shown, locked=locked, unlocked=unlocked, within=within, zeroed=zeroed)


def say_turn(turn: Turn, adjuster: Adjuster) -> str:
    """Say a move in one breath.

    Args:
        turn: the move.
        adjuster: what is moved.

    Returns:
        Such as ``Open 1 turn and 9.5 lines``.
    """
    verb = turn.direction.capitalize()
    if adjuster.kind == "dial":
        return f"{verb} {_lines_text(turn)}"
    if adjuster.kind == "offset":
        return f"Enter {turn.locked} at the control"
    return f"{verb} to {turn.unlocked} on the readout"


def say_within(within: str) -> str:
    """Say how far off a readout may be, as it can show it.

    Args:
        within: that, with its unit.

    Returns:
        Such as ``or up to 0.001 mm off``; ``exactly`` where no other figure will do.
    """
    return f"or up to {within} off" if any(digit in within for digit in "123456789") else "exactly"


def place_of(chosen: Chosen, belief: Belief) -> Place | None:
    """Say where to measure again.

    Args:
        chosen: the choice.
        belief: what is believed, with the readings and what is in doubt about them.

    Returns:
        The same place while the last reading is in doubt; across the first for the second; then another depth. None
        where nothing is measured again.
    """
    if chosen.action != "measure" or not belief.readings or chosen.ground not in AGAIN_ON:
        return None
    doubted = any(doubt.reading == belief.readings[-1].number for doubt in belief.doubts) and not belief.as_told
    if doubted or chosen.ground == "surprise":
        return "same"
    return "across" if chosen.ground == "second reading" else "depth"


def steps_of(
    chosen: Chosen, turn: Turn | None, model: Model, set_diameter: str, place: Place | None = None
) -> list[str]:
    """List what to do, in order, one imperative each.

    Args:
        chosen: the choice.
        turn: the move in the adjuster's terms, or None.
        model: the bore's constants.
        set_diameter: the diameter to set, with its unit, where the tool is to be set.
        place: where to measure again, or None.

    Returns:
        The steps.
    """
    if chosen.action == "check_hole":
        return ["Stop the spindle.", "Wipe the hole and the gauge.", "Read the hole as it is."]
    if chosen.action == "set":
        return [
            f"Set the tool to {set_diameter} on the bench, coming up to it by opening.",
            "Tighten the tool lock and measure: what the bench then shows is what to enter.",
            "Wipe both tapers and put it in the spindle.",
        ]
    if chosen.action == "prove":
        return [
            "Stop the spindle and lock it out; draw the tool clear.",
            "Set an indicator against the tip, at right angles to it.",
            "Open, close, open again and lock as you are asked, and enter what the indicator shows.",
        ]
    if chosen.action == "wait":
        return [
            "Stop the spindle; draw the tool clear.",
            "Let the part, the gauge and its master stand together, out of sun, draught and coolant.",
            "Take the part's temperature, then read the bore again.",
        ]
    if chosen.action == "measure":
        return _measuring_steps(chosen.ground, place)
    trial = chosen.step is not None and chosen.step.trial
    if turn is not None:
        cut = TRIAL if trial else THROUGH
        return ["Stop the spindle.", *_turn_steps(turn, model.adjuster), cut]
    if trial:
        return [TRIAL, "Stop the spindle.", "Measure the land that it left."]
    if chosen.action == "cut":
        return [
            "Cut the pass.",
            "Come out as in every other pass: a change changes the size, and a stopped edge drawn out leaves a line.",
            "Stop the spindle.",
        ]
    return []


def _measuring_steps(ground: str, place: Place | None) -> list[str]:
    """List what to do to measure, in order."""
    clear, twice = "Stop the spindle; draw the tool clear.", "Read the bore twice, a quarter round between."
    if ground == "temperature":
        return ["Stop the spindle.", "Take the part's temperature near the bore.", "Read the gauge once more."]
    if ground in ANEW:
        return [clear, "Wipe gauge feet and master; set the gauge on its master again and enter that.", twice]
    if ground == "in clamps":
        return [clear, "Let the clamps go and enter that; to be cut again it must be clamped as it was.", twice]
    if ground == "own probe":
        wiped = "Wipe bore and gauge; use a gauge set on a master, not the machine's probe."
        return ["Stop the spindle; draw the probe clear.", wiped, twice]
    chips = "Clear the chips from bore and gauge feet by brush or cloth, air only where allowed; wipe the film."
    return [clear, chips, AGAIN[place][1] if place else "Rock the gauge through its least reading."]


def cautions_of(chosen: Chosen, model: Model) -> list[str]:
    """Return the cautions that belong to an action.

    Args:
        chosen: the choice.
        model: the bore's constants.

    Returns:
        The cautions, most pressing first.
    """
    if chosen.action in {"release", "quarantine", "none"}:
        return []
    cautions = [SPINDLE, EDGE]
    if not chosen.outlook.can_show:
        cautions.insert(
            0,
            f"By {chosen.outlook.rule.text} no reading with this gauge can show this tolerance: "
            "a better master, a closer temperature or a gauge with less scatter is needed before the last pass.",
        )
    if chosen.action == "move_and_cut" and chosen.outlook.watched:
        cautions.insert(0, WATCHED)
    if chosen.action == "set":
        cautions.append(HEAVY)
    if chosen.action == "move_and_cut" and model.adjuster.kind != "offset":
        cautions.append(HEIGHT)
    return cautions


def say_action(chosen: Chosen, turn: Turn | None, model: Model, set_diameter: str, place: Place | None = None) -> str:
    """Say the next action in one imperative sentence.

    Args:
        chosen: the choice.
        turn: the move in the adjuster's terms, or None.
        model: the bore's constants.
        set_diameter: the diameter to set, with its unit, where the tool is to be set.
        place: where to measure again, or None.

    Returns:
        The sentence.
    """
    trial = chosen.step is not None and chosen.step.trial
    if turn is not None:
        cut = "trial cut" if trial else "cut"
        done = cut if model.adjuster.kind == "offset" else f"tighten the tool lock, {cut}"
        return f"{say_turn(turn, model.adjuster)}, {done}."
    return {
        "set": f"Set the tool to {set_diameter}.",
        "check_hole": "Measure the hole before the first pass.",
        "cut": "Make a trial cut at the mouth."
        if trial
        else "Cut again without moving the tool."
        if chosen.ground == "spring pass"
        else "Cut.",
        "measure": "Set the gauge on its master again, then measure."
        if chosen.ground in ANEW
        else "Take the part's temperature, then measure again."
        if chosen.ground == "temperature"
        else "Measure it with a gauge of its own."
        if chosen.ground == "own probe"
        else "Let the clamps go, then measure."
        if chosen.ground == "in clamps"
        else AGAIN[place][0]
        if place
        else "Measure.",
        "wait": f"Let the part stand for {WAIT_MINUTES} minutes, then measure again.",
        "prove": "Prove the adjuster with an indicator on the tip, before it is opened further.",
        "release": "Release the bore.",
        "quarantine": "Set the bore aside.",
        "none": "Nothing is left to do.",
    }[chosen.action]


def say_cost(cost: float, pass_: float) -> str:
    """Say a cost in passes.

    Args:
        cost: the cost, in the unit of the costs.
        pass_: what a pass costs in it.

    Returns:
        Such as ``1.4 passes``, ``0.3 of a pass`` or ``less than 0.1 of a pass``.
    """
    passes = cost / pass_ if pass_ > 0.0 else cost
    if passes < 0.05:
        return "less than 0.1 of a pass"
    return f"{passes:.1f} passes" if passes >= 0.95 else f"{passes:.1f} of a pass"


def say_saving(saves: float, takes: float, pass_: float) -> str:
    """Say what finding something out saves and takes, and whether that pays.

    Args:
        saves: what it saves, in the unit of the costs.
        takes: what it takes, in the same unit.
        pass_: what a pass costs in it.

    Returns:
        Such as ``saves 0.4 of a pass, takes 0.2 of a pass: it pays``.
    """
    said = f"saves {say_cost(saves, pass_)}"
    if takes <= 0.0:
        return f"{said}, if somebody knows it"
    return f"{said}, takes {say_cost(takes, pass_)}: {'it pays' if saves > takes else 'it does not pay for this bore'}"


def say_width(mm: float, unit: Unit) -> str:
    """Say a width as the trade does.

    Args:
        mm: the width, mm.
        unit: the unit of the shop.

    Returns:
        Such as ``3.7 µm`` or ``1 and a half tenths``.
    """
    return say_length(mm, unit)


def _dial_turn(adjuster: Adjuster, change_mm: float, direction: str, shown: str, backlash_mm: float) -> Turn:
    grains = round(change_mm / adjuster.grain_mm)
    lines = round(Decimal(grains) / (adjuster.split or 1), 3)
    turns, over = None, None
    if adjuster.lines_per_turn is not None:
        turns = int(abs(lines) // adjuster.lines_per_turn)
        over = _lines(abs(lines) - turns * adjuster.lines_per_turn)
    back = math.ceil((abs(change_mm) + backlash_mm) / adjuster.line_mm) if change_mm < 0.0 else 0
    return Turn(direction, shown, lines=_lines(lines, sign=True), turns=turns, lines_over=over, back_lines=back)


def _lines(lines: Decimal, *, sign: bool = False) -> str:
    text = format(lines.normalize(), "f") if lines else "0"
    return f"+{text}" if sign and lines > 0 else text


def _lines_text(turn: Turn) -> str:
    whole = (turn.lines or "0").lstrip("+-")
    if not turn.turns:
        return f"{whole} {'line' if whole == '1' else 'lines'}"
    turns = f"{turn.turns} {'turn' if turn.turns == 1 else 'turns'}"
    if turn.lines_over == "0":
        return turns
    return f"{turns} and {turn.lines_over} {'line' if turn.lines_over == '1' else 'lines'}"


def _turn_steps(turn: Turn, adjuster: Adjuster) -> list[str]:
    if adjuster.kind == "offset":
        return [f"Enter {turn.locked} at the control, where it drives the slide; elsewhere an offset moves no tip."]
    if adjuster.kind == "dial":
        if turn.back_lines:
            forward = _lines(Decimal(turn.back_lines) + Decimal(turn.lines or "0"))
            how = [f"Close {turn.back_lines} lines, past the backlash.", f"Open {forward} lines: that takes it up."]
        else:
            how = [f"Open {_lines_text(turn)}; if you pass it, go back past the backlash and come up again."]
        return ["Note the dial, loosen the tool lock.", *how, "Tighten the tool lock."]
    tight = "Zero the readout with the tool lock tight, then loosen the tool lock."
    return [
        tight if turn.zeroed is None else "Loosen the tool lock, then zero the readout.",
        f"{turn.direction.capitalize()} until it reads {turn.unlocked}; make the last approach by opening.",
        f"Tighten the tool lock and turn no more: it should then read {turn.locked}, {say_within(turn.within or '')}.",
    ]


def _decimals(adjuster: Adjuster, unit: Unit) -> int:
    """Return how many decimals a whole grain of the adjuster needs in a unit, which need not be its own."""
    grain = float(Length(Decimal(repr(adjuster.grain_mm)), "mm").to(unit).value)
    for decimals in range(3 if unit == "mm" else 4, 7):
        whole = grain * 10.0**decimals
        if abs(whole - round(whole)) < 1e-6 * whole:
            return decimals
    return 7
