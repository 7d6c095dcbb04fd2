"""The sheets of a job or of a car: printed now, or kept in the book as they were handed over."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from urllib.parse import urlencode

from starlette.responses import Response

from jounce.book import Attachment, Entry
from jounce.book.outcomes import promises_found
from jounce.car.file.document import CarDocument
from jounce.checks import Verdict, worst
from jounce.conventions.errors import InputError, JounceError
from jounce.sheets.catalogue import SheetKind, kind_of, sheets_of
from jounce.sheets.catalogue import sheet as printed
from jounce.sheets.envelope import ENVELOPE, ENVELOPE_USE, JOB_SHEET, envelope
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.lead_back import LeadBack
from jounce.sheets.notice import critical_failures, despite_of
from jounce.sheets.paperwork import FoundAfterwards, Paperwork, Printout
from jounce.sheets.promise import PROMISING, promised_by
from jounce.web.case_cache import car_case, car_read, job_of
from jounce.web.language import NotingTranslator
from jounce.web.pages.job import step_page
from jounce.web.pages.quoting import NUMBERS, carried, fields_at_first, offers_of, stock_of_book
from jounce.web.pages.rounds import rounds_of_job
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.shop_settings import held_case, house_phrases, shop_of

__all__ = [
    "ALL_SHEETS",
    "TWO_PAGES",
    "kept_file",
    "lead_back_of_sheet",
    "look_of",
    "of_car",
    "pdf_answer",
    "pdf_of_job",
    "plain_name",
    "print_car",
    "print_now",
    "show",
    "show_refused",
]

TWO_PAGES = "job"
"""Word of the sheet that is no single step's: comparison, settings, checks and linkage on two pages."""
ALL_SHEETS = "envelope"
"""Word of the PDF that has all sheets in it."""
_FIELDS = {"work", "despite", *(f"{key}{number}" for key in ("parts", "places") for number in NUMBERS)}


@dataclass(frozen=True, slots=True)
class OfferedSheet:
    """A kind of sheet on the page: its word, its name, when it is used; why it cannot be printed, empty where it can."""

    word: str
    name: str
    use: str
    missing: str = ""
    priced: bool = False


def show(ask: PageRequest) -> Response:
    """The sheets of a job, and those that were kept; a form prints one or keeps it, or comes back with what it lacks."""
    job, car = job_of(ask)
    if not ask.form:
        return _page(ask, job, car)
    word = ask.form.get("kind", TWO_PAGES)
    kind = _name_of(word)
    try:
        content = pdf_of_job(ask, ask.form)
    except JounceError as error:
        return _page(ask, job, car, (word, ask.form, error))
    if "print" in ask.form:
        asked = {key: text for key, text in ask.form.items() if text and key not in ("number", "print")}
        return onward(f"/jobs/{job.id}/sheet.pdf?{urlencode(asked)}")
    name = f"{kind}, {plain_name(job.name)}, version {job.number} of the job, {car.number} of the car.pdf"
    ask.book.attach(job.id, name, "application/pdf", content)
    return onward(f"/jobs/{job.id}/sheets#kept")


def print_now(ask: PageRequest) -> Response:
    """A sheet of a job as it would be now; where something lacks, its form with what it was asked with."""
    job, car = job_of(ask)
    word = ask.query.get("kind", TWO_PAGES)
    name = f"{plain_name(f'{_name_of(word)}, {job.name}')}.pdf"
    try:
        return pdf_answer(pdf_of_job(ask, ask.query), name)
    except JounceError as error:
        return _page(ask, job, car, (word, ask.query, error))


def show_refused(
    ask: PageRequest, job: Entry, car: Entry, refused: tuple[str, Mapping[str, str], JounceError]
) -> Response:
    """The page of the sheets where something cannot be made, with why.

    Args:
        ask: the request
        job: the job
        car: its car
        refused: its word on the page, what it was asked with, why it cannot be
    """
    return _page(ask, job, car, refused)


