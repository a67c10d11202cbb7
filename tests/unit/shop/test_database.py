"""Opening, versions of the tables, and the way from one to the next."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from importlib.resources import files
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy.exc import OperationalError

from borewright.errors import BorewrightError, RecordUnavailableError
from borewright.record.canonical import GENESIS, chain_hash
from borewright.record.stream import StreamId
from borewright.shop.database import FILE_NAME, Database
from borewright.shop.schema import GUARDS, METADATA, Schema, own_schema
from borewright.shop.store import Store
from borewright.shop.verify import check_file
from tests.unit.shop.drafts import BORE, TOOL, note

HERE = Path(__file__).parent
FIRST_VERSION = HERE.parents[1] / "golden" / "tables_0001.sql"
NEXT = Schema(("0001", "0002", "0003"), (*own_schema().scripts, str(HERE / "next_tables")))
BROKEN = Schema(("0001", "0002", "0003"), (*own_schema().scripts, str(HERE / "broken_tables")))


def first_version(folder: Path) -> None:
    folder.mkdir()
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        connection.executescript(FIRST_VERSION.read_text(encoding="utf-8"))


def tables(path: Path) -> list[tuple[str, str | None]]:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT name, sql FROM sqlite_master ORDER BY name").fetchall()


def test_a_new_record_is_made_with_its_folder(tmp_path: Path) -> None:
    folder = tmp_path / "not" / "there" / "100% yet"
    with Store.open(folder) as store:
        store.append([note(BORE, "x")])
    assert (folder / FILE_NAME).is_file()
    with Store.open(folder) as store:
        assert store.token() == 1


def test_the_newest_version_known_is_the_last_step_in_the_package() -> None:
    scripts = ScriptDirectory(str(files("borewright.shop").joinpath("migrations")))
    assert [step.revision for step in reversed(list(scripts.walk_revisions()))] == list(own_schema().versions)


def test_the_tables_queried_are_the_tables_made(store: Store) -> None:
    with store.database.reading() as connection:
        assert compare_metadata(MigrationContext.configure(connection), METADATA) == []


def test_every_guard_is_made(store: Store) -> None:
    with store.database.reading() as connection:
        made = connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'trigger'").scalars()
        assert set(made) == GUARDS


def test_a_record_of_the_first_version_is_read_and_written_today(folder: Path) -> None:
    first_version(folder)
    with Store.open(folder) as store:
        assert store.check().faults == ()
        assert [event.payload["text"] for event in store.stream(StreamId("bore", "carrier.front"))] == [
            "Ø 48.013 as read, wiped twice",
            "part rested an hour",
        ]
        body = (
            '{"at":"2027-03-01T06:00:00Z","by":"R. Amberley","event":"noted","number":1,'
            '"payload":{"text":"dial stands at 0"},"stream":"tool/t-17","version":1}'
        )
        assert store.head(TOOL).hash == chain_hash(GENESIS, body.encode())
        first = [note(BORE, "Ø 48.013 as read, wiped twice"), note(TOOL, "dial stands at 0")]
        assert store.append(first, key="4f6c9d2e").repeated
        assert store.append([note(BORE, "today")]).events[0].number == 3


def test_a_fresh_record_has_the_tables_of_one_of_the_first_version_brought_up(folder: Path, tmp_path: Path) -> None:
    first_version(folder)
    Store.open(folder).close()
    Store.open(tmp_path / "fresh").close()
    assert tables(folder / FILE_NAME) == tables(tmp_path / "fresh" / FILE_NAME)


def test_opening_a_record_of_todays_version_does_not_load_the_migrations(folder: Path) -> None:
    Store.open(folder).close()
    program = (
        "import sys; from pathlib import Path; from borewright.shop.store import Store;"
        f"Store.open(Path({str(folder)!r})).close(); sys.exit('alembic' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0


def test_naming_the_room_loads_no_database_library() -> None:
    program = "import sys, borewright.shop; sys.exit('sqlalchemy' in sys.modules or 'sqlite3' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0


def test_old_tables_are_brought_up_after_a_copy_and_nothing_is_lost(folder: Path) -> None:
    first_version(folder)
    before = tables(folder / FILE_NAME)
    with Store(Database.open(folder, schema=NEXT)) as store:
        assert store.check().faults == ()
        assert store.head(BORE).number == 2
        assert store.append([note(BORE, "after")], key="4f6c9d2f").events[0].number == 3
        with store.database.reading() as connection:
            columns = connection.exec_driver_sql("PRAGMA table_info(events)").all()
            assert "shift" in {column.name for column in columns}
    (copy,) = folder.glob("*-before-*")
    assert copy.name == "borewright-before-0003-from-0001-1.sqlite"
    assert tables(copy) == before
    assert check_file(copy).faults == ()
    assert check_file(copy).events == 3


def test_a_new_record_needs_no_copy(folder: Path) -> None:
    Database.open(folder, schema=NEXT).close()
    assert [file.name for file in folder.iterdir()] == [FILE_NAME]


def test_a_step_that_fails_changes_nothing_and_leaves_the_copy(folder: Path) -> None:
    first_version(folder)
    before = tables(folder / FILE_NAME)
    for attempt in (1, 2):
        with pytest.raises(BorewrightError) as caught:
            Database.open(folder, schema=BROKEN)
        assert isinstance(caught.value.__cause__, OperationalError)
        assert tables(folder / FILE_NAME) == before
        assert len(list(folder.glob("*-before-*"))) == attempt
    with Store.open(folder) as store:
        assert store.check().faults == ()
        assert store.token() == 3


def test_newer_tables_are_refused_and_left_alone(folder: Path) -> None:
    Database.open(folder, schema=NEXT).close()
    before = (folder / FILE_NAME).read_bytes()
    with pytest.raises(
        RecordUnavailableError, match="newer version of the program; this one knows its tables up to 0002"
    ):
        Store.open(folder)
    assert (folder / FILE_NAME).read_bytes() == before


def test_a_program_that_runs_on_while_the_tables_are_brought_up_stores_nothing_more(folder: Path) -> None:
    with Store.open(folder) as old:
        old.append([note(BORE, "before")])
        with Store(Database.open(folder, schema=NEXT)) as new:
            with pytest.raises(RecordUnavailableError, match="newer version"):
                old.append([note(BORE, "by the old program")])
            assert new.token() == 1


def test_a_missing_table_is_said(folder: Path) -> None:
    first_version(folder)
    with closing(sqlite3.connect(folder / FILE_NAME)) as connection:
        connection.execute("DROP TABLE alembic_version")
    with pytest.raises(BorewrightError, match="unexpected way"):
        Store.open(folder)
