"""What people ask in words: counts by kind, what was not understood, and the button that throws all of it away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from starlette.responses import Response

from jounce.asked.kinds import KINDS
from jounce.book.kept_questions import MOST_QUESTIONS, HowUnderstood, KeptQuestion
from jounce.web.kept_asked import KEPT_ASKED, is_keeping
from jounce.web.request import PageRequest, onward, page

__all__ = ["show"]

_HOWS: tuple[HowUnderstood, ...] = ("at once", "asked back", "chosen", "not understood")
_LATEST = 100


def show(ask: PageRequest) -> Response:
    """The page; all is thrown away where its button was pressed."""
    if ask.form.get("clear"):
        return onward(f"/asked/kept?cleared={ask.book.clear_questions()}")
    kept = ask.book.kept_questions()
    return page(
        ask,
        "asked_kept.html",
        kept=kept,
        keeping=is_keeping(ask),
        switch=KEPT_ASKED,
        hows=_HOWS,
        rows=_by_kind(kept),
        doubtful=_often([one for one in kept if one.how in {"asked back", "not understood"}])[:_LATEST],
        latest=kept[:_LATEST],
        titles=KINDS,
        most=MOST_QUESTIONS,
        cleared=ask.query.get("cleared", "")[:6],
    )


def _by_kind(kept: Iterable[KeptQuestion]) -> list[tuple[str, list[int], int]]:
    """Title of each kind, how often in each way, how often in all; the most asked first."""
    counts: dict[str, Counter[str]] = {}
    for one in kept:
        counts.setdefault(one.kind, Counter())[one.how] += 1
    rows = [(KINDS.get(kind, kind), [ways[how] for how in _HOWS], ways.total()) for kind, ways in counts.items()]
    return sorted(rows, key=lambda row: (-row[2], row[0]))


def _often(kept: Iterable[KeptQuestion]) -> list[tuple[KeptQuestion, int]]:
    """Each sentence once, as it was asked last, and on how many days; the most asked first, then the latest."""
    last: dict[str, KeptQuestion] = {}
    days: Counter[str] = Counter()
    for one in kept:
        last.setdefault(one.text.casefold(), one)
        days[one.text.casefold()] += 1
    return sorted(((one, days[text]) for text, one in last.items()), key=lambda pair: -pair[1])
