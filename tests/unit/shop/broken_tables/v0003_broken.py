"""A step that fails half way."""

from __future__ import annotations

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Rebuild the events, then fail."""
    with op.batch_alter_table("events", recreate="always") as events:
        events.drop_column("key")
    op.execute("SELECT * FROM no_such_table")
