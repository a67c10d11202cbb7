"""The card with the next move: what the hand does, in the adjuster's own terms, and what will come of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal, cast

from borewright.quantity.length import Unit, parse_length
from borewright.quantity.odds import say_odds
from borewright.quantity.say import say_length
from borewright.sizing.words import Place, say_within
from borewright.web.cuts import NO_CUTS, Cuts
from borewright.web.plain import Plain, bare, between, group, groups, listed, tells

BEWARE: Final = {
    "set": "Tool on the bench: the edge cuts, and a heavy head wants a hoist.",
    "cut": "Hands and gauge clear, guard shut, before the spindle turns.",
}
"""The caution that stands with the move itself; common practice, no source. All of them stand under it."""

RISKY: Final = 0.01
"""Odds of a hole too large from which on they stand out. Chosen, not measured."""

NO_CHAMFER: Final = "No chamfer, or the land too short for the gauge's feet? Cut through."
"""What a trial cut must not be made without: the mouth may come out larger, and a short land seats no gauge. It stands
with every move that is made for one."""

STOPPED: Final = "Spindle stopped and locked out first."

AGAIN: Final[Mapping[Place, tuple[str, str]]] = {
    "same": ("same place", "settles whether it was misread"),
    "across": ("across", "a quarter round, same depth: evens out the oval"),
    "depth": ("new depth", "deeper or shallower: shows a taper"),
}
"""Where to measure again, in the fewest words, and what that tells."""

HERE: Final = frozenset({"measure", "wait", "prove", "check_hole", "release", "quarantine", "none"})
"""Actions that leave the hole as it is: what they tell is how it stands now."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of the large line: a number, or a word between numbers.

    Args:
        text: what stands there.
        kind: ``number`` or ``word``.
    """

    text: str
    kind: Literal["number", "word"] = "word"


@dataclass(frozen=True, slots=True)
class Fact:
    """A number beside the move.

    Args:
        label: what it is.
        value: the number.
        note: what it means, or how wide it is.
        strong: whether it is the one to look at first.
    """

    label: str
    value: str
    note: str = ""
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Card:
    """The next move.

    Args:
        action: the action as the advice names it; ``seat`` where the tool is to be put in first.
        verb: what to do, in a word or three.
        figure: the large line, number by number; empty where the verb says all.
        under: what belongs to the number.
        meant: what kind of cut the move is for, where that is not a pass like others; else empty.
        asks: what is to be looked at before such a cut; else empty.
        lock: what a readout is to show once the tool lock is tight.
        astray: what to do where it shows something else; empty without a readout.
        odd: that a reading does not fit, where one does not.
        steps: what to do, in order.
        risk: odds of a hole too large.
        risky: whether they are high enough to stand out.
        facts: what else will come of it.
        why: why, in a sentence.
        beware: the caution that stands with the move; empty where nothing moves.
        cautions: what to beware of, most pressing first.
        doubts: what may lie behind a reading that surprises.
        spoken: the move as it is read aloud.
    """

    action: str
    verb: str
    figure: tuple[Piece, ...]
    under: str
    meant: str
    asks: str
    lock: Fact | None
    astray: str
    odd: str
    steps: tuple[str, ...]
    risk: Fact
    risky: bool
    facts: tuple[Fact, ...]
    why: str
    beware: str
    cautions: tuple[str, ...]
    doubts: tuple[Fact, ...]
    spoken: str


def card_of(
    advice: Plain, unit: Unit, *, adjuster: str, on: str = "diameter", seat: str = "", cuts: Cuts = NO_CUTS
) -> Card:
    """Make the card of an advice.

    Args:
        advice: what ``Bore.advise`` returned, in the unit that is shown.
        unit: that unit.
        adjuster: ``dial``, ``direct`` or ``offset``.
        on: what its figures speak of, ``diameter`` or ``radius``.
        seat: what to do first, where the tool that was set is not in the spindle yet.
        cuts: the cuts that it counts on.

    Returns:
        The card.
    """
    action = "seat" if seat else str(advice["action"])
    verb, figure, under = _headline(action, advice, adjuster, on)
    lock = _lock(advice) if action == "move_and_cut" else None
    return Card(
        action=action,
        verb=verb,
        figure=figure,
        under=seat or _last(action, under, cuts),
        meant=_meant(action, cuts),
        asks=NO_CHAMFER if cuts.trial_next and not seat else "",
        lock=lock,
        astray=_astray(advice) if lock else "",
        odd=_odd(advice),
        steps=() if seat else tuple(str(step) for step in listed(advice, "steps")),
        risk=_risk(action, advice),
        risky=float(str(group(advice, "odds").get("oversize", 0))) >= RISKY,
        facts=_facts(action, advice, unit, cuts),
        why="" if seat else str(advice.get("why", "")),
        beware=BEWARE.get(action, STOPPED) if listed(advice, "cautions") else "",
        cautions=tuple(str(said) for said in listed(advice, "cautions")),
        doubts=_doubts(groups(advice, "questions")),
        spoken=_spoken(seat, advice),
    )


def _headline(action: str, advice: Plain, adjuster: str, on: str) -> tuple[str, tuple[Piece, ...], str]:
    if action == "set":
        value, shown = bare(group(advice, "set").get("diameter"))
        under = "on the bench, opened up to it, tool lock tight"
        return "Set the tool to", (Piece(value, "number"), Piece(shown)), under
    if action == "move_and_cut":
        return _move(group(advice, "move"), adjuster, on)
    if action == "release":
        value, shown = bare(group(advice, "release").get("size"))
        return "Release", (Piece(value, "number"), Piece(shown)), f"± {group(advice, 'release').get('expanded')}"
    if action == "measure" and "temperature" in str(advice.get("say")):
        return "Take the part's temperature", (), "near the bore, then measure once more"
    if action == "measure" and group(advice, "measure").get("setting") == "anew":
        return "Set the gauge again", (Piece("on its ring", "number"),), "then measure: each setting errs by itself"
    if action == "measure" and group(advice, "measure").get("state") == "free":
        return "Let the clamps go", (), "then measure: it must be in tolerance out of them"
    if action == "wait":
        minutes = Piece(str(group(advice, "wait").get("minutes")), "number")
        return "Let the part stand", (minutes, Piece("min")), "with gauge and master beside it, then measure again"
    if action == "cut" and _is_trial(advice):
        return "Trial cut", (), "at the mouth, only as far in as the chamfer takes away: the mouth may come out larger"
    if action == "measure" and advice.get("place"):
        where, tells = AGAIN[cast("Place", advice["place"])]
        return "Measure again", (Piece(where, "number"),), tells
    again = action == "cut" and "again" in str(advice.get("say"))
    verbs = {
        "seat": "Put the tool in",
        "check_hole": "Measure the hole",
        "cut": "Cut again, tool as it is" if again else "Cut",
        "measure": "Measure",
        "prove": "Prove the adjuster",
        "quarantine": "Set the bore aside",
        "none": "Released" if advice.get("state") == "released" else "Set aside",
    }
    return verbs[action], (), _under(action, again=again)


def _is_trial(advice: Plain) -> bool:
    return group(advice, "cut").get("depth") == "trial"


def _under(action: str, *, again: bool) -> str:
    if action == "cut":
        return "" if again else "the pass, through the bore"
    return {
        "measure": "what the pass left",
        "prove": "with an indicator on the tip, before it is opened further",
        "check_hole": "as it is, before the first pass",
    }.get(action, "")


def _move(move: Plain, adjuster: str, on: str) -> tuple[str, tuple[Piece, ...], str]:
    way = str(move.get("direction", "")).capitalize()
    if adjuster == "dial":
        return _dial(move, way)
    if adjuster == "offset":
        value, shown = bare(move.get("locked"))
        return "Enter", (Piece(value, "number"), Piece(shown)), f"at the control, to {way.lower()} it, then cut"
    value, shown = bare(move.get("unlocked"))
    zero = "loosen, zero" if move.get("zeroed") == "unlocked" else "zero with the tool lock tight, loosen"
    under = f"on the {on}: {zero}, {way.lower()} to it, tighten"
    return f"{way} to", (Piece(value, "number"), Piece(shown)), under


def _dial(move: Plain, way: str) -> tuple[str, tuple[Piece, ...], str]:
    lines = str(move.get("lines", "0")).lstrip("+-")
    under = "on from where the dial stands, then tighten the tool lock"
    if move.get("back_lines"):
        back = str(move["back_lines"])
        forward = f"{float(back) - float(lines):g}"
        both = (Piece(back, "number"), Piece("lines, then open"), Piece(forward, "number"))
        return "Close", both, under
    if not move.get("turns"):
        return way, (Piece(lines, "number"), Piece(_plural(lines, "line"))), under
    turns, over = str(move["turns"]), str(move.get("lines_over", "0"))
    whole = (Piece(turns, "number"), Piece(_plural(turns, "turn")))
    rest = () if over == "0" else (Piece("+"), Piece(over, "number"), Piece(_plural(over, "line")))
    return way, (*whole, *rest), under


def _meant(action: str, cuts: Cuts) -> str:
    """Say what a tool is set or moved for; a cut says by itself what it is."""
    if action not in {"set", "move_and_cut"}:
        return ""
    return "for a trial cut only" if cuts.trial_next else "for the last pass" if cuts.last else ""


def _last(action: str, under: str, cuts: Cuts) -> str:
    return "the last pass, through the bore" if action == "cut" and cuts.last else under


def _plural(count: str, word: str) -> str:
    return word if count == "1" else f"{word}s"


def _lock(advice: Plain) -> Fact | None:
    move = group(advice, "move")
    if move.get("unlocked") is None:
        return None
    still = " still" if move.get("locked") == move.get("unlocked") else ""
    label = f"Tighten the tool lock: it should{still} read"
    return Fact(label, str(move.get("locked")), say_within(str(move.get("within"))))


def _astray(advice: Plain) -> str:
    within = str(group(advice, "move").get("within"))
    more = f"More than {within} off" if tells(within) else "Any other figure"
    return f"{more}: do not cut; set it again."


def _odd(advice: Plain) -> str:
    return "Something is in question: see below." if groups(advice, "questions") else ""


def _risk(action: str, advice: Plain) -> Fact:
    over = group(advice, "odds").get("oversize", 0)
    return Fact("over size now" if action in HERE else "over size after it", say_odds(over))


def _facts(action: str, advice: Plain, unit: Unit, cuts: Cuts) -> tuple[Fact, ...]:
    if action == "release":
        judged = group(advice, "release")
        surety = Fact("within limits where measured", say_odds(judged.get("probability", 0)), "sure", strong=True)
        return (surety, Fact("judged by", str(judged.get("rule", ""))))
    now, expect = group(advice, "now"), group(advice, "expect")
    if action in HERE:
        inside = group(advice, "odds").get("in_tolerance", 0)
        seen = "expected, not measured" if advice.get("state") == "cut, not measured" else "hole now"
        facts = [Fact(seen, str(now.get("size", "")), between(now), strong=True)]
        return tuple(facts) if action == "check_hole" else (*facts, Fact("within limits", say_odds(inside)))
    if cuts.trial_next:
        facts = [
            Fact("land should measure", *cuts.land, strong=True),
            Fact("hole below it stays", str(now.get("size", "")), between(now)),
        ]
    else:
        facts = [Fact("leaves", str(expect.get("size", "")), between(expect), strong=True)]
    if action == "move_and_cut":
        facts.append(_change(group(advice, "move"), unit))
    if cuts.passes:
        facts.append(Fact("still to cut", cuts.words, "the next one counted"))
    return tuple(facts)


def _change(move: Plain, unit: Unit) -> Fact:
    """Say the whole change on the diameter, and in lines where there are some."""
    mm = parse_length(str(move.get("change")), signed=True).mm
    lines = str(move.get("lines", "")).lstrip("+-")
    note = f"{lines} {_plural(lines, 'line')} in all" if lines else "on the diameter"
    return Fact("tool opens by" if mm >= 0 else "tool closes by", say_length(abs(mm), unit), note)


def _doubts(questions: Sequence[Plain]) -> tuple[Fact, ...]:
    """Rank what may be wrong; causes that are told apart by their size alone, and checked alike, are one."""
    odds: dict[tuple[str, str], float] = {}
    for question in questions:
        cause = str(question.get("cause", "")), str(question.get("check", ""))
        odds[cause] = odds.get(cause, 0.0) + float(str(question.get("odds", 0)))
    ranked = sorted(odds.items(), key=lambda pair: -pair[1])
    return tuple(Fact(cause, say_odds(share), check) for (cause, check), share in ranked)


def _spoken(seat: str, advice: Plain) -> str:
    lock = _lock(advice) if not seat else None
    after = f" With the tool lock tight it should read {lock.value}, {lock.note}." if lock else ""
    return f"{seat or advice.get('say')}{after}"
