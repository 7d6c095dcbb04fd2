"""All sheets of a job in one envelope: a list of what is in it on top, a bookmark for each."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from pypdf import PdfReader, PdfWriter

from jounce.conventions.errors import JounceError
from jounce.sheets.blocks import Block, Heading, Points, TableBlock, Words
from jounce.sheets.catalogue import SheetKind, sheet, sheets_of
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.notice import Judged, refuse_without_reason
from jounce.sheets.paperwork import Printout
from jounce.sheets.printing import printed

__all__ = ["ENVELOPE", "ENVELOPE_USE", "JOB_SHEET", "envelope"]

ENVELOPE = "Envelope: every sheet of the job"
ENVELOPE_USE = "To hand over or to file: all sheets in one PDF, with a list of what is in it and what is not."
JOB_SHEET = "Job sheet"


@dataclass(frozen=True, slots=True)
class _Enclosed:
    """A sheet in the envelope: its name, when it is used, how many pages it has, and what it is."""

    name: str
    use: str
    pages: int
    pdf: bytes


def envelope(out: Printout, of: Callable[[str, SheetKind | None], Printout]) -> bytes:
    """Every sheet that a job has as one PDF.

    Args:
        out: what the list on top is printed from
        of: what a sheet is printed from, by its word and kind, the two-page sheet without a kind; raises why it cannot be

    Raises:
        InputError: a check fails on which lives depend, and nobody said why it is printed all the same
    """
    refuse_without_reason([Judged(out.case.every_check)], out.look.despite)
    enclosed: list[_Enclosed] = []
    missing: dict[str, str] = {}
    for word, kind in ({"job": None} | dict(sheets_of(out.case.car))).items():
        name = JOB_SHEET if kind is None else kind.name
        try:
            own = of(word, kind)
            pdf = job_sheet(own) if kind is None else sheet(word, own)
        except JounceError as error:
            missing[name] = str(error)
            continue
        use = "For bay and file: comparison, settings, checks, linkage." if kind is None else kind.use
        enclosed.append(_Enclosed(name, use, len(PdfReader(io.BytesIO(pdf)).pages), pdf))
    return _bound(printed(ENVELOPE, _list_of(enclosed, missing), out), enclosed)


def _list_of(enclosed: list[_Enclosed], missing: Mapping[str, str]) -> list[Block]:
    page, rows = 2, []
    for one in enclosed:
        rows.append((one.name, one.use, str(page), str(one.pages)))
        page += one.pages
    blocks: list[Block] = [TableBlock(("sheet", "when it is used", "from page", "pages"), rows, words=2)]
    if missing:
        blocks += [Heading("Not in it"), Points([f"{name}: {why}" for name, why in missing.items()])]
    return [
        *blocks,
        Words("Page numbers here count through the whole envelope; each sheet counts its own.", small=True),
    ]


def _bound(top: bytes, enclosed: list[_Enclosed]) -> bytes:
    writer = PdfWriter()
    for name, pdf in ((ENVELOPE, top), *((one.name, one.pdf) for one in enclosed)):
        writer.append(io.BytesIO(pdf), outline_item=name, import_outline=False)
    title = PdfReader(io.BytesIO(top)).metadata
    writer.add_metadata({"/Title": (title.title if title else None) or ENVELOPE})
    into = io.BytesIO()
    writer.write(into)
    return into.getvalue()
