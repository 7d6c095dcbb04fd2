"""Every question of the catalogue as a page: of a car as found, of a job as found and as planned."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from starlette.responses import Response

from jounce.case.case import Case
from jounce.conventions.errors import InputError, JounceError, at
from jounce.conventions.typed import with_unit
from jounce.conventions.units import read, show
from jounce.questions.catalogue import QUESTIONS
from jounce.questions.question import Choice, Number
from jounce.web.asking import Ask, find, page
from jounce.web.pages.job import STEPS
from jounce.web.worked import case_of, job_of

__all__ = ["of_car", "of_job"]

_MOST_NUMBERS = 12
_LONGEST = 200


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that a question asks for, as it stands on the page; ``given`` is None where it is wrong."""

    ask: Number | Choice
    typed: str
    given: tuple[float, ...] | str | None
    wrong: str = ""


def of_car(ask: Ask) -> Response:
    """The questions of a car, or the answer to one."""
    entry = find(ask, "car")
    return _page(ask, "ask_car.html", lambda: case_of("", entry.content), entry=entry, home=f"/cars/{entry.id}/ask")


def of_job(ask: Ask) -> Response:
    """The questions of a job, or the answer to one."""
    job, car = job_of(ask)
    values: dict[str, Any] = {"job": job, "car": car, "step": "ask", "steps": STEPS, "home": f"/jobs/{job.id}/ask"}
    return _page(ask, "ask_job.html", lambda: case_of(job.content, car.content), **values)


def _page(ask: Ask, template: str, case: Callable[[], Case], **values: Any) -> Response:
    name = ask.path.get("question", "")
    if not name:
        return page(ask, template, questions=QUESTIONS.values(), question=None, **values)
    if name not in QUESTIONS:
        raise InputError("There is no such question", found=name[:40], allowed=", ".join(QUESTIONS), todo="Choose one.")
    question = QUESTIONS[name]
    fields = [_field(ask, one) for one in question.asks]
    given = {field.ask.name: field.given for field in fields if field.given is not None}
    right = len(given) == len(fields)
    tables = question.answer(case(), given, ask.desk.units) if right else ()
    return page(
        ask,
        template,
        200 if right else 422,
        questions=QUESTIONS.values(),
        question=question,
        fields=fields,
        tables=tables,
        **values,
    )


def _field(ask: Ask, one: Number | Choice) -> Field:
    """What was typed for one thing that is asked for; its first value where nothing was."""
    typed = " ".join(ask.query.get(one.name, "").split())[:_LONGEST]
    if isinstance(one, Choice):
        chosen = typed if one.name in ask.query else one.first
        return Field(one, chosen, chosen if chosen in one.of else one.first)
    units = ask.desk.units
    if not typed:
        return Field(one, "; ".join(show(value, one.kind, units) for value in one.first), one.first)
    try:
        return Field(one, typed, _numbers(typed, one, units))
    except JounceError as error:
        return Field(one, typed, None, str(error))


def _numbers(typed: str, one: Number, units: str) -> tuple[float, ...]:
    """Numbers as they were typed, several with semicolons between them."""
    texts = [text for text in re.split(r"\s*;\s*", typed) if text]
    if not 1 <= len(texts) <= (_MOST_NUMBERS if one.many else 1):
        allowed = f"1 to {_MOST_NUMBERS} numbers, semicolons between them" if one.many else "one number"
        raise InputError("That many cannot be told", found=str(len(texts)), allowed=allowed, todo="Leave some out.")
    values = []
    for text in texts:
        with at(one.words):
            value = read(with_unit(text, one.kind, units), one.kind)
            if not one.least <= value <= one.most:
                low, high = (show(edge, one.kind, units) for edge in (one.least, one.most))
                raise InputError("That is out of range", found=text, allowed=f"{low} to {high}", todo="Correct it.")
            values.append(value)
    return tuple(values)
