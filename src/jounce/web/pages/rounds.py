"""Rounds of a job: the car is down and rolled, four heights are typed on the phone, what to turn comes back."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from starlette.responses import Response

from jounce.book import Entry
from jounce.car.file.quantity import read_measured
from jounce.car.file.reading import read_toml
from jounce.car.file.rewriting import rewritten
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.typed import with_unit
from jounce.conventions.units import Kind
from jounce.measuring.afterwards import ASKED, USUAL, found_in
from jounce.measuring.typed_toe import rim_of, toe_with_unit
from jounce.questions.rounds import JobRound, found_of_round, rounds_of
from jounce.web.case_cache import car_read, case_of, job_of
from jounce.web.request import PageRequest, onward, page
from jounce.web.saving import onward_saved
from jounce.web.shop_settings import rules_text, widened_by_ledger

__all__ = ["rounds_of_job", "show"]

_MARK = "round"
"""Key of a measurement that is a round; true once its correction was made."""
_HEIGHTS = tuple((key, label, kind) for key, label, kind in ASKED if key.endswith(".height"))
_ANGLES = tuple((key, label, kind) for key, label, kind in ASKED if kind is Kind.ANGLE)


def show(ask: PageRequest) -> Response:
    """The rounds so far with the form of the next; a form keeps a round, or says that its correction was made."""
    job, car = job_of(ask)
    wrong: dict[str, str] = {}
    refused = ""
    if "made" in ask.form:
        return _made(ask, job)
    if ask.form:
        text, wrong = _written(ask, car)
        if not wrong:
            try:
                rounds_of_job(ask, job, car, (text,))
                entry = ask.book.add("measurement", f"round, {job.name}"[:200], text, job.id)
                return onward_saved(f"/jobs/{job.id}/rounds", entry)
            except JounceError as error:
                refused = str(error)
    entries = _kept_rounds(ask, job)
    rounds = rounds_of_job(ask, job, car)
    told = list(zip(range(1, len(rounds) + 1), entries, rounds, strict=True))
    return page(
        ask,
        "rounds.html",
        422 if wrong or refused else 200,
        job=job,
        car=car,
        told=told[::-1],
        open_round=bool(rounds) and bool(rounds[-1].steps) and not rounds[-1].made,
        done=bool(rounds) and rounds[-1].correction.met,
        inside=bool(rounds) and rounds[-1].correction.inside,
        heights=_HEIGHTS,
        angles=_ANGLES,
        usual=USUAL,
        typed={key: ask.form.get(key, "") for key, _, _ in ASKED},
        wrong=wrong,
        refused=refused,
    )


def _kept_rounds(ask: PageRequest, job: Entry) -> list[Entry]:
    """The rounds of a job, the first one first."""
    entries = [one for one in ask.book.entries("measurement", job.id) if _is_round(one)]
    return sorted(entries, key=lambda one: ask.book.versions(one.id)[0].at)


def _is_round(entry: Entry) -> bool:
    try:
        return _MARK in read_toml(entry.content, entry.name)
    except JounceError:
        return False


def rounds_of_job(ask: PageRequest, job: Entry, car: Entry, more: tuple[str, ...] = ()) -> list[JobRound]:
    """The rounds of a job, worked out one after the other.

    Args:
        ask: the request
        job: the job
        car: its car
        more: rounds that are not kept yet
    """
    texts = tuple(one.content for one in _kept_rounds(ask, job)) + more
    if not texts:
        return []
    asked = (job.content, car.content, rules_text(ask.book), widened_by_ledger(ask))
    return list(_rounds(*asked, texts, ask.desk.units))


@lru_cache(maxsize=16)
def _rounds(  # what a round rests on, all of it texts: each is worked out once
    job_text: str, car_text: str, rules: str, widened: tuple[tuple[str, float], ...], texts: tuple[str, ...], units: str
) -> tuple[JobRound, ...]:
    case = case_of(job_text, car_text, rules, widened)
    found = [(found_of_round(found_in(text, "a round")), bool(read_toml(text, "a round")[_MARK])) for text in texts]
    return tuple(rounds_of(case, found, units))


def _made(ask: PageRequest, job: Entry) -> Response:
    """Say of a round that its correction was made."""
    entry = ask.book.entry(ask.form["made"])
    if entry.belongs_to != job.id or not _is_round(entry):
        raise InputError("This is no round of the job", found=entry.name, todo="Go back to the rounds.")
    text = rewritten(entry.content, {_MARK: True})
    if text != entry.content:
        ask.book.save(replace(entry, content=text), "corrected as told")
    return onward(f"/jobs/{job.id}/rounds#next")


def _written(ask: PageRequest, car: Entry) -> tuple[str, dict[str, str]]:
    """What was typed as a document, and what is wrong with each field."""
    lines, wrong = [f"{_MARK} = false\n"], dict[str, str]()
    document = car_read(car.content)
    for key, _, kind in (*_HEIGHTS, *_ANGLES):
        given = ask.form.get(key, "").strip()
        if not given:
            if kind is Kind.LENGTH:
                wrong[key] = "Measure this height too: the four belong together."
            continue
        try:
            if key.endswith(".toe"):
                text = toe_with_unit(given, ask.desk.units, rim_of(document, key.partition(".")[0]))
            else:
                text = with_unit(given, kind, ask.desk.units)
            read_measured(text, kind)
        except InputError as error:
            wrong[key] = error.message
        else:
            lines.append(f'"{key}" = {rewritten("", {"x": text}).removeprefix("x = ")}')
    return "".join(lines), wrong
