"""One operation: its address, what it takes, what it gives, and who does it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from jounce.web.api.schemas import Schema
from jounce.web.request import PageRequest
from jounce.web.security.sessions import Sessions

__all__ = ["HTML", "JSON", "PDF", "TOML", "Call", "Operation", "OperationAnswer", "Parameter"]

JSON, TOML, PDF, HTML = "application/json", "application/toml", "application/pdf", "text/html"


@dataclass(frozen=True, slots=True)
class Call:
    """A request that was checked against its operation.

    Attributes:
        ask: the request as the pages know it
        path: parts of the address by name
        query: what stands behind the question mark by name, read as its schema says; without what was left out
        body: what was sent, JSON read, a document as its text
        sessions: who is signed in; None where the workbench is open to this machine alone

    """

    ask: PageRequest
    path: Mapping[str, Any]
    query: Mapping[str, Any]
    body: Any
    sessions: Sessions | None


@dataclass(frozen=True, slots=True)
class Parameter:
    """A part of the address (``where`` "path") or something behind its question mark ("query")."""

    name: str
    where: Literal["path", "query"]
    schema: Schema
    required: bool = True


@dataclass(frozen=True, slots=True)
class OperationAnswer:
    """What an operation gives when it did what was asked."""

    about: str
    schema: Schema
    status: int = 200
    media: str = JSON


@dataclass(frozen=True, slots=True)
class Operation:
    """One row of the table.

    Attributes:
        method: GET, POST, PUT or DELETE
        path: its address below /api
        name: its name for programs
        group: what it belongs to, for people
        title: what it does, in a few words
        run: does it; gives plain data, or bytes where the answer is no JSON
        answer: what comes back
        about: more about it
        parameters: what it takes in its address
        body: schemas of what may be sent, by media type; empty for nothing
        problems: statuses of refusals of its own, besides those that any request may get
        open: whether it needs nobody signed in

    """

    method: Literal["GET", "POST", "PUT", "DELETE"]
    path: str
    name: str
    group: str
    title: str
    run: Callable[[Call], Any]
    answer: OperationAnswer
    about: str = ""
    parameters: tuple[Parameter, ...] = ()
    body: Mapping[str, Schema] = field(default_factory=dict)
    problems: tuple[int, ...] = ()
    open: bool = False
