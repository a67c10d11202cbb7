"""The whole record checked against itself: the file, every chain, every reference."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from sqlalchemy import URL, Connection, create_engine, select

from borewright.errors import BorewrightError, DamagedRecordError
from borewright.record.canonical import check_chain
from borewright.record.stream import StreamId
from borewright.shop.faults import in_own_words
from borewright.shop.schema import EVENTS, GUARDS
from borewright.shop.streams import Head


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check of the record found.

    It finds a change anywhere in a chain. A tail that was cut off leaves a shorter chain that agrees with itself:
    compare the heads with those on paper.

    Args:
        events: how many events were read.
        heads: the head of every stream whose chain holds.
        faults: everything that is wrong, in plain words.
    """

    events: int
    heads: Mapping[StreamId, Head]
    faults: tuple[BorewrightError, ...]


def check_record(connection: Connection) -> Checked:
    """Check a record.

    Args:
        connection: a connection in a transaction, so that nothing moves meanwhile.

    Returns:
        What was found.
    """
    faults = _file_faults(connection)
    heads: dict[StreamId, Head] = {}
    events = 0
    names = connection.execute(select(EVENTS.c.stream_kind, EVENTS.c.stream_id).distinct()).all()
    for kind, identity in sorted(tuple(name) for name in names):
        try:
            stream = StreamId(kind, identity)
            heads[stream] = _check_stream(connection, stream)
            events += heads[stream].number
        except BorewrightError as fault:
            faults.append(fault if fault.where else fault.at(f"{kind}/{identity}"))
    return Checked(events, heads, tuple(faults))


def check_file(path: Path) -> Checked:
    """Check a record's file that no process writes, such as a copy.

    Args:
        path: the file; it is opened for reading alone.

    Returns:
        What was found.

    Raises:
        DamagedRecordError: it is not a database.
        RecordUnavailableError: it cannot be read.
    """
    url = URL.create("sqlite", database=f"file:{quote(str(path.absolute()))}", query={"mode": "ro", "uri": "true"})
    engine = create_engine(url)
    try:
        with in_own_words(path), engine.connect() as connection:
            return check_record(connection)
    finally:
        engine.dispose()


def _file_faults(connection: Connection) -> list[BorewrightError]:
    faults: list[BorewrightError] = [
        DamagedRecordError("The file does not agree with itself.", given=said, right="Restore the last backup.")
        for said in connection.exec_driver_sql("PRAGMA integrity_check").scalars()
        if said != "ok"
    ]
    faults.extend(
        DamagedRecordError("An event names a key that is not there.", given=f"row {row.rowid} of {row.table}")
        for row in connection.exec_driver_sql("PRAGMA foreign_key_check")
    )
    triggers = set(connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'trigger'").scalars())
    faults.extend(
        DamagedRecordError("A guard that refuses changes was taken out of the file.", given=guard)
        for guard in sorted(GUARDS - triggers)
    )
    return faults


def _check_stream(connection: Connection, stream: StreamId) -> Head:
    rows = connection.execute(
        select(EVENTS.c.number, EVENTS.c.body, EVENTS.c.hash)
        .where(EVENTS.c.stream_kind == stream.kind, EVENTS.c.stream_id == stream.identity)
        .order_by(EVENTS.c.number)
    ).all()
    events = check_chain([(row.body, row.hash) for row in rows], stream)
    for row, event in zip(rows, events, strict=True):
        if row.number != event.number:
            raise DamagedRecordError(
                f"Event {event.number} stands in the place of number {row.number}.", where=str(stream)
            )
    return Head(events[-1].number, events[-1].hash)
