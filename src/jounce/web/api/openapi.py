"""The OpenAPI 3.1 document, written from the table of operations."""

from __future__ import annotations

from functools import cache
from importlib.metadata import version
from typing import Any

from jounce.web.api.of_book import ENTRY, VERSION
from jounce.web.api.operation import JSON, Operation
from jounce.web.api.problems import PROBLEM_STATUSES, PROBLEMS
from jounce.web.api.table import OPERATIONS

__all__ = ["openapi", "statuses_of"]


@cache
def openapi() -> dict[str, Any]:
    """The whole document."""
    paths: dict[str, dict[str, Any]] = {}
    for operation in OPERATIONS:
        paths.setdefault(f"/api{operation.path}", {})[operation.method.lower()] = _told(operation)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "jounce",
            "version": version("jounce"),
            "summary": "Suspension workbench for small shops: the shop book and everything that is worked out from it.",
            "description": "Every number is SI; `x-unit` or a `unit` beside it names the unit.",
        },
        "servers": [{"url": "/"}],
        "tags": [{"name": name} for name in dict.fromkeys(operation.group for operation in OPERATIONS)],
        "paths": paths,
        "components": {
            "schemas": {"Entry": ENTRY, "Version": VERSION, "Problems": PROBLEMS},
            "securitySchemes": {
                "token": {
                    "type": "http",
                    "scheme": "bearer",
                    "description": "Only where the workbench listens beyond its own machine.",
                }
            },
        },
        "security": [{}, {"token": []}],
    }


def statuses_of(operation: Operation) -> tuple[int, ...]:
    """Statuses of refusals that an operation may give.

    Args:
        operation: the operation
    """
    found = {*operation.problems, 422, 500, 421}
    if not operation.open:
        found.add(401)
    if operation.method != "GET":
        found |= {403, 413}
    if operation.body:
        found.add(415)
    return tuple(sorted(found))


def _told(operation: Operation) -> dict[str, Any]:
    answer = operation.answer
    told: dict[str, Any] = {
        "operationId": operation.name,
        "tags": [operation.group],
        "summary": operation.title,
        "parameters": [
            {
                "name": parameter.name,
                "in": parameter.where,
                "required": parameter.required,
                "description": parameter.schema.get("description", ""),
                "schema": parameter.schema,
            }
            for parameter in operation.parameters
        ],
        "responses": {
            str(answer.status): {
                "description": answer.about,
                "content": {answer.media: {"schema": answer.schema}},
            }
        }
        | {
            str(status): {
                "description": PROBLEM_STATUSES[status],
                "content": {JSON: {"schema": {"$ref": "#/components/schemas/Problems"}}},
            }
            for status in statuses_of(operation)
        },
    }
    if operation.about:
        told["description"] = operation.about
    if operation.body:
        content = {media: {"schema": schema} for media, schema in operation.body.items()}
        told["requestBody"] = {"required": True, "content": content}
    if operation.open:
        told["security"] = []
    return told
