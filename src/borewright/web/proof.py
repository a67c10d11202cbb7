"""The page that proves an adjuster: one number at a time, and what was found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from borewright.errors import EntryError
from borewright.quantity.length import Unit, parse_length
from borewright.quantity.show import USUAL_DECIMALS, show_length
from borewright.sizing.bore import Bore
from borewright.sizing.proof_words import CAUTIONS
from borewright.web.card import Fact
from borewright.web.panel import Form, as_json, numbers_of
from borewright.web.plain import Plain, group, groups, which_of

PLACES = {"opened": "opened", "locked": "locked", "back": "closed", "home": "home", "line": "one line on"}


@dataclass(frozen=True, slots=True)
class ProofView:
    """A proof of the adjuster as far as it has come.

    Args:
        bore: the bore's name in the record.
        name: what it is called.
        which: its name in the record where what it is called does not tell it; else empty.
        callout: what the drawing asks, as written.
        unit: the unit shown.
        numbers: the number of the last event by kind of stream, as JSON.
        rehearsed: whether a simulated machine stands behind the bore.
        place: which reading of how many; empty before the first.
        do: what the hands do next.
        form: the form of the next number; None once all are in.
        shown: what was typed so far, newest first.
        found: what was found.
        say: the same in a sentence.
        left: how the finished proof leaves the tool, and what brings it back.
        entry: the entry that keeps it, as JSON; empty where nothing can be kept.
        cautions: what to beware of.
    """

    bore: str
    name: str
    which: str
    callout: str
    unit: Unit
    numbers: str
    rehearsed: bool
    place: str
    do: str
    form: Form | None
    shown: tuple[Fact, ...]
    found: tuple[Fact, ...]
    say: str
    left: str
    entry: str
    cautions: tuple[str, ...]


def proof_view(bore_id: str, bore: Bore, plain: Plain, *, rehearsed: bool = False) -> ProofView:
    """Make the view of a proof.

    Args:
        bore_id: the bore's name in the record.
        bore: the bore as it stands.
        plain: what ``Bore.prove`` returned; only ``unit`` before the indicator's step is known.
        rehearsed: whether a simulated machine stands behind the bore.

    Returns:
        The view.
    """
    unit = cast("Unit", str(plain["unit"]))
    coming, readings, given = group(plain, "next"), group(plain, "readings"), bore.opening.given
    done = int(str(plain.get("done", 0)))
    return ProofView(
        bore=bore_id,
        name=given.name or bore_id,
        which=which_of(bore_id, given.name),
        callout=given.callout,
        unit=unit,
        numbers=numbers_of(bore),
        rehearsed=rehearsed,
        place=f"{done + 1} of {plain['of']}" if coming else "",
        do=str(coming.get("do", "")) if readings else "First: how fine does the indicator read?",
        form=_form(coming, unit) if coming else None if readings else _step(unit),
        shown=tuple(
            Fact(PLACES[str(one["at"])], str(one["shown"]), str(number))
            for number, one in reversed(list(enumerate(groups(readings, "shown"), 1)))
        ),
        found=_found(plain, given.adjuster.line_mm, unit),
        say=str(plain.get("say", "")),
        left=str(plain.get("left", "")),
        entry=as_json(group(plain, "entry")) if plain.get("entry") else "",
        cautions=CAUTIONS,
    )


def _found(plain: Plain, told_mm: float, unit: Unit) -> tuple[Fact, ...]:
    """List what was found; of a line or a step, with the digits that its width leaves, how it differs from told."""
    rows = [Fact(str(row["what"]), str(row["value"]), str(row["within"])) for row in groups(plain, "found")]
    if not rows:
        return ()
    first = rows[0]
    found, half = parse_length(first.value).mm, parse_length(first.note.removeprefix("± ")).mm
    off = 100.0 * (found / told_mm - 1.0)
    decimals = USUAL_DECIMALS[unit] + 1
    value = show_length(found, unit, decimals=decimals)
    more = f"{abs(off):.1f} % {'more' if off >= 0.0 else 'less'} than told"
    return (Fact(first.label, value, f"{more}, ± {100.0 * half / told_mm:.1f} %"), *rows[1:])


def other_unit(error: EntryError, given: object, unit: Unit) -> EntryError:
    """Say it where what was refused was typed in the other unit.

    Args:
        error: the refusal.
        given: what was typed.
        unit: the unit that the page shows.

    Returns:
        The refusal, with the number in the unit of the page before it where that may be the slip; else as it was.
    """
    try:
        length = parse_length(str(given), signed=True)
    except EntryError:
        return error
    if length.unit == unit:
        return error
    shown = show_length(length, unit, decimals=3 if unit == "mm" else 4, sign=True)
    wrong = f"{length.text} is {shown}. Did you mean {unit}? {error.wrong}"
    return EntryError(wrong, given=error.given, right=error.right, where=error.where)


def _form(coming: Plain, unit: Unit) -> Form:
    filled = as_json({"at": coming["at"]})
    return Form("proved", "shown", str(coming["ask"]), "Enter", unit, filled=filled, signed=True, hint="on the radius")


def _step(unit: Unit) -> Form:
    return Form(
        "proved", "step", "Smallest step", "Begin", unit, hint=f"such as {'0.001' if unit == 'mm' else '0.0001'}"
    )
