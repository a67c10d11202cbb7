"""The sizing session: shows the card, asks one thing at a time, records the answer, until the bore is released."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from typing import Final, Protocol

from borewright.cli import card
from borewright.cli.desk import Desk
from borewright.cli.prompts import WORD_HELP, Entry, Question, entry_of, far_from, question_for
from borewright.cli.rows import hung, labelled, pairs, strong, wrapped
from borewright.cli.said import Said, is_yes, understand
from borewright.cli.talk import LeftError, Row, Talk, say
from borewright.errors import BorewrightError, ConflictError, EntryError
from borewright.record.told import said_back
from borewright.shop.kept import Kept, entries, in_spindle
from borewright.sizing.wanted import ON_ADVICE, PUT_IN, SIGNED

PROMPT: Final = "> "
KEYS: Final = "? why   u undo   t temp   n note   h words   q leave"


class Machine(Protocol):
    """A simulated machine that does what is entered, and shows what a real one would show."""

    def carry_out(self, entry: Entry) -> Entry:
        """Do what an entry says, on the machine as the record has it.

        Args:
            entry: what is to be entered; what only a machine can show may be missing.

        Returns:
            The entry with what was shown.
        """


class Session:
    """One bore at one terminal.

    Args:
        talk: where it is shown and asked.
        desk: the bore, and the acts on its record.
        machine: the simulated machine, or None where a person stands at a real one.
        by: the name of who enters, or None.
    """

    def __init__(self, talk: Talk, desk: Desk, machine: Machine | None = None, by: str | None = None) -> None:
        self.talk = talk
        self.desk = desk
        self.machine = machine
        self.by = by
        self.advice: Mapping[str, object] = {}
        self.cautioned: set[str] = set()
        self.typed = ""
        self.reason = ""

    def run(self) -> None:
        """Lead from where the record stands until nothing is left to do; a bore that is finished can be reopened.

        Raises:
            LeftError: the person left before that.
        """
        self.look()
        if self.finished:
            self.one_entry()
            self.look()
        while not self.finished:
            self.one_entry()
            self.look()

    @property
    def finished(self) -> bool:
        """Whether the bore is released or set aside."""
        return self.advice.get("action") == "none"

    def look(self) -> None:
        """Look at the record, and show the card."""
        self.advice = self.desk.advise()
        self.show_card()

    def show_card(self) -> None:
        """Show where the bore stands and what to do next."""
        width, advice, history = self.talk.width, self.advice, self.desk.history()
        if question_for(advice, in_spindle=in_spindle(history), simulated=False).event == "seated":
            advice = {"action": "seat", "say": PUT_IN, "state": advice["state"], "cautions": advice["cautions"]}
        action = str(advice["action"])
        rows = [Row(""), *card.heading(self.desk.title, self.desk.limits, width)]
        rows += card.card(advice, entries(history), width, all_cautions=action not in self.cautioned)
        if action in SIGNED:
            rows += card.verdict(advice, width)
        self.cautioned.add(action)
        self.talk.show([*rows, Row("")])

    def one_entry(self) -> None:
        """Ask until the record has changed; what was typed and could not be kept is offered again to be mended.

        Raises:
            LeftError: the person left.
        """
        question = question_for(
            self.advice, in_spindle=in_spindle(self.desk.history()), simulated=self.machine is not None
        )
        offer = self.shown(question.offer) if question.offer is not None else None
        key = str(uuid.uuid4())
        while True:
            self.talk.show(_asked(question, offer, self.talk.width))
            line = self.talk.ask(PROMPT, typed=self.typed)
            self.typed = ""
            try:
                if self.answered(understand(line), question, offer, key):
                    return
            except ConflictError as conflict:
                self.typed = line
                self.show_since(conflict)
                return
            except BorewrightError as error:
                self.typed = line
                self.talk.show([*wrapped(f"Not kept. {_refused(error)}", self.talk.width), Row("")])

    def answered(self, said: Said, question: Question, offer: Entry | None, key: str) -> bool:
        """Act on what was typed.

        Args:
            said: what was typed.
            question: what was asked.
            offer: what Enter enters.
            key: the key of this entry.

        Returns:
            Whether the record may have changed, so that the card is shown anew.

        Raises:
            LeftError: the person wants to leave.
            BorewrightError: what was typed cannot be kept.
        """
        if said.word is None and not said.rest:
            if offer is not None:
                return self.enter(offer, key, on_advice=True)
            say(self.talk, f"  {question.hint}")
            return False
        if said.word in {"why", "assumed", "help", "record", "leave"}:
            self.only_shown(str(said.word))
            return False
        if said.word == "undo":
            return self.undo(key)
        if said.word == "release":
            return self.sign({"event": "released"}, key)
        if said.word == "temperature" and not said.rest and self.machine is not None:
            return self.enter(self.shown({"event": "temperature", "of": "part"}), key)
        word = said.word or question.event
        opens = card.part(self.advice, "move").get("direction") != "close"
        entry = entry_of(word, said, adjuster=self.desk.adjuster, opens=opens)
        if entry["event"] == "read" and card.part(self.advice, "measure").get("with") == "own gauge":
            entry = {"probe": False, **entry}
        if entry["event"] == "read" and card.part(self.advice, "measure").get("state") == "free":
            entry = {"state": "free", **entry}
        if word == "aside":
            return self.sign(entry, key)
        answers = said.word is None
        return self.enter(self.shown(entry), key, on_advice=answers, far=answers and far_from(entry, offer))

    def only_shown(self, word: str) -> None:
        """Answer a word that changes nothing.

        Args:
            word: ``why``, ``assumed``, ``help``, ``record`` or ``leave``.

        Raises:
            LeftError: the word was ``leave``.
        """
        if word == "leave":
            raise LeftError
        if word == "why":
            self.talk.show([*card.explanation(self.advice, self.talk.width), Row("")])
        elif word == "assumed":
            self.talk.show([*card.assumed(self.advice, self.talk.width), Row("")])
        elif word == "help":
            self.talk.show([*pairs(WORD_HELP, self.talk.width), Row("")])
        else:
            self.talk.show([*record_rows(self.desk.history(), self.talk.width), Row("")])

    def enter(self, entry: Entry, key: str, *, on_advice: bool = False, far: bool = False) -> bool:
        """Record an entry; one that surprises is shown as understood first, and asked about.

        Args:
            entry: what to record.
            key: the key of this entry.
            on_advice: whether it answers the question under the card.
            far: whether it is far from what was advised.

        Returns:
            Whether it was recorded.

        Raises:
            BorewrightError: it cannot be kept.
        """
        if entry["event"] in {"released", "quarantined"} and "by" not in entry:
            return self.sign(entry, key)
        seen = self.desk.preview(entry)
        doubts = [str(warning) for warning in card.listed(seen, "warnings")]
        if far:
            doubts.append("That is far from what was advised; a reading is typed after r.")
        if doubts and not self.sure(doubts, said_back(str(seen["event"]), card.part(seen, "understood"))):
            return False
        kept = self.desk.record(entry, key, on_advice=on_advice and entry["event"] in ON_ADVICE)
        said = said_back(str(kept["event"]), card.part(kept, "understood"))
        self.talk.show(labelled("kept", f"{said}  ({_place(kept['stream'], kept['number'])})", self.talk.width))
        return True

    def sure(self, doubts: Sequence[str], understood: str) -> bool:
        """Show what surprises about an entry and how it is understood, and ask whether to keep it.

        Args:
            doubts: what surprises.
            understood: the entry, said back.

        Returns:
            Whether to keep it.
        """
        rows = [row for doubt in doubts for row in labelled("doubt", doubt, self.talk.width)]
        self.talk.show([Row(""), *rows, *labelled("taken as", understood, self.talk.width), Row("")])
        if is_yes(self.talk.ask("Keep it? Enter = yes, n = no > ")):
            return True
        say(self.talk, "  Not kept.")
        return False

    def sign(self, entry: Entry, key: str) -> bool:
        """Release the bore, or set it aside, in somebody's name, with verdict, rule and size in view.

        Args:
            entry: the release or the setting aside, as far as it is known.
            key: the key of this entry.

        Returns:
            Whether it was recorded.

        Raises:
            EntryError: there is nothing that could be released.
            BorewrightError: it cannot be kept.
        """
        width, shown = self.talk.width, card.part(self.advice, "release")
        if entry["event"] == "released":
            if not shown:
                raise EntryError("Nothing is shown yet that could be released.", right="Measure the bore first.")
            entry = {**entry, **{name: shown[name] for name in ("verdict", "probability", "rule", "size", "expanded")}}
        if self.advice.get("action") not in SIGNED:
            self.talk.show([Row(""), *card.verdict(self.advice, width), Row("")])
        if entry["event"] == "quarantined":
            typed = self.reason or str(entry.get("reason") or self.advice.get("why", ""))
            self.reason = self.talk.ask("  Why is it set aside? ", typed=typed)
            entry = {**entry, "reason": self.reason}
        by = self.by or ""
        ask = "Who releases it?" if entry["event"] == "released" else "Who sets it aside?"
        name = self.talk.ask(f"  {ask} Name{f', Enter = {by}' if by else ', Enter = not yet'} > ").strip() or by
        if not name:
            say(self.talk, "  Not signed.")
            return False
        return self.enter({**entry, "by": name}, key)

    def undo(self, key: str) -> bool:
        """Withdraw the last entry that can be, after showing which it is.

        Args:
            key: the key of the correction.

        Returns:
            Whether it was withdrawn.
        """
        last = next((kept for kept in reversed(self.desk.history()) if kept.can_be_undone), None)
        if last is None:
            say(self.talk, "  There is nothing to undo.")
            return False
        said = said_back(last.event, last.payload)
        self.talk.show(labelled("undo", f"{said}  ({_place(last.stream, last.number)})", self.talk.width))
        if not is_yes(self.talk.ask("Withdraw it? Enter = yes, n = no > ")):
            return False
        self.desk.withdraw(last, key)
        say(self.talk, "  Withdrawn. It stays in the record, marked.")
        return True

    def shown(self, entry: Entry) -> Entry:
        """Let the simulated machine, where there is one, do what an entry says.

        Args:
            entry: what is to be entered.

        Returns:
            The entry with what the machine showed.
        """
        return entry if self.machine is None else self.machine.carry_out(entry)

    def show_since(self, conflict: ConflictError) -> None:
        """Show what somebody else recorded meanwhile.

        Args:
            conflict: with what came since.
        """
        rows = wrapped(f"Not kept. {_refused(conflict)}", self.talk.width)
        for event in conflict.since:
            said = said_back(str(event["event"]), card.part(event, "payload"))
            rows += labelled("since", f"{said}  ({_place(event['stream'], event['number'])})", self.talk.width)
        self.talk.show([*rows, Row("")])


def record_rows(history: Sequence[Kept], width: int) -> list[Row]:
    """List what is recorded, oldest first.

    Args:
        history: the events of a bore, its tool and its gauge.
        width: columns.

    Returns:
        The rows.
    """
    rows: list[Row] = []
    for kept in history:
        said = said_back(kept.event, kept.payload)
        mark = " (withdrawn)" if kept.withdrawn else ""
        by = f", {kept.by}" if kept.by else ""
        kind = kept.stream.partition("/")[0]
        rows += hung(f"  {kind.ljust(5)} {kept.number:>3}  ", f"{said}{by}{mark}", width)
    return rows


def _asked(question: Question, offer: Entry | None, width: int) -> list[Row]:
    rows = strong(question.ask, width)
    if offer is None:
        rows += wrapped(question.hint, width)
    elif offer["event"] in {"released", "quarantined"}:
        rows += wrapped("Enter = sign, or measure again and type the reading", width)
    else:
        fields = {name: value for name, value in offer.items() if name != "event"}
        rows += hung("  Enter = ", f"{said_back(str(offer['event']), fields)}, or type what it was", width)
    return [*rows, *wrapped(KEYS, width)]


def _refused(error: BorewrightError) -> str:
    """Say an error to whoever typed what it is about: without the name of a field that nobody typed."""
    given = "" if error.given is None else f"{error.given}: "
    return f"{given}{error.wrong} {error.right}".strip()


def _place(stream: object, number: object) -> str:
    """Say where an event stands: the kind of its stream and its number."""
    return f"{str(stream).partition('/')[0]} {number}"
