"""Every question as a page: of a car as found, of a job as found and as planned, of a part without a car."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from starlette.responses import Response

from jounce.car.file.quantity import Measured, read_measured
from jounce.case.case import Case
from jounce.conventions.errors import InputError, JounceError, at
from jounce.conventions.typed import pointed, whole, with_unit
from jounce.conventions.units import read, show
from jounce.job.answer_table import AnswerTable
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import ALL_STATES, Asked, Choice, Content, Lines, Number, Sought, Switch, Whole, Written
from jounce.questions.titles import OF_CARS, OF_JOBS, OF_PARTS
from jounce.web.book_content import from_book
from jounce.web.case_cache import car_case, car_read, job_of
from jounce.web.pages.asked_field import fields_of
from jounce.web.pages.job import STEPS
from jounce.web.request import PageRequest, find, page
from jounce.web.shop_settings import held_case, learned_of

__all__ = ["of_car", "of_job", "of_part"]

_MOST_NUMBERS = 50
_COMMA = re.compile(r"(?<=\d),(?=\d)")
_LONGEST = 4000
"""Characters of what stands in an address; a form that is sent takes a file of any usual size."""


@dataclass(frozen=True, slots=True)
class QuestionField:
    """One thing that a question asks for, as it stands on the page.

    ``read`` is what was typed, read; None where nothing was, or where it is ``wrong``.
    """

    ask: Sought
    typed: str
    read: object
    wrong: str = ""

    @property
    def form(self) -> str:
        """How it is typed: a line, several lines, one of some words, a tick; or not at all, where the book has it."""
        if isinstance(self.ask, Choice):
            return "words"
        if isinstance(self.ask, Switch):
            return "tick"
        if isinstance(self.ask, Content):
            return "book" if self.ask.of_book else "lines"
        return "line"

    @property
    def many(self) -> bool:
        """Whether several may be typed."""
        return not isinstance(self.ask, Choice | Switch | Whole | Content) and self.ask.many


def of_car(ask: PageRequest) -> Response:
    """The questions of a car, or the answer to one."""
    entry = find(ask, "car")
    return _page(ask, "ask_car.html", lambda: car_case(entry.content), entry=entry, home=f"/cars/{entry.id}/ask",
                 leads=fields_of(car_read(entry.content), entry.id))  # fmt: skip


def of_job(ask: PageRequest) -> Response:
    """The questions of a job, or the answer to one."""
    job, car = job_of(ask)
    values: dict[str, Any] = {"job": job, "car": car, "step": "ask", "steps": STEPS, "home": f"/jobs/{job.id}/ask"}
    values |= {"learned": learned_of(ask), "leads": fields_of(car_read(car.content), car.id)}
    return _page(ask, "ask_job.html", lambda: held_case(ask, job, car), **values)


def of_part(ask: PageRequest) -> Response:
    """The questions of a part, or the answer to one."""
    return _page(ask, "ask_part.html", None, home="/ask")


def _page(ask: PageRequest, template: str, case: Callable[[], Case] | None, **values: Any) -> Response:
    titles = OF_PARTS if case is None else OF_CARS | OF_JOBS if "job" in values else OF_CARS
    values |= {"titles": titles, "word": ask.path.get("question", "")}
    word = values["word"]
    if not word:
        return page(ask, template, abouts={one: QUESTIONS[one].about for one in titles}, **values)
    if word not in titles:
        raise InputError("There is no such question", found=word[:40], allowed=", ".join(titles), todo="Choose one.")
    question = QUESTIONS[word]
    sought = [one for one in question.asks if one is not ALL_STATES or "job" in values]
    fields = [_field(ask, one) for one in sought]
    right = not any(field.wrong for field in fields)
    refused = ""
    tables: tuple[AnswerTable, ...] = ()
    sent = _sent(ask)
    if right and (case is not None or sent or ask.files):
        given = {field.ask.name: field.read for field in fields if field.read is not None}
        asked = Asked(question.filled(given), ask.desk.units, None if case is None else case())
        try:
            if sent.get("rows"):
                return _rows(word, question.rows(asked))
            tables = tuple(question.answer(asked))
        except JounceError as error:
            if case is not None and not isinstance(error, InputError):
                raise
            refused = str(error)
    return page(
        ask,
        template,
        200 if right and not refused else 422,
        abouts={one: QUESTIONS[one].about for one in titles},
        about=question.about,
        fields=fields,
        tables=tables,
        typed=dict(ask.query),
        posts=any(field.form == "lines" for field in fields),
        recorded=any(isinstance(field.ask, Content) and field.ask.recorded for field in fields),
        refused=refused,
        **values,
    )


def _rows(word: str, rows: Lines) -> Response:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    name = f'attachment; filename="{word}.csv"'
    return Response(out.getvalue(), media_type="text/csv", headers={"Content-Disposition": name})


_TOO_LONG = f"Longer than the {_LONGEST} characters that an address takes. Send the form instead, with the file."


def _sent(ask: PageRequest) -> Mapping[str, str]:
    """What was typed: in a form that was sent, or in the address."""
    return ask.form or ask.query


def _file_of(ask: PageRequest, name: str) -> str:
    """The text of the file that was sent for one thing that is asked for; empty where none was.

    Raises:
        InputError: it is no text
    """
    content = ask.files.get(f"{name}-file", b"")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError("The file is not text in UTF-8", todo="Save it as UTF-8.") from None


def _field(ask: PageRequest, one: Sought) -> QuestionField:
    """What was typed for one thing that is asked for; its first value where nothing was."""
    if isinstance(one, Content) and one.of_book:
        return QuestionField(one, "", from_book(one, ask.book) or None)
    sent = _sent(ask)
    raw = sent.get(one.name, "")
    if isinstance(one, Content):
        try:
            raw = _file_of(ask, one.name) or raw
        except InputError as error:
            return QuestionField(one, "", None, str(error))
    if not ask.form and len(raw) > _LONGEST:
        return QuestionField(one, raw[:_LONGEST], None, _TOO_LONG)
    typed = raw.strip() if isinstance(one, Content) else " ".join(raw.split())
    if isinstance(one, Choice) and one.name not in sent:
        return QuestionField(one, one.first, None)
    if not typed and not isinstance(one, Choice):
        return QuestionField(one, _first(one, ask), None)
    try:
        return QuestionField(one, typed, _read(typed, one, ask.desk.units))
    except JounceError as error:
        return QuestionField(one, typed, None, str(error))


def _first(one: Sought, ask: PageRequest) -> str:
    """What is shown where nothing was typed."""
    if isinstance(one, Number):
        return "; ".join(show(value, one.kind, ask.desk.units) for value in one.first)
    return str(one.first) if isinstance(one, Whole | Written) and one.first is not None else ""


def _read(typed: str, one: Sought, units: str) -> object:
    if isinstance(one, Choice):
        return one.checked(typed, one.words)
    if isinstance(one, Switch):
        return True
    if isinstance(one, Content):
        return (("the text", typed),)
    if isinstance(one, Whole):
        count = whole(typed)
        if count is None:
            raise InputError(f"{one.words} is no whole number", found=typed[:40], todo="Type digits.")
        return one.checked(count, one.words)
    if not isinstance(one, Number):
        typed = _COMMA.sub(".", typed)  # as in "roll=1,5"
        return tuple(_parted(typed)) if one.many else typed
    texts = _parted(typed)
    if not 1 <= len(texts) <= (_MOST_NUMBERS if one.many else 1):
        allowed = f"1 to {_MOST_NUMBERS} numbers, semicolons between them" if one.many else "one number"
        raise InputError("That many cannot be told", found=str(len(texts)), allowed=allowed, todo="Leave some out.")
    return tuple(_number(text, one, units) for text in texts)


def _parted(typed: str) -> list[str]:
    return [text for text in re.split(r"\s*;\s*", typed) if text]


def _number(text: str, one: Number, units: str) -> float | Measured:
    """A number as it was typed, with its ± where it may have one."""
    with at(one.words):
        if one.banded:
            value, sign, band = re.sub(r"\+/?-", "±", pointed(text)).partition("±")
            whole_text = (
                f"{with_unit(value, one.kind, units)} {sign} {with_unit(band, one.kind, units)}" if sign else ""
            )
            return read_measured(whole_text or with_unit(text, one.kind, units), one.kind)
        return one.checked(read(with_unit(text, one.kind, units), one.kind), "That", units)
