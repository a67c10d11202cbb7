"""Write ``tables_0001.sql``: a record of the first version of the tables, with three events, as SQL text.

Run ``python -m tests.golden.make_tables`` once for each released version of the tables, never again for an old one.
"""

from __future__ import annotations

import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from borewright.record.stream import Draft, StreamId
from borewright.shop.database import FILE_NAME
from borewright.shop.schema import APPLICATION_ID, own_schema
from borewright.shop.store import Store

BORE, TOOL = StreamId("bore", "carrier.front"), StreamId("tool", "t-17")


def dump(path: Path) -> str:
    """Write a database as SQL text.

    Args:
        path: its file.

    Returns:
        The statements, one after another, the header's application id first.
    """
    with closing(sqlite3.connect(path)) as connection:
        lines = [f"PRAGMA application_id = {APPLICATION_ID};", *connection.iterdump()]
    return "\n".join(lines) + "\n"


def main() -> None:
    """Make the record and write it beside this file."""
    with tempfile.TemporaryDirectory() as folder:
        with Store.open(Path(folder)) as store:
            drafts = [
                Draft(stream, "noted", 1, {"text": words}, at="2027-03-01T06:00:00Z", by="R. Amberley")
                for stream, words in ((BORE, "Ø 48.013 as read, wiped twice"), (TOOL, "dial stands at 0"))
            ]
            store.append(drafts, key="4f6c9d2e")
            store.append([Draft(BORE, "noted", 1, {"text": "part rested an hour"})])
        text = dump(Path(folder) / FILE_NAME)
    Path(__file__).with_name(f"tables_{own_schema().newest}.sql").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
