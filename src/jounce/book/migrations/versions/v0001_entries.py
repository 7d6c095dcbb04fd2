"""The first book: entries, their versions, files."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the three tables."""
    op.create_table(
        "entry",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("kind", sa.String(16), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("belongs_to", sa.String(36)),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("removed", sa.Boolean, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_entry"),
        sa.ForeignKeyConstraint(["belongs_to"], ["entry.id"], name="fk_entry_belongs_to"),
    )
    op.create_index("ix_entry_kind", "entry", ["kind"])
    op.create_index("ix_entry_belongs_to", "entry", ["belongs_to"])
    op.create_table(
        "version",
        sa.Column("entry", sa.String(36), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.Column("by", sa.String(100), nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("belongs_to", sa.String(36)),
        sa.Column("removed", sa.Boolean, nullable=False),
        sa.Column("content", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("entry", "number", name="pk_version"),
        sa.ForeignKeyConstraint(["entry"], ["entry.id"], name="fk_version_entry"),
        sa.CheckConstraint("number > 0", name="ck_version_counted_from_one"),
    )
    op.create_table(
        "attachment",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("entry", sa.String(36), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("media_type", sa.String(100), nullable=False),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("size", sa.Integer, nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.Column("by", sa.String(100), nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_attachment"),
        sa.ForeignKeyConstraint(["entry"], ["entry.id"], name="fk_attachment_entry"),
    )
    op.create_index("ix_attachment_entry", "attachment", ["entry"])
