"""Asked in words: a sentence, how it was understood as fields that can be corrected, and the answer from the case."""

from __future__ import annotations

import re
from dataclasses import replace
from urllib.parse import urlencode

from starlette.responses import Response

from jounce.asked.amounts import Wording, told_in
from jounce.asked.answer import SpokenAnswer, answered, message_of
from jounce.asked.kinds import KINDS, UNKNOWN
from jounce.asked.wording import LONGEST
from jounce.book import Entry
from jounce.case.case import Case
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.typed import with_unit
from jounce.conventions.units import Kind, read
from jounce.conventions.units import show as shown_value
from jounce.sheets.job_money import money_of_job
from jounce.web.case_cache import car_read
from jounce.web.charts.answer_pictures import answer_pictures
from jounce.web.kept_asked import is_keeping, keep_asked
from jounce.web.pages.job_price import job_price
from jounce.web.pages.quoting import stock_of_book
from jounce.web.request import PageRequest, onward, page
from jounce.web.shop_settings import held_case, house_phrases, rules_held, shop_of

__all__ = ["show"]

_FIELDS = {"front": "front lower by", "rear": "rear lower by", "bar": "front torsion bars"}
"""Amounts that can be corrected."""
_PLACE = re.compile(r"/(?:cars|jobs)/(?P<entry>[0-9a-f-]{36})(?:/|$)")


def show(ask: PageRequest) -> Response:
    """The sentence and its answer; the field alone where nothing was asked.

    Reading the page keeps nothing: what is asked by a form is kept, and leads on to the answer's own address.
    """
    if ask.form:
        return _asked(ask)
    text = " ".join(ask.query.get("q", "").split())[:LONGEST]
    subjects = [*ask.book.entries("car"), *ask.book.entries("job")]
    of = _subject(subjects, ask.query.get("of", ""))
    kind = ask.query.get("kind", "")
    wrong: dict[str, str] = {}
    told, message, home = None, "", ""
    amounts = _amounts(ask, text, wrong)
    if text and of is None:
        wrong["of"] = "Choose a car or a job of the book."
    if kind and kind not in KINDS:
        raise InputError("There is no such kind of question", found=kind[:40], todo="Choose one.")
    if text and of is not None and not wrong:
        told = answered(text, _case_of(ask, of), ask.desk.units, kind, amounts, lambda case: _priced(ask, case))
        shop = shop_of(ask)
        house = house_phrases(ask.book)
        message = (
            message_of(
                told, ask.desk.units, "" if shop is None else shop.shop.name, str if house is None else house.said
            )
            if told.known
            else ""
        )
        home = f"/{'cars' if of.kind == 'car' else 'jobs'}/{of.id}"
    return page(
        ask,
        "asked.html",
        422 if wrong else 200,
        q=text,
        of=of,
        subjects=subjects,
        kinds=[(one, title) for one, title in KINDS.items() if one != UNKNOWN],
        titles=KINDS,
        kind=kind or (told.kind if told is not None else ""),
        fields=[(name, label, _typed(ask, name, amounts)) for name, label in _FIELDS.items()],
        wrong=wrong,
        told=told,
        message=message,
        counter=_counter(told, of, amounts, ask.desk.units),
        home=home,
        pasted=_pasted(told),
        pictures=[] if told is None or told.shown is None else answer_pictures(told.shown, ask.desk.units),
        keeping=is_keeping(ask),
    )


def _priced(ask: PageRequest, case: Case) -> tuple[str, str]:
    """What a job costs: with the work where the shop's terms are known, else its parts alone."""
    shop = shop_of(ask)
    if shop is not None:
        return money_of_job(case, stock_of_book(ask), shop.quote)
    price = job_price(ask, case)
    return price.told and f"The parts of the job cost {price.told} by the shelf, without the work.", price.missing


def _counter(told: SpokenAnswer | None, of: Entry | None, amounts: Wording, units: str) -> str:
    """The counter with the height that was asked for, where the price of a car's lowering is asked; else empty."""
    if told is None or of is None or told.kind != "price" or of.kind != "car":
        return ""
    most = max((amounts.lower or {}).values(), default=0.0)
    lower = {"lower": shown_value(most, Kind.LENGTH, units)} if most > 0 else {}
    return f"/?{urlencode({'car': of.id, **lower})}"


def _asked(ask: PageRequest) -> Response:
    """Keep what was asked by a form, where it can be answered, and go on to its answer."""
    text = " ".join(ask.form.get("q", "").split())[:LONGEST]
    kind = ask.form.get("kind", "")
    of = _subject([*ask.book.entries("car"), *ask.book.entries("job")], ask.form.get("of", ""))
    if text and of is not None and (not kind or kind in KINDS):
        keep_asked(ask, text, kind)
    told = {"q": text, "of": of.id if of is not None else ask.form.get("of", "")}
    told |= {name: ask.form[name] for name in ("kind", "corrected", *_FIELDS) if ask.form.get(name)}
    return onward(f"/asked?{urlencode(told)}")


def _pasted(told: SpokenAnswer | None) -> int:
    """Lines of the field with the message."""
    return 0 if told is None else min(24, 8 + len(told.numbers) + len(told.steps))


def _subject(subjects: list[Entry], given: str) -> Entry | None:
    """The car or job that is asked of: as chosen, or of the page that was left; else the only one."""
    place = _PLACE.match(given)
    wanted = place["entry"] if place else given
    found = next((one for one in subjects if one.id == wanted), None)
    return subjects[0] if found is None and len(subjects) == 1 else found


def _case_of(ask: PageRequest, of: Entry) -> Case:
    """The case that is asked of, held to the shop's own rules.

    Raises:
        InputError: a job belongs to no car
    """
    if of.kind == "car":
        return Case(car_read(of.content), rules=rules_held(ask))
    if of.belongs_to is None:
        raise InputError("This job belongs to no car", found=of.name, todo="Make it again from the car's page.")
    return held_case(ask, of, ask.book.entry(of.belongs_to))


def _amounts(ask: PageRequest, text: str, wrong: dict[str, str]) -> Wording:
    """Amounts of the sentence, with those that were corrected; what cannot be read is told by its field."""
    found = told_in(text)
    if "corrected" not in ask.query:
        return found
    read_by: dict[str, float] = {}
    for name, label in _FIELDS.items():
        typed = ask.query.get(name, "").strip()
        if not typed:
            continue
        try:
            read_by[name] = read(with_unit(typed, Kind.LENGTH, ask.desk.units), Kind.LENGTH)
        except JounceError as error:
            wrong[name] = f"{label}: {error}"
    lower: dict[str, float] = {axle: read_by[axle] for axle in ("front", "rear") if axle in read_by}
    return replace(found, lower=lower or None, bar=read_by.get("bar"), thick=None)


def _typed(ask: PageRequest, name: str, amounts: Wording) -> str:
    """What stands in a field: what was typed, or what was understood."""
    if "corrected" in ask.query:
        return ask.query.get(name, "")
    value = amounts.bar if name == "bar" else (amounts.lower or {}).get(name)
    return "" if value is None else shown_value(value, Kind.LENGTH, ask.desk.units)
