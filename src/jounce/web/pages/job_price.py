"""What the parts of a job cost, as far as they stand on the shelf."""

from __future__ import annotations

from dataclasses import dataclass

from jounce.case.case import Case
from jounce.conventions.errors import InputError, InputProblems
from jounce.quote.parts_named import parts_of_shelf, without_code
from jounce.shelf.part import Part
from jounce.wanted.counter.found import price_of_job
from jounce.web.request import PageRequest
from jounce.web.searching.found import money
from jounce.web.searching.work import shelf_in

__all__ = ["JobPrice", "job_price"]


@dataclass(frozen=True, slots=True)
class JobPrice:
    """What the parts of a job cost.

    Attributes:
        told: the sum; empty where it is not known
        missing: why it is not all of it, in a sentence; empty where it is
        parts: each part with a code, and how many lots of it

    """

    told: str
    missing: str = ""
    parts: tuple[tuple[Part, int], ...] = ()


def job_price(ask: PageRequest, case: Case) -> JobPrice:
    """The price of a job's parts.

    Args:
        ask: the request, whose book has the shelf
        case: the job on its car
    """
    job = case.change_list
    bare = len(without_code(job))
    without = f"{bare} {'part has' if bare == 1 else 'parts have'} no code on the shelf." if bare else ""
    if not any(True for _ in job.shelf.named()):
        return JobPrice("", without or "Nothing is bought.")
    try:
        shelf = shelf_in(ask.book)
        gone = sorted({code for _, _, code in job.shelf.named()} - {part.code for part in shelf.parts})
        if gone:
            return JobPrice("", f"Not on the shelf: {', '.join(gone)}.")
        parts = parts_of_shelf(job, shelf)
        total, _, unpriced = price_of_job(job, shelf)
    except InputProblems:
        return JobPrice("", "A part on the shelf has other sizes than the one of the job with its code: correct one.")
    except InputError as problem:
        return JobPrice("", str(problem))
    if unpriced:
        without = f"{without} {unpriced} of the parts with a code have no price.".strip()
    return JobPrice(money(total, [part for part, _ in parts]), without, tuple(parts))
