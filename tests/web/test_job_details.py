"""A job's name, number, customer and day, given in the browser and told on paper; addresses that lead nowhere."""

from __future__ import annotations

import io
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader

from jounce.web.serving import is_local, reached_at
from tests.web.test_job_forms import value_of, wrong_of
from tests.workbench import Workbench, asked, demo_book, serving


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Workbench]:
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


DETAILS = {"name": "A little lower", "job_number": "31-044", "customer": "C. Example", "date": "2031-05-17"}


def test_a_new_job_has_its_customer_number_and_day_on_paper(bench: Workbench) -> None:
    page = asked(bench.port, f"/cars/{bench.car}/jobs").text
    assert value_of(page, "job-customer") == "A. Example"  # the car's owner
    begun = asked(bench.port, f"/cars/{bench.car}/jobs", DETAILS)
    assert begun.status == 303
    job = begun.headers["location"].split("/")[2]
    identity = tomllib.loads(bench.book.entry(job).content)["job"]

    assert (identity["name"], identity["number"], identity["customer"]) == ("A little lower", "31-044", "C. Example")
    assert str(identity["date"]) == "2031-05-17"
    asked(bench.port, f"/jobs/{job}/sheets", {"kind": "set-up"})
    file = bench.book.attachments(job)[0]
    text = " ".join(
        " ".join(one.extract_text() for one in PdfReader(io.BytesIO(bench.book.content_of(file.id))).pages).split()
    )
    for told in ("C. Example", "no. 31-044", "2031-05-17"):
        assert told in text


def test_details_are_changed_and_what_is_wrong_stays_on_the_form(bench: Workbench) -> None:
    home = f"/jobs/{bench.job}/details"
    wrong = asked(bench.port, home, {"number": "1", "name": " ", "customer": "D. Example", "date": "17 May"})
    assert wrong.status == 422
    assert value_of(wrong.text, "job-customer") == "D. Example"
    assert "year, month and day" in wrong_of(wrong.text, "job-date")
    assert "needs a name" in wrong_of(wrong.text, "job-name")
    assert bench.book.entry(bench.job).number == 1
    assert asked(bench.port, home, DETAILS | {"number": "1"}).status == 303
    assert bench.book.entry(bench.job).name == "A little lower"
    assert value_of(asked(bench.port, home).text, "job-job_number") == "31-044"


def test_a_job_without_a_name_is_not_begun_and_keeps_what_was_typed(bench: Workbench) -> None:
    answer = asked(bench.port, f"/cars/{bench.car}/jobs", DETAILS | {"name": ""})

    assert answer.status == 422
    assert value_of(answer.text, "job-customer") == "C. Example"
    assert len(bench.book.entries("job")) == 1


def test_an_unknown_address_is_told_in_the_frame(bench: Workbench) -> None:
    for path in ("/nothing", "/cars", "/jobs/x/y/z"):
        answer = asked(bench.port, path)

        assert answer.status == 404
        assert 'aria-label="Workbench"' in answer.text
        assert 'href="/"' in answer.text


def test_a_workbench_open_to_all_names_an_address_that_a_phone_can_open() -> None:
    for everywhere in ("0.0.0.0", "::"):  # noqa: S104  # as a person types it
        names = reached_at(everywhere)

        assert names[-1] == "127.0.0.1"
        assert everywhere not in names
        assert all(not is_local(name) for name in names[:-1])
    assert reached_at("192.0.2.7") == ["192.0.2.7"]
    assert reached_at("::1") == ["[::1]"]
