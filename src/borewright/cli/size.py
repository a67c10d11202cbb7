"""``borewright size JOBFILE``: opens what is new, tells what was edited, leads one bore after another to size."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from borewright.cli import card
from borewright.cli.rows import hash_rows, hung, strong, wrapped
from borewright.cli.said import is_yes
from borewright.cli.session import Machine, Session
from borewright.cli.shop_desk import ShopDesk
from borewright.cli.talk import LeftError, Row, Talk, Terminal, say
from borewright.errors import ConflictError, NotHeldError
from borewright.exchange.jobfile import Edit, Job, JobBore, edits_since, load_job
from borewright.record.fields import payload_plain
from borewright.shop import acts, bores
from borewright.shop.store import Store
from borewright.sizing.bore import Bore

FINISHED: Final = frozenset({"released", "quarantined"})
INTERRUPTED: Final = 130


def run_size(jobfile: Path, bore: str | None, by: str | None, folder: Path) -> int:
    """Size the bores of a job file.

    Args:
        jobfile: the job file.
        bore: the name of the bore, or None for the first that is not finished and those after it.
        by: who enters, or None.
        folder: the folder of the records.

    Returns:
        The exit code.

    Raises:
        BorewrightError: the file cannot be read, or the record cannot be opened.
    """
    job = load_job(jobfile)
    chosen = None if bore is None else job.bore(bore)
    talk = Terminal()
    try:
        with Store.open(folder) as store:
            _say_job(talk, job)
            try:
                _size_each(talk, store, job, chosen, by)
            except LeftError:
                say(talk, "", f"  Left. Everything kept stands; go on with: borewright size {jobfile}")
    except KeyboardInterrupt:
        say(talk, "", "  Left. Everything that was kept stands.")
        return INTERRUPTED
    return 0


def size_bore(
    talk: Talk, store: Store, job: Job, bore: JobBore, *, by: str | None = None, machine: Machine | None = None
) -> None:
    """Size one bore from where its record stands, and show its head at the end.

    Args:
        talk: where it is shown and asked.
        store: the record.
        job: the job.
        bore: the bore.
        by: who enters, or None.
        machine: the simulated machine, or None.

    Raises:
        LeftError: the person left.
    """
    _open_or_compare(talk, store, bore, by)
    desk = ShopDesk(store, bore.identity, job.name, by)
    assumed = len(card.listed(desk.advise(), "assumptions"))
    talk.show(wrapped(f"{assumed} things are assumed, each with its width; type a to see them.", talk.width))
    Session(talk, desk, machine, by).run()
    talk.show(head_rows(desk.view(), talk.width))


def head_rows(bore: Bore, width: int) -> list[Row]:
    """Show the heads to keep on paper: of each stream the number and the hash of its last event.

    Args:
        bore: the bore as its record stands.
        width: columns.

    Returns:
        The rows.
    """
    rows = [Row(""), *strong("Heads, to keep on paper", width)]
    for kind, stream in bore.streams.items():
        if events := bore.events(kind):
            rows += hung("  ", f"{stream}, event {events[-1].number}", width)
            rows += hash_rows(events[-1].hash, width, "    ")
    return rows


def state_of(store: Store, bore: JobBore) -> str:
    """Return the state a bore is in.

    Args:
        store: the record.
        bore: the bore.

    Returns:
        Its state, or ``not opened``.
    """
    try:
        return bores.view(store, bore.identity).state
    except NotHeldError:
        return "not opened"


def _size_each(talk: Talk, store: Store, job: Job, chosen: JobBore | None, by: str | None) -> None:
    if chosen is not None:
        size_bore(talk, store, job, chosen, by=by)
        return
    states = {bore.name: state_of(store, bore) for bore in job.bores}
    if len(job.bores) > 1:
        say(talk, *(f"  {name.ljust(max(map(len, states)))}  {state}" for name, state in states.items()))
    left = [bore for bore in job.bores if states[bore.name] not in FINISHED]
    if not left:
        say(talk, "  Every bore of this job is finished. Name one with --bore to look at it again.")
    for place, bore in enumerate(left):
        if place and not is_yes(talk.ask(f"Go on with {bore.name}? Enter = yes, n = no > ")):
            return
        size_bore(talk, store, job, bore, by=by)


def _say_job(talk: Talk, job: Job) -> None:
    rows = [*strong(job.name, talk.width)]
    for words in (job.part, job.shop):
        rows += wrapped(words, talk.width) if words else []
    talk.show([Row(""), *rows])


def _open_or_compare(talk: Talk, store: Store, bore: JobBore, by: str | None) -> None:
    """Open a bore that is new; of one that is open, tell what the file now says otherwise."""
    if state_of(store, bore) == "not opened":
        try:
            acts.open_bore(store, bore.mapping, bore=bore.identity, by=by)
        except ConflictError:
            say(talk, "  Somebody else has just opened this bore; going on with theirs.")
        else:
            return
    opened = bores.view(store, bore.identity).opening.given
    for edit in edits_since(payload_plain(opened), bore):
        talk.show(wrapped(_said(edit), talk.width))


def _said(edit: Edit) -> str:
    was, now = ("nothing" if value is None else value for value in (edit.opened, edit.now))
    return f"Not applied: {edit.field} was {was} when the bore was opened; the file now says {now}."
