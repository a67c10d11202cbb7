"""``borewright prove-adjuster``: a quarter of an hour with an indicator on the tip, one number at a time."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import cast

from borewright.cli.card import listed, part
from borewright.cli.records import identity_of, opened
from borewright.cli.rows import labelled, pairs, strong, wrapped
from borewright.cli.said import is_yes
from borewright.cli.talk import LeftError, Row, Talk, Terminal, say
from borewright.errors import BorewrightError
from borewright.shop import acts, bores
from borewright.shop.store import Store
from borewright.sizing.bore import Bore

Plain = Mapping[str, object]
INTERRUPTED = 130


def run_proof(name: str, by: str | None, folder: Path) -> int:
    """Prove the adjuster of the tool of a bore on record.

    Args:
        name: the bore's identity, or as much of it or of its name as tells it apart.
        by: who enters, or None.
        folder: the folder of the records.

    Returns:
        The exit code.

    Raises:
        BorewrightError: there is no such bore, or the record cannot be opened.
    """
    talk = Terminal()
    store = opened(folder)
    identity = identity_of(store, name, folder)
    draft = _Draft(folder / f"proof-{identity}.json")
    try:
        prove(talk, store, identity, draft, by)
    except LeftError:
        say(talk, "", "  Left. What was read is kept on this machine; the same command goes on with it.")
    except KeyboardInterrupt:
        say(talk, "", "  Left. What was read is kept on this machine; the same command goes on with it.")
        return INTERRUPTED
    return 0


def prove(talk: Talk, store: Store, identity: str, draft: _Draft, by: str | None) -> None:
    """Ask for the readings one after the other, say what they come to, and keep it.

    Args:
        talk: where it is shown and asked.
        store: the record.
        identity: the bore's name in the record.
        draft: what was read so far.
        by: who enters, or None.

    Raises:
        LeftError: the person left.
    """
    bore = bores.view(store, identity)
    width = talk.width
    talk.show(strong(f"Prove the adjuster of {bore.opening.given.name or identity}", width))
    while not draft.step:
        typed = _ask(talk, "  How fine does the indicator read? > ")
        if _stands(talk, bore, {"step": typed, "shown": []}) is not None:
            draft.keep(typed, [])
    stands = bore.prove(draft.readings)
    for caution in listed(stands, "cautions"):
        talk.show(labelled("careful", str(caution), width))
    while "next" in stands:
        coming = part(stands, "next")
        talk.show([Row(""), *strong(f"{int(str(stands['done'])) + 1} of {stands['of']}  {coming['do']}", width)])
        typed = _ask(talk, f"  {coming['ask']}, on the radius (u takes the last one back, q leaves) > ")
        if typed == "u":
            draft.keep(draft.step, draft.shown[:-1])
        else:
            shown = [*draft.shown, {"at": str(coming["at"]), "shown": typed}]
            if _stands(talk, bore, {"step": draft.step, "shown": shown}) is None:
                continue
            draft.keep(draft.step, shown)
        stands = bore.prove(draft.readings)
    _end(talk, store, identity, stands, draft, by)


def found_rows(stands: Plain, width: int) -> list[Row]:
    """Draw what a finished proof found.

    Args:
        stands: what ``Bore.prove`` returned.
        width: columns.

    Returns:
        The rows.
    """
    rows = [cast("Plain", row) for row in listed(stands, "found")]
    table = [(str(row["what"]), f"{row['value']} {row['within']}".strip()) for row in rows]
    left = strong(str(stands["left"]), width) if "left" in stands else []
    return [Row(""), *wrapped(str(stands.get("say", "")), width), Row(""), *pairs(table, width), Row(""), *left]


class _Draft:
    """Readings that are not recorded yet, on this machine."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self.step = ""
        self.shown: list[dict[str, str]] = []
        with suppress(OSError, ValueError, KeyError, TypeError):
            kept = json.loads(path.read_text("utf-8"))
            self.step, self.shown = str(kept["step"]), [dict(one) for one in kept["shown"]]

    @property
    def readings(self) -> dict[str, object]:
        return {"step": self.step, "shown": self.shown}

    def keep(self, step: str, shown: list[dict[str, str]]) -> None:
        self.step, self.shown = step, shown
        beside = self._path.with_suffix(".new")
        beside.write_text(json.dumps(self.readings), "utf-8")
        os.replace(beside, self._path)  # noqa: PTH105  # one step, so that a draft is never half written

    def drop(self) -> None:
        self._path.unlink(missing_ok=True)


def _end(talk: Talk, store: Store, identity: str, stands: Plain, draft: _Draft, by: str | None) -> None:
    talk.show(found_rows(stands, talk.width))
    entry = stands.get("entry")
    if not isinstance(entry, Mapping):
        if is_yes(talk.ask("Clear the readings, to prove it again? Enter = yes, n = no > ")):
            draft.drop()
        return
    if is_yes(talk.ask("Keep it? Enter = yes, n = no > ")):
        acts.record(store, identity, entry, by=by)
        draft.drop()
        say(talk, "  Kept, with the readings that it rests on.")


def _stands(talk: Talk, bore: Bore, readings: Mapping[str, object]) -> Plain | None:
    try:
        return bore.prove(readings)
    except BorewrightError as error:
        talk.show(wrapped(f"{error.given}: {error.wrong} {error.right}", talk.width))
        return None


def _ask(talk: Talk, question: str) -> str:
    typed = talk.ask(question).strip()
    if typed in {"q", "quit"}:
        raise LeftError
    return typed
