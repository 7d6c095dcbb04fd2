"""The package search of a job: what is wanted, how far the search is, what it found, and taking one of its packages."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import replace
from functools import partial

import numpy as np
from starlette.responses import Response

from jounce.book import Entry
from jounce.conventions.errors import InputError, JounceError
from jounce.conventions.typed import whole
from jounce.job.file import parse_job
from jounce.search.goals import METRICS
from jounce.search.result import Result, SearchWishes
from jounce.search.slots import SLOTS, slot_named, slots_of, without
from jounce.search.slots import job_of as job_of_package
from jounce.search.to_job import job_text
from jounce.search.why_not import why_not
from jounce.shelf.describe import price_of, stock_of
from jounce.shelf.shelf import Shelf
from jounce.web.background import BackgroundTask, TaskSpec, TaskState, question_of
from jounce.web.case_cache import car_read, job_of, read_pair
from jounce.web.charts.price_chart import price_chart
from jounce.web.pages.job import STEPS
from jounce.web.pages.quoting import quote_address
from jounce.web.request import PageRequest, onward, page
from jounce.web.saving import keep
from jounce.web.searching.asked import SearchForm, as_form, as_text, asked_at_first, asked_in, from_text, read_asked
from jounce.web.searching.found import (
    against_goals,
    package_of,
    price_steps,
    said_of_search,
    three_packages,
)
from jounce.web.searching.work import Searched, searched, shelf_in
from jounce.web.shop_settings import rules_held
from jounce.web.undo import mark

__all__ = ["begun", "show", "take", "with_package"]

_ENDS = ("front dampers", "front stops", "rear dampers", "rear stops")
"""Places whose parts end the travel."""
_AT_ONCE = 0.3  # what is found in so short a time needs no waiting page [s]


def show(ask: PageRequest) -> Response:
    """The wishes, the search while it goes on, or what it found; a form begins it."""
    job, car = job_of(ask)
    if ask.form:
        return _begin(ask, job, car)
    work = ask.works.latest("search", job.id)
    asked = asked_at_first(*read_pair(job.content, car.content), ask.desk.units) if work is None else _asked_of(work)
    if ask.query.get("open") == "ends":  # a height was asked for that dampers and bump rubbers do not allow
        asked = replace(asked, places=tuple(s.name for s in SLOTS if s.name in {*asked.places, *_ENDS}))
    return _page(ask, (job, car), work, asked, {})


def take(ask: PageRequest) -> Response:
    """Write the parts of a found package into the job, as its next version."""
    job, _ = job_of(ask)
    home = f"/jobs/{job.id}/search"
    if not ask.form:
        return onward(home)
    work = ask.works.find(ask.form.get("work", ""))
    given = whole(ask.form.get("package", ""))
    if (work.order.kind, work.order.key) != ("search", job.id) or not isinstance(work.result, Searched):
        raise InputError("This search found nothing for this job", todo="Search again.")
    result = work.result.result
    if given is None or given >= len(result.found.score):
        typed = ask.form.get("package", "")[:20]
        raise InputError("There is no such package", found=typed, todo="Take one that the page shows.")
    found = package_of(result, given, ask.desk.units)
    codes = ", ".join(part.code for _, part, _ in found.parts)
    content = _with_package(job, _asked_of(work), result, given)
    kept = keep(ask, job, content, f"package taken: {codes or 'no new part'}, {found.price}")
    return onward(f"/jobs/{job.id}/consequences?{mark(kept)}")


def _begin(ask: PageRequest, job: Entry, car: Entry) -> Response:
    asked = asked_in(ask.form, ask.desk.units)
    read = read_asked(asked)
    shelf = shelf_in(ask.book)
    if read.wrong:
        return _page(ask, (job, car), ask.works.latest("search", job.id), asked, read.wrong)
    work = begun(ask, (job, car), asked, SearchWishes(read.goals, read.budget, rules_held(ask)), shelf)
    ask.works.wait(work.id, _AT_ONCE)
    return onward(work.order.home)


def begun(
    ask: PageRequest, pair: tuple[Entry, Entry], asked: SearchForm, wanted: SearchWishes, shelf: Shelf
) -> BackgroundTask:
    """Begin a search, or join the one that answers the same question.

    Args:
        ask: the request
        pair: the job and its car
        asked: what is asked for, as the page shows it again
        wanted: the same as goals and budget
        shelf: the parts

    Raises:
        InputError: another search for this job goes on, or too much is being worked out
    """
    job, car = pair
    question = _question(ask, asked, (job, car))
    order = TaskSpec("search", job.id, question, "The search for packages", f"/jobs/{job.id}/search", ask.desk.by)
    read = read_pair(job.content, car.content)
    return ask.works.start(order, partial(searched, read, asked.places, asked.choosy, wanted, shelf))


def with_package(job: Entry, work: BackgroundTask, result: Result, number: int) -> str:
    """The job with a package that a search found.

    Args:
        job: the job as it is now
        work: the search
        result: what it found
        number: of the package among those kept
    """
    return _with_package(job, _asked_of(work), result, number)


def _page(
    ask: PageRequest,
    pair: tuple[Entry, Entry],
    work: BackgroundTask | None,
    asked: SearchForm,
    wrong: Mapping[str, str],
) -> Response:
    parts, (job, car) = _parts(ask), pair
    done = work.result if work is not None and isinstance(work.result, Searched) else None
    changed = work is not None and _is_stale(ask, work, pair)
    units = ask.desk.units
    values: dict[str, object] = {
        "packages": [],
        "steps_of_price": [],
        "why": "",
        "reasons": [],
        "why_wrong": "",
        "opening": {},
    }
    if done is not None:
        result = done.result
        packages = three_packages(result, units)
        values |= {
            "said": said_of_search(result, units, stopped=work is not None and work.state is TaskState.STOPPED),
            "packages": packages,
            "against": against_goals(result, packages, units),
            "refused": result.refused,
            "picked": result.space.picked.told,
            "proof": result.proof,
            "unproved": result.unproved(),
            "limits": result.against_limits,
            "looked": result.found.looked,
            "combinations": result.combinations,
            "best_score": float(result.found.score.min(initial=np.inf)),
        }
        if packages:
            currency = packages[0].price.rpartition(" ")[2]
            values["quoted"] = "" if changed else quote_address(job, packages, _looked_at(work, asked))
            values["steps_of_price"] = price_steps(result, units)
            values["chart"] = price_chart(
                result.found.price, np.sqrt(result.found.score), result.price_front(), result.three(), currency
            )
            values |= _why(ask, done, asked if work is None else _asked_of(work))
    opened = re.findall(r'--also "([^"]+)"', work.error) if work is not None else []
    if opened and work is not None:
        before = _asked_of(work)
        values |= {"opened": opened, "opening": as_form(replace(before, places=(*before.places, *opened)))}
    return page(
        ask,
        "job_search.html",
        422 if wrong else 200,
        job=job,
        car=car,
        step="changes",
        steps=STEPS,
        work=work,
        changed=changed,
        asked=asked,
        wrong=wrong,
        metrics=METRICS,
        places=slots_of(car_read(car.content)),
        price_of=price_of,
        stock_of=stock_of,
        total=len(parts),
        **values,
    )


def _with_package(job: Entry, asked: SearchForm, result: Result, number: int) -> str:
    """The job as it is now, with a package's parts in the places that were looked at; its own where it has none."""
    slots = [slot_named(name) for name in asked.places]
    base = without(parse_job(job.content, job.name), slots)
    return job_text(job.content, job_of_package(base, result.package(number), result.space.document))


