"""From a printed sheet back to the job: by its code, through the door, to the version in hand."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from urllib.parse import urlsplit

import pytest

from jounce.web.security.passwords import hashed
from tests.sheets.test_lead_back import codes
from tests.web.test_shop import asked_bytes
from tests.workbench import Workbench, asked, demo_book, demo_text, serving

ADDRESS = "https://workshop.local:8000"
PASSWORD = "three long words"  # noqa: S105


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """A workbench whose shop tells the address under which a phone finds it."""
    book, car, job = demo_book(tmp_path_factory.mktemp("house") / "shop.db")
    text = demo_text("shop.toml").replace("[house]", f'[house]\naddress = "{ADDRESS}"')
    book.add("shop", "Demo Workshop", text)
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def printed_code(house: Workbench, path: str) -> str:
    """What a phone reads from the first page."""
    (text,) = codes(asked_bytes(house.port, path, {}))
    way = urlsplit(text)
    assert f"{way.scheme}://{way.netloc}".lower() == ADDRESS
    return way.path


def test_the_code_on_the_job_card_is_one_tap_from_the_teeth(house: Workbench) -> None:
    way = printed_code(house, f"/jobs/{house.job}/sheet.pdf?kind=job-card")
    answer = asked(house.port, way)

    assert answer.status == 200
    assert f'href="/jobs/{house.job}/bay"' in answer.text
    assert "Nothing was changed since" in answer.text
    assert printed_code(house, f"/jobs/{house.job}/sheet.pdf?kind=job-card") == way
    assert printed_code(house, f"/jobs/{house.job}/sheet.pdf?kind=alignment") != way


def test_a_sheet_that_is_not_the_newest_says_so_and_who_changed_what(house: Workbench) -> None:
    way = printed_code(house, f"/jobs/{house.job}/sheet.pdf?kind=set-up")
    job = house.book.entry(house.job)
    house.book.written_by("Ben").save(replace(job, content=f"{job.content}\n"))
    text = asked(house.port, way).text

    assert "not the newest" in text
    assert re.search(r"The job is at version 2 now, this sheet is of version 1: Ben", text)
    assert printed_code(house, f"/jobs/{house.job}/sheet.pdf?kind=set-up") != way


def test_a_sheet_of_a_car_leads_to_the_car(house: Workbench) -> None:
    way = printed_code(house, f"/cars/{house.car}/sheet.pdf?kind=baseline")

    assert f'href="/cars/{house.car}"' in asked(house.port, way).text


def test_a_sheet_of_a_kind_that_is_no_more_still_leads_back(house: Workbench) -> None:
    job, car = house.book.entry(house.job), house.book.entry(house.car)
    answer = asked(house.port, f"/j/{house.book.code_for('of-long-ago', job, car)}")

    assert answer.status == 200
    assert f'href="/jobs/{house.job}/bay"' in answer.text


@pytest.mark.parametrize("code", ["2222222", "x", "%25", "ILO0111", "7" * 16])
def test_a_wrong_code_tells_nothing(house: Workbench, code: str) -> None:
    answers = {asked(house.port, f"/j/{one}").text.replace(one, "CODE") for one in (code, "3333333")}

    assert asked(house.port, f"/j/{code}").status == 404
    for text in answers:
        assert "No sheet of this book has this code." in text
        assert "Brisk" not in text


def test_a_code_is_typed_where_no_camera_reads_it(house: Workbench) -> None:
    code = printed_code(house, f"/jobs/{house.job}/sheet.pdf?kind=job-card").rpartition("/")[2]

    assert f'href="/jobs/{house.job}/bay"' in asked(house.port, f"/j?code={code.lower()}").text
    assert 'name="code"' in asked(house.port, "/j").text


def test_without_an_address_sheets_carry_no_code_and_the_page_says_why(workbench: Workbench) -> None:
    assert codes(asked_bytes(workbench.port, f"/jobs/{workbench.job}/sheet.pdf?kind=job-card", {})) == []
    assert "They carry no code" in asked(workbench.port, f"/jobs/{workbench.job}/sheets").text


@pytest.mark.parametrize("address", ["http://127.0.0.1:8000", "https://localhost", "workshop.local", "https://a/b"])
def test_an_address_that_no_phone_finds_is_refused(house: Workbench, address: str) -> None:
    form = {"shop.name": "Demo", "quote.currency": "EUR", "quote.labour_rate": "72", "quote.tax_percent": "20"}
    entry = house.book.entries("shop")[0]
    answer = asked(house.port, "/shop", {**form, "number": str(entry.number), "house.address": address})

    assert answer.status == 422
    assert "no other machine finds" in answer.text


def test_the_door_lets_whoever_came_by_a_code_on_and_nobody_elsewhere(tmp_path) -> None:
    book, car, job = demo_book(tmp_path / "shop.db")
    code = book.code_for("job-card", book.entry(job), book.entry(car))
    with serving(book, hashed(PASSWORD)) as port:
        sent = asked(port, f"/J/{code}")
        assert (sent.status, sent.headers["location"]) == (303, f"/sign-in?to=%2FJ%2F{code}")
        assert f"to=/J/{code}" in asked(port, sent.headers["location"]).text
        signed = asked(port, sent.headers["location"], {"password": PASSWORD})
        assert signed.headers["location"] == f"/J/{code}"
        for elsewhere in ("//elsewhere.example", "/jobs", "https://elsewhere.example/j/A", "/j/../shop"):
            assert asked(port, f"/sign-in?to={elsewhere}", {"password": PASSWORD}).headers["location"] == "/"
    book.close()
