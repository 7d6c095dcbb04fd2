"""The number of a quote is given once, and how far a job has come is told once."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

_QUOTES = sa.text("kind = 'quote'")
_PROGRESS = sa.text("kind = 'progress' AND NOT removed")


def upgrade() -> None:
    """Make the two indexes that refuse a second one."""
    op.create_index(
        "uq_entry_quote_number", "entry", ["name"], unique=True, sqlite_where=_QUOTES, postgresql_where=_QUOTES
    )
    op.create_index(
        "uq_entry_one_progress",
        "entry",
        ["belongs_to"],
        unique=True,
        sqlite_where=_PROGRESS,
        postgresql_where=_PROGRESS,
    )
