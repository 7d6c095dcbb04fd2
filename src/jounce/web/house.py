"""The shop whose book this is: its paper, prices, units and local rules, as they are now."""

from __future__ import annotations

from functools import lru_cache

from jounce.book import Book, Entry, EntryKind
from jounce.checks import Check, run_checks
from jounce.checks.rules import NO_RULES, RuleSet, parse_rules, rule_checks
from jounce.conventions.errors import InputError, JounceError
from jounce.job.phrases import Phrases, parse_phrases
from jounce.quote.shop import Shop, parse_shop
from jounce.web.asking import Ask, Desk, Paper
from jounce.web.worked import Worked

__all__ = [
    "house_desk",
    "house_phrases",
    "local_checks",
    "local_rules",
    "only_entry",
    "own_checks",
    "put_in_only",
    "rules_held",
    "shop_of",
]


def only_entry(book: Book, kind: EntryKind) -> Entry | None:
    """The one entry of its kind, None where there is none yet.

    Args:
        book: the book
        kind: "shop" or "rules"
    """
    return next(iter(book.entries(kind)), None)


def put_in_only(ask: Ask, kind: EntryKind, name: str, text: str) -> None:
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


def shop_of(ask: Ask) -> Shop | None:
    """The shop, None where nobody filled it in yet.

    Args:
        ask: the request
    """
    entry = only_entry(ask.book, "shop")
    return None if entry is None else _shop(entry.content)


def local_rules(ask: Ask) -> RuleSet | None:
    """The shop's own local rules, None where it has none.

    Args:
        ask: the request
    """
    entry = only_entry(ask.book, "rules")
    return None if entry is None or not entry.content.strip() else _rules(entry.content)


def own_checks(ask: Ask, worked: Worked) -> tuple[Check, ...]:
    """The checks of a job, with the shop's own limits where it holds some.

    Args:
        ask: the request
        worked: the job
    """
    limits = rules_held(ask).limits
    if not limits.own:
        return worked.checks
    drive = worked.drive if worked.drive.brisk == limits["brisk"].value else None
    return tuple(run_checks(worked.job, worked.planned, worked.plan, limits, drive))


def rules_held(ask: Ask) -> RuleSet:
    """The shop's own rules, with the limits that its checks hold to.

    Args:
        ask: the request
    """
    return local_rules(ask) or NO_RULES


def local_checks(ask: Ask, worked: Worked) -> list[Check]:
    """The planned car against the shop's own local rules; none where there are no rules.

    Args:
        ask: the request
        worked: the job
    """
    rules = local_rules(ask)
    return [] if rules is None else rule_checks(rules, worked.planned, worked.plan)


def house_desk(book: Book) -> Desk:
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
        return Desk(book.by)
    paper: Paper = "us-letter" if house.paper == "letter" else "a4"
    return Desk(book.by, house.units, paper)


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


@lru_cache(maxsize=8)
def _phrases(text: str) -> Phrases:
    return parse_phrases(text, "the phrases")


@lru_cache(maxsize=8)
def _shop(text: str) -> Shop:
    return parse_shop(text, "the shop")


@lru_cache(maxsize=8)
def _rules(text: str) -> RuleSet:
    return parse_rules(text, "the local rules")
