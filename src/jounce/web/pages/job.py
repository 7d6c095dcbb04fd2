"""A job, walked through step by step from the car as found to what has to be set."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from functools import partial
from typing import Any

from starlette.responses import Response

from jounce.behaviour.road.feel import Feel
from jounce.book import Entry
from jounce.car.file.assumed import assumed_values
from jounce.case.case import Case
from jounce.case.notes import notes_on
from jounce.checks import Check, Verdict
from jounce.conventions.errors import Impossible, JounceError
from jounce.conventions.units import column, show, to_display
from jounce.job.comparison import as_weighed
from jounce.job.wording import SURE, cautions_of, settings_of
from jounce.questions.cornering import cornering_table
from jounce.search.alignment_parts import offers_for
from jounce.shelf.book_entries import shelf_of
from jounce.shelf.shelf import Shelf
from jounce.wanted.counter.numbers import plain_numbers
from jounce.wanted.counter.verdict import verdict_of, why_not_lower
from jounce.web import sentences
from jounce.web.background import TaskControl, TaskSpec, question_of
from jounce.web.case_cache import job_of
from jounce.web.charts.corner_curves import corner_charts
from jounce.web.charts.travel_curves import csv_text, travel_charts
from jounce.web.pages.job_price import job_price
from jounce.web.pages.measure import address_of
from jounce.web.pages.photos import photos_of
from jounce.web.picture.standing import as_planned
from jounce.web.request import PageRequest, onward, page
from jounce.web.shop_settings import held_case, learned_of

__all__ = [
    "STEPS",
    "asked_at",
    "blocked",
    "comparison_file",
    "consequences",
    "corner",
    "curves_file",
    "fits",
    "found",
    "settings",
    "step_page",
]

STEPS = (
    ("found", "As found"),
    ("aim", "Aim"),
    ("changes", "Changes"),
    ("consequences", "Consequences"),
    ("fits", "Fits and lasts"),
    ("settings", "Settings"),
    ("sheets", "Sheets"),
    ("proof", "Proof"),
)

_FOUND_ROWS = ("height", "load", "wheel_rate", "ride_frequency", "loose_at", "camber", "toe", "caster")


def step_page(ask: PageRequest, step: str, job: Entry, car: Entry, status: int = 200, **values: Any) -> Response:
    """One step's page, with the way through all of them.

    Args:
        ask: the request
        step: its word in the address
        job: the job
        car: its car
        status: of the answer
        values: what the page shows
    """
    return page(
        ask, f"job_{step}.html", status, job=job, car=car, step=step, steps=STEPS, learned=learned_of(ask), **values
    )


def blocked(ask: PageRequest, error: JounceError) -> Response:
    """A step of a job that cannot be worked out: what is wrong, and the ways on, among all the other steps.

    Args:
        ask: the request for the step
        error: why it cannot be

    Raises:
        InputError: there is no such job, or it belongs to no car
    """
    job, car = job_of(ask)
    word = ask.address.partition(f"/jobs/{job.id}/")[2].partition("/")[0]
    step = word if word in dict(STEPS) else "changes" if word == "search" else "consequences"
    return page(
        ask, "job_blocked.html", 422, job=job, car=car, step=step, steps=STEPS, title=dict(STEPS)[step], error=error
    )


def found(ask: PageRequest) -> Response:
    """The car as it came."""
    job, car = job_of(ask)
    case = held_case(ask, job, car)
    rows = [row for row in as_weighed(case.rows) if row.key.split(".")[-1] in _FOUND_ROWS]
    values: dict[str, Any] = {"document": case.car, "rows": rows, "photos": photos_of(ask, job)}
    return step_page(ask, "found", job, car, assumed=len(assumed_values(case.car)), **values)


def consequences(ask: PageRequest) -> Response:
    """What the change does: heights, ride, corners, geometry, with the moving picture."""
    job, car = job_of(ask)
    case, units = held_case(ask, job, car), ask.desk.units
    found_axles, planned_axles = as_planned(case.plan)
    charts = {
        one.model.name: travel_charts(one.model.name, [one, other], units)
        for one, other in zip(found_axles, planned_axles, strict=True)
    }
    said = (
        sentences.of_heights(case, units),
        sentences.of_ride(case, units),
        sentences.of_roll_centre(case, units),
        *notes_on(case),
    )
    verdict = verdict_of(case, units)
    return step_page(
        ask,
        "consequences",
        job,
        car,
        said=said,
        rows=as_weighed(case.rows),
        charts=charts,
        verdict=verdict,
        numbers=[number.as_told for number in plain_numbers(case, sure=True)],
        price=job_price(ask, case),
        not_lower=why_not_lower(case, units),
        asked={check.asks: asked_at((job, car), check.asks) for check in verdict.unknown if check.asks},
    )


def corner(ask: PageRequest) -> Response:
    """Both turns: long work, begun by a form; the consequences fetch how far it is, and what came of it, as a part."""
    job, car = job_of(ask)
    home, question = f"/jobs/{job.id}/corner", question_of(job.content, car.content)
    if ask.form:
        order = TaskSpec("corner", job.id, question, "The car in both turns", home, ask.desk.by)
        begun = ask.works.start(order, partial(_both_turns, held_case(ask, job, car)), instead=True)
        ask.works.wait(begun.id, _AT_ONCE)
        return onward(f"{home}?part=1" if "part" in ask.form else home)
    work = ask.works.latest("corner", job.id)
    if work is not None and work.order.question != question:
        work = None
    values: dict[str, Any] = {"job": job, "car": car, "work": work, "then": f"{home}?part=1"}
    if work is not None and work.result is not None:
        values["said"] = sentences.of_corner(dict(work.result), ask.desk.units)
        values["corner"] = cornering_table(f"{car.name} in a corner", work.result)
        sweeps = {one.title: one.sweep for one in held_case(ask, job, car).states}
        values["corner_charts"] = corner_charts(sweeps, ask.desk.units)
    template = "corner_work.html" if "part" in ask.query else "job_corner.html"
    return page(ask, template, step="consequences", steps=STEPS, **values)


_AT_ONCE = 0.3
"""What is ready in so short a time needs no waiting page [s]."""


def _both_turns(case: Case, hand: TaskControl) -> Mapping[str, Feel]:
    feel: dict[str, Feel] = {}
    for share, state in zip((0.02, 0.5), case.states, strict=True):
        if hand.stopped():
            raise Impossible("It was stopped before the planned car was looked at.")
        hand.tell(share, f"as {state.title}")
        feel[state.title] = state.feel
    return feel


def comparison_file(ask: PageRequest) -> Response:
    """All rows as found and as planned, for a spreadsheet."""
    job, car = job_of(ask)
    units, out = ask.desk.units, io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["quantity", "found", "found_plus_minus", "planned", "planned_plus_minus"])
    for row in held_case(ask, job, car).rows:
        numbers = (row.found, row.found_band, row.planned, row.planned_band)
        cells = ["" if n is None else f"{to_display(n, row.kind, units) + 0.0:.6f}" for n in numbers]
        writer.writerow([column(row.key, row.kind, units), *cells])
    return Response(
        out.getvalue(), media_type="text/csv", headers={"content-disposition": 'attachment; filename="comparison.csv"'}
    )


def curves_file(ask: PageRequest) -> Response:
    """Every result of both axles over travel, as found and as planned, for a spreadsheet."""
    job, car = job_of(ask)
    found, planned = as_planned(held_case(ask, job, car).plan)
    text = csv_text([*found, *planned], ask.desk.units)
    return Response(text, media_type="text/csv", headers={"content-disposition": 'attachment; filename="curves.csv"'})


def fits(ask: PageRequest) -> Response:
    """Whether it fits and lasts: what fails first, then what is not known, then what is sound."""
    job, car = job_of(ask)
    case = held_case(ask, job, car)
    checks = case.every_check
    groups = [
        (title, [check for check in checks if check.verdict is verdict])
        for verdict, title in (
            (Verdict.FAIL, "Fails"),
            (Verdict.UNKNOWN, "Not known yet"),
            (Verdict.PASS, "Passes"),
        )
    ]
    said = sentences.of_checks(checks)
    asked = {check.asks: asked_at((job, car), check.asks) for check in checks if check.asks}
    values: dict[str, Any] = {"groups": [(t, g) for t, g in groups if g], "asked": asked, "margin_of": _margin_of}
    return step_page(ask, "fits", job, car, said=said, **values)


def asked_at(pair: tuple[Entry, Entry], place: str) -> str:
    """Where what a check lacks is typed in: a new part's with the changes of the job, the car's where it is measured.

    Args:
        pair: the job and its car
        place: key of the job file or the car file; empty for none

    Returns:
        The address; empty where no form asks for it
    """
    job, car = pair
    if place.startswith("change."):
        return f"/jobs/{job.id}/changes#{place}"
    return address_of(car, place)


def _margin_of(check: Check, units: str) -> str:
    """The margin of a check with its unit and its sign; empty where there is none."""
    return "" if check.margin is None else show(check.margin, check.kind, units, sign=True)


def settings(ask: PageRequest) -> Response:
    """What has to be set, in the order of work."""
    job, car = job_of(ask)
    case = held_case(ask, job, car)
    steps = settings_of(case.plan, ask.desk.units, case.planned.bands)
    parts = shelf_of(part.content for part in ask.book.entries("part")) if case.plan.short else Shelf(())
    offers = offers_for(case.plan, case.car, case.change_list, parts) if parts.parts else []
    return step_page(
        ask, "settings", job, car, settings=steps, sure=SURE, cautions=cautions_of(case.plan), offers=offers
    )
