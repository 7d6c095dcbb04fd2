"""`jounce book customer`, `board`, `move`, `answer`: what they keep and what they tell."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from jounce.book import open_book
from jounce.cli.shop_day import answer, board, customer, move
from jounce.conventions.errors import InputError
from jounce.office.board import progress_of
from jounce.office.quotes import hand_over
from jounce.quote.customer import parse_customer
from jounce.quote.kept import parse_quote
from jounce.quote.progress import JobState
from tests.office.conftest import three_jobs
from tests.office.test_quotes import DAY, offered, pdf, terms


def test_a_customer_is_added_and_changed_by_name(tmp_path: Path) -> None:
    where = str(tmp_path / "shop.db")
    open_book(where, "Ann", make=True).close()
    customer(where, "B.  Example", telephone="0123", text="rings late", by="Ann")
    customer(where, "B. Example", telephone="0456", by="Bo")
    book = open_book(where, "Ann")
    (kept,) = book.entries("customer")
    noted = parse_customer(kept.content)

    assert (noted.telephone, noted.note) == ("0456", "rings late")
    assert [version.by for version in book.versions(kept.id)] == ["Ann", "Bo"]
    book.close()


def test_a_job_is_moved_and_told_and_an_accepted_quote_orders_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    where = str(tmp_path / "shop.db")
    book = open_book(where, "Ann", make=True)
    job = three_jobs(book)
    quote = hand_over(book, job, offered(terms(), "good", "better"), DAY, pdf)
    move(where, "Lower", "quoted", on="2031-05-17", due="2031-06-01", note="rings on Friday", by="Ann")
    assert progress_of(book, job).due == datetime.date(2031, 6, 1)
    board(where)
    told = capsys.readouterr().out
    assert told.index("asked:") < told.index("quoted:")
    assert f"{job.id[:8]}  Lower  [Brisk 14, A. Example]  since 2031-05-17" in told
    assert "quote 2031-0001: 86.40 to 172.80 EUR  rings on Friday" in told
    with pytest.raises(InputError, match="Which package"):
        answer(where, "2031-0001", "accepted", on="2031-05-20")
    answer(where, "2031-0001", "accepted", package="better", on="2031-05-20", by="Ann")
    assert "accepted, package better, 172.80 EUR." in capsys.readouterr().out
    assert parse_quote(book.entry(quote.id).content).quote.answered == datetime.date(2031, 5, 20)
    now = progress_of(book, job)
    assert (now.state, now.since, now.note) == (JobState.ORDERED, datetime.date(2031, 5, 20), "rings on Friday")
    with pytest.raises(InputError, match="older than the quote"):
        answer(where, "2031-0001", "declined", on="2031-05-01")
    with pytest.raises(InputError, match="no day"):
        move(where, "Lower", "fitted", on="soon")
    with pytest.raises(InputError, match="no such state"):
        move(where, "Lower", "lost")
    with pytest.raises(InputError, match="No such job"):
        move(where, "Higher", "fitted")
    board(where, state="waiting")
    assert capsys.readouterr().out == ""
    book.close()
