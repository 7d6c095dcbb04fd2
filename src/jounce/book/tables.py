"""The tables of the book. What they are today; how older books come here is in `migrations`."""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    Double,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    text,
)

from jounce.book.entries import ONLY_ONE

METADATA = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
    }
)

entry = Table(
    "entry",
    METADATA,
    Column("id", String(36), primary_key=True),
    Column("kind", String(16), nullable=False, index=True),
    Column("name", String(200), nullable=False),
    Column("belongs_to", String(36), ForeignKey("entry.id"), index=True),
    Column("number", Integer, nullable=False),
    Column("removed", Boolean, nullable=False),
)
"""Each entry once, as it is now: what lists need."""

ONLY = text(f"kind IN ({', '.join(repr(kind) for kind in ONLY_ONE)}) AND NOT removed")
"""Which entries a book has once at most."""

QUOTES = text("kind = 'quote'")
"""Entries whose names are numbers that are never given twice, not even when one was taken out."""

PROGRESS = text("kind = 'progress' AND NOT removed")
"""Entries of which a job has one at most."""

Index("uq_entry_only_one", entry.c.kind, unique=True, sqlite_where=ONLY, postgresql_where=ONLY)
Index("uq_entry_quote_number", entry.c.name, unique=True, sqlite_where=QUOTES, postgresql_where=QUOTES)
Index("uq_entry_one_progress", entry.c.belongs_to, unique=True, sqlite_where=PROGRESS, postgresql_where=PROGRESS)

version = Table(
    "version",
    METADATA,
    Column("entry", String(36), ForeignKey("entry.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("at", String(32), nullable=False),
    Column("by", String(100), nullable=False),
    Column("note", Text, nullable=False),
    Column("name", String(200), nullable=False),
    Column("belongs_to", String(36)),
    Column("removed", Boolean, nullable=False),
    Column("content", Text, nullable=False),
    CheckConstraint("number > 0", name="counted_from_one"),
)
"""Every version of every entry; rows are only ever added."""

attachment = Table(
    "attachment",
    METADATA,
    Column("id", String(36), primary_key=True),
    Column("entry", String(36), ForeignKey("entry.id"), nullable=False, index=True),
    Column("name", String(200), nullable=False),
    Column("media_type", String(100), nullable=False),
    Column("sha256", String(64), nullable=False),
    Column("size", Integer, nullable=False),
    Column("at", String(32), nullable=False),
    Column("by", String(100), nullable=False),
    Column("content", LargeBinary, nullable=False),
    Column("removed_at", String(32)),
    Column("removed_by", String(100)),
)
"""Files of entries; one that was taken out tells when and by whom, and keeps its content."""

printed = Table(
    "printed",
    METADATA,
    Column("code", String(16), primary_key=True),
    Column("sheet", String(32), nullable=False),
    Column("entry", String(36), ForeignKey("entry.id"), nullable=False),
    Column("number", Integer, nullable=False),
    Column("owner_number", Integer, nullable=False),
    Column("at", String(32), nullable=False),
    Column("by", String(100), nullable=False),
    UniqueConstraint("entry", "number", "owner_number", "sheet"),
)
"""Codes on printed sheets: one for each kind of sheet of each version of an entry and of what it belongs to."""

promised = Table(
    "promised",
    METADATA,
    Column("entry", String(36), ForeignKey("entry.id"), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("owner_number", Integer, primary_key=True),
    Column("key", String(100), primary_key=True),
    Column("kind", String(32), nullable=False),
    Column("value", Double, nullable=False),
    Column("band", Double, nullable=False),
    Column("widened", Double, nullable=False),
    Column("layout", String(64), nullable=False),
    Column("sheet", String(32), nullable=False),
    Column("tool", String(32), nullable=False),
    Column("at", String(32), nullable=False),
    Column("by", String(100), nullable=False),
)
"""Numbers promised on sheets: each once for each version of a job and of its car, as it was told first."""

asked = Table(
    "asked",
    METADATA,
    Column("id", String(36), primary_key=True),
    Column("at", String(32), nullable=False),
    Column("text", Text, nullable=False),
    Column("kind", String(32), nullable=False),
    Column("how", String(16), nullable=False),
)
"""What was asked in words, without names: each sentence once a day for each way in which it was understood."""
