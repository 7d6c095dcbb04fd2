"""Codes that stand on printed sheets, and what each leads back to."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of the codes."""
    op.create_table(
        "printed",
        sa.Column("code", sa.String(16), nullable=False),
        sa.Column("sheet", sa.String(32), nullable=False),
        sa.Column("entry", sa.String(36), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("owner_number", sa.Integer, nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.Column("by", sa.String(100), nullable=False),
        sa.PrimaryKeyConstraint("code", name="pk_printed"),
        sa.ForeignKeyConstraint(["entry"], ["entry.id"], name="fk_printed_entry"),
        sa.UniqueConstraint("entry", "number", "owner_number", "sheet", name="uq_printed_entry"),
    )
