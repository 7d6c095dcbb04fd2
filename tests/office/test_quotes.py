"""Quotes in the book: numbers by year, revisions that stay as they were, answers."""

from __future__ import annotations

import datetime
import threading
from decimal import Decimal

import pytest

from jounce.book import Book, Entry
from jounce.book.book import Overtaken
from jounce.conventions.errors import InputError
from jounce.office.quotes import Offered, answer, hand_over, quotes_of, revisions_of, sheet_of
from jounce.quote.kept import QuoteHead, parse_quote
from jounce.quote.quote import QuotedWork, priced
from jounce.quote.shop import Terms, parse_shop

DAY = datetime.date(2031, 5, 17)
ASKED = {"parts1": "A-1\nB-2 = 2", "work": ""}


def terms(rate: str = "72.00", **more: object) -> Terms:
    """Terms of a shop, tax 20 %."""
    return Terms.model_validate({"currency": "EUR", "labour_rate": rate, "tax_percent": "20", **more})


def offered(own: Terms, *names: str) -> Offered:
    """Packages of work alone: one hour, two hours and so on."""
    packages = [
        priced(name, [], [QuotedWork("alignment", Decimal(hours))], own)
        for hours, name in enumerate(names or ("as asked",), 1)
    ]
    return Offered(packages, own, ASKED, "version 1 of the job, 1 of the car")


def pdf(head: QuoteHead) -> bytes:
    """What stands for a sheet."""
    return f"%PDF {head.told} until {head.valid_until}".encode()


def handed(book: Book, job: Entry, own: Terms | None = None, day: datetime.date = DAY) -> Entry:
    return hand_over(book, job, offered(own or terms()), day, pdf)


def test_numbers_count_up_within_a_year_and_are_never_given_twice(book: Book, job: Entry) -> None:
    first, second = handed(book, job), handed(book, job)
    book.remove(second)
    third = handed(book, job)
    next_year = handed(book, job, day=datetime.date(2032, 1, 2))

    assert [one.name for one in (first, second, third, next_year)] == [
        "2031-0001",
        "2031-0002",
        "2031-0003",
        "2032-0001",
    ]
    with pytest.raises(InputError):  # nobody else may write one with that number either
        book.add("quote", "2031-0002", third.content, job.id)


def test_the_shop_says_how_its_numbers_begin_and_where_they_start(book: Book, job: Entry) -> None:
    own = terms(number_prefix="Q", first_number=148)

    assert [handed(book, job, own).name for _ in range(2)] == ["Q2031-0148", "Q2031-0149"]
    assert handed(book, job).name == "2031-0001"
    with pytest.raises(InputError, match="cannot begin with"):
        terms_of_file('number_prefix = "Q 1"')


def terms_of_file(line: str) -> Terms:

    text = f'[shop]\nname = "Demo"\n[quote]\ncurrency = "EUR"\nlabour_rate = "1"\ntax_percent = 1\n{line}\n'
    return parse_shop(text, "shop").quote


def test_two_at_once_get_two_numbers(book: Book, job: Entry) -> None:
    both = threading.Barrier(2, timeout=30)

    def slow(head: QuoteHead) -> bytes:
        if head.number.endswith("0001"):
            both.wait()  # both have looked up the same number by now
        return pdf(head)

    quotes: list[Entry] = []
    hands = [
        threading.Thread(target=lambda: quotes.append(hand_over(book, job, offered(terms()), DAY, slow)))
        for _ in range(2)
    ]
    for one in hands:
        one.start()
    for one in hands:
        one.join(60)

    assert sorted(one.name for one in quotes) == ["2031-0001", "2031-0002"]
    for one in quotes:
        head = parse_quote(one.content).quote.head
        sheet = sheet_of(book, one, head)
        assert sheet is not None
        assert book.content_of(sheet.id) == pdf(head)


