"""The sheets of a job: printed now, or kept in the book as they were handed over."""

from __future__ import annotations

import re

from starlette.responses import Response

from jounce.job.checks import Verdict, worst
from jounce.sheets.job_sheet import SheetInput, job_sheet
from jounce.web.asking import Ask, onward
from jounce.web.pages.job import step_page
from jounce.web.worked import Worked, job_of, work_out

__all__ = ["kept_file", "print_now", "show"]


def show(ask: Ask) -> Response:
    """The sheets that were kept, and a new one; a form keeps the new one."""
    job, car = job_of(ask)
    worked = work_out(job.content, car.content)
    if ask.form:
        name = f"{_plain(job.name)}, version {job.number}.pdf"
        ask.book.attach(job.id, name, "application/pdf", _printed(ask, worked))
        return onward(f"/jobs/{job.id}/sheets")
    fails = worst(list(worked.checks)) is Verdict.FAIL
    kept = [file for file in ask.book.attachments(job.id) if file.media_type == "application/pdf"]
    return step_page(ask, "sheets", job, car, kept=kept, fails=fails)


def print_now(ask: Ask) -> Response:
    """The sheet as it would be now."""
    job, car = job_of(ask)
    return _pdf(_printed(ask, work_out(job.content, car.content)), f"{_plain(job.name)}.pdf")


def kept_file(ask: Ask) -> Response:
    """A sheet out of the book; other files are never shown in the browser."""
    return _pdf(ask.book.content_of(ask.path["file"]), "sheet.pdf")


def _printed(ask: Ask, worked: Worked) -> bytes:
    return job_sheet(
        SheetInput(worked.job, worked.car, worked.plan, worked.rows, worked.checks, ask.desk.units, ask.desk.paper)
    )


def _pdf(content: bytes, name: str) -> Response:
    if not content.startswith(b"%PDF"):
        return Response(content, media_type="application/octet-stream", headers={"content-disposition": "attachment"})
    return Response(
        content, media_type="application/pdf", headers={"content-disposition": f'inline; filename="{name}"'}
    )


def _plain(name: str) -> str:
    """A file name that every machine takes."""
    return re.sub(r"[^A-Za-z0-9 ,._-]", "", name).strip(" .")[:80] or "job"
