"""What a check of the whole record finds, and what it cannot."""

from __future__ import annotations

import errno
import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from borewright.errors import DamagedRecordError, EntryError, RecordUnavailableError
from borewright.shop.database import FILE_NAME
from borewright.shop.store import Store
from borewright.shop.verify import check_file
from tests.unit.shop.drafts import BORE, GAUGE, TOOL, note


@pytest.fixture
def filled(store: Store) -> Store:
    store.append([note(BORE, "as read 61.9912 mm"), note(TOOL, "set"), note(GAUGE, "on the ring")], key="a")
    store.append([note(BORE, "as read 61.9921 mm"), note(TOOL, "moved")], key="b")
    store.append([note(BORE, "as read 61.9936 mm")])
    return store


def tamper(store: Store, statement: str) -> None:
    """Change the file as somebody with a database tool and some knowledge would: guards off, change, guards on."""
    with closing(sqlite3.connect(store.database.path)) as connection, connection:
        guards = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            connection.execute(f"DROP TRIGGER {name}")
        connection.execute(statement)
        for _, guard in guards:
            connection.execute(guard)


def test_a_whole_record_has_no_fault(filled: Store) -> None:
    checked = filled.check()
    assert checked.faults == ()
    assert checked.events == 6
    assert {stream: head.number for stream, head in checked.heads.items()} == {BORE: 3, TOOL: 2, GAUGE: 1}
    assert checked.heads[BORE] == filled.head(BORE)


def test_one_tampered_byte_is_found(filled: Store) -> None:
    tamper(filled, "UPDATE events SET body = CAST(replace(body, '61.9921', '61.9922') AS BLOB) WHERE number = 2")
    (fault,) = filled.check().faults
    assert "Event 2 or one before it was changed" in fault.wrong
    assert fault.where == str(BORE)
    with pytest.raises(DamagedRecordError, match="Event 2"):
        filled.stream(BORE)
    assert len(filled.stream(TOOL)) == 2


@pytest.mark.parametrize(
    ("statement", "found"),
    [
        ("UPDATE events SET hash = replace(hash, substr(hash, 1, 1), 'f') WHERE number = 3", "changed"),
        ("UPDATE events SET hash = printf('%064d', 7) WHERE number = 1 AND stream_kind = 'tool'", "changed"),
        ("UPDATE events SET hash = upper(hash) WHERE number = 3", "changed"),
        ("DELETE FROM events WHERE number = 2 AND stream_kind = 'bore'", "missing or out of place"),
        ("DELETE FROM events WHERE number = 1 AND stream_kind = 'bore'", "missing or out of place"),
        ("UPDATE events SET number = 9 WHERE number = 3", "stands in the place of"),
        ("UPDATE events SET number = 2 - number + 2 WHERE stream_kind = 'tool'", "missing or out of place"),
        ("UPDATE events SET stream_id = 'other' WHERE stream_kind = 'gauge'", "missing or out of place"),
        ("UPDATE events SET stream_kind = 'fixture' WHERE stream_kind = 'gauge'", "no stream of that kind"),
        ("UPDATE events SET body = CAST('not JSON' AS BLOB) WHERE stream_kind = 'gauge'", "not an event"),
        ("UPDATE events SET body = CAST('{}' AS BLOB) WHERE stream_kind = 'gauge'", "not an event"),
        ("UPDATE events SET body = CAST(body AS TEXT) WHERE stream_kind = 'gauge'", "not an event"),
        ("DELETE FROM keys WHERE key = 'a'", "names a key that is not there"),
    ],
)
def test_every_kind_of_tampering_inside_a_chain_is_found(filled: Store, statement: str, found: str) -> None:
    tamper(filled, statement)
    faults = filled.check().faults
    assert any(found in fault.wrong for fault in faults), faults
    assert all(fault.where or fault.given for fault in faults)


def test_a_guard_taken_out_is_found(filled: Store) -> None:
    with closing(sqlite3.connect(filled.database.path)) as connection:
        connection.execute("DROP TRIGGER events_never_delete")
    (fault,) = filled.check().faults
    assert fault.given == "events_never_delete"


def test_a_tail_cut_off_is_not_found_but_its_head_differs_from_the_one_on_paper(filled: Store) -> None:
    on_paper = filled.head(BORE)
    tamper(filled, "DELETE FROM events WHERE number = 3")
    assert filled.check().faults == ()
    assert filled.head(BORE) != on_paper


def test_a_damaged_page_is_found(folder: Path) -> None:
    with Store.open(folder) as store:
        for number in range(100):
            store.append([note(BORE, f"{number} " + "x" * 400)])
    file = folder / FILE_NAME
    content = bytearray(file.read_bytes())
    middle = len(content) // 2
    content[middle : middle + 64] = b"\xff" * 64
    file.write_bytes(content)
    try:
        with Store.open(folder) as store:
            assert store.check().faults
    except DamagedRecordError:
        pass


def test_a_backup_is_a_record_of_its_own(filled: Store, tmp_path: Path) -> None:
    to = tmp_path / "stick" / FILE_NAME
    to.parent.mkdir()
    checked = filled.backup(to)
    assert checked == filled.check()
    filled.append([note(BORE, "after the backup")])
    with Store.open(to.parent) as restored:
        assert restored.head(BORE).number == 3
        assert restored.append([note(BORE, "as read 61.9921 mm"), note(TOOL, "moved")], key="b").repeated
    assert [file.name for file in to.parent.iterdir()] == [FILE_NAME]


def test_a_backup_is_never_written_over_another(filled: Store, tmp_path: Path) -> None:
    to = tmp_path / "copy.sqlite"
    to.write_text("last week's")
    with pytest.raises(EntryError, match="already"):
        filled.backup(to)
    assert to.read_text() == "last week's"


def test_a_backup_goes_to_a_file_system_without_links(
    filled: Store, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", refuse)
    to = tmp_path / "copy.sqlite"
    assert filled.backup(to) == filled.check()
    with pytest.raises(EntryError, match="already"):
        filled.backup(to)
    assert [file.name for file in tmp_path.glob("copy*")] == ["copy.sqlite"]


def test_a_backup_into_a_folder_that_is_not_there_is_said(filled: Store, tmp_path: Path) -> None:
    with pytest.raises(RecordUnavailableError):
        filled.backup(tmp_path / "stick" / "copy.sqlite")


def test_a_backup_shows_the_faults_of_the_record(filled: Store, tmp_path: Path) -> None:
    tamper(filled, "UPDATE events SET body = CAST(replace(body, '61.9921', '61.9922') AS BLOB) WHERE number = 2")
    assert len(filled.backup(tmp_path / "copy.sqlite").faults) == 1


def test_a_file_that_is_not_a_record_is_said(tmp_path: Path) -> None:
    (tmp_path / "x").write_text("not a database at all, only words " * 10)
    with pytest.raises(DamagedRecordError):
        check_file(tmp_path / "x")
    with pytest.raises(RecordUnavailableError):
        check_file(tmp_path / "missing")
