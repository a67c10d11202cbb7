"""Run the steps on the connection that was given; the caller holds the transaction and commits or rolls back."""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=context.config.attributes["metadata"],
    render_as_batch=True,
)
with context.begin_transaction():
    context.run_migrations()
