"""Jobs of a car beside each other: two to four are ticked, and stand in one table, one picture and one sheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import urlencode

from starlette.responses import Response

from jounce.book import Entry
from jounce.case.beside import MOST, Beside, Variant, beside, counted
from jounce.conventions.errors import InputError, JounceError, at
from jounce.ledger.learned import learned_words
from jounce.questions.question import table_lines
from jounce.questions.side_by_side import (
    VariantPrices,
    alike,
    beside_tables,
    check_rows,
    failing,
    furthest_apart,
    parts_apart,
    refusals,
)
from jounce.sheets.catalogue import sheet_of_variants
from jounce.sheets.notice import critical_failures
from jounce.sheets.offers import variant_prices
from jounce.sheets.side_by_side import SIDE_BY_SIDE
from jounce.web.case_cache import case_of
from jounce.web.charts.chart import LOOKS
from jounce.web.charts.travel_curves import travel_charts
from jounce.web.pages.quoting import stock_of_book
from jounce.web.pages.sheets import look_of, pdf_answer, plain_name
from jounce.web.picture.standing import as_planned
from jounce.web.request import PageRequest, find, onward, page
from jounce.web.shop_settings import rules_text, shop_of, widened_by_ledger

__all__ = ["prices_of", "print_now", "printed", "set_beside", "show"]

_TICK = "job-"
"""What the name of a tick begins with; the job's id follows."""


@dataclass(frozen=True, slots=True)
class TickedJobs:
    """The jobs of a car, and those among them that are ticked, in the order of their letters."""

    car: Entry
    jobs: Sequence[Entry]
    ticked: Sequence[Entry]

    @property
    def query(self) -> dict[str, str]:
        """What an address says of them."""
        return {f"{_TICK}{job.id}": "1" for job in self.ticked}

    @property
    def home(self) -> str:
        """The address of them beside each other."""
        return f"/cars/{self.car.id}/beside?{urlencode(self.query)}"


def set_beside(ask: PageRequest, car: Entry, jobs: Sequence[Entry]) -> Beside:
    """Jobs of a car as its pages show them, held to the shop's own rules.

    Args:
        ask: the request
        car: the car
        jobs: its jobs, in the order of their letters

    Raises:
        JounceError: too many, too few, or a document is wrong
    """
    counted(len(jobs))
    cases = []
    for job in jobs:
        with at(job.name):
            cases.append(case_of(job.content, car.content, rules_text(ask.book), widened_by_ledger(ask)))
    return beside(cases, [f"version {job.number}" for job in jobs])


def show(ask: PageRequest) -> Response:
    """The jobs to tick, and those that are ticked beside each other; a form prints their sheet or keeps it."""
    on = _ticked(ask)
    if not on.ticked:
        return _page(ask, on)
    try:
        found = set_beside(ask, on.car, on.ticked)
        _ = found.rows
    except JounceError as error:
        return _page(ask, on, refused=str(error))
    if "rows" in ask.query:
        return _rows(found, ask.desk.units, prices_of(ask, found))
    if not ask.form:
        return _page(ask, on, found)
    try:
        content = printed(ask, on.car, on.ticked, found, ask.form.get("despite", ""))
    except JounceError as error:
        return _page(ask, on, found, unprinted=error)
    if "print" in ask.form:
        asked = {"despite": ask.form["despite"]} if ask.form.get("despite") else {}
        return onward(f"/cars/{on.car.id}/beside/sheet.pdf?{urlencode(on.query | asked)}")
    names = " and ".join(plain_name(job.name)[:40] for job in on.ticked)
    name = f"{SIDE_BY_SIDE}, {names}, version {on.car.number} of the car.pdf"
    ask.book.attach(on.car.id, name, "application/pdf", content)
    return onward(f"/cars/{on.car.id}/sheets#kept")


def print_now(ask: PageRequest) -> Response:
    """The sheet of the ticked jobs as it would be now; where it cannot be printed, their page, which says why."""
    on = _ticked(ask)
    if not on.ticked:
        return onward(f"/cars/{on.car.id}/beside")
    found = set_beside(ask, on.car, on.ticked)
    try:
        content = printed(ask, on.car, on.ticked, found, ask.query.get("despite", ""))
    except JounceError as error:
        return _page(ask, on, found, unprinted=error)
    return pdf_answer(content, f"{plain_name(f'{SIDE_BY_SIDE}, {on.car.name}')}.pdf")


