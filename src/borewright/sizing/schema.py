"""The door of a bore as one JSON Schema: what goes in, what comes out, and the lines that carry both."""

from __future__ import annotations

import json
from typing import Final, get_args

from borewright import errors
from borewright.errors import BorewrightError
from borewright.gauging.conformity import Verdict
from borewright.quantity.length import UNITS
from borewright.record.schema import Schema, entry_schemas, start_schema
from borewright.record.stream import STREAM_KINDS
from borewright.sizing.belief import Stage
from borewright.sizing.choice import Action
from borewright.sizing.cut_schema import cut_schema
from borewright.sizing.described import (
    choice as _choice,
)
from borewright.sizing.described import (
    fields as _fields,
)
from borewright.sizing.described import (
    flag as _flag,
)
from borewright.sizing.described import (
    interval as _interval,
)
from borewright.sizing.described import (
    length as _length,
)
from borewright.sizing.described import (
    number as _number,
)
from borewright.sizing.described import (
    ref as _ref,
)
from borewright.sizing.described import (
    several as _list,
)
from borewright.sizing.described import (
    share as _share,
)
from borewright.sizing.described import (
    text as _text,
)
from borewright.sizing.described import (
    whole as _whole,
)
from borewright.sizing.save_hole import SAVINGS
from borewright.sizing.words import Place

VERSION: Final = 1
"""Version of the door. Fields may be added to it; whatever else changes for those who use it makes another version."""

_ABOUT: Final = (
    "What goes in and out of a bore: mappings in the library, JSON lines in the terminal. In an entry null counts as "
    "left out. Answers may gain fields, and words where one of several is said: pass over what you do not know."
)


def door_schema() -> Schema:
    """Describe the whole door.

    Returns:
        A schema that every line satisfies, whichever way it goes; each part stands under its name in ``$defs``.
    """
    entries = entry_schemas()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"The door of a bore, version {VERSION}",
        "description": _ABOUT,
        "anyOf": [_ref("question"), _ref("answer")],
        "$defs": {
            "question": _question(),
            "answer": {
                "description": "A line that answers one.",
                "anyOf": [_ref("recorded"), _ref("advice"), _ref("plans"), _ref("cut"), _ref("problem")],
            },
            "start": start_schema(),
            "entry": {"description": "Something that happened.", "anyOf": [_ref(name) for name in entries]},
            **entries,
            "recorded": recorded_schema(),
            "advice": advice_schema(),
            "plans": plans_schema(),
            "cut": cut_schema(),
            "problem": problem_schema(),
        },
    }


def door_text() -> str:
    """Write the schema of the door as it is kept and printed.

    Returns:
        JSON, indented, with a line end.
    """
    return json.dumps(door_schema(), indent=2, ensure_ascii=False) + "\n"


def recorded_schema() -> Schema:
    """Describe what ``record`` returns; the answer to a start is the same, of the opening.

    Returns:
        The schema of an object.
    """
    return _fields(
        "Where an event stands and how it was understood.",
        {
            "stream": _text("the record that it stands in, kind and name.", pattern=f"^({'|'.join(STREAM_KINDS)})/.+$"),
            "number": _whole("its place there, from 1."),
            "event": _text("what happened."),
            "hash": _text("SHA-256 over the hash before it and its own bytes.", pattern="^[0-9a-f]{64}$"),
            "understood": {
                "type": "object",
                "description": "its fields as stored: lengths and other decimals as text, what the record gave too.",
            },
            "warnings": _list("what surprises about it; none where nothing does.", _text("a sentence.")),
            "state": _choice("the state the work is now in.", get_args(Stage)),
        },
    )


