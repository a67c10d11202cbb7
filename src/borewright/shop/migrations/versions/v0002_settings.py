"""What a shop decides once: each decision a row of its own, so that the earlier ones can still be read."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of decisions."""
    op.create_table(
        "settings",
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(40), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.Column("decided_at", sa.String(40), nullable=False),
        sa.Column("decided_by", sa.String(80), nullable=True),
        sa.PrimaryKeyConstraint("position", name="pk_settings"),
    )
    op.create_index("ix_settings_name", "settings", ["name"])
