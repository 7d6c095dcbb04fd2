"""A book has one shop, one set of local rules and one of phrases at most; a file can be taken out of its list."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_ONLY = sa.text("kind IN ('shop', 'rules', 'phrases') AND NOT removed")


def upgrade() -> None:
    """Make the index that refuses a second one, and the columns for when a file was taken out and by whom."""
    op.create_index("uq_entry_only_one", "entry", ["kind"], unique=True, sqlite_where=_ONLY, postgresql_where=_ONLY)
    op.add_column("attachment", sa.Column("removed_at", sa.String(32)))
    op.add_column("attachment", sa.Column("removed_by", sa.String(100)))
