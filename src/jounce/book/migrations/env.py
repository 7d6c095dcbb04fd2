"""Runs the steps on the connection that `jounce.book.opening` hands over."""

from __future__ import annotations

from alembic import context

from jounce.book.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,  # SQLite changes a table by copying it
    transaction_per_migration=True,
)
with context.begin_transaction():
    context.run_migrations()
