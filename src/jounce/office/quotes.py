"""Quotes in the book: numbered, handed over anew as a revision, accepted or not; each stays as it was handed over."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from jounce.book import Attachment, Book, Entry, Version
from jounce.car.file.rewriting import rewritten
from jounce.conventions.errors import InputError
from jounce.quote.kept import KeptQuote, QuoteDocument, QuoteHead, parse_quote, quote_text
from jounce.quote.quote import QuotedPackage
from jounce.quote.shop import Terms

__all__ = ["Offered", "QuoteInBook", "answer", "hand_over", "not_before", "quotes_of", "revisions_of", "sheet_of"]

_DIGITS = 4
_TRIES = 5


@dataclass(frozen=True, slots=True)
class QuoteInBook:
    """A quote with its entry."""

    entry: Entry
    document: QuoteDocument


@dataclass(frozen=True, slots=True)
class Offered:
    """What a quote is made of: packages at the terms of the day, the form's fields, and from which versions."""

    packages: Sequence[QuotedPackage]
    terms: Terms
    asked: Mapping[str, str]
    edition: str


def quotes_of(book: Book) -> dict[str, tuple[QuoteInBook, ...]]:
    """All quotes by the job that they are of, the latest number first.

    Args:
        book: the book
    """
    found: dict[str, tuple[QuoteInBook, ...]] = {}
    for entry in reversed(book.entries("quote")):
        job = entry.belongs_to or ""
        found[job] = (*found.get(job, ()), QuoteInBook(entry, parse_quote(entry.content)))
    return found


def hand_over(
    book: Book,
    job: Entry,
    offered: Offered,
    day: datetime.date,
    printed: Callable[[QuoteHead], bytes],
    before: Entry | None = None,
) -> Entry:
    """Keep a quote, with its sheet: a new one under the next number of its year, or the next revision of one.

    The sheet is printed before anything is kept, so that what cannot be printed takes no number.

    Args:
        book: the book
        job: the job
        offered: what is offered
        day: day of the quote
        printed: prints its sheet with its number
        before: the quote of which this is the next revision; None for a new one

    Returns:
        The quote's entry

    Raises:
        JounceError: the sheet cannot be printed
        Overtaken: somebody else handed over the same revision
    """
    terms = offered.terms
    until = day + datetime.timedelta(days=terms.valid_days)
    if before is not None:
        known = parse_quote(before.content).quote
        head = QuoteHead(known.number, known.revision + 1, day, until)
        content = printed(head)
        text = quote_text(head, offered.packages, terms, offered.asked, offered.edition)
        kept = book.save(replace(before, content=text), f"revision {head.revision}")
    else:
        head, content, kept = _numbered(book, job, offered, (day, until), printed)
    book.attach(kept.id, _sheet_name(head), "application/pdf", content)
    return kept


def _numbered(
    book: Book,
    job: Entry,
    offered: Offered,
    days: tuple[datetime.date, datetime.date],
    printed: Callable[[QuoteHead], bytes],
) -> tuple[QuoteHead, bytes, Entry]:
    """Keep a new quote; where somebody else took the number meanwhile, under the next one."""
    terms, beginning = offered.terms, offered.terms.numbers_of(days[0].year)
    for left in reversed(range(_TRIES)):
        number = book.next_in_row("quote", beginning, terms.first_number)
        head = QuoteHead(f"{beginning}{number:0{_DIGITS}d}", 1, *days)
        content = printed(head)
        text = quote_text(head, offered.packages, terms, offered.asked, offered.edition)
        try:
            return head, content, book.add("quote", head.number, text, job.id, "handed over")
        except InputError:
            if not left or book.next_in_row("quote", beginning, terms.first_number) == number:
                raise
    raise InputError("No number is free for this quote", todo="Try again.")


def answer(quote: Entry, word: str, day: datetime.date | None, package: str = "") -> Entry:
    """A quote with what the customer said; to be saved.

    Args:
        quote: its entry
        word: accepted, declined, or open to take the answer back
        day: day of the answer
        package: which package was accepted; may be left out where there is one alone

    Raises:
        InputError: no such answer or package, or a day before the quote
    """
    document = parse_quote(quote.content)
    if word != "open" and day is not None:
        not_before(document.quote, day)
    names = [one.name for one in document.package]
    if word == "accepted" and not package:
        if len(names) > 1:
            raise InputError(
                "Which package was accepted?", allowed=", ".join(names), todo="Name it: several stand on this quote."
            )
        package = names[0]
    given = {
        "quote.answer": word,
        "quote.answered": None if word == "open" else day,
        "quote.package": package if word == "accepted" else None,
    }
    text = rewritten(quote.content, given)
    parse_quote(text)
    return replace(quote, content=text)


def not_before(quote: KeptQuote, day: datetime.date) -> None:
    """Refuse an answer that is older than its quote.

    Args:
        quote: the quote
        day: day of the answer

    Raises:
        InputError: it is
    """
    if day < quote.date:
        allowed = f"{quote.date} or later"
        raise InputError("The answer is older than the quote", found=str(day), allowed=allowed, todo="Correct the day.")


def revisions_of(book: Book, quote: Entry) -> list[Version]:
    """The version of a quote in which each revision was handed over, the latest first.

    Args:
        book: the book
        quote: its entry
    """
    first: dict[int, Version] = {}
    for version in book.versions(quote.id):
        first.setdefault(parse_quote(version.entry.content).quote.revision, version)
    return [first[number] for number in sorted(first, reverse=True)]


def sheet_of(book: Book, quote: Entry, head: QuoteHead) -> Attachment | None:
    """The sheet of a revision as it was handed over; None where none was kept.

    Args:
        book: the book
        quote: its entry
        head: which revision
    """
    sheets = [file for file in book.attachments(quote.id) if file.name == _sheet_name(head)]
    return sheets[-1] if sheets else None


def _sheet_name(head: QuoteHead) -> str:
    return f"{head.told[0].upper()}{head.told[1:]}.pdf"
