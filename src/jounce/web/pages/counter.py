"""The counter: what the customer wants, asked first; three answers in plain numbers; one of them taken as a job."""

from __future__ import annotations

import datetime
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from starlette.responses import Response

from jounce.car.file.rewriting import rewritten
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.typed import whole
from jounce.conventions.units import Kind
from jounce.conventions.units import show as shown_in
from jounce.shelf.part import Part
from jounce.wanted.counter.found import Answered, CounterAnswer
from jounce.wanted.counter.goals import RULES_WORDS
from jounce.wanted.counter.job import wish_words
from jounce.wanted.counter.numbers import PlainNumber, plain_numbers
from jounce.wanted.counter.verdict import TellVerdict, verdict_of, why_not_lower
from jounce.wanted.counter.wish import CORNERS, FEELS, USES, CounterWish
from jounce.web.background import BackgroundTask, TaskSpec, TaskState, question_of
from jounce.web.charts.low_scale import SORTS, low_scale, marks_shown
from jounce.web.pages.job_details import first_details
from jounce.web.pages.quoting import quote_all
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.saving import onward_saved
from jounce.web.searching.counter_work import (
    WishForm,
    as_text,
    from_text,
    low_of,
    most_lower,
    read_wish,
    wish_answered,
    wish_form,
)
from jounce.web.searching.found import money
from jounce.web.searching.work import shelf_in
from jounce.web.shop_settings import rules_text

__all__ = ["show", "show_low", "take"]

_KIND = "counter"
_AT_ONCE = 0.3  # what is found in so short a time needs no waiting page [s]


@dataclass(frozen=True, slots=True)
class ShownAnswer:
    """An answer as it is shown."""

    number: int
    title: str
    price: str
    hours: str
    verdict: TellVerdict
    numbers: tuple[PlainNumber, ...]
    not_lower: tuple[str, ...]
    missed: tuple[str, ...]
    less_low: str
    parts: tuple[tuple[str, Part, int], ...]


def show(ask: PageRequest) -> Response:
    """The wish; the search while it goes on; then three answers."""
    if ask.form:
        return _begin(ask)
    work = _work_of(ask)
    form = wish_form(ask.query) if work is None else _form_of(work)
    return _page(ask, form, work, {})


def show_low(ask: PageRequest) -> Response:
    """How low a car can go: a page of its own, or the part of the counter under its slider."""
    car = find(ask, "car")
    low = low_of(car.content, rules_text(ask.book))
    template = "low_part.html" if "part" in ask.query else "how_low.html"
    units = ask.desk.units
    return page(
        ask,
        template,
        car=car,
        low=low,
        scale=low_scale(low, units),
        marks=marks_shown(low),
        firsts=sum(low.first(sort) is not None for sort in SORTS),
    )


def take(ask: PageRequest) -> Response:
    """Make a job of an answer, or of the wish alone, to go on with it exactly."""
    if not ask.form:
        return onward("/")
    work = ask.works.find(ask.form.get("work", ""))
    if work.order.kind != _KIND or not isinstance(work.result, Answered):
        raise InputError("This wish has no answer", todo="Ask again at the counter.")
    found, form = work.result, _form_of(work)
    car = ask.book.entry(work.order.key)
    given = ask.form.get("answer", "")
    number = whole(given)
    if given in {"exactly", "quote"}:
        text = found.text
    elif number is not None and number < len(found.answers):
        text = found.answers[number].text
    else:
        raise InputError("There is no such answer", found=given[:20], todo="Take one that the page shows.")
    if form.other:
        text = rewritten(text, {"job.note": f"asked for {form.other}, which was not measured; {car.name} stands in"})
    else:
        first = first_details(ask, car)
        day = datetime.date.fromisoformat(first["date"])
        text = rewritten(text, {"job.customer": first["customer"] or None, "job.date": day})
    job = ask.book.add("job", _name(text), text, car.id, "taken at the counter")
    if given == "quote":
        return onward(quote_all(job, [(one.names, one.parts) for one in found.answers]))
    place = f"/jobs/{job.id}/search" if given == "exactly" else f"/jobs/{job.id}/consequences"
    return onward_saved(place, job)