def advice_schema() -> Schema:
    """Describe what ``advise`` returns.

    Returns:
        The schema of an object.
    """
    return _fields(
        "What to do next, what it rests on, and what would narrow it.",
        {
            "callout": _text("what the drawing asks, as written."),
            "model": _text("the model of belief that advises."),
            "unit": _choice("unit of every length in it.", UNITS),
            "state": _choice("the state the work is in.", get_args(Stage)),
            "action": _choice("what to do.", get_args(Action)),
            "say": _text("the same in one sentence, in the adjuster's own terms."),
            "why": _text("the ground of it, in one sentence."),
            "steps": _list("what to do, in order.", _text("one of them.")),
            "now": _interval("the hole as it is believed to be, at 20 °C."),
            "expect": _interval("the hole after the action."),
            "odds": _fields(
                "where the hole is after the action.",
                {
                    "oversize": _share("over the upper limit."),
                    "in_tolerance": _share("the whole hole within limits."),
                    "undersize": _share("under the lower limit, with metal left to cut."),
                },
            ),
            "passes_left": _whole("passes planned, the next one among them; 0 where none is."),
            "trials_left": _whole("how many of them are trial cuts."),
            "parts": _list("what makes the size after the action uncertain.", _part()),
            "would_help": _list("what would narrow it most, the best first.", _help()),
            "assumptions": _list("what nobody said and is taken for granted.", _assumption()),
            "questions": _list("what may lie behind a reading that surprises, the likeliest first.", _doubt()),
            "cautions": _list("what to beware of in doing it.", _text("one caution.")),
            "arithmetic": _list("the sums behind it.", _text("one line.")),
        },
        {
            "name": _text("what the bore is called; where it has a name."),
            "tool": _interval("the tool's diameter as it is believed to stand, its lock tight; where it is set."),
            "place": _choice("where to measure again; where the hole was read already.", get_args(Place)),
            "set": _fields(
                "how to set the tool; where that is the action.", {"diameter": _length("to what diameter.")}
            ),
            "move": _move(),
            "cut": _fields(
                "how deep to cut; where a cut is the action, or follows the move.",
                {"depth": _choice("through the bore, or a trial at its mouth.", ("full", "trial"))},
            ),
            "measure": _fields(
                "how to measure; where that is the action.",
                {"setting": _choice("with the gauge as it is set, or set on its master anew first.", ("same", "anew"))},
                {
                    "with": _choice("with a gauge that is not the machine's own probe.", ("own gauge",)),
                    "state": _choice("with the part out of its clamps.", ("free",)),
                },
            ),
            "wait": _fields(
                "how long the part is left to stand; where that is the action.",
                {"minutes": {"description": "minutes.", "type": "string"}},
            ),
            "land": _interval("what the land of a trial cut is to measure; where the next cut is one."),
            "aims": _list("the size that each planned pass aims at; where passes are planned.", _length("a size.")),
            "plan": _list("the hole as each planned pass is expected to leave it; as aims.", _interval("one of them.")),
            "cost": _number("what is still expected to be spent, in the unit of the costs; where passes are planned."),
            "save": _list(
                "what can still be done with a hole that has too little left to cut, the best first.", _way()
            ),
            "release": _release(),
        },
    )


def plans_schema() -> Schema:
    """Describe what ``plans`` returns.

    Returns:
        The schema of an object.
    """
    begins: dict[str, Schema] = {
        "passes": _whole("how many passes it has."),
        "checked": _flag("whether the hole is measured before its first pass."),
        "trial": _flag("whether one of its cuts is a trial cut."),
        "begins": _text("the same in words."),
    }
    return _fields(
        "The plans that are left, side by side.",
        {
            "callout": _text("what the drawing asks, as written."),
            "unit": _choice("unit of every length in it.", UNITS),
            "state": _choice("the state the work is in.", get_args(Stage)),
            "action": _choice("what is to be done next.", get_args(Action)),
            "why": _text("why the plan is advised that is; where nothing is to be cut, why not."),
            "minutes": _fields(
                "how long things take.",
                {
                    "pass": _minutes("one pass."),
                    "measurement": _minutes("one measurement of two readings."),
                    "trial": _minutes("one trial cut, without its measurement."),
                },
            ),
            "plans": _list("the cheapest plan of each number of passes, with and without the rest.", _plan(begins)),
            "shut": _list(
                "plans that cannot be.", _fields("one of them.", {**begins, "why": _text("what is in its way.")})
            ),
        },
        {"name": _text("what the bore is called; where it has a name.")},
    )


