"""The commands that only look at what is on record."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from borewright.cli.folder import looked_up
from borewright.cli.rows import hash_rows, hung
from borewright.cli.size import head_rows
from borewright.cli.talk import Row, Terminal, say
from borewright.errors import NotHeldError
from borewright.record.told import said_back
from borewright.shop import bores
from borewright.shop.database import FILE_NAME
from borewright.shop.kept import Kept, kept_events
from borewright.shop.store import Store
from borewright.shop.streams import event_plain


def run_bores(folder: Path, *, as_json: bool) -> int:
    """List the bores on record.

    Args:
        folder: the folder of the records.
        as_json: whether to answer in JSON.

    Returns:
        The exit code.
    """
    listed = looked_up(folder, bores.list_bores, ())
    if as_json:
        names = ("bore", "name", "callout", "state", "opened_at", "events")
        print(json.dumps([{name: getattr(bore, name) for name in names} for bore in listed], ensure_ascii=False))
        return 0
    talk = Terminal()
    if not listed:
        say(talk, f"No bore is on record in {folder}.")
    widest = max((len(bore.bore) for bore in listed), default=0)
    for bore in listed:
        talk.show(hung(f"{bore.bore.ljust(widest)}  ", f"{bore.state}  ({bore.callout})", talk.width))
    return 0


def run_record(name: str, folder: Path, *, as_json: bool) -> int:
    """Print everything recorded of a bore, its tool and its gauge.

    Args:
        name: the bore's identity, or as much of it as tells it apart.
        folder: the folder of the records.
        as_json: whether to answer in JSON.

    Returns:
        The exit code.

    Raises:
        NotHeldError: no bore, or more than one, answers to the name.
        DamagedRecordError: the record does not agree with its hashes.
    """
    store = opened(folder)
    identity = identity_of(store, name, folder)
    stored, bore = bores.history(store, identity), bores.view(store, identity)
    if as_json:
        print(json.dumps([event_plain(event) for event in stored], ensure_ascii=False))
        return 0
    talk = Terminal()
    for kept in kept_events(stored):
        talk.show(_event_rows(kept, talk.width))
    talk.show(head_rows(bore, talk.width))
    return 0


def run_check(folder: Path) -> int:
    """Check every chain on record.

    Args:
        folder: the folder of the records.

    Returns:
        The exit code: 2 where anything is wrong.
    """
    checked = opened(folder).check()
    for fault in checked.faults:
        print(fault, file=sys.stderr)
    if checked.faults:
        return 2
    print(f"{checked.events} events in {len(checked.heads)} streams, every number and every hash in order.")
    print("A tail that was cut off does not show here: compare the heads with those on paper.")
    return 0


def run_schema() -> int:
    """Print the JSON Schema of what goes in and out of a bore.

    Returns:
        The exit code.
    """
    from borewright.sizing.schema import door_text

    sys.stdout.buffer.write(door_text().encode())
    return 0


def opened(folder: Path) -> Store:
    """Open a record that is there.

    Args:
        folder: the folder of the records.

    Returns:
        The record.

    Raises:
        NotHeldError: no record is kept there.
        RecordUnavailableError: it cannot be opened.
    """
    if not (folder / FILE_NAME).exists():
        raise NotHeldError(
            "No record is kept in this folder.",
            right="Give another with --data, or open a bore first.",
            where=str(folder),
        )
    return Store.open(folder)


def identity_of(store: Store, name: str, folder: Path) -> str:
    """Find the one bore that is called so, or whose identity or name holds the words.

    Args:
        store: the record.
        name: the bore's identity, or as much of it or of its name as tells it apart.
        folder: the folder of the records, for the message.

    Returns:
        Its name in the record.

    Raises:
        NotHeldError: no bore, or more than one, answers to the name.
    """
    listed = bores.list_bores(store)
    words = name.casefold()
    exact = [bore.bore for bore in listed if words in {bore.bore.casefold(), (bore.name or "").casefold()}]
    near = [bore.bore for bore in listed if words in f"{bore.bore} {bore.name}".casefold()]
    found = exact if len(exact) == 1 else near
    if len(found) == 1:
        return found[0]
    wrong = "More than one bore answers to that." if found else "No bore on record answers to that."
    known = ", ".join(found or [bore.bore for bore in listed])
    raise NotHeldError(wrong, given=name, right=f"On record: {known or 'none'}.", where=str(folder))


def _event_rows(kept: Kept, width: int) -> list[Row]:
    by = f", {kept.by}" if kept.by else ""
    mark = ", withdrawn" if kept.withdrawn else ""
    kind = kept.stream.partition("/")[0]
    at = f", {kept.at.replace('T', ' ')}" if kept.at else ""
    said = f"{said_back(kept.event, kept.payload)}{mark}{by}{at}"
    return [*hung(f"{kind.ljust(5)} {kept.number:>3}  ", said, width), *hash_rows(kept.hash, width, " " * 11)]
