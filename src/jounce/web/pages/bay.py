"""The job under the car: its settings as a large table on the phone, with ticks that stay."""

from __future__ import annotations

from starlette.responses import Response

from jounce.job.bay_table import bay_rows
from jounce.job.wording import cautions_of, unmet_told
from jounce.sheets.notice import critical_failures
from jounce.web.case_cache import job_of
from jounce.web.request import PageRequest, page
from jounce.web.shop_settings import held_case

__all__ = ["show"]


def show(ask: PageRequest) -> Response:
    """Settings of a job for the bay."""
    job, car = job_of(ask)
    case = held_case(ask, job, car)
    rows = bay_rows(case.car, case.plan, ask.desk.units, case.planned.bands)
    axles = {axle: [row for row in rows if row.axle == axle] for axle in dict.fromkeys(row.axle for row in rows)}
    return page(
        ask,
        "bay.html",
        job=job,
        car=car,
        axles=axles,
        critical=critical_failures(case.every_check),
        short=unmet_told(case.plan, ask.desk.units),
        cautions=cautions_of(case.plan),
        version=f"{job.number}-{car.number}",
    )
