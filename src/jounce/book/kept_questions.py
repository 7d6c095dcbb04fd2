"""What was asked in words, in the book: sentences without names, the day, and what they were understood as."""

from __future__ import annotations

import datetime
import uuid
from dataclasses import dataclass
from typing import Literal

from sqlalchemy import Connection, delete, func, insert, select

from jounce.book.tables import asked

__all__ = ["MOST_QUESTIONS", "HowUnderstood", "KeptQuestion", "clear_questions", "keep_question", "kept_questions"]

HowUnderstood = Literal["at once", "asked back", "chosen", "not understood"]
"""How a sentence came to its kind: answered at once, asked back, chosen by whoever asked, or not understood."""
MOST_QUESTIONS = 5000
"""So many sentences are kept; the oldest go."""


@dataclass(frozen=True, slots=True)
class KeptQuestion:
    """A sentence that was asked.

    Attributes:
        at: when it was asked first on its day
        text: the sentence, without names
        kind: word of the kind of question
        how: how it came to that kind

    """

    at: datetime.datetime
    text: str
    kind: str
    how: HowUnderstood


def keep_question(connection: Connection, text: str, kind: str, how: HowUnderstood) -> None:
    """Keep a sentence; asked again on the same day in the same way it stays as it is, so that a reload counts nothing.

    Args:
        connection: to the book, writing
        text: the sentence, without names
        kind: word of the kind of question
        how: how it came to that kind
    """
    now = datetime.datetime.now(datetime.UTC)
    same = select(asked.c.id).where(
        asked.c.text == text, asked.c.kind == kind, asked.c.how == how, asked.c.at.startswith(now.date().isoformat())
    )
    if connection.execute(same).first() is not None:
        return
    told = {"id": str(uuid.uuid4()), "at": now.isoformat(), "text": text, "kind": kind, "how": how}
    connection.execute(insert(asked).values(**told))
    over = (connection.execute(select(func.count()).select_from(asked)).scalar() or 0) - MOST_QUESTIONS
    if over > 0:
        oldest = connection.execute(select(asked.c.id).order_by(asked.c.at).limit(over)).scalars().all()
        connection.execute(delete(asked).where(asked.c.id.in_(oldest)))


def kept_questions(connection: Connection) -> list[KeptQuestion]:
    """What was asked, the latest first.

    Args:
        connection: to the book
    """
    rows = connection.execute(select(asked).order_by(asked.c.at.desc(), asked.c.id))
    return [KeptQuestion(datetime.datetime.fromisoformat(row.at), row.text, row.kind, row.how) for row in rows]


def clear_questions(connection: Connection) -> int:
    """Throw away all that was asked.

    Args:
        connection: to the book, writing

    Returns:
        How many sentences
    """
    return connection.execute(delete(asked)).rowcount
