"""The shop's day without a browser: customers, the board, quotes that stay as they were, parts put in by a click."""

from __future__ import annotations

import datetime
import io
import re
from collections.abc import Iterator
from html import unescape

import pytest
from pypdf import PdfReader

from jounce.office.board import progress_of
from jounce.quote.customer import parse_customer
from jounce.quote.kept import parse_quote
from jounce.quote.progress import JobState
from tests.web.test_counter_page import counter_book
from tests.workbench import Workbench, asked, demo_book, demo_text, serving


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    """A workbench with a few parts and the shop's prices."""
    book, car, job = demo_book(tmp_path_factory.mktemp("book") / "shop.db")
    counter_book(book)
    book.add("shop", "Demo Workshop", demo_text("shop.toml"))
    with serving(book) as port:
        yield Workbench(port, car, job, book)
    book.close()


def local(address: str) -> str:
    return address.partition("?")[0]


def test_a_customer_is_noted_changed_found_by_telephone_and_has_cars(shop: Workbench) -> None:
    form = {"name": "B. Example", "telephone": "+44 (20) 555 01", "email": "b@mail.example", "address": "1 Lane\nTown"}
    home = local(asked(shop.port, "/customers", form).headers["location"])
    customer = shop.book.entry(home.rpartition("/")[2])
    noted = parse_customer(customer.content)
    assert (noted.telephone, noted.address) == ("+44 (20) 555 01", "1 Lane\nTown")
    text = asked(shop.port, home).text
    assert 'href="tel:+442055501"' in text
    assert 'href="mailto:b@mail.example"' in text
    for words, there in (("2055501", True), ("555 01", True), ("99999", False), ("b@mail", True), ("example b", True)):
        assert (home in asked(shop.port, f"/book?words={words.replace(' ', '+')}").text) is there, words
    late = asked(shop.port, home, {"number": "1", "name": "B. Example", "telephone": "1"})
    assert late.status == 303
    assert asked(shop.port, home, {"number": "1", "name": "B. Example", "telephone": "2"}).status == 409
    assert asked(shop.port, home, {"number": "2", "name": " ", "telephone": "2"}).status == 422
    other = next(car for car in shop.book.entries("car") if car.name == "Sedge 13")
    asked(shop.port, f"{home}/cars", {"car": other.id})
    assert shop.book.entry(other.id).belongs_to == customer.id
    assert f"/cars/{other.id}" in asked(shop.port, home).text
    asked(shop.port, f"{home}/cars", {"car": other.id, "out": "1"})
    assert shop.book.entry(other.id).belongs_to is None
    assert asked(shop.port, f"{home}/cars", {"car": shop.job}).status == 422
    assert f'<option value="{customer.id}" selected' in asked(shop.port, f"/cars/new?customer={customer.id}").text


def test_a_job_is_moved_by_a_button_and_undone(shop: Workbench) -> None:
    job = shop.book.add("job", "For the board", demo_text("brisk-14-lower.toml"), shop.car)
    column = re.search(r'<section class="column" aria-labelledby="asked">.*?</section>', _board(shop), re.DOTALL)
    assert column is not None
    assert "For the board" in column[0]
    moved = asked(shop.port, "/board", {"job": job.id, "from": "asked", "state": "waiting"})
    assert moved.status == 303
    assert progress_of(shop.book, job).state is JobState.WAITING
    again = asked(shop.port, "/board", {"job": job.id, "from": "asked", "state": "fitted"})
    assert again.status == 422
    assert "Somebody else moved" in again.text
    entry = shop.book.entries("progress", job.id)[0]
    asked(shop.port, f"/entries/{entry.id}/undo", {"number": str(entry.number), "then": "/board"})
    assert progress_of(shop.book, job).state is JobState.ASKED
    assert asked(shop.port, "/board", {"job": job.id, "state": "lost"}).status == 422
    assert asked(shop.port, "/board", {"job": shop.car, "state": "fitted"}).status == 422


def _board(shop: Workbench) -> str:
    return asked(shop.port, "/board").text


