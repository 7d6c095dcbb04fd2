"""The shop whose book this is: its paper, prices, units and local rules, as they are now."""

from __future__ import annotations

from functools import lru_cache

from jounce.book import Book, Entry, EntryKind
from jounce.book.outcomes import promises_found
from jounce.case.case import Case
from jounce.checks.rules import NO_RULES, RuleSet, parse_rules
from jounce.conventions.errors import InputError, JounceError
from jounce.ledger.account import corrections
from jounce.ledger.learned import besides_words
from jounce.quote.shop import Shop, parse_shop
from jounce.web.case_cache import case_of
from jounce.web.request import PageRequest, Paper, Preferences
from jounce.words.phrases import Phrases, parse_phrases

__all__ = [
    "held_case",
    "house_desk",
    "house_phrases",
    "learned_of",
    "local_rules",
    "only_entry",
    "put_in_only",
    "rules_held",
    "rules_text",
    "shop_of",
    "widened_by_ledger",
]


def only_entry(book: Book, kind: EntryKind) -> Entry | None:
    """The one entry of its kind, None where there is none yet.

    Args:
        book: the book
        kind: "shop" or "rules"
    """
    return next(iter(book.entries(kind)), None)


def put_in_only(ask: PageRequest, kind: EntryKind, name: str, text: str) -> None:
    """Put the first of its kind in; a book takes only one, also where two fill it in at the same moment.

    Args:
        ask: the request
        kind: "shop", "rules" or "phrases"
        name: what it calls itself
        text: its document

    Raises:
        InputError: somebody else was quicker
    """
    try:
        ask.book.add(kind, name, text, note="first filled in")
    except InputError:
        if only_entry(ask.book, kind) is None:
            raise
        raise InputError(
            "Somebody else filled this in at the same moment",
            todo="Look at it and put your own on top.",
        ) from None


def shop_of(ask: PageRequest) -> Shop | None:
    """The shop, None where nobody filled it in yet.

    Args:
        ask: the request
    """
    entry = only_entry(ask.book, "shop")
    return None if entry is None else _shop(entry.content)


def local_rules(ask: PageRequest) -> RuleSet | None:
    """The shop's own local rules, None where it has none.

    Args:
        ask: the request
    """
    text = rules_text(ask.book)
    return parse_rules(text, "the local rules") if text.strip() else None


def rules_held(ask: PageRequest) -> RuleSet:
    """The shop's own rules, with the limits that its checks hold to.

    Args:
        ask: the request
    """
    return local_rules(ask) or NO_RULES


def held_case(ask: PageRequest, job: Entry, car: Entry) -> Case:
    """A job as its pages show it, planned, and held to the shop's own rules.

    Args:
        ask: the request
        job: the job
        car: its car

    Raises:
        JounceError: a document is wrong, or the plan cannot be
    """
    case = case_of(job.content, car.content, rules_text(ask.book), widened_by_ledger(ask))
    _ = case.plan
    return case


def widened_by_ledger(ask: PageRequest) -> tuple[tuple[str, float], ...]:
    """What the ledger multiplies the bands of planned cars by, by quantity [-]; empty where the shop does not want it.

    Args:
        ask: the request
    """
    shop = shop_of(ask)
    if shop is None or shop.house.bands_learn != "yes":
        return ()
    learned = corrections(promises_found(ask.book).outcomes)
    return tuple(sorted((name, round(by, _DIGITS)) for name, by in learned.items()))


def learned_of(ask: PageRequest) -> list[str]:
    """The same in words, as the pages of jobs say it.

    Args:
        ask: the request
    """
    return [f"{name.replace('_', ' ')} × {by:g}{besides_words(name, by)}" for name, by in widened_by_ledger(ask)]


def rules_text(book: Book) -> str:
    """The shop's own rules as they are written; empty where there are none.

    Args:
        book: the book
    """
    entry = only_entry(book, "rules")
    return "" if entry is None else entry.content


def house_desk(book: Book) -> Preferences:
    """The desk of a browser that chose nothing: units and paper of the house.

    Args:
        book: the book
    """
    try:
        entry = only_entry(book, "shop")
        house = None if entry is None else _shop(entry.content).house
    except JounceError:  # a page that is asked for the shop itself says what is wrong
        house = None
    if house is None:
        return Preferences(book.by)
    paper: Paper = "us-letter" if house.paper == "letter" else "a4"
    return Preferences(book.by, house.units, paper)


def house_phrases(book: Book) -> Phrases | None:
    """The house's own words, None where it has none.

    Args:
        book: the book
    """
    entry = only_entry(book, "phrases")
    try:
        return None if entry is None else _phrases(entry.content)
    except JounceError:  # the page of the phrases says what is wrong
        return None


_DIGITS = 2  # what a ± is multiplied by is told so, and meant so


@lru_cache(maxsize=8)
def _phrases(text: str) -> Phrases:
    return parse_phrases(text, "the phrases")


@lru_cache(maxsize=8)
def _shop(text: str) -> Shop:
    return parse_shop(text, "the shop")
