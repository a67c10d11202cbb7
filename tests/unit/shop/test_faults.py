"""What SQLite and the file system refuse, and what a person is told."""

from __future__ import annotations

import errno
import multiprocessing
import os
import resource
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from multiprocessing.connection import Connection
from pathlib import Path

import pytest

from borewright.errors import BorewrightError, DamagedRecordError, EntryError, RecordUnavailableError
from borewright.shop.database import FILE_NAME
from borewright.shop.faults import in_own_words, said
from borewright.shop.store import Store
from tests.unit.shop.drafts import BORE, TOOL, note

NOBODY = 65534


def test_a_file_that_is_not_a_database_is_left_as_it_is(folder: Path) -> None:
    folder.mkdir()
    file = folder / FILE_NAME
    file.write_text("a list of tools, not a database\n" * 100)
    with pytest.raises(DamagedRecordError, match="not a record"):
        Store.open(folder)
    assert file.read_text() == "a list of tools, not a database\n" * 100


def test_another_programs_database_is_left_as_it_is(folder: Path) -> None:
    folder.mkdir()
    with closing(sqlite3.connect(folder / FILE_NAME)) as other:
        other.execute("CREATE TABLE invoices (id)")
    with pytest.raises(DamagedRecordError, match="not a record"):
        Store.open(folder)
    with closing(sqlite3.connect(folder / FILE_NAME)) as other:
        assert other.execute("SELECT name FROM sqlite_master").fetchall() == [("invoices",)]


def test_an_empty_file_is_a_record_about_to_begin(folder: Path) -> None:
    folder.mkdir()
    (folder / FILE_NAME).touch()
    with Store.open(folder) as store:
        assert store.token() == 0


