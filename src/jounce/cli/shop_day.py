"""`jounce book customer`, `board`, `move`, `quote`, `answer`: the shop's day on the command line."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from jounce.book import Book, Entry
from jounce.car.file.reading import parse_car
from jounce.car.file.writing import write_whole
from jounce.case.case import Case
from jounce.checks.rules import NO_RULES, parse_rules
from jounce.cli.answers import UNITS_HELP
from jounce.cli.in_book import BookPlace, ByWhom, named_entry, opened_book
from jounce.cli.promising import keep_promises
from jounce.cli.sheet import (
    Despite,
    Packages,
    PaperWord,
    PartCodes,
    WorkHours,
    counted_part,
    packages_wanted,
    paper_of,
    work_of,
)
from jounce.conventions.errors import InputError, at
from jounce.job.file import parse_job
from jounce.office.board import board as jobs_on_board
from jounce.office.board import move as moved
from jounce.office.board import progress_of, read_day, today
from jounce.office.quotes import Offered, hand_over, sheet_of
from jounce.office.quotes import answer as answered
from jounce.quote.customer import customer_text, parse_customer
from jounce.quote.kept import QuoteHead, parse_quote
from jounce.quote.progress import JobState, Progress, state_named
from jounce.quote.quote import priced
from jounce.quote.shop import Shop, parse_shop
from jounce.sheets.catalogue import sheet as printed
from jounce.sheets.notice import despite_of
from jounce.sheets.offers import offer_as_planned, offer_of_package
from jounce.sheets.paperwork import PackageOffer, Paperwork, Printout
from jounce.shelf.book_entries import shelf_of

__all__ = ["answer", "board", "customer", "move", "quote"]

_Job = Annotated[str, typer.Argument(help="a job: its name, or the beginning of its id", metavar="JOB")]
_Number = Annotated[str, typer.Argument(help="number of the quote", metavar="NUMBER")]
_Day = Annotated[str, typer.Option("--on", help="day of it, as 2031-05-17; today when left out")]


def customer(
    where: BookPlace,
    name: Annotated[str, typer.Argument(help="name")],
    text: Annotated[str | None, typer.Option(help="a note: anything else")] = None,
    telephone: Annotated[str | None, typer.Option(help="telephone number")] = None,
    email: Annotated[str | None, typer.Option(help="mail address")] = None,
    address: Annotated[str | None, typer.Option(help="postal address")] = None,
    by: ByWhom = "",
) -> None:
    """Add a customer, or change what is noted of the one of that name."""
    opened = opened_book(where, by)
    there = [one for one in opened.entries("customer") if one.name == " ".join(name.split())]
    if len(there) > 1:
        named_entry(opened, name, "customer")
    before = there[0].content if there else ""
    given = {"note": text, "telephone": telephone, "email": email, "address": address}
    noted = parse_customer(before).model_copy(update={key: one for key, one in given.items() if one is not None})
    content = customer_text(noted, before)
    if there:
        kept = opened.save(replace(there[0], content=content))
        typer.echo(f"Kept: customer {kept.name}, version {kept.number}.")
    else:
        typer.echo(f"Kept: customer {opened.add('customer', name, content).name}.")


def board(
    where: BookPlace,
    state: Annotated[str, typer.Option("--state", help="only jobs in this state")] = "",
) -> None:
    """The jobs by their states, those touched last first, with days, quotes and whose they are."""
    wanted = state_named(state) if state else None
    jobs = jobs_on_board(opened_book(where, ""))
    for one in JobState if wanted is None else (wanted,):
        here = [job for job in jobs if job.progress.state is one]
        if not here:
            continue
        typer.echo(f"{one}:")
        for job in here:
            whose = ", ".join(entry.name for entry in (job.car, job.owner) if entry is not None)
            told = [f"since {job.progress.since}"]
            if job.progress.due:
                told.append(f"promised for {job.progress.due}{' (late)' if job.progress.late(today()) else ''}")
            told += [f"quote {quote.entry.name}: {quote.document.sum_told}" for quote in job.quotes[:1]]
            note = f"  {job.progress.note}" if job.progress.note else ""
            typer.echo(f"  {job.job.id[:8]}  {job.job.name}  [{whose}]  {', '.join(told)}{note}")


def move(
    where: BookPlace,
    job: _Job,
    state: Annotated[str, typer.Argument(help=f"where it stands: {', '.join(JobState)}", metavar="STATE")],
    on: _Day = "",
    due: Annotated[str | None, typer.Option("--due", help="day by which it is promised; empty for none")] = None,
    note: Annotated[str | None, typer.Option("--note", help="what it waits for, or anything else")] = None,
    by: ByWhom = "",
) -> None:
    """Move a job on the board; where it stood before stays in its history."""
    opened = opened_book(where, by)
    entry = named_entry(opened, job, "job")
    now = progress_of(opened, entry)
    promised = now.due if due is None else _day(due, "--due") if due else None
    to = Progress(
        state=state_named(state),
        since=_day(on, "--on") if on else today(),
        due=promised,
        note=now.note if note is None else note,
    )
    moved(opened, entry, to)
    typer.echo(f"{entry.name}: {to.state} since {to.since}.")


def quote(
    where: BookPlace,
    job: _Job,
    out: Annotated[Path, typer.Option("--out", help="PDF file to write", metavar="PDF")],
    package: Packages = None,
    part: PartCodes = None,
    work: WorkHours = None,
    revise: Annotated[str, typer.Option("--revise", help="number of the quote of which it is the next revision")] = "",
    despite: Despite = "",
    paper: PaperWord = "a4",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
    by: ByWhom = "",
) -> None:
    """Hand a quote over: it takes the year's next number, or is the next revision of one, and stays as it is now."""
    opened = opened_book(where, by)
    entry = named_entry(opened, job, "job")
    shop, (case, edition) = _shop(opened), _case(opened, entry)
    before = None
    if revise:
        before = named_entry(opened, revise, "quote")
        if before.belongs_to != entry.id:
            raise InputError("This quote is of another job", found=revise, todo="Name that job.")
    look = Paperwork(units, paper_of(paper), shop, edition, despite=despite_of(despite, opened.by))
    offers = _offers(opened, case, shop, (part or [], package or [], work or []), units)

    def sheet(head: QuoteHead) -> bytes:
        return printed("quote", Printout(offers[0].case, look, offers, head))

    asked = _as_form(part or [], package or [], work or [])
    offered = Offered([one.package for one in offers], shop.quote, asked, edition)
    kept = hand_over(opened, entry, offered, today(), sheet, before)
    keep_promises(opened, "quote", case, _pair(opened, entry))
    now = progress_of(opened, entry)
    if now.state is JobState.ASKED:
        moved(opened, entry, now.model_copy(update={"state": JobState.QUOTED, "since": today()}))
    document = parse_quote(kept.content)
    file = sheet_of(opened, kept, document.quote.head)
    if file is not None:
        write_whole(out, opened.content_of(file.id))
    told = document.quote
    typer.echo(f"Quote {told.number}, revision {told.revision}: {document.sum_told}, holds until {told.valid_until}.")