def test_days_and_a_note_are_told_and_a_late_job_is_marked(shop: Workbench) -> None:
    job = shop.book.add("job", "Promised", demo_text("brisk-14-lower.toml"), shop.car)
    home, today = f"/jobs/{job.id}/state", datetime.datetime.now().astimezone().date()
    form = {"state": "waiting", "since": "2020-03-01", "due": "2020-04-01", "note": "the <left> bar"}
    assert asked(shop.port, home, form).status == 303
    text = _board(shop)
    assert "promised for 2020-04-01, late" in text
    assert "the &lt;left&gt; bar" in text
    wrong = asked(shop.port, home, form | {"due": "soon", "since": "2020-13-01"})
    assert wrong.status == 422
    assert 'id="wrong-due"' in wrong.text
    assert 'id="wrong-since"' in wrong.text
    assert 'value="soon"' in wrong.text
    asked(shop.port, home, form | {"state": "fitted"})  # the day stays as it stood there: a new state begins today
    now = progress_of(shop.book, job)
    assert (now.state, now.since, now.due) == (JobState.FITTED, today, datetime.date(2020, 4, 1))
    told = unescape(asked(shop.port, home).text)
    assert [told.index(f"<strong>{state}</strong>") for state in ("fitted", "waiting", "asked")] == sorted(
        told.index(f"<strong>{state}</strong>") for state in ("fitted", "waiting", "asked")
    )


def test_the_book_has_first_what_was_touched_last(shop: Workbench) -> None:
    def order() -> list[str]:
        return re.findall(r'<h3><a href="/cars/[^"]*">([^<]*)', asked(shop.port, "/book").text)

    sedge = next(car for car in shop.book.entries("car") if car.name == "Sedge 13")
    shop.book.written_by("Bo").attach(sedge.id, "photo.jpg", "image/jpeg", b"x")
    assert order()[0] == "Sedge 13"
    assert "touched today by Bo" in asked(shop.port, "/book").text
    asked(shop.port, "/board", {"job": shop.job, "state": "asked"})
    asked(shop.port, f"/jobs/{shop.job}/state", {"state": "asked", "since": "2031-01-01", "due": "", "note": "rings"})
    assert order()[0] == "Brisk 14"


def test_a_quote_takes_a_number_stays_as_it_was_and_is_answered(shop: Workbench) -> None:
    home = f"/jobs/{shop.job}/quote"
    form = {"name1": "good", "parts1": "TB-24, DF-330"}
    form |= {"work": "alignment = 1.5", "issue": "1", "despite": "shown to the test alone"}
    wrong = asked(shop.port, home, form | {"parts1": "NONE-1"})
    assert wrong.status == 422
    assert 'id="wrong-quote-parts1"' in wrong.text
    assert shop.book.entries("quote") == []
    page = local(asked(shop.port, home, form).headers["location"])
    (quote,) = shop.book.entries("quote")
    document = parse_quote(quote.content)
    year = datetime.datetime.now().astimezone().year
    assert (quote.name, page) == (f"{year}-0001", f"/quotes/{quote.id}")
    assert document.quote.valid_until - document.quote.date == datetime.timedelta(days=30)
    # by hand: (172 + 255 + 2.5 h + 2.2 h + 1.5 h at 72) * 1.2, half a cent up
    assert str(document.package[0].gross) == "1048.08"
    assert progress_of(shop.book, shop.book.entry(shop.job)).state is JobState.QUOTED
    part = next(one for one in shop.book.entries("part") if one.name == "TB-24")
    dearer = re.sub(r"price = .*", 'price = "999.00"', part.content)
    asked(shop.port, f"/entries/{part.id}/words", {"number": str(part.number), "content": dearer})
    text = asked(shop.port, page).text
    assert "1048.08" in text
    assert "999" not in text
    again = asked(shop.port, f"/jobs/{shop.job}/sheets?revise={quote.id}").text
    assert re.search(r"TB-24, DF-330</textarea>", again)
    asked(shop.port, home, form | {"revise": quote.id})
    revised = parse_quote(shop.book.entry(quote.id).content)
    assert (revised.quote.number, revised.quote.revision) == (quote.name, 2)
    assert str(revised.package[0].gross) == "2040.48"  # 1048.08 + (999 - 172) * 1.2
    files = shop.book.attachments(quote.id)
    assert [file.name for file in files] == [f"Quote {quote.name}, revision {n}.pdf" for n in (1, 2)]
    assert all(asked(shop.port, f"/files/{file.id}").text.startswith("%PDF") for file in files)
    pages = PdfReader(io.BytesIO(shop.book.content_of(files[1].id))).pages
    sheet = " ".join(" ".join(one.extract_text() for one in pages).split())
    until = revised.quote.valid_until
    assert f"Quote {quote.name}, revision 2, of {revised.quote.date}; holds until {until}." in sheet
    assert "sales tax 20 %" in sheet
    assert "2040.48" in sheet
    assert text.count("/files/") == 2  # to print it, and among its revisions
    late = asked(shop.port, page, {"number": "2", "answer": "accepted", "package": "good", "on": "2020-01-01"})
    assert late.status == 422
    assert "older than the quote" in late.text
    assert asked(shop.port, page, {"number": "1", "answer": "declined"}).status == 409
    asked(shop.port, page, {"number": "2", "answer": "accepted"})
    assert parse_quote(shop.book.entry(quote.id).content).quote.package == "good"
    assert progress_of(shop.book, shop.book.entry(shop.job)).state is JobState.ORDERED
    order = asked(shop.port, f"/jobs/{shop.job}/sheets?ordered={quote.id}").text
    fields = re.search(r'<textarea id="order-parts1"[^>]*>([^<]*)', order)
    assert fields is not None
    assert fields[1] == "TB-24, DF-330"
    for place in (f"/customers/{shop.book.entry(shop.car).belongs_to}", "/board"):
        assert f"Quote {quote.name}" in asked(shop.port, place).text