def _ticked(ask: PageRequest) -> TickedJobs:
    """The jobs that the address names, in the order of the list.

    Raises:
        InputError: one is no job of this car
    """
    car = find(ask, "car")
    jobs = ask.book.entries("job", car.id)
    asked = [name.removeprefix(_TICK) for name in ask.query if name.startswith(_TICK)]
    unknown = [one for one in asked if one not in {job.id for job in jobs}]
    if unknown:
        raise InputError("This is no job of this car", found=unknown[0][:40], todo="Tick jobs on the car's own page.")
    return TickedJobs(car, jobs, [job for job in jobs if job.id in asked])


def prices_of(ask: PageRequest, found: Beside) -> VariantPrices | None:
    """What the jobs cost, where the shop and its shelf can tell.

    Args:
        ask: the request
        found: the jobs
    """
    shop, stock = shop_of(ask), stock_of_book(ask)
    return None if shop is None or not stock.parts else variant_prices(found, stock, shop.quote)


def printed(ask: PageRequest, car: Entry, jobs: Sequence[Entry], found: Beside, despite: str) -> bytes:
    """The sheet of jobs beside each other.

    Args:
        ask: the request
        car: the car
        jobs: the jobs' entries
        found: the same, worked out
        despite: why it is printed although a check fails on which lives depend; empty where nothing was typed

    Raises:
        InputError: no reason was given where one is needed
    """
    versions = ", ".join(f"{one.letter} version {job.number}" for one, job in zip(found.variants, jobs, strict=True))
    look = look_of(ask, f"version {car.number} of the car; jobs: {versions}", despite)
    return sheet_of_variants(found, look, prices_of(ask, found))


def _rows(found: Beside, units: str, prices: VariantPrices | None) -> Response:
    """Every number for a spreadsheet."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(table_lines(beside_tables(found, units, prices), units))
    name = 'attachment; filename="beside.csv"'
    return Response(out.getvalue(), media_type="text/csv", headers={"content-disposition": name})


def _page(
    ask: PageRequest,
    on: TickedJobs,
    found: Beside | None = None,
    *,
    refused: str = "",
    unprinted: JounceError | None = None,
) -> Response:
    """The page: ticks, what is wrong with them, and the jobs beside each other."""
    given: dict[str, Any] = {
        "car": on.car,
        "jobs": on.jobs,
        "ticked": [job.id for job in on.ticked],
        "most": MOST,
        "home": on.home,
        "refused": refused,
        "unprinted": "" if unprinted is None else unprinted.message,
        "typed": ask.form.get("despite", ask.query.get("despite", "")),
        "found": found,
    }
    if found is not None:
        given |= _told(ask, on, found)
    return page(ask, "beside.html", 422 if refused or unprinted else 200, **given)


def _told(ask: PageRequest, on: TickedJobs, found: Beside) -> dict[str, Any]:
    """What the page tells of the jobs beside each other."""
    units = ask.desk.units
    rows = [(row, alike(found, row, units)) for row in found.weighed]
    pairs = list(zip(found.variants, on.ticked, strict=True))
    possible = [(one, job) for one, job in pairs if not one.refused]
    chosen = [pair for pair in possible if pair[0].letter == ask.query.get("shown")]
    return {
        "entries": {one.letter: job for one, job in pairs},
        "differing": [row for row, same in rows if not same],
        "alike": [row for row, same in rows if same],
        "counts": check_rows(found),
        "prices": prices_of(ask, found),
        "refusals": refusals(found),
        "failing": failing(found, units),
        "parts_told": parts_apart(found, units),
        "furthest": furthest_apart(found, units),
        "learned": learned_words(found.widened),
        "critical": [one.letter for one in found.variants if critical_failures(one.checks)],
        "possible": possible,
        "shown": next(iter(chosen or possible), None),
        **_curves([one for one, _ in possible], units),
    }


def _curves(variants: Sequence[Variant], units: str) -> dict[str, Any]:
    """The car as found and every job as planned, each in one chart's own line over travel."""
    if not variants:
        return {}
    standings = [as_planned(one.case.plan) for one in variants]
    shown = [standings[0][0], *(planned for _, planned in standings)]
    names = ["as found", *(one.letter for one in variants)]
    charts = {}
    for k, found in enumerate(shown[0]):
        axle = found.model.name
        lines = [replace(axles[k], title=name) for name, axles in zip(names, shown, strict=True)]
        charts[axle] = travel_charts(axle, lines, units)
    named = ["as found", *(f"{one.letter}: {one.name}" for one in variants)]
    return {"charts": charts, "looks": [(name, *look) for name, look in zip(named, LOOKS, strict=False)]}
