"""Codes on printed sheets: short, telling nothing by themselves, the same for the same sheet of the same versions."""

from __future__ import annotations

import datetime
import secrets

from sqlalchemy import Connection, Row, insert, select

from jounce.book.entries import Entry, PrintedSheet
from jounce.book.tables import printed

__all__ = ["LETTERS", "LONG", "code_for", "sheet_behind"]

LETTERS = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
"""Signs that nobody takes for another when they are read from paper: no I, L, O, 0, 1."""
LONG = 7
"""Signs of a code: 31 to the seventh, so that nobody finds one by trying."""


def code_for(connection: Connection, sheet: str, of: Entry, owner: Entry | None, by: str) -> str:
    """The code of a sheet; made when it is printed for the first time.

    Args:
        connection: to the book, writing
        sheet: word of the kind of sheet
        of: the job or the car as it is printed
        owner: the car of a job as it is printed
        by: who prints it
    """
    own = {"sheet": sheet, "entry": of.id, "number": of.number, "owner_number": 0 if owner is None else owner.number}
    wanted = select(printed.c.code).where(*(printed.c[name] == value for name, value in own.items()))
    known = connection.execute(wanted).scalar()
    if known is not None:
        return str(known)
    code = _new_code(connection)
    at = datetime.datetime.now(datetime.UTC).isoformat()
    connection.execute(insert(printed).values(code=code, at=at, by=by, **own))
    return code


def _new_code(connection: Connection) -> str:
    while True:
        code = "".join(secrets.choice(LETTERS) for _ in range(LONG))
        if connection.execute(select(printed.c.code).where(printed.c.code == code)).scalar() is None:
            return code


def sheet_behind(connection: Connection, code: str) -> PrintedSheet | None:
    """What a code leads back to; None for one that no sheet has.

    Args:
        connection: to the book
        code: as it is printed; small letters do
    """
    row = connection.execute(select(printed).where(printed.c.code == code.strip().upper())).one_or_none()
    return None if row is None else _read(row)


def _read(row: Row[tuple[object, ...]]) -> PrintedSheet:
    told = dict(row._mapping)  # noqa: SLF001  # the way that the library shows
    return PrintedSheet(**told | {"at": datetime.datetime.fromisoformat(str(told["at"]))})
