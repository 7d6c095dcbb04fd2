"""Questions in words for programs: a sentence asked of a car or of a job."""

from __future__ import annotations

from typing import Any

from jounce.asked.answer import answer_values, answered
from jounce.asked.kinds import KINDS, UNKNOWN
from jounce.asked.wording import LONGEST
from jounce.case.case import Case
from jounce.web.api.of_book import ENTRY_PATH, entry_of
from jounce.web.api.of_jobs import case_of_job
from jounce.web.api.operation import Call, Operation, OperationAnswer, Parameter
from jounce.web.api.schemas import choice, listed, number, objects, or_null, text
from jounce.web.case_cache import car_read
from jounce.web.shop_settings import rules_held

__all__ = ["OPERATIONS"]

_BY_KIND = "SI, as `kind` says"
_ANSWER = OperationAnswer(
    "the answer, or that it is not known",
    objects(
        "A question and its answer.",
        {
            "unit_system": text("SI"),
            "question": text("as it was asked"),
            "kind": choice("kind of question that it was understood as", *KINDS),
            "understood": text("how it was understood, with the amounts that were taken"),
            "known": {"type": "boolean", "description": "whether it was answered"},
            "near": listed(
                objects("Another kind that it may have been.", {"kind": text("its word"), "title": text("in words")})
            ),
            "verdict": text("one or two sentences"),
            "numbers": listed(
                objects(
                    "A number.",
                    {
                        "name": text("what it is"),
                        "kind": text("what it measures"),
                        "value": number("as asked", _BY_KIND),
                        "plus_minus": number("half width of its band, 9 in 10; 0 where none was worked out", _BY_KIND),
                        "found": or_null(number("as found, where both are told", _BY_KIND)),
                    },
                )
            ),
            "checks": listed(text("what a check says"), "those that decide, the failing ones first"),
            "steps": listed(text("a setting"), "in the order of work"),
            "rests_on": listed(text("a sentence")),
            "surer_by": listed(text("a sentence"), "what to measure, and what is missing"),
            "besides": listed(text("a sentence"), "what it leaves out among them"),
            "cautions": listed(text("a sentence")),
            "page": text("page with more, below that of the car or job; empty where there is none"),
        },
    ),
)


def _asked(call: Call) -> Any:
    return answer_values(answered(call.query["q"], _case(call), "metric", call.query.get("kind", "")))


def _case(call: Call) -> Case:
    if call.ask.address.startswith("/api/v1/jobs/"):
        return case_of_job(call)
    return Case(car_read(entry_of(call, "car").content), rules=rules_held(call.ask))


def _operation(place: str, one: str) -> Operation:
    return Operation(
        "GET",
        f"/v1/{place}/{{entry}}/asked",
        f"askInWordsOf{one}",
        f"{one}s",
        "Ask in words",
        _asked,
        _ANSWER,
        "The kept car or job stays as it is; what the sentence asks for is put on it for the length of the answer. The "
        "sentence is not kept: only those are that somebody typed into a page.",
        (
            ENTRY_PATH,
            Parameter("q", "query", text("the question, in English or German", 1, LONGEST)),
            Parameter(
                "kind",
                "query",
                choice("kind of question, where it is not to be understood anew", *(k for k in KINDS if k != UNKNOWN)),
                required=False,
            ),
        ),
        problems=(404,),
    )


OPERATIONS: tuple[Operation, ...] = (_operation("cars", "Car"), _operation("jobs", "Job"))
