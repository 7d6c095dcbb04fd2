"""What is asked in words goes into the book, without names, where the shop wants it."""

from __future__ import annotations

import re
from contextlib import suppress

from jounce.asked.kinds import UNKNOWN
from jounce.asked.nameless import nameless
from jounce.asked.understanding import understood
from jounce.book.kept_questions import HowUnderstood
from jounce.conventions.errors import InputError, JounceError
from jounce.web.request import PageRequest
from jounce.web.shop_settings import shop_of

__all__ = ["KEPT_ASKED", "is_keeping", "keep_asked"]

KEPT_ASKED = "Questions in words are kept"
"""What the shop's switch is called."""
_OF_A_JOB = re.compile(r'^customer\s*=\s*"([^"\n]+)"', re.MULTILINE)


def is_keeping(ask: PageRequest) -> bool:
    """Whether questions are kept: unless the shop switched it off, or the book may only be read.

    Args:
        ask: the request
    """
    if ask.book.read_only:
        return False
    try:
        shop = shop_of(ask)
    except JounceError:  # nobody knows what a damaged document of the shop wanted
        return False
    return shop is None or shop.house.questions_kept == "yes"


def keep_asked(ask: PageRequest, text: str, chosen: str = "") -> None:
    """Keep what was asked; an answer never waits for that, nor fails by it.

    Args:
        ask: the request
        text: the sentence, as it was typed
        chosen: the kind of question, where it was chosen
    """
    if not text.strip() or not is_keeping(ask):
        return
    meant = understood(text)
    how: HowUnderstood = "at once" if meant.clear else "not understood" if meant.kind == UNKNOWN else "asked back"
    if chosen:
        how = "chosen"
    with suppress(InputError):
        ask.book.keep_question(nameless(text, _names(ask)), chosen or meant.kind, how)


def _names(ask: PageRequest) -> list[str]:
    """Names of all customers, as they are kept and as jobs call them."""
    told = [one.name for one in ask.book.entries("customer")]
    return told + [name for job in ask.book.entries("job") for name in _OF_A_JOB.findall(job.content)]
