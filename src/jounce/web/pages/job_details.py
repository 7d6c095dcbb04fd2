"""What a job is called, its number, whose car it is and its day, as sheets tell them; a new job begins with these."""

from __future__ import annotations

import datetime
from collections.abc import Mapping

from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.reading import read_toml
from jounce.car.file.rewriting import rewritten
from jounce.conventions.errors import InputError, JounceError
from jounce.job.apply import problems_between
from jounce.job.file import parse_job
from jounce.measuring.writing import value_at
from jounce.web.case_cache import car_read, job_of
from jounce.web.pages.job import STEPS
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.saving import keep, onward_saved, since_opened

__all__ = ["DETAILS", "begin", "first_details", "show"]

DETAILS = (
    ("name", "What is to be done", 100),
    ("job_number", "Number of the job", 40),
    ("customer", "Customer", 100),
    ("date", "Day", 10),
)
"""Fields of the form: name, label, most characters; `number` alone is the version that a form was made from."""
_NEW = '[job]\ncar = "in the book"\n\n[wanted.front]\nlower = 0\n\n[wanted.rear]\nlower = 0\n'


def show(ask: PageRequest) -> Response:
    """The details of a job, or what is wrong with those that were typed."""
    job, car = job_of(ask)
    now = _shown(job.content)
    if not ask.form:
        return _page(ask, now, job=job, car=car)
    since = since_opened(ask, job, _shown)
    before, typed = _shown(since.before.content), _typed(ask)
    mine = {key: text for key, text in typed.items() if text != before[key]}
    wrong = {key: since.told(key, now[key]) for key in mine if key in since.changed and mine[key] != now[key]}
    values, bad = _values(mine)
    if wrong or bad:
        return _page(ask, now | mine, wrong | bad, job=job, car=car)
    address = f"/jobs/{job.id}/details"
    if not mine:
        return onward(address)
    told = ", ".join(f"{_key(key)} {text or 'taken out'}" for key, text in mine.items())
    note = f"job: {told}{since.note}"
    return onward_saved(address, keep(ask, job, rewritten(job.content, values), note, number=job.number))


def begin(ask: PageRequest) -> Response:
    """A new job of a car: from a file, or with a name and its details."""
    car = find(ask, "car")
    text, typed, wrong = ask.uploaded(), _typed(ask), dict[str, str]()
    if not ask.form and not ask.files:
        return _page(ask, first_details(ask, car), car=car)
    try:
        if text is None and "file" in ask.files:
            raise InputError("No file was chosen, or it is empty", todo="Choose a job file, then read it.")
        if text is None:
            values, wrong = _values(typed)
            if wrong:
                return _page(ask, typed, wrong, car=car)
            text = rewritten(_NEW, {key: value for key, value in values.items() if value is not None})
        document = parse_job(text, "the job")
        problems = problems_between(car_read(car.content), document)
        if problems:
            raise problems[0]
    except JounceError as error:
        return _page(ask, typed if ask.form else first_details(ask, car), {"": str(error)}, car=car)
    job = ask.book.add("job", document.job.name, text, car.id)
    return onward_saved(f"/jobs/{job.id}/aim", job)


def first_details(ask: PageRequest, car: Entry) -> dict[str, str]:
    """What a new job begins with: the car's owner and today.

    Args:
        ask: the request
        car: the car
    """
    owner = "" if car.belongs_to is None else ask.book.entry(car.belongs_to).name
    return {"name": "", "job_number": "", "customer": owner, "date": _today().isoformat()}


def _today() -> datetime.date:
    return datetime.datetime.now().astimezone().date()


def _page(
    ask: PageRequest, values: Mapping[str, str], wrong: Mapping[str, str] | None = None, **entries: Entry
) -> Response:
    template = "job_details.html" if "job" in entries else "new_job.html"
    told = {"values": values, "wrong": wrong or {}, "details": DETAILS, "step": "", "steps": STEPS}
    return page(ask, template, 422 if wrong else 200, **told, **entries)


def _shown(text: str) -> dict[str, str]:
    written = read_toml(text, "")
    return {key: str(value_at(written, f"job.{_key(key)}") or "") for key, _, _ in DETAILS}


def _key(field: str) -> str:
    """A field's key in the job file."""
    return field.removeprefix("job_")


def _typed(ask: PageRequest) -> dict[str, str]:
    return {key: " ".join(ask.form.get(key, "").split())[:most] for key, _, most in DETAILS}


def _values(typed: Mapping[str, str]) -> tuple[dict[str, object], dict[str, str]]:
    """What was typed as the job file says it, and what is wrong with it; an empty detail is taken out."""
    values: dict[str, object] = {}
    wrong: dict[str, str] = {}
    for key, text in typed.items():
        values[f"job.{_key(key)}"] = text or None
        if key == "name" and not text:
            wrong[key] = "The job needs a name: say in a few words what is to be done."
        if key == "date" and text:
            try:
                values[f"job.{_key(key)}"] = datetime.date.fromisoformat(text)
            except ValueError:
                wrong[key] = "A day is written as year, month and day, as in 2031-05-17."
    return values, wrong