def _page(
    ask: PageRequest, job: Entry, car: Entry, refused: tuple[str, Mapping[str, str], JounceError] | None = None
) -> Response:
    """The page of the sheets; one form of it with what was typed and what is wrong with it, where one was refused."""
    case = held_case(ask, job, car)
    checks = case.every_check
    offers = [
        OfferedSheet(
            TWO_PAGES, _name_of(TWO_PAGES), "For bay and file: comparison, settings, checks, linkage, two pages."
        )
    ]
    offers += [*_offers(ask, case.car, of_job=True), OfferedSheet(ALL_SHEETS, ENVELOPE, ENVELOPE_USE)]
    at_first, values, wrong = fields_at_first(ask, case.change_list), dict[str, Mapping[str, str]](), dict[str, str]()
    if refused is not None:
        word, typed, error = refused
        values = {word: typed}
        field, told = _beside(error)
        wrong = {f"{word}-{field}": told}
    stock = stock_of_book(ask)
    return step_page(
        ask,
        "sheets",
        job,
        car,
        200 if refused is None else 422,
        kept=_kept(ask, job),
        fails=worst(checks) is Verdict.FAIL,
        critical=critical_failures(checks),
        offers=offers,
        shop=shop_of(ask),
        address=f"/jobs/{job.id}",
        title=" ".join(filter(None, (case.car.car.maker, case.car.car.name))),
        customer=case.change_list.job.customer,
        at_first=at_first,
        values=values,
        wrong=wrong,
        refused="" if refused is None else refused[0],
        handed_on="places1" in at_first,
        asked_with=_asked_with(ask, at_first),
        opened=ask.query.get("open", "") or ("quote" if "revise" in ask.query else ""),
        revise=ask.form.get("revise", ask.query.get("revise", "")),
        carried=lambda text: carried(text, stock),
        numbers=NUMBERS,
    )


def _asked_with(ask: PageRequest, at_first: Mapping[str, str]) -> str:
    """What the address of a form carries, so that it comes back as it was begun."""
    if "revise" in ask.query:
        return f"?{urlencode({'revise': ask.query['revise']})}"
    return f"?{urlencode(at_first)}" if "places1" in at_first else ""


def _beside(error: JounceError) -> tuple[str, str]:
    """The field that an error is of, empty for the form as a whole, and what is said beside it."""
    field, _, inner = error.place.partition(", ")
    if field not in _FIELDS:
        return "", str(error)
    return field, f"{inner}: {error.message}" if inner else error.message


def of_car(ask: PageRequest) -> Response:
    """The sheets that need no job, and those that were kept; a form keeps one as it is now."""
    car = find(ask, "car")
    if ask.form:
        word = ask.form.get("kind", "")
        name = f"{_name_of(word)}, {plain_name(car.name)}, version {car.number} of the car.pdf"
        ask.book.attach(car.id, name, "application/pdf", _car_pdf(ask, word, car))
        return onward(f"/cars/{car.id}/sheets#kept")
    offers = list(_offers(ask, car_read(car.content), of_job=False))
    return page(
        ask,
        "car_sheets.html",
        car=car,
        kept=_kept(ask, car),
        offers=offers,
        shop=shop_of(ask),
        address=f"/cars/{car.id}",
        at_first={},
        values={},
        wrong={},
        refused="",
        critical=[],
        opened="",
    )


def print_car(ask: PageRequest) -> Response:
    """A sheet of a car as it would be now."""
    car = find(ask, "car")
    word = ask.query.get("kind", "baseline")
    return pdf_answer(_car_pdf(ask, word, car), f"{plain_name(f'{_name_of(word)}, {car.name}')}.pdf")


def kept_file(ask: PageRequest) -> Response:
    """A sheet out of the book; other files are never shown in the browser."""
    return pdf_answer(ask.book.content_of(ask.path["file"]), "sheet.pdf")


def _offers(ask: PageRequest, document: CarDocument, *, of_job: bool) -> Iterator[OfferedSheet]:
    shop, shelf = shop_of(ask), bool(ask.book.entries("part"))
    for word, kind in sheets_of(document).items():
        if kind.of_job and not of_job:
            continue
        missing = ""
        if kind.priced and shop is None:
            missing = "It needs the shop's prices: fill in the shop first."
        elif kind.priced and not shelf:
            missing = "It needs parts with prices: fill the shelf first."
        yield OfferedSheet(word, kind.name, kind.use, missing, kind.priced)


def _name_of(word: str) -> str:
    return {TWO_PAGES: JOB_SHEET, ALL_SHEETS: ENVELOPE}.get(word) or kind_of(word).name


def _kept(ask: PageRequest, entry: Entry) -> list[Attachment]:
    return [file for file in ask.book.attachments(entry.id) if file.media_type == "application/pdf"][::-1]


