"""What was asked in words, without names, so that the shop sees what people ask and what was not understood."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table of the questions."""
    op.create_table(
        "asked",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("kind", sa.String(32), nullable=False),
        sa.Column("how", sa.String(16), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_asked"),
    )
