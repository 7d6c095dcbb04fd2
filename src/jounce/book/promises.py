"""What sheets promised, in the book: every number with its band, for the versions of job and car that were printed."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from importlib.metadata import version as version_of

from sqlalchemy import Connection, insert, select

from jounce.book.entries import Entry
from jounce.book.tables import promised
from jounce.conventions.units import Kind
from jounce.ledger.outcome import PromisedNumber

__all__ = ["Promise", "add_promises", "promises", "put_promises_back"]


@dataclass(frozen=True, slots=True)
class Promise:
    """A number that was promised.

    Attributes:
        job: id of the job
        number: its version
        owner_number: version of its car
        sheet: word of the kind of sheet on which it stood first
        tool: version of the program that worked it out
        at: when it was first printed
        by: who printed it
        promised: the number

    """

    job: str
    number: int
    owner_number: int
    sheet: str
    tool: str
    at: datetime.datetime
    by: str
    promised: PromisedNumber


def add_promises(
    connection: Connection, sheet: str, pair: tuple[Entry, Entry], numbers: Iterable[PromisedNumber], by: str
) -> int:
    """Keep numbers; those of the same versions that are there already stay.

    Args:
        connection: to the book, writing
        sheet: word of the kind of sheet
        pair: the job and its car as they are printed
        numbers: what is promised
        by: who prints it

    Returns:
        How many are new
    """
    job, car = pair
    own = {"entry": job.id, "number": job.number, "owner_number": car.number}
    there = set(
        connection.execute(
            select(promised.c.key).where(*(promised.c[name] == value for name, value in own.items()))
        ).scalars()
    )
    told = {
        "sheet": sheet,
        "tool": version_of("jounce"),
        "at": datetime.datetime.now(datetime.UTC).isoformat(),
        "by": by,
    }
    rows = [
        {
            **own,
            **told,
            "key": one.key,
            "kind": one.kind.value,
            "value": one.value,
            "band": one.band,
            "widened": one.widened,
            "layout": one.layout,
        }
        for one in numbers
        if one.key not in there
    ]
    if rows:
        connection.execute(insert(promised), rows)
    return len(rows)


def put_promises_back(connection: Connection, kept: Iterable[Promise]) -> None:
    """Put promises in as another book had them; those that are there already stay as they are.

    Args:
        connection: to the book, writing
        kept: the promises; their jobs are in the book
    """
    for one in kept:
        own = {"entry": one.job, "number": one.number, "owner_number": one.owner_number, "key": one.promised.key}
        there = select(promised.c.key).where(*(promised.c[name] == value for name, value in own.items()))
        if connection.execute(there).first() is None:
            number = one.promised
            told = {"sheet": one.sheet, "tool": one.tool, "at": one.at.isoformat(), "by": one.by}
            of_number = {
                "kind": number.kind.value,
                "value": number.value,
                "band": number.band,
                "widened": number.widened,
                "layout": number.layout,
            }
            connection.execute(insert(promised).values(**own, **told, **of_number))


def promises(connection: Connection, job: str | None = None) -> list[Promise]:
    """Numbers that were promised, the earliest first.

    Args:
        connection: to the book
        job: only those of this job
    """
    wanted = select(promised).order_by(promised.c.at, promised.c.entry, promised.c.key)
    if job is not None:
        wanted = wanted.where(promised.c.entry == job)
    return [
        Promise(
            row.entry,
            row.number,
            row.owner_number,
            row.sheet,
            row.tool,
            datetime.datetime.fromisoformat(row.at),
            row.by,
            PromisedNumber(row.key, Kind(row.kind), row.value, row.band, row.widened, row.layout),
        )
        for row in connection.execute(wanted)
    ]
