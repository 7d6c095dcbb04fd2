"""What went wrong, told in one form whatever went wrong: a list of problems, each with place, found, allowed and todo."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from starlette.responses import Response

from jounce.book.book import Overtaken
from jounce.conventions.errors import InputError, InputProblems, JounceError
from jounce.web.api.schemas import Schema, listed, objects, or_null, text, whole

__all__ = ["PROBLEMS", "PROBLEM_STATUSES", "Refused", "answer_of", "problem_list", "refused"]

PROBLEM: Schema = objects(
    "One thing that is wrong.",
    {
        "place": text("where it is wrong, outermost place first; empty where there is only one"),
        "found": text("what was found, with its unit"),
        "allowed": text("what would be accepted"),
        "todo": text("the next step"),
        "message": text("what is wrong, as a sentence"),
        "line": or_null(whole("line of the document on which it stands", 1)),
    },
)
PROBLEMS: Schema = objects(
    "What is wrong; every answer but those from 200 to 299 has this form.",
    {
        "problems": listed(PROBLEM, "the problems, in the order in which they stand", least=1),
        "newest": {"$ref": "#/components/schemas/Version"},
    },
    optional=("newest",),
)
"""Schema of every refusal; ``newest`` is there where an entry was overtaken."""

PROBLEM_STATUSES = {
    401: "Nobody is signed in: ask for a token first.",
    403: "The password is wrong, or another site sent this.",
    404: "There is no such entry, or no such address.",
    405: "The address does not take this method.",
    409: "Somebody saved the entry meanwhile; `newest` is what they saved.",
    413: "The request is too large.",
    415: "The body is of another type than the operation takes.",
    421: "The workbench answers to this machine alone.",
    422: "What was sent cannot be used, or what is asked cannot be.",
    429: "Too many wrong passwords: wait.",
    500: "It did not work, and it is our fault. Nothing was half-saved.",
}
"""What each status says."""


class Refused(Exception):
    """A request that is refused with another status than 422.

    Args:
        status: of the answer
        problem: why

    """

    def __init__(self, status: int, problem: JounceError) -> None:
        super().__init__(str(problem))
        self.status, self.problem = status, problem


def problem_list(error: JounceError) -> list[dict[str, Any]]:
    """The problems of an error as plain data.

    Args:
        error: one or several of them
    """
    if isinstance(error, InputProblems):
        return [one for problem in error.problems for one in problem_list(problem)]
    found = error if isinstance(error, InputError) else None
    return [
        {
            "place": error.place,
            "found": "" if found is None else found.found,
            "allowed": "" if found is None else found.allowed,
            "todo": "" if found is None else found.todo,
            "message": error.message,
            "line": None if found is None else found.line,
        }
    ]


def refused(status: int, problems: Iterable[JounceError], more: dict[str, Any] | None = None) -> Response:
    """The answer to a request that is refused.

    Args:
        status: of the answer
        problems: why
        more: what is told besides
    """
    told = [one for problem in problems for one in problem_list(problem)]
    headers = {"www-authenticate": "Bearer"} if status == 401 else None
    content = json.dumps({"problems": told, **(more or {})}, ensure_ascii=False, allow_nan=False)
    return Response(content, status, headers, media_type="application/json")


def answer_of(error: JounceError | Refused, version: Any = None) -> Response:
    """The answer to what the core, or the door, refuses.

    Args:
        error: what it raised
        version: how a version is told, for an entry that was overtaken
    """
    if isinstance(error, Refused):
        return refused(error.status, [error.problem])
    if isinstance(error, Overtaken):
        return refused(409, [error], {"newest": version(error.theirs)})
    return refused(422, [error])
