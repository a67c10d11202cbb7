"""The file that holds the record: opened, set, checked for its version, written one transaction at a time."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Final

from sqlalchemy import URL, Connection, Engine, create_engine, event

from borewright.errors import RecordUnavailableError
from borewright.shop.copies import copy_database
from borewright.shop.disk import make_folder
from borewright.shop.faults import in_own_words
from borewright.shop.pragmas import BUSY_MS, Pragmas, apply_pragmas, pragmas_for, read_pragma
from borewright.shop.schema import Schema, found_version, own_schema, upgrade

FILE_NAME: Final = "borewright.sqlite"
_BEGIN: Final = "borewright_begin"


class Database:
    """A record's file in a data folder, open in this process; several processes may have it open at once.

    Make it with :meth:`open`. Never open the file by other means in the same process: on POSIX systems, closing any
    handle of it drops the locks that SQLite holds.
    """

    def __init__(self, path: Path, pragmas: Pragmas, schema: Schema) -> None:
        self.path = path
        self.pragmas = pragmas
        self._schema = schema
        self._engine = _engine(path, pragmas)
        self._writer = self._engine.execution_options(**{_BEGIN: "IMMEDIATE"})
        # Threads of one process queue here, in turn; SQLite's own waiting is by polling.
        self._one_writer = threading.Lock()

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        busy_ms: int = BUSY_MS,
        sqlite: tuple[int, int, int] = sqlite3.sqlite_version_info[:3],
        schema: Schema | None = None,
    ) -> Database:
        """Open the record in a data folder; make both where they do not exist; bring old tables up after a copy.

        Args:
            folder: the data folder.
            busy_ms: how long to wait for another process's write, in milliseconds.
            sqlite: the SQLite release whose faults are to be kept clear of; the one in use.
            schema: the versions of the tables known; this program's own.

        Returns:
            The open record.

        Raises:
            RecordUnavailableError: a setting did not take, the file is locked, read-only, or of a newer version.
            DamagedRecordError: the file is not a record, or is damaged.
        """
        path = folder / FILE_NAME
        schema = schema or own_schema()
        with in_own_words(path):
            make_folder(folder)
            database = cls(path, pragmas_for(sqlite, busy_ms), schema)
            try:
                with database.reading() as connection:
                    found = found_version(connection, schema)
                if found != schema.newest:
                    database._bring_up()
            except BaseException:
                database.close()
                raise
        return database

    def close(self) -> None:
        """Close every connection."""
        self._engine.dispose()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Read from one moment's state, whatever others write meanwhile.

        Yields:
            A connection inside a transaction that only reads.

        Raises:
            RecordUnavailableError: the file cannot be read now.
            DamagedRecordError: the file is damaged.
        """
        with in_own_words(self.path), self._engine.begin() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Hold the only write lock for the block, and commit at its end; an error in the block undoes all of it.

        Yields:
            A connection inside ``BEGIN IMMEDIATE``: what it reads is what the write will stand on.

        Raises:
            RecordUnavailableError: the file cannot be written now, or another program changed how it is kept.
            DamagedRecordError: the file is damaged.
        """
        with in_own_words(self.path), self._my_turn(), self._writer.begin() as connection:
            self._require_as_opened(connection)
            yield connection

    def live_pragmas(self) -> dict[str, int | str]:
        """Read the settings back from a live connection.

        Returns:
            Name and value of each setting of :class:`~borewright.shop.pragmas.Pragmas`.
        """
        with self.reading() as connection:
            driver = _driver(connection)
            return {name: read_pragma(driver, name) for name in Pragmas.__dataclass_fields__}

    def copy(self, to: Path) -> None:
        """Copy the record as it stands at one moment.

        Args:
            to: the copy's path; nothing of that name exists.

        Raises:
            EntryError: something of that name is there already.
            RecordUnavailableError: the copy cannot be written.
        """
        with in_own_words(to):
            copy_database(self.path, to, self.pragmas.busy_timeout)

    @contextmanager
    def _my_turn(self) -> Iterator[None]:
        if not self._one_writer.acquire(timeout=self.pragmas.busy_timeout / 1000):
            raise RecordUnavailableError(
                "Another entry kept the record too long; nothing was stored.",
                right="Enter it again; with the same key an entry is never stored twice.",
                where=str(self.path),
            )
        try:
            yield
        finally:
            self._one_writer.release()

    def _require_as_opened(self, connection: Connection) -> None:
        # Another process may have changed the journal or the tables since this one opened the file.
        mode = read_pragma(_driver(connection), "journal_mode")
        if mode != self.pragmas.journal_mode:
            raise RecordUnavailableError(
                "Another program changed how the record is kept; nothing was stored.",
                given=f"journal_mode {mode}",
                right="Run one version of the program on a record, and start this one again.",
                where=str(self.path),
            )
        version = found_version(connection, self._schema)
        if version != self._schema.newest:
            raise RecordUnavailableError(
                "The tables of the record are not the ones this program opened; nothing was stored.",
                given=f"tables of version {version}",
                right="Start the program again.",
                where=str(self.path),
            )

    def _bring_up(self) -> None:
        # Rebuilding a table drops the old one, which enforced references would forbid; they are checked at the end.
        engine = _engine(self.path, replace(self.pragmas, foreign_keys=0))
        try:
            with engine.execution_options(**{_BEGIN: "IMMEDIATE"}).begin() as connection:
                upgrade(connection, self._schema, self._keep_copy)
        finally:
            engine.dispose()

    def _keep_copy(self, version: str) -> None:
        for attempt in range(1, 1000):
            to = self.path.with_name(f"{self.path.stem}-before-{self._schema.newest}-from-{version}-{attempt}.sqlite")
            if not to.exists():
                copy_database(self.path, to, self.pragmas.busy_timeout)
                return
        raise RecordUnavailableError(
            "There are a thousand copies from before this change of tables; it does not succeed.",
            right="Ask for help before starting again.",
            where=str(self.path),
        )


def _engine(path: Path, pragmas: Pragmas) -> Engine:
    # isolation_level None keeps the driver from beginning transactions by itself; the event below begins each one.
    engine = create_engine(
        URL.create("sqlite", database=str(path.absolute())),
        connect_args={"isolation_level": None, "timeout": pragmas.busy_timeout / 1000},
        max_overflow=-1,
    )

    @event.listens_for(engine, "connect")
    def _set(driver: sqlite3.Connection, _: object) -> None:
        apply_pragmas(driver, pragmas)

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        connection.exec_driver_sql(f"BEGIN {connection.get_execution_options().get(_BEGIN, 'DEFERRED')}")

    return engine


def _driver(connection: Connection) -> sqlite3.Connection:
    driver = connection.connection.driver_connection
    assert isinstance(driver, sqlite3.Connection)
    return driver