def _why(ask: PageRequest, done: Searched, asked: SearchForm) -> dict[str, object]:
    """What speaks against the parts that somebody asks about."""
    written = ask.query.get("why", "")[:200]
    codes = list(dict.fromkeys(written.replace(",", " ").split()))[: len(SLOTS)]
    if not codes:
        return {}
    told: dict[str, object] = {"why": " ".join(codes)}
    try:
        told["reasons"] = why_not(done.result, done.shelf, codes, asked.choosy, ask.desk.units)
    except JounceError as problem:
        told["why_wrong"] = str(problem)
    return told


def _question(ask: PageRequest, asked: SearchForm, pair: tuple[Entry, Entry]) -> str:
    """All that a search depends on: the form, what a package taken since leaves alone, and the job's own text."""
    job, car = pair
    slots = [slot_named(name) for name in asked.places]
    base = without(parse_job(job.content, job.name), slots)
    shelf = question_of(*(part.content for part in _parts(ask)), repr(rules_held(ask)))
    beside = question_of(repr(base.wanted), repr(base.change), car.content, shelf)
    return json.dumps([as_text(asked), beside, question_of(job.content)])


def _looked_at(work: BackgroundTask | None, asked: SearchForm) -> tuple[str, ...]:
    """The places for which a search looked for parts."""
    return (asked if work is None else _asked_of(work)).places


def _asked_of(work: BackgroundTask) -> SearchForm:
    return from_text(json.loads(work.order.question)[0])


def _is_stale(ask: PageRequest, work: BackgroundTask, pair: tuple[Entry, Entry]) -> bool:
    """Whether something else than the parts in the places looked at was changed since."""
    now = _question(ask, _asked_of(work), pair)
    return bool(json.loads(work.order.question)[:2] != json.loads(now)[:2])


def _parts(ask: PageRequest) -> list[Entry]:
    return ask.book.entries("part")