def test_what_was_quoted_stays_whatever_the_prices_are_later(book: Book, job: Entry) -> None:
    quote = handed(book, job)
    dearer = hand_over(book, job, offered(terms("99.50")), DAY + datetime.timedelta(days=40), pdf, quote)
    latest, first = (parse_quote(version.entry.content) for version in revisions_of(book, quote))

    assert dearer.id == quote.id
    assert (first.quote.revision, latest.quote.revision) == (1, 2)
    assert first.quote.number == latest.quote.number == "2031-0001"
    assert (first.quote.date, first.quote.valid_until) == (DAY, datetime.date(2031, 6, 16))
    assert (latest.quote.date, latest.quote.valid_until) == (datetime.date(2031, 6, 26), datetime.date(2031, 7, 26))
    # by hand: 1 h at 72.00 and 20 % = 86.40; at 99.50 = 119.40
    assert [one.package[0].gross for one in (first, latest)] == [Decimal("86.40"), Decimal("119.40")]
    assert (first.sum_told, latest.sum_told) == ("86.40 EUR", "119.40 EUR")
    assert dict(latest.asked) == {"parts1": "A-1\nB-2 = 2"}
    for told in (first, latest):
        sheet = sheet_of(book, quote, told.quote.head)
        assert sheet is not None
        assert book.content_of(sheet.id) == pdf(told.quote.head)
    with pytest.raises(Overtaken):  # a revision made from one that is no longer the newest
        hand_over(book, job, offered(terms()), DAY, pdf, quote)


def test_what_cannot_be_printed_takes_no_number(book: Book, job: Entry) -> None:
    def refused(_: QuoteHead) -> bytes:
        raise InputError("A check fails")

    with pytest.raises(InputError, match="A check fails"):
        hand_over(book, job, offered(terms()), DAY, refused)

    assert book.entries("quote") == []
    assert handed(book, job).name == "2031-0001"


def test_an_answer_is_kept_and_a_revision_is_open_again(book: Book, job: Entry) -> None:
    quote = hand_over(book, job, offered(terms(), "good", "better"), DAY, pdf)
    with pytest.raises(InputError, match="Which package"):
        answer(quote, "accepted", DAY)
    with pytest.raises(InputError, match="no such package"):
        answer(quote, "accepted", DAY, "best")
    with pytest.raises(InputError):
        answer(quote, "perhaps", DAY)
    assert parse_quote(quote.content).sum_told == "86.40 to 172.80 EUR"
    quote = book.save(answer(quote, "accepted", DAY, "better"))
    told = parse_quote(quote.content)
    assert (told.quote.answer, told.quote.answered, told.quote.package) == ("accepted", DAY, "better")
    assert told.sum_told == "172.80 EUR"
    quote = book.save(answer(quote, "open", DAY))
    told = parse_quote(quote.content)
    assert (told.quote.answer, told.quote.answered, told.quote.package) == ("open", None, "")
    quote = book.save(answer(quote, "declined", DAY))
    assert [len(found) for found in quotes_of(book).values()] == [1]
    assert len(revisions_of(book, quote)) == 1  # an answer is no revision
    again = hand_over(book, job, offered(terms()), DAY, pdf, quote)
    assert parse_quote(again.content).quote.answer == "open"


@pytest.mark.parametrize(("day", "expired"), [(30, False), (31, True)])
def test_a_quote_holds_through_its_last_day(
    book: Book,
    job: Entry,
    day: int,
    expired: bool,  # noqa: FBT001
) -> None:
    quote = parse_quote(handed(book, job).content).quote

    assert quote.expired(DAY + datetime.timedelta(days=day)) is expired


def test_the_latest_quote_of_a_job_comes_first(book: Book, job: Entry) -> None:
    handed(book, job)
    handed(book, job)

    assert [one.entry.name for one in quotes_of(book)[job.id]] == ["2031-0002", "2031-0001"]


def test_a_quote_of_no_package_is_none() -> None:
    with pytest.raises(InputError):
        parse_quote('[quote]\nnumber = "1"\n')