def _name(text: str) -> str:
    return text.partition('name = "')[2].partition('"')[0]


def _begin(ask: PageRequest) -> Response:
    form = wish_form(ask.form)
    read = read_wish(form, ask.desk.units)
    wrong = dict(read.wrong)
    car = next((one for one in ask.book.entries("car") if one.id == form.car), None)
    if car is None:
        wrong["car"] = "Choose a car of the book."
    shelf = None
    try:
        shelf = shelf_in(ask.book)
    except InputError as problem:
        wrong["shelf"] = str(problem)
    if car is None or shelf is None or read.wish is None or wrong:
        return _page(ask, form, None, wrong)
    parts = question_of(*(part.content for part in ask.book.entries("part")), rules_text(ask.book), car.content)
    question = json.dumps([as_text(form), parts])
    order = TaskSpec(_KIND, car.id, question, "The wish at the counter", f"/?asked={car.id}", ask.desk.by)
    task = partial(wish_answered, car.content, rules_text(ask.book), shelf, read.wish)
    work = ask.works.start(order, task, instead=True)
    ask.works.wait(work.id, _AT_ONCE)
    return onward(f"/?work={work.id}#answers")


def _work_of(ask: PageRequest) -> BackgroundTask | None:
    """The work that the address names, or the latest for a car; None where there is none, or none any more."""
    if "asked" in ask.query:
        return ask.works.latest(_KIND, ask.query["asked"])
    try:
        work = ask.works.find(ask.query["work"]) if "work" in ask.query else None
    except InputError:
        return None
    return work if work is not None and work.order.kind == _KIND else None


def _form_of(work: BackgroundTask) -> WishForm:
    return from_text(json.loads(work.order.question)[0])


def _page(ask: PageRequest, form: WishForm, work: BackgroundTask | None, wrong: Mapping[str, str]) -> Response:
    entries = ask.book.entries()
    cars = [one for one in entries if one.kind == "car"]
    car = next((one for one in cars if one.id == form.car), cars[0] if cars else None)
    most, step = most_lower(ask.desk.units)
    found = work.result if work is not None and isinstance(work.result, Answered) else None
    answers, trouble = _shown(ask, found)
    return page(
        ask,
        "counter.html",
        422 if wrong else 200,
        cars=cars,
        car=car,
        form=form,
        wrong=wrong,
        work=work,
        stopped=work is not None and work.state is TaskState.STOPPED,
        lost="work" in ask.query and work is None,
        found=found,
        answers=answers,
        trouble=trouble,
        words="" if found is None else wish_words(found.wish),
        most=most,
        step=step,
        feels=FEELS,
        corners=CORNERS,
        uses=USES,
        rules=RULES_WORDS,
        parts=sum(one.kind == "part" for one in entries),
    )


def _shown(ask: PageRequest, found: Answered | None) -> tuple[Sequence[ShownAnswer], str]:
    """The answers in words, and what went wrong with telling them."""
    if found is None:
        return (), ""
    try:
        return [_answer(ask, number, one, found.wish) for number, one in enumerate(found.answers)], ""
    except JounceError as problem:
        return (), str(problem)


def _answer(ask: PageRequest, number: int, one: CounterAnswer, asked: CounterWish) -> ShownAnswer:
    units = ask.desk.units
    less_low = ""
    if one.wish.lower < asked.lower:
        fits, wished = (shown_in(wish.lower, Kind.LENGTH, units) for wish in (one.wish, asked))
        less_low = f"{fits} lower is what fits, not {wished}."
    return ShownAnswer(
        number,
        " and ".join(one.names).capitalize(),
        money(one.price, [part for _, part, _ in one.parts]),
        f"{one.hours:.1f} h",
        verdict_of(one.case, units),
        tuple(number.as_told for number in plain_numbers(one.case)),
        why_not_lower(one.case, units),
        one.missed,
        less_low,
        one.parts,
    )