def problem_schema() -> Schema:
    """Describe what an error looks like as an answer.

    Returns:
        The schema of an object.
    """
    return _fields(
        "What was asked cannot be understood or cannot be done; nothing was recorded.",
        {
            "problem": _choice("the kind of error.", _problems()),
            "where": _text("the field or stream that it is about; empty where it is the whole."),
            "given": {
                "type": ["string", "number", "boolean", "null"],
                "description": "what was given, as text where JSON has no value for it.",
            },
            "wrong": _text("what is wrong, in one sentence."),
            "right": _text("what would be right, in one sentence; empty where nothing can be said."),
        },
        {
            "since": _list("of a conflict: the events that came in between.", {"type": "object"}),
            "line": _whole("of JSON lines: the number of the line that asked."),
        },
    )


def _question() -> Schema:
    asked: tuple[tuple[str, Schema], ...] = (
        ("start", _ref("start")),
        ("record", _ref("entry")),
        ("advise", {"type": "object", "properties": {}, "additionalProperties": False}),
        (
            "plans",
            {
                "type": "object",
                "properties": {
                    "pass_minutes": _number("minutes that a pass takes."),
                    "measurement_minutes": _number("minutes that a measurement of two readings takes."),
                },
                "additionalProperties": False,
            },
        ),
        ("cut", {"type": "object", "properties": {}, "additionalProperties": False}),
    )
    return {
        "description": "A line that asks: start a bore, record what happened to it, advise, compare its plans, or look"
        " at its cut.",
        "anyOf": [
            {"type": "object", "properties": {name: given}, "required": [name], "additionalProperties": False}
            for name, given in asked
        ],
    }


def _minutes(about: str) -> Schema:
    return _fields(
        about, {"minutes": _number("its minutes."), "origin": _text("whether they were asked or are assumed.")}
    )


def _plan(begins: dict[str, Schema]) -> Schema:
    step = _fields(
        "one cut.",
        {
            "trial": _flag("whether it is a trial cut: a land at the mouth, and the bore stays as it is."),
            "depth": _length("depth set, on the diameter."),
            "push_off": _length("push-off expected, on the diameter."),
            "leaves": _interval("the hole that it is meant to leave."),
        },
    )
    return _fields(
        "one plan.",
        {
            **begins,
            "advised": _flag("whether the advice follows it."),
            "cheapest": _flag("whether it is expected to cost least."),
            "steps": _list("its cuts, next first.", step),
            "odds": _fields(
                "where the hole is after the last pass.",
                {
                    "oversize": _share("over the upper limit."),
                    "in_tolerance": _share("the whole hole within limits."),
                    "undersize": _share("under the lower limit, with metal left to cut."),
                },
            ),
            "lost": _share("that a pass before the last makes the hole too large."),
            "too_large": _share("that it ends too large, on the way or at the end."),
            "minutes": _number("minutes expected, with those of one more pass where it ends under size."),
            "cost": _number("what it is expected to cost, in the unit of the costs."),
            "spent": _number("what of that is time."),
            "said": _text("the cost in passes."),
        },
    )


def _move() -> Schema:
    return _fields(
        "how to move the tool; where it is to be moved.",
        {
            "direction": _choice("which way.", ("open", "close")),
            "change": _length("the whole change, on the diameter."),
        },
        {
            "lines": _text("of a dial: the same in lines, plus opens."),
            "turns": _whole("of a dial: whole turns in it, where the lines of a turn are known."),
            "lines_over": _text("of a dial: lines beyond the whole turns."),
            "back_lines": _whole("of a dial: lines to close first, past the backlash, before opening takes it up."),
            "unlocked": _length("of a readout: what it is to show before locking, as it shows it."),
            "zeroed": _choice("of a readout: zeroed after unlocking; before, where nothing is said.", ("unlocked",)),
            "locked": _length("what the readout or the control is to show then, as it shows it."),
            "within": _length("of a readout: how far off it may be before moving again pays."),
        },
    )


