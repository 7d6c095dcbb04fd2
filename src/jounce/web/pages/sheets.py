"""The sheets of a job or of a car: printed now, or kept in the book as they were handed over."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import lru_cache

from starlette.responses import Response

from jounce.book import Attachment, Entry
from jounce.car.document import CarDocument
from jounce.conventions.errors import InputError, at
from jounce.conventions.typed import pointed
from jounce.job.checks import Check, Verdict, worst
from jounce.job.document import JobDocument
from jounce.job.parts_named import parts_of_shelf
from jounce.job.quote import Work, priced
from jounce.job.shelf.part import Part
from jounce.job.shelf.shelf import Shelf
from jounce.job.shelf.toml import parse_toml
from jounce.sheets.case import (
    Case,
    JobCase,
    Offer,
    OnRoad,
    Paperwork,
    case_of_car,
    case_of_offers,
    case_of_work,
    states_on_road,
)
from jounce.sheets.catalogue import SHEETS, kind_of
from jounce.sheets.catalogue import sheet as printed
from jounce.sheets.job_sheet import SheetInput, job_sheet
from jounce.sheets.notice import critical_failures, despite_of
from jounce.sheets.offers import offer_as_planned, offer_of_package
from jounce.web.asking import Ask, find, onward, page
from jounce.web.house import house_phrases, local_checks, local_rules, own_checks, rules_held, shop_of
from jounce.web.language import Listening
from jounce.web.pages.job import step_page
from jounce.web.worked import Worked, car_read, job_of, work_out

__all__ = ["kept_file", "of_car", "print_car", "print_now", "show"]

TWO_PAGES = "job"
"""Word of the sheet that is no single step's: comparison, settings, checks and linkage on two pages."""
_MOST_HOURS = 200


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of sheet on the page: its word, its name, when it is used; why it cannot be printed, empty where it can."""

    word: str
    name: str
    use: str
    missing: str = ""
    priced: bool = False


def show(ask: Ask) -> Response:
    """The sheets of a job, and those that were kept; a form keeps one as it is now."""
    job, car = job_of(ask)
    worked = work_out(job.content, car.content)
    if ask.form:
        word = ask.form.get("kind", TWO_PAGES)
        content = _job_pdf(ask, word, (job, car), ask.form)
        name = f"{_name_of(word)}, {_plain(job.name)}, version {job.number} of the job, {car.number} of the car.pdf"
        ask.book.attach(job.id, name, "application/pdf", content)
        return onward(f"/jobs/{job.id}/sheets#kept")
    checks = _checks(ask, worked)
    fails = worst(checks) is Verdict.FAIL
    offers = [
        Kind(TWO_PAGES, _name_of(TWO_PAGES), "For bay and file: comparison, settings, checks, linkage, two pages.")
    ]
    offers += _offers(ask, of_job=True)
    kept = _kept(ask, job)
    return step_page(
        ask,
        "sheets",
        job,
        car,
        kept=kept,
        fails=fails,
        critical=critical_failures(checks),
        offers=offers,
        shop=shop_of(ask),
        address=f"/jobs/{job.id}",
        named=_named(ask, worked.job),
    )


def print_now(ask: Ask) -> Response:
    """A sheet of a job as it would be now."""
    job, car = job_of(ask)
    word = ask.query.get("kind", TWO_PAGES)
    content = _job_pdf(ask, word, (job, car), ask.query)
    return _pdf(content, f"{_plain(f'{_name_of(word)}, {job.name}')}.pdf")


def of_car(ask: Ask) -> Response:
    """The sheets that need no job, and those that were kept; a form keeps one as it is now."""
    car = find(ask, "car")
    if ask.form:
        word = ask.form.get("kind", "")
        name = f"{_name_of(word)}, {_plain(car.name)}, version {car.number} of the car.pdf"
        ask.book.attach(car.id, name, "application/pdf", _car_pdf(ask, word, car))
        return onward(f"/cars/{car.id}/sheets#kept")
    offers = list(_offers(ask, of_job=False))
    return page(
        ask,
        "car_sheets.html",
        car=car,
        kept=_kept(ask, car),
        offers=offers,
        shop=shop_of(ask),
        address=f"/cars/{car.id}",
        named="",
        critical=[],
    )


def print_car(ask: Ask) -> Response:
    """A sheet of a car as it would be now."""
    car = find(ask, "car")
    word = ask.query.get("kind", "baseline")
    return _pdf(_car_pdf(ask, word, car), f"{_plain(f'{_name_of(word)}, {car.name}')}.pdf")


def kept_file(ask: Ask) -> Response:
    """A sheet out of the book; other files are never shown in the browser."""
    return _pdf(ask.book.content_of(ask.path["file"]), "sheet.pdf")


def _offers(ask: Ask, *, of_job: bool) -> Iterator[Kind]:
    shop, shelf = shop_of(ask), bool(ask.book.entries("part"))
    for word, kind in SHEETS.items():
        if kind.of_job and not of_job:
            continue
        missing = ""
        if kind.priced and shop is None:
            missing = "It needs the shop's prices: fill in the shop first."
        elif kind.priced and not shelf:
            missing = "It needs parts with prices: fill the shelf first."
        yield Kind(word, kind.name, kind.use, missing, kind.priced)


def _name_of(word: str) -> str:
    return "Job sheet" if word == TWO_PAGES else kind_of(word).name


def _kept(ask: Ask, entry: Entry) -> list[Attachment]:
    return [file for file in ask.book.attachments(entry.id) if file.media_type == "application/pdf"][::-1]


def _checks(ask: Ask, worked: Worked) -> list[Check]:
    return [*own_checks(ask, worked), *local_checks(ask, worked)]


def _look(ask: Ask, edition: str, despite: str = "") -> Paperwork:
    house = house_phrases(ask.book)
    speaks = None if house is None else Listening(house, ask.heard)
    why = despite_of(despite, ask.desk.by)
    return Paperwork(ask.desk.units, ask.desk.paper, shop_of(ask), edition, speaks, why)


def _job_pdf(ask: Ask, word: str, entries: tuple[Entry, Entry], asked: Mapping[str, str]) -> bytes:
    job, car = entries
    worked, road = work_out(job.content, car.content), _road(job.content, car.content)
    look = _look(ask, f"version {job.number} of the job, {car.number} of the car", asked.get("despite", ""))
    checks = tuple(_checks(ask, worked))
    if word == TWO_PAGES:
        felt = {title: told for title, (told, _) in road.felt.items()}
        return job_sheet(
            SheetInput(
                worked.job,
                worked.car,
                worked.plan,
                worked.rows,
                checks,
                look.units,
                look.paper,
                felt,
                look.shop,
                look.edition,
                look.despite,
            )
        )
    work = JobCase(worked.job, worked.planned, worked.plan, checks, rules_held(ask).limits)
    if kind_of(word).priced:
        return printed(word, case_of_offers(tuple(_offered(ask, (work, road), worked.car, asked)), worked.car, look))
    return printed(word, case_of_work(work, worked.car, road, look))


def _car_pdf(ask: Ask, word: str, car: Entry) -> bytes:
    if kind_of(word).of_job:
        raise InputError(
            "This sheet is of a job", found=kind_of(word).name, todo="Print it from one of the car's jobs."
        )
    found = _found(car.content)
    look = _look(ask, f"car as found, version {car.number}")
    return printed(word, Case(found.car, found.found, None, look, found.on_road))


@lru_cache(maxsize=8)
def _road(job_text: str, car_text: str) -> OnRoad:
    """Both states on their road; what was felt there is kept with them."""
    worked = work_out(job_text, car_text)
    return states_on_road(worked.car, worked.planned, worked.job, worked.plan)


@lru_cache(maxsize=8)
def _found(car_text: str) -> Case:
    return case_of_car(car_read(car_text), Paperwork())


def _offered(ask: Ask, planned: tuple[JobCase, OnRoad], car: CarDocument, asked: Mapping[str, str]) -> Iterator[Offer]:
    """The packages that were typed, each worked out as a job of its own; else the job's own parts."""
    shop, stock, job = shop_of(ask), _stock(ask), planned[0].job
    if shop is None:
        raise InputError("Money needs the shop's prices", todo="Fill in the shop first: it is behind Desk.")
    with at("work"):
        work = [_work(line) for line in _lines(asked.get("work", ""))]
    offered = False
    for number in range(1, 4):
        lines = _lines(asked.get(f"parts{number}", ""))
        if not lines:
            continue
        offered = True
        if number == 1 and "\n".join(lines) == _named(ask, job):
            yield offer_as_planned(stock, work, shop.quote, *planned, ask.desk.units)
            continue
        name = " ".join(asked.get(f"name{number}", "").split())[:40] or "as asked"
        with at(f"package {name}"):
            package = priced(name, [_counted(stock, line) for line in lines], work, shop.quote)
        yield offer_of_package(package, job, car, local_rules(ask))
    if not offered:
        yield offer_as_planned(stock, work, shop.quote, *planned, ask.desk.units)


