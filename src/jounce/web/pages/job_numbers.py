"""Why a plain number of a job is what it is: what moves it, how sure it is, what would make it surer, what it means."""

from __future__ import annotations

from typing import Any

from starlette.responses import Response

from jounce.conventions.errors import InputError
from jounce.questions.titles import OF_CARS
from jounce.questions.why_number import Surer, what_moves, what_would_make_surer
from jounce.wanted.counter.numbers import plain_numbers
from jounce.web.case_cache import job_of
from jounce.web.pages.job import asked_at, step_page
from jounce.web.pages.job_price import job_price
from jounce.web.request import PageRequest
from jounce.web.shop_settings import held_case

__all__ = ["why"]

_PRICE = "price"
_QUESTIONS = {
    "lower": "settle",
    "firmer": "settle",
    "swings": "ride",
    "bump": "travel",
    "lean": "corner",
    "lift": "corner",
}
"""By a plain number, the question that tells most about it."""


def why(ask: PageRequest) -> Response:
    """One number of the seven, taken apart."""
    job, car = job_of(ask)
    case = held_case(ask, job, car)
    word = ask.path["number"]
    values: dict[str, Any] = {"price": job_price(ask, case), "plain": None, "movers": (), "surer": (), "how": ""}
    if word != _PRICE:
        numbers = {one.key: one for one in plain_numbers(case, sure=True)}
        if word not in numbers:
            raise InputError("There is no such number", found=word[:40], allowed=", ".join((*numbers, _PRICE)))
        number = numbers[word]
        movers, how = what_moves(case, number)
        surer = [(one, asked_at((job, car), _place(one))) for one in what_would_make_surer(case, number)]
        behind = _QUESTIONS.get(word, "effects")
        values |= {"plain": number, "movers": movers, "how": how, "surer": surer}
        values |= {"behind": behind, "behind_title": OF_CARS[behind]}
    return step_page(ask, "why", job, car, **values)


def _place(one: Surer) -> str:
    """The place whose field is asked for: that of a point, not of its coordinate."""
    return one.path.removesuffix(".x").removesuffix(".y").removesuffix(".z")
