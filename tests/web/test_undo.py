"""What was saved can be undone from the page that follows, and undone again; nobody else's change is lost by it."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from jounce.book import Book
from tests.workbench import Answer, asked, demo_book, demo_text, serving

ANN, BO = ({"Cookie": f"jounce_by={name}"} for name in ("Ann", "Bo"))


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[tuple[int, Book, str, str]]:
    book, car, job = demo_book(tmp_path / "shop.db")
    with serving(book) as port:
        yield port, book, car, job
    book.close()


def told(answer: Answer) -> str:
    found = re.search(r'<p role="status">(.*?)</p>', answer.text)
    return html.unescape(found[1]) if found else ""


def undo(port: int, answer: Answer, headers: dict[str, str] | None = None) -> Answer:
    """Press the page's own "Undo"."""
    form = re.search(r'<form method="post" action="([^"]+/undo)" class="undo">(.*?)</form>', answer.text, re.DOTALL)
    assert form is not None
    fields = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form[2]))
    return asked(port, form[1], fields, headers)


def test_a_save_is_told_undone_and_redone(shop: tuple[int, Book, str, str]) -> None:
    port, book, _, job = shop
    saved = asked(port, f"/jobs/{job}/aim", {"number": "1", "wanted.front.lower": "30"}, ANN)
    page = asked(port, saved.headers["location"])
    assert told(page) == "Saved as version 2 of Road and club days, 35 mm lower (aim: front lower by 30 mm)."

    back = undo(port, page, ANN)
    assert back.headers["location"].startswith(f"/jobs/{job}/aim?saved=")
    assert book.entry(job).content == demo_text("brisk-14-lower.toml")
    page = asked(port, back.headers["location"])
    assert told(page) == "Road and club days, 35 mm lower: undone: as in version 1."
    undo(port, page, ANN)
    assert 'lower = "30 mm"' in book.entry(job).content
    assert [version.by for version in book.versions(job)] == ["tester", "Ann", "Ann", "Ann"]


def test_a_later_change_of_somebody_else_is_not_undone(shop: tuple[int, Book, str, str]) -> None:
    port, book, _, job = shop
    saved = asked(port, f"/jobs/{job}/aim", {"number": "1", "wanted.front.lower": "30"}, ANN)
    page = asked(port, saved.headers["location"])
    asked(port, f"/jobs/{job}/aim", {"number": "2", "wanted.rear.lower": "25"}, BO)
    refused = undo(port, page, ANN)

    assert refused.status == 409
    assert "changed again by Bo" in refused.text
    assert f"/entries/{job}/history" in refused.text
    assert book.entry(job).number == 3
    assert 'lower = "25 mm"' in book.entry(job).content
    assert told(asked(port, saved.headers["location"])) == ""  # what is no longer the latest offers nothing


def test_what_was_put_in_is_taken_out_and_comes_back(shop: tuple[int, Book, str, str]) -> None:
    port, book, _, job = shop
    readings = {"front.left.height": "311 ± 2"}
    page = asked(port, asked(port, f"/jobs/{job}/proof", readings).headers["location"])
    assert "put in the book" in told(page)
    page = asked(port, undo(port, page).headers["location"])
    assert "taken out" in told(page)
    assert book.entries("measurement", job) == []
    page = asked(port, undo(port, page).headers["location"])
    assert len(book.entries("measurement", job)) == 1
    undo(port, page)
    assert book.entries("measurement", job) == []


def test_what_something_belongs_to_by_now_stays(shop: tuple[int, Book, str, str]) -> None:
    port, book, car, _ = shop
    page = asked(port, asked(port, f"/cars/{car}/jobs", {"name": "Quieter"}).headers["location"])
    made = next(entry for entry in book.entries("job", car) if entry.name == "Quieter")
    book.add("measurement", "after the work", "", made.id)
    refused = undo(port, page)

    assert refused.status == 422
    assert "something belongs to it" in refused.text
    assert not book.entry(made.id).removed


@pytest.mark.parametrize("then", ["https://elsewhere.example", "//elsewhere.example", "/\\elsewhere.example", "/x\ny"])
def test_undoing_leads_nowhere_else(shop: tuple[int, Book, str, str], then: str) -> None:
    port, _, _, job = shop
    asked(port, f"/jobs/{job}/aim", {"number": "1", "wanted.front.lower": "30"})
    answer = asked(port, f"/entries/{job}/undo", {"number": "2", "then": then})

    assert answer.headers["location"].startswith(f"/entries/{job}/history?saved=")


@pytest.mark.parametrize("query", ["saved=", "saved=none.1", "saved=JOB.7", "saved=JOB.x", "saved=JOB", "saved=.1"])
def test_an_address_that_tells_nothing_true_tells_nothing(shop: tuple[int, Book, str, str], query: str) -> None:
    port, _, _, job = shop
    answer = asked(port, f"/jobs/{job}/aim?{query.replace('JOB', job)}")

    assert answer.status == 200
    assert told(answer) == ""
