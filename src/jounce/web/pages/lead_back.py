"""Where the code on a printed sheet leads: to the job as it is now, and to the version that was printed."""

from __future__ import annotations

from starlette.responses import Response

from jounce.book import Entry, PrintedSheet
from jounce.sheets.catalogue import SHEETS
from jounce.sheets.envelope import ENVELOPE, JOB_SHEET
from jounce.web.pages.sheets import ALL_SHEETS, TWO_PAGES
from jounce.web.request import PageRequest, page

__all__ = ["show", "typed"]

_MONEY = ("quote", "order")


def typed(ask: PageRequest) -> Response:
    """A code typed from a sheet that no camera reads."""
    code = "".join(ask.query.get("code", "").split())
    return _answer(ask, code) if code else page(ask, "lead_back.html", code="", printed=None, wrong="")


def show(ask: PageRequest) -> Response:
    """What a code leads back to."""
    return _answer(ask, ask.path["code"])


def _answer(ask: PageRequest, code: str) -> Response:
    """The same words for every code that no sheet has, so that nothing is told of others."""
    found = ask.book.sheet_behind(code[:16])
    if found is None:
        return page(
            ask, "lead_back.html", 404, code=code[:16], printed=None, wrong="No sheet of this book has this code."
        )
    of = ask.book.entry(found.entry)
    owner = None if of.belongs_to is None or of.kind != "job" else ask.book.entry(of.belongs_to)
    return page(
        ask,
        "lead_back.html",
        code=found.code,
        printed=found,
        wrong="",
        name=_name(found),
        of=of,
        owner=owner,
        newer=_newer(ask, found, of, owner),
        again=_again(found, of),
    )


def _name(found: PrintedSheet) -> str:
    """Its name; of a kind that there is no longer, that it is a sheet: paper outlives a program's words."""
    own = {TWO_PAGES: JOB_SHEET, ALL_SHEETS: ENVELOPE}
    kind = SHEETS.get(found.sheet)
    return own.get(found.sheet) or ("Sheet" if kind is None else kind.name)


def _newer(ask: PageRequest, found: PrintedSheet, of: Entry, owner: Entry | None) -> list[str]:
    """What was changed since it was printed, with who did it."""
    told = []
    for entry, number in ((of, found.number), (owner, found.owner_number)):
        if entry is not None and entry.number > number:
            last = ask.book.versions(entry.id)[-1]
            when = last.at.astimezone().strftime("%Y-%m-%d %H:%M")
            told.append(
                f"The {entry.kind} is at version {entry.number} now, this sheet is of version {number}: {last.by}, {when}."
            )
    return told


def _again(found: PrintedSheet, of: Entry) -> str:
    """Where the sheet is printed as it would be now; money is printed from its own form."""
    if of.kind == "job":
        return f"/jobs/{of.id}/sheets" if found.sheet in _MONEY else f"/jobs/{of.id}/sheet.pdf?kind={found.sheet}"
    return f"/cars/{of.id}/sheet.pdf?kind={found.sheet}"
