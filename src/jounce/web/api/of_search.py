"""The package search as long work: begun, watched, stopped, and one of its packages taken into the job."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from jounce.book import Entry
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import unit_of
from jounce.job.file import parse_job
from jounce.search.goals import METRICS, Goal
from jounce.search.result import Result, SearchWishes
from jounce.search.slots import SLOTS, USUAL_PLACES
from jounce.web.api.of_book import ENTRY_PATH, entry_of, told_entry
from jounce.web.api.operation import JSON, Call, Operation, OperationAnswer, Parameter
from jounce.web.api.plain import plain
from jounce.web.api.problems import Refused
from jounce.web.api.schemas import Schema, choice, listed, named, number, objects, or_null, si_unit, text, whole
from jounce.web.background import BackgroundTask, TaskState
from jounce.web.pages.search import begun, with_package
from jounce.web.searching.asked import SearchForm
from jounce.web.searching.work import Searched, shelf_in
from jounce.web.shop_settings import rules_held

__all__ = ["OPERATIONS"]

_UNITS = "; ".join(f"{name} [{si_unit(metric.kind)}]" for name, metric in METRICS.items())
_PARTS = ("low", "high", "weight", "reason")
_PACKAGE: Schema = objects(
    "A package.",
    {
        "number": whole("its number among those that the search kept"),
        "called": listed(text("good, better or best")),
        "parts": named("code of the part in each place", text("code")),
        "price": number("what the parts cost, in the currency of the shelf", "1"),
        "labour_hours": or_null(number("labour", "h")),
        "score": number("sum of the squared misses, in whole windows; 0 where every goal is met", "1"),
        "numbers": named(f"what it reaches: {_UNITS}", or_null(number("SI", "as its name says"))),
    },
)
_RESULT: Schema = {
    "type": ["object", "null"],
    "description": "what a search found so far; null while it goes on, and of other work",
    "properties": {
        "combinations": whole("packages that there are", high=10**18),
        "judged": whole("pairs of axles that were judged", high=10**18),
        "met": whole("of them meet every goal", high=10**18),
        "packages": listed(_PACKAGE, "good, better, best, and what more money buys"),
        "too_little_known": listed(text("what is not known of a part")),
    },
    "required": ["combinations", "judged", "met", "packages", "too_little_known"],
    "additionalProperties": False,
}
_WORK: Schema = objects(
    "A piece of long work.",
    {
        "id": text("its name in addresses"),
        "kind": text("what is done"),
        "state": choice("how far it is", *(state.name.lower() for state in TaskState)),
        "share": number("how much is done, 0 to 1"),
        "said": text("one sentence on how far it is"),
        "error": text("why there is no result; empty for none"),
        "finished": {"type": "boolean", "description": "whether nothing more will come"},
        "result": _RESULT,
    },
)
_WORK_PATH = Parameter("work", "path", text("id of the work", 1, 64))


def _search(call: Call) -> Any:
    job, car = _pair(call)
    goals = []
    for place, one in enumerate(call.body["goals"]):
        with at(f"body.goals[{place}]"):
            low, high = float(one["low"]), float(one["high"])
            goals.append(Goal(one["metric"], low, high, float(one.get("weight", 1.0)), one.get("reason", "")))
    if len({goal.metric for goal in goals}) != len(goals):
        raise InputError("A number has two goals", todo="Give each number one goal.", place="body.goals")
    budget = call.body.get("budget")
    asked = SearchForm(
        {name: _texts(next((goal for goal in goals if goal.metric == name), None)) for name in METRICS},
        "" if budget is None else f"{budget:g}",
        tuple(call.body.get("places", USUAL_PLACES)),
        call.body.get("in_stock", False),
        call.body.get("unsure", False),
    )
    wanted = SearchWishes(tuple(goals), math.inf if budget is None else float(budget), rules_held(call.ask))
    return _told(begun(call.ask, (job, car), asked, wanted, shelf_in(call.ask.book)))


def _pair(call: Call) -> tuple[Entry, Entry]:
    job = entry_of(call, "job")
    if job.belongs_to is None:
        raise InputError("This job belongs to no car", found=job.name, todo="Save it with the id of its car.")
    return job, call.ask.book.entry(job.belongs_to)


def _texts(goal: Goal | None) -> dict[str, str]:
    """A goal as the page shows it: with units, every digit."""
    if goal is None:
        return dict.fromkeys(_PARTS, "")
    unit = unit_of(METRICS[goal.metric].kind)
    symbol = "" if unit.symbol == "-" else f" {unit.symbol}"
    low, high = (f"{end / unit.factor:.12g}{symbol}" for end in (goal.low, goal.high))
    return {"low": low, "high": high, "weight": f"{goal.weight:g}", "reason": goal.reason}


def _watch(call: Call) -> Any:
    return _told(_work(call, call.path["work"]))


def _stop(call: Call) -> Any:
    work = _work(call, call.path["work"])
    call.ask.works.stop(work.id)
    return _told(call.ask.works.wait(work.id, 2.0))


def _work(call: Call, work_id: str) -> BackgroundTask:
    try:
        return call.ask.works.find(work_id)
    except InputError as error:
        raise Refused(404, error) from None


def _take(call: Call) -> Any:
    job, work = entry_of(call, "job"), _work(call, call.body["work"])
    found, wanted = work.result, int(call.body["package"])
    if (work.order.kind, work.order.key) != ("search", job.id) or not isinstance(found, Searched):
        raise InputError("This search found nothing for this job", todo="Search again.", place="body.work")
    if wanted >= len(found.result.found.score):
        raise InputError("There is no such package", found=str(wanted), todo="Take one it found.", place="body.package")
    content = with_package(job, work, found.result, wanted)
    name = parse_job(content, job.name).job.name
    by = " ".join(call.body.get("by", "").split())
    book = call.ask.book.written_by(by) if by else call.ask.book
    codes = ", ".join(part.code for part in found.result.package(wanted).values()) or "no new part"
    changed = replace(job, content=content, name=name, number=int(call.body["number"]))
    return told_entry(book.save(changed, f"package taken: {codes}"))


def _told(work: BackgroundTask) -> Any:
    result = _result(work.result.result) if isinstance(work.result, Searched) else None
    return work.told() | {"result": result}


def _result(result: Result) -> Any:
    three = result.three()
    numbers = sorted(set(three.values()) | set(result.price_steps()))
    return plain(
        {
            "combinations": result.combinations,
            "judged": result.found.looked,
            "met": result.found.met,
            "packages": [
                {
                    "number": k,
                    "called": [name for name, one in three.items() if one == k],
                    "parts": {place: part.code for place, part in result.package(k).items()},
                    "price": result.found.price[k],
                    "labour_hours": result.hours(k),
                    "score": result.found.score[k],
                    "numbers": result.numbers(k),
                }
                for k in numbers
            ],
            "too_little_known": [str(one) for one in result.refused],
        }
    )


_GOAL: Schema = objects(
    "A window for one number.",
    {
        "metric": choice(f"which number: {_UNITS}", *METRICS),
        "low": number("least wanted", "as its metric says", -1e6, 1e6),
        "high": number("most wanted", "as its metric says", -1e6, 1e6),
        "weight": number("how much a miss counts beside the others", "1", 0.01, 100.0),
        "reason": text("why it is wanted", most=200),
    },
    optional=("weight", "reason"),
)
OPERATIONS = (
    Operation(
        "POST",
        "/v1/jobs/{entry}/search",
        "searchPackages",
        "Search",
        "Search packages of parts for a job",
        _search,
        OperationAnswer("the work that was begun, or that answers the same question", _WORK, 202),
        "It goes on in the background: ask for it by its id. Of one job one search goes on at a time.",
        (ENTRY_PATH,),
        {
            JSON: objects(
                "What is wanted.",
                {
                    "goals": listed(_GOAL, "the goals", least=1, most=len(METRICS)),
                    "budget": or_null(number("most that the parts may cost", "1", 0.0, 1e6)),
                    "places": listed(
                        choice("a place for a part", *(slot.name for slot in SLOTS)), least=1, most=len(SLOTS)
                    ),
                    "in_stock": {"type": "boolean", "description": "only parts that are there"},
                    "unsure": {
                        "type": "boolean",
                        "description": "also parts of which it is not known whether they fit",
                    },
                },
                optional=("budget", "places", "in_stock", "unsure"),
            )
        },
        (404,),
    ),
    Operation(
        "GET",
        "/v1/work/{work}",
        "readWork",
        "Search",
        "How far a piece of work is, and what it found",
        _watch,
        OperationAnswer("the work as it is now", _WORK),
        parameters=(_WORK_PATH,),
        problems=(404,),
    ),
    Operation(
        "POST",
        "/v1/work/{work}/stop",
        "stopWork",
        "Search",
        "Ask a piece of work to end with what it has",
        _stop,
        OperationAnswer("the work as it is now", _WORK),
        parameters=(_WORK_PATH,),
        problems=(404,),
    ),
    Operation(
        "POST",
        "/v1/jobs/{entry}/take",
        "takePackage",
        "Search",
        "Write the parts of a found package into the job",
        _take,
        OperationAnswer("the job as it is now", {"$ref": "#/components/schemas/Entry"}),
        parameters=(ENTRY_PATH,),
        body={
            JSON: objects(
                "Which package, on top of which version.",
                {
                    "work": text("id of the search", 1, 64),
                    "package": whole("number of the package"),
                    "number": whole("number of the version of the job that was read", 1),
                    "by": text("who writes", 1, 60),
                },
                optional=("by",),
            )
        },
        problems=(404, 409),
    ),
)
