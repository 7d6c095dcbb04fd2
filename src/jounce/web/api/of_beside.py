"""Jobs on one car beside each other, for programs: every number of the car as found and of each job, and their sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from jounce.book import Entry
from jounce.case.beside import FEWEST, MOST
from jounce.conventions.errors import InputError
from jounce.conventions.unit_table import UNIT_SETS
from jounce.questions.side_by_side import beside_values
from jounce.web.api.of_book import ENTRY_PATH, entry_of
from jounce.web.api.of_jobs import CHECKS, WIDENED, told_checks
from jounce.web.api.operation import PDF, Call, Operation, OperationAnswer, Parameter
from jounce.web.api.plain import plain
from jounce.web.api.schemas import choice, listed, number, objects, or_null, si_unit, text
from jounce.web.pages.beside import prices_of, printed, set_beside

__all__ = ["OPERATIONS"]

_IN_UNIT = "as `unit` says"


def _jobs(call: Call, car: Entry) -> Sequence[Entry]:
    """The jobs that were asked for, in that order.

    Raises:
        InputError: one is no job of this car
    """
    there = {job.id: job for job in call.ask.book.entries("job", car.id)}
    for job in call.query["job"]:
        if job not in there:
            raise InputError("This is no job of this car", found=job[:80], todo="Name its own jobs.", place="job")
    return [there[job] for job in call.query["job"]]


def _beside(call: Call) -> Any:
    car = entry_of(call, "car")
    found = set_beside(call.ask, car, _jobs(call, car))
    told = beside_values(found, prices_of(call.ask, found))
    rows = [row | {"unit": si_unit(one.kind)} for row, one in zip(told["rows"], found.rows, strict=True)]
    jobs = [job | {"checks": told_checks(one.checks)} for job, one in zip(told["jobs"], found.variants, strict=True)]
    return plain({"car": told["car"], "jobs": jobs, "rows": rows, "widened": found.widened})


def _sheet(call: Call) -> Any:
    car, query = entry_of(call, "car"), call.query
    jobs = _jobs(call, car)
    desk = replace(
        call.ask.desk,
        units=query.get("units", call.ask.desk.units),
        paper=query.get("paper", call.ask.desk.paper),
    )
    ask = replace(call.ask, desk=desk)
    return printed(ask, car, jobs, set_beside(ask, car, jobs), query.get("despite", ""))


_TICKED = Parameter(
    "job", "query", listed(text("id of a job on the car", 1, 80), "the jobs, A first", least=FEWEST, most=MOST)
)
_OF_EACH_JOB = "one for each job, A first"
_BESIDE = objects(
    "Jobs beside each other.",
    {
        "car": text("its name"),
        "widened": WIDENED,
        "jobs": listed(
            objects(
                "One of the jobs.",
                {
                    "letter": text("what it is called beside the others"),
                    "name": text("its name"),
                    "revision": text("its revision"),
                    "source": text("its version in the book"),
                    "refused": text("why its plan cannot be; empty where it can"),
                    "worst": or_null(text("the worst verdict of its checks; null where its plan cannot be")),
                    "parts": listed(text("a new part, in metric units")),
                    "price": or_null(
                        objects(
                            "What it costs, with tax; null where shop and shelf cannot tell.",
                            {
                                "gross": text("money, exact, as text"),
                                "currency": text("its currency"),
                                "at_least": {
                                    "type": "boolean",
                                    "description": "a price or a fitting time is not known",
                                },
                            },
                        )
                    ),
                    "checks": CHECKS,
                },
            )
        ),
        "rows": listed(
            objects(
                "One quantity; null where it does not exist.",
                {
                    "key": text("its name: axle.side.quantity, axle.quantity or a name"),
                    "label": text("its name for people"),
                    "kind": text("what it measures"),
                    "unit": text("SI unit of its numbers"),
                    "found": or_null(number("as found", _IN_UNIT)),
                    "found_plus_minus": number("half width of its band, 9 in 10; 0 where no ± is stated", _IN_UNIT),
                    "planned": listed(or_null(number("as planned", _IN_UNIT)), _OF_EACH_JOB),
                    "planned_plus_minus": listed(
                        number("half width of its band, 9 in 10; settings kept", _IN_UNIT), _OF_EACH_JOB
                    ),
                    "spread": or_null(number("how far the jobs are apart; null where no two have it", _IN_UNIT)),
                },
            )
        ),
    },
)

OPERATIONS = (
    Operation(
        "GET",
        "/v1/cars/{entry}/beside",
        "setJobsBeside",
        "Jobs",
        "Jobs on one car beside each other",
        _beside,
        OperationAnswer("every quantity of the car as found and of each job", _BESIDE),
        "A job whose plan cannot be says why, and leaves the others as they are.",
        (ENTRY_PATH, _TICKED),
        problems=(404,),
    ),
    Operation(
        "GET",
        "/v1/cars/{entry}/beside/sheet",
        "printJobsBeside",
        "Jobs",
        "Print jobs on one car beside each other",
        _sheet,
        OperationAnswer("the sheet", {"type": "string", "contentMediaType": PDF}, media=PDF),
        parameters=(
            ENTRY_PATH,
            _TICKED,
            Parameter("units", "query", choice("unit set of its numbers", *UNIT_SETS), required=False),
            Parameter("paper", "query", choice("its paper", "a4", "us-letter"), required=False),
            Parameter(
                "despite",
                "query",
                text("why it is printed although a check fails on which lives depend; printed at its head", 5, 300),
                required=False,
            ),
        ),
        problems=(404,),
    ),
)
