"""Every operation asked with thousands of odd things: it never fails, and answers as its document says."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.generation import GenerationMode
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_schema_conformance,
    status_code_conformance,
)

from jounce.book import Book
from jounce.shelf.book_entries import documents_of
from jounce.shelf.toml import parse_toml
from jounce.web.api.table import OPERATIONS
from jounce.web.site import build_site
from tests.workbench import demo_book, demo_text

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
QUICK = settings(
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
LONG = re.compile("ride|corner|brake|print|standing", re.IGNORECASE)  # what works for seconds is asked less often


TEXTS = ("application/toml", "text/csv")


@schemathesis.serializer(*TEXTS)
def as_text(_: Any, value: Any) -> bytes:
    return value if isinstance(value, bytes) else str(value).encode("utf-8", "surrogatepass")


def demo_part() -> str:
    """One part of the demo shelf, as the book keeps it."""
    return documents_of(parse_toml(demo_text("shelf.toml"), "the shelf").good)["TB-24"]


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Book, tuple[str, ...]]]:
    book, car, job = demo_book(tmp_path_factory.mktemp("fuzz") / "shop.db")
    part = book.add("part", "TB-24", demo_part())
    yield book, (car, job, part.id)
    book.close()


@pytest.fixture(scope="module")
def described(opened: tuple[Book, tuple[str, ...]]) -> Any:
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", build_site(opened[0]), headers={"host": "localhost"})
    # The checker's own list of refusals lacks "content too large", which a body beyond the guard's limit is told.
    rejection = schema.config.checks.negative_data_rejection
    rejection.expected_statuses = [*rejection.expected_statuses, "413"]
    return schema


def asked_ways() -> Iterator[tuple[str, GenerationMode]]:
    """Each operation asked as its document says, and otherwise, where there is anything to be said otherwise."""
    for operation in OPERATIONS:
        yield operation.name, GenerationMode.POSITIVE
        if operation.body or any(parameter.where == "query" for parameter in operation.parameters):
            yield operation.name, GenerationMode.NEGATIVE


@pytest.mark.sweep(10)
@pytest.mark.parametrize(("name", "mode"), list(asked_ways()))
def test_no_request_makes_it_fail(
    name: str, mode: GenerationMode, described: Any, opened: tuple[Book, tuple[str, ...]]
) -> None:
    operation = described.find_operation_by_id(name)
    odd = mode is GenerationMode.NEGATIVE
    checks = [*CHECKS, negative_data_rejection] if odd else CHECKS

    @settings(QUICK, max_examples=4 if LONG.search(name) else 25)
    @given(operation.as_strategy(generation_mode=mode), st.sampled_from([*opened[1], "", None]))
    def asked(case: Any, entry: str | None) -> None:
        if entry and "entry" in case.path_parameters:
            case.path_parameters["entry"] = entry
        text_after_all = case.media_type in TEXTS and not isinstance(case.body, str)  # on its way anything is a text
        case.call_and_validate(base_url="http://localhost", checks=CHECKS if entry or text_after_all else checks)

    asked()


@st.composite
def bent(draw: st.DrawFn, name: str) -> str:
    """A demo document in which a few numbers and lines are no longer what they were."""
    lines = demo_text(name).splitlines()
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(lines) - 1))
        numbers = list(re.finditer(r"-?\d+(\.\d+)?", lines[at].partition("#")[0]))
        if numbers and draw(st.integers(0, 4)):
            one = draw(st.sampled_from(numbers))
            new = draw(st.one_of(ODD_NUMBERS, st.floats(0.3, 3.0).map(lambda x: f"{float(one[0]) * x:.6g}")))  # noqa: B023
            lines[at] = lines[at][: one.start()] + new + lines[at][one.end() :]
        elif draw(st.booleans()):
            del lines[at]
        else:
            lines.insert(at, lines[draw(st.integers(0, len(lines) - 1))])
    return "\n".join(lines)


ODD_NUMBERS = st.sampled_from(
    ["0", "-0.0", "1e-300", "1e300", "-5", "nan", "inf", "9" * 400, "true", '"12 furlongs"', "[]"]
)


@pytest.mark.validation_long
@settings(QUICK, max_examples=60)
@given(bent("brisk-14.toml"), bent("brisk-14-lower.toml"), st.booleans())
def test_no_document_makes_it_fail(described: Any, car: str, job: str, whole: bool) -> None:  # noqa: FBT001
    work_out, check = (described.find_operation_by_id(name) for name in ("workOut", "checkDocument"))
    told = check.Case(path_parameters={"document": "car"}, body=car, media_type="application/toml")
    told.call_and_validate(base_url="http://localhost", checks=CHECKS)
    body = {"car": demo_text("brisk-14.toml") if whole else car, "job": job}
    work_out.Case(body=body, media_type="application/json").call_and_validate(
        base_url="http://localhost", checks=CHECKS
    )