def test_a_truncated_file_is_damaged(folder: Path) -> None:
    with Store.open(folder) as store:
        for number in range(200):
            store.append([note(BORE, f"{number} " + "x" * 500)])
    file = folder / FILE_NAME
    os.truncate(file, file.stat().st_size // 2)
    with pytest.raises(DamagedRecordError), Store.open(folder) as store:
        store.stream(BORE)


def test_a_data_folder_that_is_a_file_is_said(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("")
    with pytest.raises(RecordUnavailableError) as caught:
        Store.open(tmp_path / "data")
    assert "--data" in caught.value.right
    with pytest.raises(RecordUnavailableError):
        Store.open(tmp_path / "data" / "below")


def test_a_lock_held_too_long_is_said_and_stores_nothing(folder: Path) -> None:
    with Store.open(folder, busy_ms=50) as store, closing(sqlite3.connect(folder / FILE_NAME)) as holder:
        holder.isolation_level = None
        holder.execute("BEGIN IMMEDIATE")
        with pytest.raises(RecordUnavailableError, match="locked too long"):
            store.append([note(BORE, "x")], key="k")
        holder.execute("ROLLBACK")
        assert not store.append([note(BORE, "x")], key="k").repeated


def test_a_reader_that_does_not_end_keeps_a_commit_from_happening_and_nothing_is_stored(folder: Path) -> None:
    with Store.open(folder, busy_ms=50) as store, closing(sqlite3.connect(folder / FILE_NAME)) as reader:
        if store.database.pragmas.journal_mode == "wal":
            pytest.skip("with a write-ahead log a reader keeps no writer waiting")
        reader.isolation_level = None
        reader.execute("BEGIN")
        reader.execute("SELECT * FROM events").fetchall()
        with pytest.raises(RecordUnavailableError, match="locked too long"):
            store.append([note(BORE, "x")], key="k")
        reader.execute("ROLLBACK")
        assert store.token() == 0
        assert not store.append([note(BORE, "x")], key="k").repeated


def test_a_thread_that_waits_too_long_for_another_is_told(folder: Path) -> None:
    with (
        Store.open(folder, busy_ms=50) as store,
        store.database.writing(),
        pytest.raises(RecordUnavailableError, match="kept the record too long"),
    ):
        store.append([note(BORE, "x")])


def test_a_full_disk_is_said_and_what_was_acknowledged_stays(store: Store) -> None:
    store.append([note(BORE, "before")])
    with store.database.reading() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(RecordUnavailableError, match="full"):
        store.append([note(BORE, "x" * 100_000)], key="k")
    with store.database.reading() as connection:
        connection.exec_driver_sql("PRAGMA max_page_count = 1000000")
    assert [event.payload["text"] for event in store.stream(BORE)] == ["before"]
    assert not store.append([note(BORE, "x" * 100_000)], key="k").repeated


def test_a_file_that_may_not_grow_is_said_and_what_was_acknowledged_stays(store: Store) -> None:
    store.append([note(BORE, "before")])
    with file_size_limit(store.database.path.stat().st_size), pytest.raises(RecordUnavailableError):
        store.append([note(BORE, "x" * 100_000)], key="k")
    assert [event.payload["text"] for event in store.stream(BORE)] == ["before"]
    assert not store.append([note(BORE, "x" * 100_000)], key="k").repeated
    assert store.check().faults == ()


def test_a_record_moved_away_under_the_program_takes_no_more_entries(store: Store, tmp_path: Path) -> None:
    store.append([note(BORE, "before")])
    store.database.path.rename(tmp_path / "elsewhere")
    with pytest.raises(RecordUnavailableError, match="moved or deleted"):
        store.append([note(BORE, "into nowhere")])


def test_a_folder_that_may_not_be_written_is_said() -> None:
    with shelf() as outer:
        outer.chmod(0o555)
        error = as_nobody(_open, outer / "data")
    assert isinstance(error, RecordUnavailableError)
    assert "right to write" in error.right


def test_a_record_that_may_only_be_read_takes_no_entry() -> None:
    with shelf() as outer:
        with Store.open(outer / "data") as store:
            store.append([note(BORE, "before")])
        (outer / "data" / FILE_NAME).chmod(0o444)
        (outer / "data").chmod(0o555)
        error = as_nobody(_append, outer / "data")
        with Store.open(outer / "data") as store:
            assert store.token() == 1
    assert isinstance(error, RecordUnavailableError)
    assert "read but not written" in error.wrong


def test_a_record_that_may_not_be_read_is_said() -> None:
    with shelf() as outer:
        Store.open(outer / "data").close()
        (outer / "data" / FILE_NAME).chmod(0o000)
        (outer / "data").chmod(0o555)
        error = as_nobody(_open, outer / "data")
    assert isinstance(error, RecordUnavailableError)


def test_an_error_nobody_foresaw_is_still_one_of_the_family() -> None:
    error = said(sqlite3.ProgrammingError("nobody foresaw this"), Path("x"))
    assert isinstance(error, DamagedRecordError)
    assert "nobody foresaw this" in str(error)


def test_an_error_of_the_family_goes_through_untouched() -> None:
    given = EntryError("A length is wanted.")
    with pytest.raises(EntryError) as caught, in_own_words(Path("x")):
        raise given
    assert caught.value is given


def test_an_error_of_the_file_system_names_the_file() -> None:
    with pytest.raises(RecordUnavailableError) as caught, in_own_words(Path("x")):
        raise OSError(errno.ENOSPC, "No space left on device", "somewhere")
    assert caught.value.given == "somewhere"
    assert caught.value.as_problem()["problem"] == "record unavailable"


@contextmanager
def file_size_limit(most: int) -> Iterator[None]:
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@contextmanager
def shelf() -> Iterator[Path]:
    """A folder that another user can reach, which a folder of pytest's is not."""
    with tempfile.TemporaryDirectory() as folder:
        outer = Path(folder)
        outer.chmod(0o755)
        try:
            yield outer
        finally:
            for inner in (outer, outer / "data"):
                if inner.exists():
                    inner.chmod(0o755)


def as_nobody(act: Callable[[Path], None], folder: Path) -> BorewrightError | None:
    """Run an act in a child process as a user without rights, and return what it raised."""
    ours, theirs = multiprocessing.Pipe()
    child = multiprocessing.get_context("fork").Process(target=_child, args=(act, folder, theirs))
    child.start()
    theirs.close()
    error: BorewrightError | None = ours.recv()
    child.join()
    return error


def _child(act: Callable[[Path], None], folder: Path, pipe: Connection) -> None:
    if os.geteuid() == 0:
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)
    try:
        act(folder)
    except BorewrightError as error:
        pipe.send(error)
    else:
        pipe.send(None)


def _open(folder: Path) -> None:
    Store.open(folder).close()


def _append(folder: Path) -> None:
    with Store.open(folder) as store:
        assert len(store.stream(BORE)) == 1
        store.append([note(TOOL, "x")])