def look_of(ask: PageRequest, edition: str, despite: str = "", code: LeadBack | None = None) -> Paperwork:
    """How a sheet looks that is printed from a page.

    Args:
        ask: the request
        edition: from which versions it is printed
        despite: why it is printed although a check fails on which lives depend; empty where nothing was typed
        code: what stands in its corner
    """
    house = house_phrases(ask.book)
    speaks = None if house is None else NotingTranslator(house, ask.heard)
    why = despite_of(despite, ask.desk.by)
    return Paperwork(ask.desk.units, ask.desk.paper, shop_of(ask), edition, speaks, why, code)


def lead_back_of_sheet(ask: PageRequest, word: str, of: Entry, owner: Entry | None = None) -> LeadBack | None:
    """The code of a sheet; none where the shop has no address that a phone finds, or the book is closed to writing.

    Args:
        ask: the request
        word: kind of the sheet
        of: the job or the car as it is printed
        owner: the car of a job as it is printed
    """
    shop = shop_of(ask)
    if shop is None or not shop.house.address or ask.book.read_only:
        return None
    return LeadBack(shop.house.address, ask.book.code_for(word, of, owner))


def pdf_of_job(ask: PageRequest, asked: Mapping[str, str]) -> bytes:
    """A sheet of the job that the address names.

    Args:
        ask: the request
        asked: which kind, and what its form says

    Raises:
        JounceError: why it cannot be printed; its place begins with the name of a field, where it is one's
    """
    job, car = job_of(ask)
    word = asked.get("kind", TWO_PAGES)
    edition = f"version {job.number} of the job, {car.number} of the car"
    look = look_of(ask, edition, asked.get("despite", ""), lead_back_of_sheet(ask, word, job, car))
    case = held_case(ask, job, car)
    content = _printed_sheet(ask, (job, car), Printout(case, look), asked)
    if word in PROMISING and not ask.book.read_only:
        ask.book.promise(word, job, car, promised_by(case))
    return content


def _printed_sheet(ask: PageRequest, pair: tuple[Entry, Entry], out: Printout, asked: Mapping[str, str]) -> bytes:
    """One kind of sheet, or all of them."""
    word, look = asked.get("kind", TWO_PAGES), out.look
    if word == TWO_PAGES:
        return job_sheet(out)
    if word == ALL_SHEETS:
        return _all_of_job(ask, pair, out, asked)
    if kind_of(word).priced:
        offers = offers_of(ask, pair, asked)
        return printed(word, Printout(offers[0].case, look, offers))
    return printed(word, replace(out, afterwards=_afterwards(ask, pair)))


def _afterwards(ask: PageRequest, pair: tuple[Entry, Entry]) -> FoundAfterwards:
    """What was measured on the finished car, and the rounds of its correction."""
    found = promises_found(ask.book, pair[0].id).outcomes
    return FoundAfterwards(found, tuple(rounds_of_job(ask, *pair)))


def _all_of_job(ask: PageRequest, pair: tuple[Entry, Entry], out: Printout, asked: Mapping[str, str]) -> bytes:
    """Every sheet of a job, each with its own code; money as the form of the quote has it at first."""
    job, car = pair

    def of(word: str, kind: SheetKind | None) -> Printout:
        look = replace(out.look, lead_back=lead_back_of_sheet(ask, word, job, car))
        if kind is None or not kind.priced:
            return Printout(out.case, look, afterwards=_afterwards(ask, pair))
        typed = {key: text for key, text in asked.items() if text}
        offers = offers_of(ask, pair, {**fields_at_first(ask, out.case.change_list), **typed})
        return Printout(offers[0].case, look, offers)

    return envelope(out, of)


def _car_pdf(ask: PageRequest, word: str, car: Entry) -> bytes:
    if kind_of(word).of_job:
        raise InputError(
            "This sheet is of a job", found=kind_of(word).name, todo="Print it from one of the car's jobs."
        )
    look = look_of(ask, f"car as found, version {car.number}", code=lead_back_of_sheet(ask, word, car))
    return printed(word, Printout(car_case(car.content), look))


def pdf_answer(content: bytes, name: str) -> Response:
    """A sheet, shown in the browser; what is none is handed out as a file.

    Args:
        content: the sheet
        name: of the file
    """
    if not content.startswith(b"%PDF"):
        return Response(content, media_type="application/octet-stream", headers={"content-disposition": "attachment"})
    return Response(
        content, media_type="application/pdf", headers={"content-disposition": f'inline; filename="{name}"'}
    )


def plain_name(name: str) -> str:
    """A file name that every machine takes.

    Args:
        name: what it is called
    """
    return re.sub(r"[^A-Za-z0-9 ,._-]", "", name).strip(" .")[:80] or "job"
