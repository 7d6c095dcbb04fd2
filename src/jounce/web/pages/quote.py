"""A quote as it was handed over: its prices of that day, its revisions, and what the customer said to it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from urllib.parse import urlencode

from starlette.responses import Response

from jounce.book import Entry
from jounce.conventions.errors import InputError, JounceError, at
from jounce.office.board import move, progress_of, read_day, today
from jounce.office.quotes import Offered, answer, hand_over, not_before, revisions_of, sheet_of
from jounce.quote.kept import QuoteHead, parse_quote
from jounce.quote.progress import JobState
from jounce.sheets.catalogue import sheet as printed
from jounce.sheets.paperwork import Printout
from jounce.sheets.promise import promised_by
from jounce.web.case_cache import job_of
from jounce.web.pages.quoting import offers_of
from jounce.web.pages.sheets import lead_back_of_sheet, look_of, show_refused
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.saving import keep, number_of, onward_saved
from jounce.web.shop_settings import held_case, shop_of

__all__ = ["issue", "show"]

_WORD = "quote"
_LEFT_OUT = {"number", "issue", "kind", "revise", "despite"}
"""Fields of the form that say nothing about what is offered; a reason is typed anew for each revision."""


def issue(ask: PageRequest) -> Response:
    """Hand a job's quote over: it takes a number, or is the next revision of one, and stays as it is now."""
    job, car = job_of(ask)
    if not ask.form:
        return onward(f"/jobs/{job.id}/sheets?open=quote#quote")
    try:
        kept = _handed_over(ask, job, car)
    except JounceError as error:
        return show_refused(ask, job, car, (_WORD, ask.form, error))
    _on_the_board(ask, job, JobState.QUOTED, (JobState.ASKED,))
    return onward_saved(f"/quotes/{kept.id}", kept)


def _handed_over(ask: PageRequest, job: Entry, car: Entry) -> Entry:
    shop = shop_of(ask)
    if shop is None:
        raise InputError("Money needs the shop's prices", todo="Fill in the shop first: it is behind Desk.")
    edition = f"version {job.number} of the job, {car.number} of the car"
    look = look_of(ask, edition, ask.form.get("despite", ""), lead_back_of_sheet(ask, _WORD, job, car))
    offers = offers_of(ask, (job, car), ask.form)
    out = partial(Printout, offers[0].case, look, offers)

    def sheet(head: QuoteHead) -> bytes:
        return printed(_WORD, out(head))

    asked = {key: text for key, text in ask.form.items() if key not in _LEFT_OUT}
    offered = Offered([one.package for one in offers], shop.quote, asked, edition)
    before = None
    if ask.form.get("revise"):
        before = ask.book.entry(ask.form["revise"])
        if before.kind != "quote" or before.belongs_to != job.id:
            raise InputError("This is no quote of this job", found=before.name, todo="Begin from the quote's page.")
    kept = hand_over(ask.book, job, offered, today(), sheet, before)
    ask.book.promise(_WORD, job, car, promised_by(held_case(ask, job, car)))
    return kept


def show(ask: PageRequest) -> Response:
    """The quote, or the customer's answer put down."""
    entry = find(ask, "quote")
    if ask.form:
        return _answered(ask, entry)
    return _page(ask, entry)


def _answered(ask: PageRequest, entry: Entry) -> Response:
    word = ask.form.get("answer", "")
    document = parse_quote(entry.content)
    try:
        with at("on"):
            day = read_day(ask.form["on"]) if ask.form.get("on", "").strip() else today()
            not_before(document.quote, day)
        with at("answer"):
            changed = answer(entry, word, day, ask.form.get("package", ""))
    except InputError as error:
        return _page(ask, entry, {error.place.partition(",")[0]: str(error)})
    note = "answer taken back" if word == "open" else f"{word} on {day}"
    kept = keep(ask, entry, changed.content, note)
    if word == "accepted":
        _on_the_board(ask, _job(ask, entry), JobState.ORDERED, (JobState.ASKED, JobState.QUOTED))
    return onward_saved(f"/quotes/{entry.id}", kept)


def _on_the_board(ask: PageRequest, job: Entry, to: JobState, before: tuple[JobState, ...]) -> None:
    """Move the job with its quote, where it had not come further."""
    now = progress_of(ask.book, job)
    if now.state in before:
        move(ask.book, job, now.model_copy(update={"state": to, "since": today()}))


def _job(ask: PageRequest, quote: Entry) -> Entry:
    if quote.belongs_to is None:
        raise InputError("This quote belongs to no job", found=quote.name, todo="Make it again from the job's sheets.")
    return ask.book.entry(quote.belongs_to)


def _page(ask: PageRequest, entry: Entry, wrong: Mapping[str, str] | None = None) -> Response:
    job = _job(ask, entry)
    document = parse_quote(entry.content)
    revisions = [(version, parse_quote(version.entry.content)) for version in revisions_of(ask.book, entry)]
    car = None if job.belongs_to is None else ask.book.entry(job.belongs_to)
    return page(
        ask,
        "quote.html",
        422 if wrong else 200,
        entry=entry,
        number=number_of(ask, entry),
        job=job,
        car=car,
        owner=None if car is None or car.belongs_to is None else ask.book.entry(car.belongs_to),
        quote=document.quote,
        packages=document.package,
        wrong=wrong or {},
        revisions=[(version, told, sheet_of(ask.book, entry, told.quote.head)) for version, told in revisions],
        sheet=sheet_of(ask.book, entry, document.quote.head),
        again=f"/jobs/{job.id}/sheets?{urlencode({'revise': entry.id})}#quote",
        order=f"/jobs/{job.id}/sheets?{urlencode({'ordered': entry.id})}#order",
        today=today(),
    )