def test_parts_are_put_in_and_taken_out_by_clicks_and_told_why_they_do_not_fit(shop: Workbench) -> None:
    job = shop.book.add("job", "By clicks", demo_text("brisk-14-lower.toml").partition("# Codes of")[0], shop.car)
    text = asked(shop.port, f"/jobs/{job.id}/place?name=rear+springs").text
    fits, _, _ = text.partition("What does not fit, and why")
    codes = re.findall(r'name="place.rear springs" value="([^"]+)"', fits)
    assert set(codes) == {"C-25-245", "C-28-240"}
    assert "EUR" in fits
    bars = asked(shop.port, f"/jobs/{job.id}/place?name=front+dampers").text
    assert re.search(r"What does not fit, and why: 1.*?DR-285-R.*?meant for the rear axle", bars, re.DOTALL)
    assert 'value="DR-285-R"' not in bars
    put = {"number": "1", "places": "1", "place.rear springs": "C-28-240", "anyway": "search"}
    assert asked(shop.port, f"/jobs/{job.id}/changes", put).status == 303
    assert 'spring = "C-28-240"' in shop.book.entry(job.id).content
    listed = asked(shop.port, f"/jobs/{job.id}/changes").text
    assert 'aria-label="Take out: rear springs"' in listed
    assert asked(shop.port, f"/jobs/{job.id}/place?name=front+springs").status == 422  # torsion bars are there
    assert asked(shop.port, f"/jobs/{job.id}/place").headers["location"] == f"/jobs/{job.id}/changes#places"


def test_a_part_made_by_form_leads_back_to_the_place_it_is_for(shop: Workbench) -> None:
    address = f"/shelf/new/coil?job={shop.job}&place=rear+springs"
    assert 'action="/shelf/new/coil?job=' in asked(shop.port, address).text
    made = asked(
        shop.port, address, {"code": "C-NEW", "name": "new spring", "place": "rear", "rate": "27", "free_length": "250"}
    )
    assert made.headers["location"].startswith(f"/jobs/{shop.job}/place?name=rear+springs&saved=")
    assert "C-NEW" in asked(shop.port, f"/jobs/{shop.job}/place?name=rear+springs").text
    aside = asked(
        shop.port,
        "/shelf/new/coil?job=//elsewhere.example/&place=x",
        {"code": "C-NEXT", "name": "next spring", "place": "rear"},
    )
    assert aside.headers["location"].startswith("/shelf/")
