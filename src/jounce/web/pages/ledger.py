"""The ledger: how many of the shop's promises came true, and what that says of its bands and its gauges."""

from __future__ import annotations

from starlette.responses import Response

from jounce.book.outcomes import promises_found
from jounce.job.answer_table import AnswerTable
from jounce.ledger.account import account_of
from jounce.questions.ledger import LEARNS, ledger_sentences, ledger_tables, result_rows
from jounce.web.request import PageRequest, page
from jounce.web.shop_settings import shop_of

__all__ = ["show"]

_LATEST = 12


def show(ask: PageRequest) -> Response:
    """The account of all promises that were found, and the latest of them."""
    told = promises_found(ask.book)
    shop, outcomes = shop_of(ask), told.outcomes
    jobs = {job.id: job for job in ask.book.entries("job")}
    latest = [jobs[job] for job in list(dict.fromkeys(one.job for one in outcomes[::-1]))[:_LATEST] if job in jobs]
    rows = result_rows([one for one in outcomes if not one.inside][-_LATEST:])
    return page(
        ask,
        "ledger.html",
        word="",
        promised=told.promised,
        account=account_of(outcomes) if outcomes else None,
        said=list(ledger_sentences(outcomes, ask.desk.units)),
        tables=ledger_tables(outcomes, told.promised, ask.desk.units),
        outside=AnswerTable("Outside, the latest last", ("promised", "found", "off by", "inside"), rows)
        if rows
        else None,
        again=len(told.again),
        latest=latest,
        learns=LEARNS,
        learning=shop is not None and shop.house.bands_learn == "yes",
    )
