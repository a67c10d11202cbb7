"""A step that a later version might take: a column more, by rebuilding the table."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from borewright.shop.migrations.versions.v0001_events_and_keys import GUARDS

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Rebuild the events with a column for the shift, and put their guards back."""
    with op.batch_alter_table("events", recreate="always") as events:
        events.add_column(sa.Column("shift", sa.String(20), nullable=True))
    for guard in GUARDS:
        if " ON events" in guard:
            op.execute(guard)
