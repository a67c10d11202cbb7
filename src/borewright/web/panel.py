"""What is entered: the one form or tap that answers the card, and the other things that may have happened."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from borewright.quantity.length import Unit
from borewright.shop.stands import KINDS
from borewright.sizing.bore import Bore
from borewright.sizing.wanted import ON_ADVICE, Wanted
from borewright.web.plain import Plain, bare, group

NOTHING: Final[Mapping[str, object]] = MappingProxyType({})

READY: Final = (
    "spindle stopped and locked out",
    "chips cleared, film wiped",
    "gauge checked on its ring today",
    "part no longer warm",
)
"""What makes a hole ready to gauge; common practice, no source. Nobody has said any of it until it is ticked."""


@dataclass(frozen=True, slots=True)
class Form:
    """A form that takes one number or one line of words.

    Args:
        event: the kind of event it enters.
        field: the field that is typed.
        ask: what is asked.
        submit: what the button says.
        unit: unit that the number is in, or words such as ``lines``; empty for words.
        default: what Enter enters where nothing is typed.
        filled: other fields of the entry, as JSON.
        signed: whether the number has a sign.
        on_advice: whether it acts upon the advice shown.
        hint: what to type, in a few words.
        seen: whether it takes what an instrument shows: nothing can be entered before that is typed.
    """

    event: str
    field: str
    ask: str
    submit: str
    unit: str = ""
    default: str = ""
    filled: str = "{}"
    signed: bool = False
    on_advice: bool = False
    hint: str = ""
    seen: bool = False

    @property
    def placeholder(self) -> str:
        """What stands in the empty field: what was advised, said so, or what to type."""
        return f"as advised: {self.default}" if self.default else self.hint

    @property
    def reads(self) -> bool:
        """Whether it takes a reading of the gauge, which can be taken once more."""
        return self.field == "as_read"

    @property
    def whole_default(self) -> str:
        """The default with its unit, as it is entered."""
        return f"{self.default} {self.unit}" if self.default and self.unit in {"mm", "in"} else self.default

    @property
    def switches(self) -> bool:
        """Whether the number may be typed in another unit."""
        return self.unit in {"mm", "in"}


@dataclass(frozen=True, slots=True)
class Tap:
    """Something entered by one tap.

    Args:
        label: what the button says.
        act: the entry, as JSON.
        note: what it means.
    """

    label: str
    act: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Panel:
    """What is asked beside the card.

    Args:
        ask: the question.
        form: the form that answers it, or None.
        taps: the taps that answer it, the usual one first.
        link: where it is answered, and what that says; empty where it is answered here.
        ready: points to tick before a gauge goes in; none where nothing is gauged.
    """

    ask: str
    form: Form | None = None
    taps: tuple[Tap, ...] = ()
    link: tuple[str, str] = ("", "")
    ready: tuple[str, ...] = ()


PART_NOW: Final = Form(
    "temperature", "celsius", "Part now", "Enter temperature", "°C", filled='{"of":"part","when":"now"}'
)
"""The form of the part's temperature."""


ROOM_NOW: Final = Form(
    "temperature", "celsius", "Room beside it", "Enter the room's", "°C", filled='{"of":"room","when":"now"}'
)
"""The form of the room's temperature: what a part comes to that is left to soak."""


_ONE_TAP: Final = {
    "seated": ("Is it in the spindle?", Tap("It is in the spindle", '{"event":"seated"}')),
    "unclamped": ("Are the clamps let go?", Tap("Clamps let go", '{"event":"unclamped"}')),
}
"""What is answered by one tap, and the tap."""

_ELSEWHERE: Final = {
    "released": ("Who signs?", "release", "Go on to release"),
    "quarantined": ("Who signs?", "release", "Go on to set it aside"),
    "proved": ("What does an indicator on the tip show?", "prove", "Prove the adjuster"),
}
"""What is asked, where it is answered, and what leads there."""


def panel_of(wanted: Wanted, unit: Unit, bore: str) -> Panel:
    """Say what is asked beside the card.

    Args:
        wanted: what the advice waits for.
        unit: unit that lengths are shown in.
        bore: the bore's name in the record.

    Returns:
        The panel.
    """
    if wanted.event in {"read", "hole_checked"}:
        return Panel("What does the gauge show?", reading(unit, wanted.event, wanted.filled), ready=READY)
    if wanted.event == "set_on":
        return Panel("Which ring is the gauge set on?", ring(unit))
    if wanted.event == "temperature":
        return Panel("How warm is the part?", _form(wanted, "Part now", "Enter temperature", "°C"))
    if wanted.event == "waited":
        return Panel("Has it stood?", _form(wanted, "Minutes it stood", "It has stood", "min"))
    if wanted.event == "set":
        form = _form(wanted, "Bench shows, tool lock tight", "Enter as measured", unit)
        return Panel("What does the bench show, tool lock tight?", form)
    if wanted.event == "moved":
        return _moved(wanted)
    if wanted.event == "passed":
        return Panel("Is it cut?", taps=_cuts(str(wanted.filled.get("depth"))))
    if wanted.event in _ONE_TAP:
        ask, tap = _ONE_TAP[wanted.event]
        return Panel(ask, taps=(tap,))
    ask, page, said = _ELSEWHERE.get(wanted.event, ("Nothing is left to do.", "release", "See what was signed"))
    return Panel(ask, link=(f"/bores/{bore}/{page}", said))


