"""The operations as a part of the site: a request is checked against the table, done, and answered."""

from __future__ import annotations

import json
import re
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import replace
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Mount, Route

from jounce.book import Book
from jounce.conventions.errors import InputError, JounceError
from jounce.web.api.checking import check, read_json, read_query
from jounce.web.api.of_book import told_version
from jounce.web.api.of_sign_in import bearer
from jounce.web.api.openapi import openapi
from jounce.web.api.operation import JSON, Call, Operation
from jounce.web.api.problems import PROBLEM_STATUSES, Refused, answer_of, refused
from jounce.web.api.table import OPERATIONS
from jounce.web.background import BackgroundJobs
from jounce.web.request import PageRequest, Preferences
from jounce.web.security.sessions import Sessions

__all__ = ["api_of"]


def api_of(book: Book, sessions: Sessions | None, works: BackgroundJobs) -> Mount:
    """Everything below /api.

    Args:
        book: the shop book
        sessions: who is signed in; None where the workbench is open to this machine alone
        works: long work of the workbench
    """
    by_path: dict[str, dict[str, Operation]] = {}
    for operation in OPERATIONS:
        by_path.setdefault(operation.path, {})[operation.method] = operation
    routes = [
        Route(path, _endpoint(there, book, sessions, works), methods=list(there)) for path, there in by_path.items()
    ]
    site = Starlette(
        routes=[
            Route("/openapi.json", _document, methods=["GET"]),
            Route("/", _listing, methods=["GET"]),
            *routes,
        ],
        exception_handlers={HTTPException: _told, 500: _failed},
    )
    mount = Mount("/api", site)
    mount.path_regex = re.compile(mount.path_regex.pattern, re.DOTALL)  # an address with a line break is ours too
    return mount


def _endpoint(
    there: Mapping[str, Operation], book: Book, sessions: Sessions | None, works: BackgroundJobs
) -> Callable[[Request], Awaitable[Response]]:
    async def endpoint(request: Request) -> Response:
        operation = there["GET" if request.method == "HEAD" else request.method]
        content = await request.body()
        ask = PageRequest(
            book,
            request.url.path,
            request.client.host if request.client else "",
            request.path_params,
            {},
            {},
            {},
            Preferences(book.by),
            bearer(request.headers.get("authorization", "")),
            sessions is not None,
            works,
        )
        media = request.headers.get("content-type", "").partition(";")[0].strip().lower()
        given = request.query_params.multi_items()
        return await run_in_threadpool(_answer, operation, ask, sessions, given, (media, content))

    return endpoint


def _answer(
    operation: Operation,
    ask: PageRequest,
    sessions: Sessions | None,
    given: list[tuple[str, str]],
    sent: tuple[str, bytes],
) -> Response:
    try:
        query = read_query(operation.parameters, given)
        for parameter in operation.parameters:
            if parameter.where == "path":
                check(ask.path[parameter.name], parameter.schema, parameter.name)
        body = _body(operation, *sent)
        found = operation.run(Call(_with_media(ask, sent[0]), ask.path, query, body, sessions))
    except (JounceError, Refused) as error:
        return answer_of(error, told_version)
    if not isinstance(found, bytes):
        found = json.dumps(found, ensure_ascii=False, allow_nan=False).encode()
    return Response(found, operation.answer.status, media_type=operation.answer.media)


def _body(operation: Operation, media: str, content: bytes) -> Any:
    """What was sent, checked."""
    if not operation.body:
        return None
    if media not in operation.body:
        allowed = " or ".join(operation.body)
        raise Refused(
            415,
            InputError(
                "The body is of another type", found=media[:80] or "none", allowed=allowed, place="header content-type"
            ),
        )
    if media == JSON:
        value: Any = read_json(content)
    else:
        try:
            value = content.decode("utf-8-sig").replace("\r\n", "\n")
        except UnicodeDecodeError:
            raise InputError("The body is not text in UTF-8", todo="Save it as UTF-8.", place="body") from None
    check(value, operation.body[media], "body")
    return value


def _with_media(ask: PageRequest, media: str) -> PageRequest:
    """The request with the type of its body, for operations that take several."""
    return replace(ask, query={"media": media})


async def _document(_: Request) -> Response:
    return Response(json.dumps(openapi(), ensure_ascii=False, indent=1), media_type=JSON)


async def _listing(_: Request) -> Response:
    groups: dict[str, list[Operation]] = {}
    for operation in OPERATIONS:
        groups.setdefault(operation.group, []).append(operation)
    return HTMLResponse(_pages().get_template("api.html").render(groups=groups))


@cache
def _pages() -> Environment:
    return Environment(loader=PackageLoader("jounce.web"), autoescape=True, undefined=StrictUndefined, trim_blocks=True)


async def _told(request: Request, error: Exception) -> Response:
    """What the router or the guard refuses, in the same form."""
    if not isinstance(error, HTTPException):
        raise error
    said = PROBLEM_STATUSES.get(error.status_code, str(error.detail))
    answer = refused(
        error.status_code, [InputError(said.rstrip("."), found=f"{request.method} {request.url.path}"[:200])]
    )
    for name, value in (error.headers or {}).items():
        answer.headers[name] = value
    return answer


async def _failed(request: Request, error: Exception) -> Response:  # noqa: ARG001  # the server logs it
    return refused(500, [JounceError(PROBLEM_STATUSES[500])])