def answer(
    where: BookPlace,
    number: _Number,
    said: Annotated[str, typer.Argument(help="accepted, declined, or open to take it back", metavar="ANSWER")],
    package: Annotated[str, typer.Option("--package", help="which of several packages was accepted")] = "",
    on: _Day = "",
    by: ByWhom = "",
) -> None:
    """Put down what the customer said to a quote; the job of an accepted one is ordered."""
    opened = opened_book(where, by)
    entry = named_entry(opened, number, "quote")
    day = _day(on, "--on") if on else today()
    kept = opened.save(answered(entry, said, day, package), f"{said} on {day}")
    told = parse_quote(kept.content)
    if told.quote.answer == "accepted" and kept.belongs_to is not None:
        job = opened.entry(kept.belongs_to)
        now = progress_of(opened, job)
        if now.state in {JobState.ASKED, JobState.QUOTED}:
            moved(opened, job, now.model_copy(update={"state": JobState.ORDERED, "since": day}))
    chosen = f", package {told.quote.package}, {told.sum_told}" if told.quote.package else ""
    typer.echo(f"Quote {told.quote.number}: {told.quote.answer}{chosen}.")


def _day(text: str, option: str) -> datetime.date:
    with at(option):
        return read_day(text)


def _shop(opened: Book) -> Shop:
    entries = opened.entries("shop")
    if not entries:
        raise InputError(
            "Money needs the shop's prices", todo="Put the shop's file in: jounce book keep.", place=opened.place
        )
    return parse_shop(entries[0].content, "the shop")


def _pair(opened: Book, job: Entry) -> tuple[Entry, Entry]:
    """A job of the book and its car."""
    if job.belongs_to is None:
        raise InputError("This job belongs to no car", found=job.name, todo="Keep it again with --of.")
    return job, opened.entry(job.belongs_to)


def _case(opened: Book, job: Entry) -> tuple[Case, str]:
    """A job of the book on its car, held to the shop's own rules, and from which versions."""
    job, car = _pair(opened, job)
    rules = next((one.content for one in opened.entries("rules") if one.content.strip()), "")
    held = parse_rules(rules, "the local rules") if rules else NO_RULES
    case = Case(parse_car(car.content, car.name)).with_job(parse_job(job.content, job.name), held)
    return case, f"version {job.number} of the job, {car.number} of the car"


def _offers(
    opened: Book, case: Case, shop: Shop, asked: tuple[list[str], list[str], list[str]], units: str
) -> tuple[PackageOffer, ...]:
    """What was asked for by parts and by packages, each worked out; where nothing was, the parts that the job names."""
    parts, packages, written = asked
    stock = shelf_of(one.content for one in opened.entries("part"))
    work = work_of(written)
    wanted = packages_wanted(parts, packages)
    if not wanted:
        with at("the job"):
            return (offer_as_planned(stock, work, shop.quote, case, units),)
    chosen = [(name, [counted_part(stock, code) for code in codes]) for name, codes in wanted]
    return tuple(offer_of_package(priced(name, own, work, shop.quote), case) for name, own in chosen)


def _as_form(parts: list[str], packages: list[str], work: list[str]) -> dict[str, str]:
    """The same as the page's form would have it, so that a revision there begins with it."""
    fields = {"work": "\n".join(work)}
    for number, (name, codes) in enumerate(packages_wanted(parts, packages), 1):
        fields |= {f"name{number}": name, f"parts{number}": "\n".join(codes)}
    return fields