def reading(unit: Unit, event: str = "read", filled: Mapping[str, object] = NOTHING) -> Form:
    """Make the form of a reading.

    Args:
        unit: unit that lengths are shown in.
        event: ``read``, or ``hole_checked`` for the hole before the first pass.
        filled: other fields of the entry.

    Returns:
        The form.
    """
    return Form(event, "as_read", "Gauge shows", "Enter reading", unit, filled=as_json(filled), hint="diameter")


def ring(unit: Unit) -> Form:
    """Make the form of a gauge's setting.

    Args:
        unit: unit that lengths are shown in.

    Returns:
        The form.
    """
    return Form(
        "set_on", "size", "Gauge set on a ring of", "Gauge was set", unit, filled='{"on":"ring"}', hint="marked"
    )


def others(unit: Unit, adjuster: str, *, moved: bool) -> tuple[Form, ...]:
    """Make the forms of what may have happened besides.

    Args:
        unit: unit that lengths are shown in.
        adjuster: ``dial``, ``direct`` or ``offset``.
        moved: whether the tool can have been moved: it was set before.

    Returns:
        The forms.
    """
    forms = [
        reading(unit),
        PART_NOW,
        Form("temperature", "celsius", "Part as cut", "Enter temperature", "°C", filled='{"of":"part","when":"cut"}'),
        Form("set", "diameter", "Bench shows, tool lock tight", "Tool was set", unit),
        ring(unit),
        Form("waited", "minutes", "Part left to stand for", "It has stood", "min"),
        Form("noted", "text", "Note for whoever comes after", "Keep the note", filled='{"stream":"bore"}'),
    ]
    if moved:
        field = {"dial": "lines", "direct": "shown_locked", "offset": "change"}[adjuster]
        words = "lines" if adjuster == "dial" else unit
        forms.insert(3, Form("moved", field, "Tool moved by", "Moved, tool lock tight", words, signed=True))
    return tuple(forms)


OTHER_TAPS: Final = (
    Tap("Cut through", '{"event":"passed","depth":"full"}'),
    Tap("Trial cut", '{"event":"passed","depth":"trial"}'),
    Tap("Tool put in the spindle", '{"event":"seated"}'),
    Tap("Insert changed", '{"event":"edge_changed"}'),
    Tap("Clamps let go", '{"event":"unclamped"}'),
    Tap("Clamped", '{"event":"clamped"}'),
)
"""What may have happened besides, entered by one tap."""


def _form(wanted: Wanted, ask: str, submit: str, unit: str, *, signed: bool = False) -> Form:
    default, own = bare(wanted.filled.get(wanted.field, ""))
    filled = {name: value for name, value in wanted.filled.items() if name != wanted.field}
    return Form(
        wanted.event,
        wanted.field,
        ask,
        submit,
        own or unit,
        default,
        as_json(filled),
        signed,
        wanted.event in ON_ADVICE,
        "as measured",
    )


def _moved(wanted: Wanted) -> Panel:
    if wanted.field == "lines":
        form = _form(wanted, "Moved by", "Moved, tool lock tight", "lines", signed=True)
        return Panel("Is it moved, and the tool lock tight?", form)
    if wanted.field == "shown_locked":
        form = _form(wanted, "Readout shows, tool lock tight", "Tool lock tight: it reads this", "mm", signed=True)
        # What the lock does to the tip is seen by this reading alone: it is never offered.
        form = replace(form, default="", hint="as shown", seen=True)
        return Panel("What does the readout show, tool lock tight?", form)
    return Panel("Is it entered?", _form(wanted, "Entered", "Entered at the control", "mm", signed=True))


def held_taps(advice: Plain) -> tuple[Tap, ...]:
    """Make the taps of a cut that was made while the server was out of reach, the one last advised first.

    Args:
        advice: the advice that was shown last.

    Returns:
        The taps, worded as a record: nothing is advised meanwhile.
    """
    trial = Tap("I cut: trial only", '{"event":"passed","depth":"trial"}', "a land at the mouth")
    full = Tap("I cut: the whole depth", '{"event":"passed","depth":"full"}', "through the bore")
    return (trial, full) if group(advice, "cut").get("depth") == "trial" else (full, trial)


def _cuts(depth: str) -> tuple[Tap, ...]:
    full = Tap("Cut through", '{"event":"passed","depth":"full"}', "the whole depth")
    trial = Tap("Trial cut only", '{"event":"passed","depth":"trial"}', "only as far in as the chamfer takes away")
    return (trial, full) if depth == "trial" else (full, trial)


def as_json(values: Mapping[str, object]) -> str:
    """Write values into an attribute.

    Args:
        values: plain values.

    Returns:
        JSON, always in the same order.
    """
    return json.dumps(dict(values), ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def numbers_of(bore: Bore) -> str:
    """Write the number of the last event by kind of stream, as a page sends it back with an act.

    Args:
        bore: the bore.

    Returns:
        JSON.
    """
    return as_json({kind: len(bore.events(kind)) for kind in KINDS})
