"""Documents that are in no book: checked, with everything that is wrong told at once; and their form."""

from __future__ import annotations

from typing import Any

from jounce.behaviour.plausible import all_remarks
from jounce.car.file.document import CarDocument
from jounce.car.file.remark import Remark
from jounce.car.file.schema import car_schema
from jounce.car.file.toml_lines import lines_of_keys
from jounce.checks.rules import parse_rules
from jounce.conventions.errors import InputError, InputProblems, JounceError
from jounce.job.apply import problems_between
from jounce.job.document import JobDocument
from jounce.job.file import parse_job
from jounce.quote.shop import parse_shop
from jounce.shelf.toml import parse_toml
from jounce.web.api.of_book import entry_of
from jounce.web.api.operation import TOML, Call, Operation, OperationAnswer, Parameter
from jounce.web.api.problems import PROBLEM, problem_list
from jounce.web.api.schemas import Schema, choice, listed, objects, or_null, text, whole
from jounce.web.case_cache import car_read

__all__ = ["OPERATIONS"]


def _check(call: Call) -> Any:
    problems: list[dict[str, Any]] = []
    name = ""
    remarks: list[dict[str, Any]] = []
    try:
        name, remarks = _read(call, str(call.path["document"]), call.body)
    except JounceError as error:
        problems = problem_list(error)
    return {"sound": not problems, "name": name, "problems": problems, "remarks": remarks}


def _read(call: Call, kind: str, content: str) -> tuple[str, list[dict[str, Any]]]:
    """Name and remarks of a document that is sound."""
    if kind == "car":
        document: CarDocument = car_read(content)
        return document.car.name, [_remark(remark, content) for remark in all_remarks(document)]
    if kind == "job":
        job: JobDocument = parse_job(content, "")
        if "car" in call.query:
            problems = problems_between(car_read(entry_of(call, "car", call.query["car"]).content), job)
            if problems:
                raise InputProblems(problems)
        return job.job.name, []
    if kind == "shop":
        return parse_shop(content, "").shop.name, []
    if kind == "rules":
        return parse_rules(content, "").name, []
    reading = parse_toml(content, "")
    if reading.problems:
        raise InputProblems(reading.problems)
    if not reading.good.parts:
        raise InputError("There is no part in it", todo="Write one as [coil.CODE].")
    return ", ".join(part.code for part in reading.good.parts)[:200], []


def _remark(remark: Remark, content: str) -> dict[str, Any]:
    return {"places": list(remark.places), "line": remark.line(lines_of_keys(content)), "message": remark.text}


_REMARK: Schema = objects(
    "Something unusual.",
    {
        "places": listed(text("key of the document that it speaks of"), "keys, the one to look at first in front"),
        "line": or_null(whole("line of the document on which the first of them stands", 1)),
        "message": text("what is unusual, as sentences"),
    },
)

OPERATIONS = (
    Operation(
        "POST",
        "/v1/check/{document}",
        "checkDocument",
        "Documents",
        "Check a document",
        _check,
        OperationAnswer(
            "whether it is sound, and everything that is wrong with it",
            objects(
                "What was found.",
                {
                    "sound": {"type": "boolean", "description": "whether nothing is wrong"},
                    "name": text("name that it says; empty where it is not sound"),
                    "problems": listed(PROBLEM, "all that is wrong, in the order of its lines"),
                    "remarks": listed(_REMARK, "what is unusual or contradicts something else"),
                },
            ),
        ),
        "Nothing is kept. A job is also checked against a car of the book, if its id is given.",
        (
            Parameter("document", "path", choice("what it is", "car", "job", "shelf", "shop", "rules")),
            Parameter("car", "query", text("id of the car of a job", 1, 64), required=False),
        ),
        {TOML: text("the document")},
        (404,),
    ),
    Operation(
        "GET",
        "/v1/schemas/car",
        "readCarSchema",
        "Documents",
        "Read the JSON Schema of the car document",
        lambda _: car_schema(),
        OperationAnswer("JSON Schema, draft 2020-12, with kinds, units and ranges", {"type": "object"}),
    ),
)
