"""A sentence without what tells who asked: names of customers, telephone numbers, mail and other addresses."""

from __future__ import annotations

import re
from collections.abc import Iterable

from jounce.asked.understanding import learned
from jounce.asked.wording import LONGEST, plain

__all__ = ["GONE", "nameless"]

GONE = "…"
"""What stands in place of what was taken out."""
_MAIL = re.compile(r"\S+@\S+|\b(?:https?://|www\.)\S+", re.IGNORECASE)
_DIGITS = re.compile(r"\+?\d(?:[\s()/.-]{0,3}\d)*")
_TYRE = re.compile(r"\d{3}/\d{2}\b")
_LONG_RUN, _LEAST, _SURE = 5, 7, 9
_SHORTEST = 3


def nameless(text: str, names: Iterable[str] = ()) -> str:
    """A sentence to be kept.

    A number is taken for a telephone's where it has as many digits; a tyre's size is not. A word of a customer's name
    that is also a word of the trade goes only where it is written with a capital: Mr Spring goes, his spring stays.

    Args:
        text: as it was typed
        names: names of the customers

    >>> nameless("ring Ann Field on 0664 1234567 or ann@field.example, do 195/45 R15 rub", ["Ann Field"])
    'ring … on … or … do 195/45 R15 rub'
    """
    found = _MAIL.sub(GONE, " ".join(text.split())[:LONGEST])
    for name in sorted({" ".join(name.split()) for name in names}, key=len, reverse=True):
        if len(name) >= _SHORTEST:
            found = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", GONE, found, flags=re.IGNORECASE)
        for word in re.findall(r"[^\W\d_]{3,}", name):
            told = re.escape(word) if _of_the_trade(word) else f"(?i:{re.escape(word)})"
            found = re.sub(rf"(?<!\w){told}(?!\w)", GONE, found)
    return _DIGITS.sub(lambda number: GONE if _is_telephone(number.group()) else number.group(), found)


def _of_the_trade(word: str) -> bool:
    return f"w{plain(word)}" in learned().places


def _is_telephone(number: str) -> bool:
    digits = re.sub(r"\D", "", number)
    if len(digits) >= _SURE or re.search(rf"\d{{{_LONG_RUN}}}", number):
        return True
    return len(digits) >= _LEAST and _TYRE.match(number) is None
