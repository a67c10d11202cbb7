"""Looks at the file with nothing of the program's own: the standard library's SQLite, JSON and SHA-256."""

from __future__ import annotations

import hashlib
import json
import shutil
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Mapping
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

FILE = "borewright.sqlite"
JOURNAL = f"{FILE}-journal"

Place = tuple[str, int, str]


@dataclass(slots=True)
class Expected:
    """An entry as the client knows it: its events, and where those stand that were acknowledged."""

    parts: tuple[str, ...]
    acknowledged: tuple[Place, ...] | None = None


@dataclass(slots=True)
class Testimony:
    """What the witness saw."""

    events: int = 0
    stored: set[str] = field(default_factory=set)
    faults: list[str] = field(default_factory=list)


def look(folder: Path, expected: Mapping[str, Expected], *, aside: Path | None = None) -> Testimony:
    """Look at a record after a kill.

    Args:
        folder: the data folder.
        expected: the client's entries by key.
        aside: where to copy the files first, so that the next writer meets them exactly as the kill left them; only
            when nobody has them open. None looks at the live file beside a writer that goes on.

    Returns:
        What was seen; an entry that was acknowledged before this call must be there.
    """
    if aside is not None:
        shutil.rmtree(aside, ignore_errors=True)
        if folder.exists():
            shutil.copytree(folder, aside)
        folder = aside
    testimony = Testimony()
    if not (folder / FILE).exists():
        rows: list[tuple[int, str, str, int, bytes, str, str | None]] = []
    else:
        with closing(sqlite3.connect(folder / FILE, isolation_level=None, timeout=60)) as connection:
            connection.execute("BEGIN")
            rows = _rows(connection)
            testimony.faults += [
                f"integrity_check: {said}" for (said,) in connection.execute("PRAGMA integrity_check") if said != "ok"
            ]
    testimony.events = len(rows)
    testimony.faults += _chain_faults(rows)
    found = _entries(rows)
    testimony.stored = set(found)
    testimony.faults += _entry_faults(found, expected)
    return testimony


def _rows(connection: sqlite3.Connection) -> list[tuple[int, str, str, int, bytes, str, str | None]]:
    if connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'events'").fetchone() is None:
        return []
    return connection.execute(
        "SELECT position, stream_kind, stream_id, number, body, hash, key FROM events ORDER BY position"
    ).fetchall()


def _chain_faults(rows: Iterable[tuple[int, str, str, int, bytes, str, str | None]]) -> list[str]:
    faults: list[str] = []
    heads: defaultdict[str, tuple[int, str]] = defaultdict(lambda: (0, "0" * 64))
    for _, kind, identity, number, body, digest, _ in rows:
        stream = f"{kind}/{identity}"
        last, previous = heads[stream]
        if number != last + 1:
            faults.append(f"gap: {stream} goes from {last} to {number}")
        if hashlib.sha256(bytes.fromhex(previous) + body).hexdigest() != digest:
            faults.append(f"chain broken: {stream} number {number}")
        inside = json.loads(body)
        if (inside["stream"], inside["number"]) != (stream, number):
            faults.append(f"out of place: {inside['stream']} number {inside['number']} at {stream} number {number}")
        heads[stream] = (number, digest)
    return faults


def _entries(
    rows: Iterable[tuple[int, str, str, int, bytes, str, str | None]],
) -> dict[str, list[tuple[str, Place]]]:
    found: defaultdict[str, list[tuple[str, Place]]] = defaultdict(list)
    for _, kind, identity, number, body, digest, _ in rows:
        inside = json.loads(body)
        part = f"{inside['stream']} {inside['event']} {inside['payload'].get('text', '')}"
        found[inside["by"]].append((part, (f"{kind}/{identity}", number, digest)))
    return found


def _entry_faults(found: Mapping[str, list[tuple[str, Place]]], expected: Mapping[str, Expected]) -> list[str]:
    faults = [f"nobody entered: {name}" for name in found if name not in expected]
    for name, entry in expected.items():
        parts = [text for text, _ in found.get(name, [])]
        stored = tuple(place for _, place in found.get(name, []))
        if entry.acknowledged is not None and not stored:
            faults.append(f"lost: {name} was acknowledged and is not there")
        elif len(parts) > len(entry.parts) or len(parts) > len(set(parts)):
            faults.append(f"doubled: {name} has {len(parts)} events for {len(entry.parts)}")
        elif parts and tuple(parts) != entry.parts:
            faults.append(f"by half: {name} has {len(parts)} events for {len(entry.parts)}")
        elif entry.acknowledged is not None and not set(entry.acknowledged) <= set(stored):
            faults.append(f"moved: {name} was acknowledged as {entry.acknowledged} and stands as {stored}")
    return faults
