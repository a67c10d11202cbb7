"""What is asked after each card, and how an answer becomes an entry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, TypeAlias

from borewright.cli.read_words import read_fields
from borewright.cli.said import Said, Word
from borewright.errors import EntryError
from borewright.quantity.number import parse_number
from borewright.sizing.wanted import Event, wanted_by

Entry: TypeAlias = dict[str, object]
"""What ``Bore.record`` takes: ``event`` and the fields of its payload."""

WORD_HELP: Final[tuple[tuple[str, str], ...]] = (
    ("?", "why, what makes it uncertain, the arithmetic"),
    ("a", "what was assumed, with its width"),
    ("u", "undo the last entry"),
    ("t 21.4", "temperature of the part now; t tool 24, t room 20.5, t cut 23 for the part as it was cut"),
    ("n words", "a note"),
    ("l", "list what is recorded"),
    ("q", "leave; everything entered is kept"),
    ("", ""),
    ("check 45.92", "the gauge in the hole as it is"),
    ("set 46.31", "the tool's diameter as measured off the machine, its lock tight"),
    ("seated", "the tool was put in the spindle"),
    ("open 9.5", "the tool was moved: lines on a dial, else the change on the diameter; close 9.5"),
    ("cut", "cut through the bore; trial for a trial cut"),
    ("read 46.49", "the gauge in the bore; behind it at 12 90° for depth and direction, free, clamped or machine,"),
    ("", "probe where the machine's own took it, gauge where a gauge of its own did"),
    ("ring 46.500", "the gauge was set on a ring of that size; blocks, anvils"),
    ("recheck 46.500 46.501", "the ring's size, and what the gauge showed on it"),
    ("edge", "the insert was indexed or changed"),
    ("wait 60", "the part was left to come to its room's temperature for so many minutes"),
    ("clamp, unclamp", "the part was clamped, let go"),
    ("release", "sign the bore as good; aside and a reason sets it aside; reopen and a reason takes it up again"),
)


_BARE: Final[dict[Word, Entry]] = {
    "cut": {"event": "passed", "depth": "full"},
    "trial": {"event": "passed", "depth": "trial"},
    "seated": {"event": "seated"},
    "clamped": {"event": "clamped"},
    "unclamped": {"event": "unclamped"},
    "edge": {"event": "edge_changed"},
}
_ONE_FIELD: Final[dict[Word, tuple[str, str]]] = {
    "read": ("read", "as_read"),
    "check": ("hole_checked", "as_read"),
    "set": ("set", "diameter"),
    "note": ("noted", "text"),
    "waited": ("waited", "minutes"),
    "aside": ("quarantined", "reason"),
    "reopen": ("reopened", "reason"),
}
SHOWN: Final = "Type what it shows."
_ASKED: Final[dict[Event, tuple[str, Word, str]]] = {
    "seated": ("Is the tool in the spindle?", "seated", ""),
    "set": ("What does the bench show, tool lock tight?", "set", SHOWN),
    "moved": ("Is it moved, and the tool lock tight?", "moved", ""),
    "passed": ("Is it cut?", "cut", ""),
    "set_on": ("Which ring is the gauge set on, as marked?", "ring", "Type its size."),
    "hole_checked": ("What does the gauge show in the hole as it is?", "check", SHOWN),
    "read": ("What does the gauge show?", "read", SHOWN),
    "temperature": (
        "How warm is the part, °C?",
        "temperature",
        "Type it; or r and a reading, where there is no thermometer.",
    ),
    "proved": (
        "Is it proved?",
        "leave",
        "q leaves; borewright prove-adjuster leads through it and keeps it.",
    ),
    "unclamped": ("Are the clamps let go?", "unclamped", ""),
    "waited": ("For how many minutes was it left?", "waited", "Type the minutes."),
    "released": ("Sign it?", "read", ""),
    "quarantined": ("Sign it?", "read", ""),
    "": ("Is there more to do?", "note", "q leaves; reopen and a reason takes it up again."),
}
"""For each event that may be wanted: the question, what a bare value is entered as, and a hint."""


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked next.

    Args:
        ask: the question.
        event: what a bare value is entered as.
        offer: what Enter enters, or None where Enter enters nothing.
        hint: what to do, in a few words, where Enter enters nothing.
    """

    ask: str
    event: Word
    offer: Entry | None = None
    hint: str = ""


