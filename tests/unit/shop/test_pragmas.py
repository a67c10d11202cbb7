"""Settings of the connections, read back from live ones."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import asdict, replace
from pathlib import Path

import pytest

from borewright.errors import RecordUnavailableError
from borewright.shop.database import FILE_NAME, Database
from borewright.shop.pragmas import Pragmas, apply_pragmas, pragmas_for
from borewright.shop.store import Store
from tests.unit.shop.drafts import BORE, note

FIXED = (3, 51, 3)


@pytest.mark.parametrize("sqlite", [(3, 37, 0), (3, 40, 1), (3, 50, 7), (3, 51, 2)])
def test_a_release_with_the_race_keeps_a_rollback_journal_and_syncs_its_removal(sqlite: tuple[int, int, int]) -> None:
    assert pragmas_for(sqlite) == Pragmas(busy_timeout=10_000, journal_mode="delete", synchronous=3)


@pytest.mark.parametrize("sqlite", [FIXED, (3, 53, 0), (4, 0, 0)])
def test_a_release_without_the_race_keeps_a_write_ahead_log_and_syncs_it_at_every_commit(
    sqlite: tuple[int, int, int],
) -> None:
    assert pragmas_for(sqlite) == Pragmas(busy_timeout=10_000, journal_mode="wal", synchronous=2)


def test_the_settings_are_read_back_from_the_live_connection(store: Store) -> None:
    wanted = pragmas_for(sqlite3.sqlite_version_info[:3], busy_ms=2_000)
    assert store.database.live_pragmas() == asdict(wanted)


def test_every_connection_of_the_pool_is_set(store: Store) -> None:
    wanted = asdict(pragmas_for(sqlite3.sqlite_version_info[:3], busy_ms=2_000))
    with store.database.reading() as first, store.database.reading() as second:
        assert first.connection.driver_connection is not second.connection.driver_connection
        for connection in (first, second):
            found = {name: connection.exec_driver_sql(f"PRAGMA {name}").scalar_one() for name in wanted}
            assert found == wanted


def test_a_setting_that_does_not_take_is_refused() -> None:
    wanted = Pragmas(busy_timeout=10, journal_mode="delete", synchronous=3)
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as memory:
        with pytest.raises(RecordUnavailableError, match="journal_mode stays at memory") as caught:
            apply_pragmas(memory, wanted)
        assert caught.value.where == "journal_mode"


def test_a_foreign_key_setting_inside_a_transaction_does_not_take_and_is_refused(tmp_path: Path) -> None:
    wanted = Pragmas(busy_timeout=10, journal_mode="delete", synchronous=3)
    with closing(sqlite3.connect(tmp_path / "x", isolation_level=None)) as connection:
        apply_pragmas(connection, replace(wanted, foreign_keys=0))
        connection.execute("BEGIN")
        with pytest.raises(RecordUnavailableError, match="foreign_keys stays at 0"):
            apply_pragmas(connection, wanted)


def test_the_write_ahead_log_is_used_where_it_is_safe(folder: Path) -> None:
    database = Database.open(folder, sqlite=FIXED)
    assert database.live_pragmas()["journal_mode"] == "wal"
    assert database.live_pragmas()["synchronous"] == 2
    store = Store(database)
    store.append([note(BORE, "kept in the log")], key="a")
    assert (folder / f"{FILE_NAME}-wal").exists()
    assert store.check().faults == ()
    store.close()


def test_a_record_left_with_a_write_ahead_log_goes_back_to_the_journal(folder: Path) -> None:
    with Store(Database.open(folder, sqlite=FIXED)) as store:
        store.append([note(BORE, "by a newer SQLite")])
    with Store(Database.open(folder, sqlite=(3, 40, 1))) as store:
        assert store.database.live_pragmas()["journal_mode"] == "delete"
        assert len(store.stream(BORE)) == 1


def test_a_record_in_use_with_a_write_ahead_log_is_refused_by_a_release_with_the_race(folder: Path) -> None:
    with Store(Database.open(folder, sqlite=FIXED)), pytest.raises(RecordUnavailableError):
        Database.open(folder, sqlite=(3, 40, 1), busy_ms=50)


def test_a_journal_changed_by_another_program_is_noticed_before_the_next_write(store: Store, folder: Path) -> None:
    mine = store.database.pragmas.journal_mode
    other = "wal" if mine == "delete" else "delete"
    store.append([note(BORE, "first")])
    if mine == "wal":
        pytest.skip("this SQLite keeps a write-ahead log, which cannot be changed while it is open")
    with closing(sqlite3.connect(folder / FILE_NAME, isolation_level=None)) as stranger:
        assert stranger.execute(f"PRAGMA journal_mode={other}").fetchone() == (other,)
        with pytest.raises(RecordUnavailableError, match="changed how the record is kept"):
            store.append([note(BORE, "second")])
        assert stranger.execute("SELECT count(*) FROM events").fetchone() == (1,)
