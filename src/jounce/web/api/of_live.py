"""A job under the hand, for programs: its levers, and the whole car with levers elsewhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from jounce.book import Entry
from jounce.case.case import Case
from jounce.conventions.errors import InputError
from jounce.live.figures import every_figure, read_every
from jounce.live.lever import Lever
from jounce.live.levers import levers_of, with_levers
from jounce.live.moved import movable
from jounce.web.api.of_book import ENTRY_PATH, entry_of
from jounce.web.api.of_jobs import VERDICT_AND_CHECKS, told_checks_of
from jounce.web.api.operation import Call, Operation, OperationAnswer, Parameter
from jounce.web.api.plain import plain
from jounce.web.api.schemas import Schema, listed, number, objects, or_null, si_unit, text
from jounce.web.case_cache import case_of
from jounce.web.pages.live import lever_values_of
from jounce.web.shop_settings import held_case, rules_text, widened_by_ledger

__all__ = ["OPERATIONS"]

_IN_UNIT = "as `unit` says"


def _pair(call: Call) -> tuple[Entry, Entry]:
    """A job and its car.

    Raises:
        InputError: the job belongs to no car
    """
    job = entry_of(call, "job")
    if job.belongs_to is None:
        raise InputError("This job belongs to no car", found=job.name, todo="Save it with the id of its car.")
    return job, call.ask.book.entry(job.belongs_to)


def _levers(call: Call) -> Sequence[Lever]:
    job, car = _pair(call)
    return levers_of(movable(held_case(call.ask, job, car)), job.content, car.content)


def _told_levers(call: Call) -> Any:
    return plain(
        {
            "levers": [
                {
                    "key": one.key,
                    "label": one.label,
                    "kind": one.kind,
                    "unit": si_unit(one.kind),
                    "today": one.today,
                    "low": one.low,
                    "high": one.high,
                }
                for one in _levers(call)
            ]
        }
    )


def _given(call: Call, levers: Sequence[Lever]) -> Mapping[str, float]:
    """Where levers are sent to, each as KEY=NUMBER.

    Raises:
        InputError: there is no such lever, or it does not go there
    """
    texts: dict[str, str] = {}
    keys = {one.key for one in levers}
    for one in call.query.get("move", ()):
        key, _, value = one.partition("=")
        if key not in keys:
            raise InputError(
                "There is no such lever",
                found=key[:40],
                allowed=", ".join(sorted(keys)),
                todo="Name one.",
                place="move",
            )
        texts[key] = value
    return lever_values_of(levers, texts)


def _moved(call: Call) -> Any:
    job, car = _pair(call)
    levers = _levers(call)
    moved_job = with_levers(job.content, levers, _given(call, levers))
    case: Case = case_of(moved_job, car.content, rules_text(call.ask.book), widened_by_ledger(call.ask))
    moved = movable(case)
    values = read_every(moved, moved.today)
    figures = [
        {
            "key": one.key,
            "label": one.label,
            "kind": one.kind,
            "unit": si_unit(one.kind),
            "value": values.get(one.key),
            "check": one.code,
            "least": one.least,
            "most": one.most,
        }
        for one in every_figure(moved)
    ]
    return plain({"job": moved_job, "figures": figures}) | told_checks_of(case)


_LEVERS: Schema = objects(
    "What can be moved on the job.",
    {
        "levers": listed(
            objects(
                "A lever.",
                {
                    "key": text("its name: axle, then what it moves"),
                    "label": text("its name for people"),
                    "kind": text("what it measures"),
                    "unit": text("SI unit of its numbers"),
                    "today": number("as planned", _IN_UNIT),
                    "low": number("least that it is moved to", _IN_UNIT),
                    "high": number("most that it is moved to", _IN_UNIT),
                },
            )
        )
    },
)
_MOVED: Schema = objects(
    "The job with its levers there, planned as a whole.",
    {
        "job": text("TOML of the job with its levers there; nothing is kept"),
        "figures": listed(
            objects(
                "A number that follows the hand; null where the wheel does not lift.",
                {
                    "key": text("its name"),
                    "label": text("its name for people; of several with one label the least counts"),
                    "kind": text("what it measures"),
                    "unit": text("SI unit of its numbers"),
                    "value": or_null(number("where the car then stands", _IN_UNIT)),
                    "check": text("code of the check that holds to it; empty where none does"),
                    "least": or_null(number("what that asks for at least", _IN_UNIT)),
                    "most": or_null(number("what that asks for at most", _IN_UNIT)),
                },
            )
        ),
    }
    | VERDICT_AND_CHECKS,
)

OPERATIONS = (
    Operation(
        "GET",
        "/v1/jobs/{entry}/levers",
        "readLevers",
        "Jobs",
        "What can be moved on a job by hand",
        _told_levers,
        OperationAnswer("its levers and how far each goes", _LEVERS),
        parameters=(ENTRY_PATH,),
        problems=(404,),
    ),
    Operation(
        "GET",
        "/v1/jobs/{entry}/moved",
        "moveJob",
        "Jobs",
        "A job with its levers elsewhere",
        _moved,
        OperationAnswer("what follows, exact, with every check", _MOVED),
        "Planned as a whole with all its steps, as the page under the hand does when the hand rests. Nothing is kept.",
        parameters=(
            ENTRY_PATH,
            Parameter(
                "move",
                "query",
                listed(text("KEY=NUMBER in the lever's SI unit", 3, 80), "levers and where they go", most=40),
                required=False,
            ),
        ),
        problems=(404,),
    ),
)
