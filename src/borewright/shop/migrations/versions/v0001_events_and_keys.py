"""The first tables: events and keys, and the triggers that let them only grow."""

from __future__ import annotations

from typing import Final

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

GUARDS: Final = (
    # INSERT OR REPLACE deletes the old row without asking the delete trigger: a number already there is refused here.
    """
    CREATE TRIGGER events_next_only BEFORE INSERT ON events
    WHEN NEW.number <> 1 + (
        SELECT ifnull(max(number), 0) FROM events
        WHERE stream_kind = NEW.stream_kind AND stream_id = NEW.stream_id)
      OR EXISTS (SELECT 1 FROM events WHERE position = NEW.position)
    BEGIN SELECT RAISE(ABORT, 'an event takes the next number of its stream'); END
    """,
    """
    CREATE TRIGGER events_never_change BEFORE UPDATE ON events
    BEGIN SELECT RAISE(ABORT, 'an event is never changed'); END
    """,
    """
    CREATE TRIGGER events_never_delete BEFORE DELETE ON events
    BEGIN SELECT RAISE(ABORT, 'an event is never deleted'); END
    """,
    """
    CREATE TRIGGER keys_next_only BEFORE INSERT ON keys
    WHEN EXISTS (SELECT 1 FROM keys WHERE key = NEW.key)
    BEGIN SELECT RAISE(ABORT, 'a key is used once'); END
    """,
    """
    CREATE TRIGGER keys_never_change BEFORE UPDATE ON keys
    BEGIN SELECT RAISE(ABORT, 'a key is never changed'); END
    """,
    """
    CREATE TRIGGER keys_never_delete BEFORE DELETE ON keys
    BEGIN SELECT RAISE(ABORT, 'a key is never deleted'); END
    """,
)


def upgrade() -> None:
    """Make the tables in a file that holds nothing."""
    op.execute("PRAGMA application_id = 1114600037")
    op.create_table(
        "keys",
        sa.Column("key", sa.String(200), nullable=False),
        sa.Column("request", sa.String(64), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_keys"),
    )
    op.create_table(
        "events",
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("stream_kind", sa.String(8), nullable=False),
        sa.Column("stream_id", sa.String(80), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
        sa.Column("key", sa.String(200), nullable=True),
        sa.CheckConstraint("number >= 1", name=op.f("ck_events_number")),
        sa.CheckConstraint("length(hash) = 64", name=op.f("ck_events_hash")),
        # Deferred: the key is stored with the answer, and the answer is made from the events.
        sa.ForeignKeyConstraint(
            ["key"], ["keys.key"], name=op.f("fk_events_key_keys"), deferrable=True, initially="DEFERRED"
        ),
        sa.PrimaryKeyConstraint("position", name=op.f("pk_events")),
        sa.UniqueConstraint("stream_kind", "stream_id", "number", name=op.f("uq_events_stream_kind_stream_id_number")),
    )
    op.create_index("ix_events_key", "events", ["key"])
    for guard in GUARDS:
        op.execute(guard)