def _release() -> Schema:
    part = _fields(
        "one source.",
        {
            "what": _text("the source."),
            "width": _length("its standard uncertainty."),
            "share": _share("of the variance of the size."),
        },
        {"dof": _whole("degrees of freedom, where it is an estimate from few.")},
    )
    return _fields(
        "the evidence for a release, by the gauge's word alone; where the hole was read since the last full pass.",
        {
            "verdict": _choice("what the rule says of it.", get_args(Verdict)),
            "probability": _share("that the whole hole is within limits."),
            "rule": _text("the rule by which it is judged."),
            "size": _length("the size at 20 °C."),
            "expanded": _length("its expanded uncertainty."),
            "coverage": _text("the coverage of that."),
            "u": _length("its standard uncertainty."),
            "k": _number("coverage factor: expanded over standard uncertainty."),
            "readings": _whole("how many readings it rests on."),
            "as_read": _list("the readings, as the gauge showed them.", _length("one reading.")),
            "correction": _length("what was added to their mean for warmth, signed."),
            "oversize": _share("that any of it is above the upper limit, by the gauge alone."),
            "undersize": _share("that any of it is below the lower limit, by the gauge alone."),
            "parts": _list("where the uncertainty comes from, the largest first.", part),
        },
        {
            "dof": _whole("effective degrees of freedom, where any part has few."),
            "not_shown_for": _text("why readings that would show it in do not release it."),
            "held": _text("how the part was held as it was read, where somebody said."),
        },
    )


def _part() -> Schema:
    return _fields(
        "one source of doubt.",
        {
            "what": _text("what is uncertain."),
            "width": _length("how much of the standard deviation it makes."),
            "said": _text("the same as the trade says it."),
        },
    )


def _help() -> Schema:
    return _fields(
        "something to find out.",
        {
            "what": _text("what would tell."),
            "about": _text("what it tells of."),
            "narrows": _text("the standard deviation as it is, and as it would be."),
            "said": _text("what it is worth, in the trade's words."),
        },
        {
            "saves": _number("before a cut: how much cheaper the rest then is expected to be, in the costs' unit."),
            "takes": _number("before a cut: what it takes to find out, in that unit; 0 for what somebody may know."),
        },
    )


def _assumption() -> Schema:
    return _fields(
        "one thing assumed.",
        {
            "name": _text("its name in the model."),
            "what": _text("what it is."),
            "value": _text("its value, with its unit."),
            "width": _text("one standard deviation, with its unit; empty or nothing where it is a setting."),
            "origin": _text("on what ground."),
        },
    )


def _doubt() -> Schema:
    return _fields(
        "one thing that may have happened.",
        {
            "reading": _whole("the number of the event that surprises most."),
            "cause": _text("what may have happened."),
            "check": _text("what tells it apart."),
            "odds": _share("its share among the causes named."),
        },
    )


def _way() -> Schema:
    return _fields(
        "one way to save the hole.",
        {
            "way": _choice("which.", SAVINGS),
            "what": _text("what is done."),
            "trial": _flag("whether it begins with a trial cut."),
            "odds": _fields(
                "where the hole is after it.",
                {
                    "oversize": _share("over the upper limit."),
                    "in_tolerance": _share("the whole hole within limits."),
                    "undersize": _share("under the lower limit."),
                },
            ),
            "expect": _interval("the hole after it."),
            "cost": _number("what it is expected to cost, with what may be lost, in the unit of the costs."),
            "said": _text("the cost in passes."),
            "finish": _text("what it leaves of the surface."),
            "forfeits": _text("what is given up with it."),
        },
    )


def _problems() -> tuple[str, ...]:
    """Name the errors, the root of the family left out."""
    family = (kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, BorewrightError))
    return tuple(kind.name for kind in family if kind is not BorewrightError)