def question_for(advice: Mapping[str, object], *, in_spindle: bool, simulated: bool) -> Question:
    """Choose the one thing to ask after a card.

    Args:
        advice: what the advice says.
        in_spindle: whether the tool is known to be in the spindle as it was last set.
        simulated: whether a simulated machine can do and show what is asked for.

    Returns:
        The question.
    """
    wanted = wanted_by(advice, in_spindle=in_spindle)
    ask, word, hint = _ASKED[wanted.event]
    if wanted.event == "passed" and wanted.filled["depth"] == "trial":
        word = "trial"
    if wanted.event == "moved" and wanted.field == "shown_locked":
        ask = "What does the readout show, tool lock tight?"
    offered = wanted.event != "" and (wanted.whole or simulated)
    return Question(ask, word, (wanted.order if simulated else wanted.entry) if offered else None, hint)


def entry_of(word: Word, said: Said, *, adjuster: str, opens: bool) -> Entry:
    """Make the entry of a command, or of a bare value at a question.

    Args:
        word: what it is entered as.
        said: what was typed.
        adjuster: ``dial``, ``direct`` or ``offset``.
        opens: whether the advice opens the tool, for a move typed without a sign.

    Returns:
        The entry.

    Raises:
        EntryError: something is missing behind the command.
    """
    rest = said.rest
    if word in _BARE:
        if said.word is None:
            raise EntryError("No number is asked for here.", given=rest, right="Type r before what the gauge shows.")
        return {**_BARE[word]}
    if word == "aside" and not rest:
        return {"event": "quarantined"}
    if not rest:
        raise EntryError(f"Something is missing behind {said.name or word}.", right=_example(word))
    if word == "moved":
        return _move_entry(said, adjuster=adjuster, opens=opens)
    if word == "ring":
        return {"event": "set_on", "on": said.name or "ring", "size": rest}
    if word == "recheck":
        size, _, shown = rest.partition(" ")
        if not shown:
            raise EntryError("Two sizes are wanted.", given=rest, right=_example(word))
        return {"event": "rechecked", "size": size, "as_read": shown.strip()}
    if word in {"read", "check", "temperature"}:
        return _measured_entry(word, rest)
    event, field = _ONE_FIELD[word]
    entry: Entry = {"event": event, field: rest}
    return {**entry, "stream": "bore"} if word == "note" else entry


def far_from(entry: Entry, offer: Entry | None) -> bool:
    """Tell whether a dial was turned so far from what was advised that a slip is likelier, such as a reading typed.

    Args:
        entry: what was typed, as an entry.
        offer: what Enter would have entered.

    Returns:
        Whether it is further off than a tenth of the move and three lines.
    """
    if offer is None or entry.get("lines") is None or offer.get("lines") is None:
        return False
    turned = parse_number(str(entry["lines"]), "lines")
    advised = parse_number(str(offer["lines"]), "lines")
    return abs(turned - advised) > max(Decimal(3), abs(advised) / 10)


def _move_entry(said: Said, *, adjuster: str, opens: bool) -> Entry:
    """A move without a sign goes the way that was typed or, failing that, the way that was advised."""
    amount = said.rest.replace("−", "-").strip()  # a typographic minus
    if adjuster == "dial":
        amount = amount.removesuffix("lines").removesuffix("line").strip()
    if said.name.startswith(("open", "close")):
        opens = said.name.startswith("open")
        amount = amount.lstrip("+-")
    signed = amount if amount[:1] in {"+", "-"} else f"{'+' if opens else '-'}{amount}"
    field = {"dial": "lines", "direct": "shown_locked", "offset": "change"}[adjuster]
    return {"event": "moved", field: signed}


def _measured_entry(word: Word, rest: str) -> Entry:
    """A reading or a temperature, with what stands before or behind its number."""
    if word == "temperature":
        return _temperature_entry(rest)
    return {"event": _ONE_FIELD[word][0], **read_fields(rest)}


def _temperature_entry(rest: str) -> Entry:
    first, _, value = rest.partition(" ")
    of, when = {
        "tool": ("tool", "now"),
        "room": ("room", "now"),
        "part": ("part", "now"),
        "cut": ("part", "cut"),
    }.get(first.lower(), ("part", "now"))
    named = first.lower() in {"tool", "room", "part", "cut"}
    if named and not value:
        raise EntryError("The temperature is missing.", given=rest, right=_example("temperature"))
    return {"event": "temperature", "of": of, "celsius": value.strip() if named else rest, "when": when}


def _example(word: Word) -> str:
    examples = {
        "read": "read 46.491",
        "check": "check 45.922",
        "set": "set 46.310",
        "moved": "open 9.5",
        "temperature": "t 21.4, t tool 24 or t cut 23.5",
        "ring": "ring 46.500",
        "recheck": "recheck 46.500 46.501",
        "note": "n and the words of the note",
        "aside": "aside and the reason",
        "reopen": "reopen and the reason",
    }
    return f"Type {examples.get(word, word)}."