def _stock(ask: Ask) -> Shelf:
    return Shelf(tuple(_part(entry.content) for entry in ask.book.entries("part")))


def _named(ask: Ask, job: JobDocument) -> str:
    """The job's own parts by their codes on the shelf, as they are typed; empty where it names none that is there."""
    try:
        parts = parts_of_shelf(job, _stock(ask))
    except InputError:
        return ""
    return "\n".join(part.code if count == 1 else f"{part.code} = {count}" for part, count in parts)


def _lines(text: str) -> Sequence[str]:
    return [line.strip() for line in re.split(r"[\n,;]", text.replace("\r", "")) if line.strip()]


def _counted(shelf: Shelf, line: str) -> tuple[Part, int]:
    code, equals, count = (word.strip() for word in line.partition("="))
    if equals and not (count.isascii() and count.isdigit() and len(count) < 4):
        raise InputError("The count is not a whole number", found=f'"{line}"', allowed="CODE=2", todo="Correct it.")
    return shelf.part(code), int(count) if equals else 1


def _work(line: str) -> Work:
    name, _, hours = (word.strip() for word in line.rpartition("="))
    try:
        number = Decimal(pointed(hours.removesuffix("h").strip()))
    except InvalidOperation:
        number = Decimal("NaN")
    if not name or not number.is_finite() or not 0 < number <= _MOST_HOURS:
        allowed = f"alignment = 1.5, hours up to {_MOST_HOURS}"
        raise InputError("The work is not clear", found=f'"{line}"', allowed=allowed, todo="Correct it.")
    return Work(name, number)


@lru_cache(maxsize=4096)
def _part(text: str) -> Part:
    return parse_toml(text, "the shelf").whole("the shelf").parts[0]


def _pdf(content: bytes, name: str) -> Response:
    if not content.startswith(b"%PDF"):
        return Response(content, media_type="application/octet-stream", headers={"content-disposition": "attachment"})
    return Response(
        content, media_type="application/pdf", headers={"content-disposition": f'inline; filename="{name}"'}
    )


def _plain(name: str) -> str:
    """A file name that every machine takes."""
    return re.sub(r"[^A-Za-z0-9 ,._-]", "", name).strip(" .")[:80] or "job"
