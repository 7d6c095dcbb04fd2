"""The file of a job that a customer takes along."""

from __future__ import annotations

from collections.abc import Mapping

from starlette.responses import Response

from jounce.book import Entry
from jounce.conventions.errors import JounceError
from jounce.web.case_cache import job_of
from jounce.web.pages.sheets import look_of, plain_name, show_refused
from jounce.web.request import PageRequest
from jounce.web.shop_settings import held_case
from jounce.web.take_away.content import TakeAwayWish
from jounce.web.take_away.file import take_away

__all__ = ["made_of", "show"]


def show(ask: PageRequest) -> Response:
    """The file, to be kept; where it cannot be made, the page of the sheets with why."""
    job, car = job_of(ask)
    try:
        made = made_of(ask, job, car, ask.query)
    except JounceError as error:
        return show_refused(ask, job, car, ("take-away", ask.query, error))
    name = plain_name(f"{ask.query.get('title', '') or car.name}, before and after")
    # handed out, never shown in the workbench's own name: its policy is its own
    return Response(
        made,
        media_type="application/octet-stream",
        headers={"content-disposition": f'attachment; filename="{name}.html"'},
    )


def made_of(ask: PageRequest, job: Entry, car: Entry, asked: Mapping[str, str]) -> bytes:
    """The file of a job as it would be now.

    Args:
        ask: the request
        job: the job
        car: its car
        asked: title, whether with the customer's name, and why although a check fails on which lives depend

    Raises:
        JounceError: why it cannot be made
    """
    look = look_of(ask, "", asked.get("despite", ""))
    wanted = TakeAwayWish(asked.get("title", "")[:80], asked.get("customer", "") == "1")
    return take_away(held_case(ask, job, car), look, wanted)
