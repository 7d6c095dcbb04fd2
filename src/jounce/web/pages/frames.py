"""The frames of the moving picture, for the script that draws them."""

from __future__ import annotations

from starlette.responses import JSONResponse, Response

from jounce.web.asking import Ask, find
from jounce.web.moving import frames
from jounce.web.pivot_names import pivot_names
from jounce.web.standing import as_found, as_planned
from jounce.web.worked import car_read, job_of, work_out

__all__ = ["of_car", "of_job"]


def of_car(ask: Ask) -> Response:
    """A car as it was found."""
    car = find(ask, "car")
    return JSONResponse(frames([as_found(car.content)], pivot_names(car_read(car.content)), ask.desk.units))


def of_job(ask: Ask) -> Response:
    """As found and as planned together."""
    job, car = job_of(ask)
    worked = work_out(job.content, car.content)
    names = {**pivot_names(worked.planned), **pivot_names(worked.car)}
    return JSONResponse(frames(as_planned(worked.plan), names, ask.desk.units))
