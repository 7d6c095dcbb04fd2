"""Numbers that were promised on sheets, with their bands: what is found later is set beside them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of the promises."""
    op.create_table(
        "promised",
        sa.Column("entry", sa.String(36), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("owner_number", sa.Integer, nullable=False),
        sa.Column("key", sa.String(100), nullable=False),
        sa.Column("kind", sa.String(32), nullable=False),
        sa.Column("value", sa.Double, nullable=False),
        sa.Column("band", sa.Double, nullable=False),
        sa.Column("widened", sa.Double, nullable=False),
        sa.Column("layout", sa.String(64), nullable=False),
        sa.Column("sheet", sa.String(32), nullable=False),
        sa.Column("tool", sa.String(32), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.Column("by", sa.String(100), nullable=False),
        sa.PrimaryKeyConstraint("entry", "number", "owner_number", "key", name="pk_promised"),
        sa.ForeignKeyConstraint(["entry"], ["entry.id"], name="fk_promised_entry"),
    )
