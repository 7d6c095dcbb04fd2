"""What a job costs in a sentence: its parts at the shelf's prices, fitting them at the shop's rate, tax."""

from __future__ import annotations

from decimal import Decimal

from jounce.case.case import Case
from jounce.conventions.errors import InputError, InputProblems
from jounce.quote.quote import QuoteLine, rounded
from jounce.quote.shop import Terms
from jounce.sheets.offers import offer_as_planned
from jounce.shelf.shelf import Shelf

__all__ = ["money_of_job"]


def money_of_job(case: Case, stock: Shelf, terms: Terms) -> tuple[str, str]:
    """What the parts of a job and fitting them cost, and why that is not all of it; each empty where there is nothing.

    Args:
        case: car and job
        stock: the shelf
        terms: hourly rate, tax, currency
    """
    try:
        package = offer_as_planned(stock, (), terms, case).package
    except InputProblems as problems:
        return "", str(problems.problems[0])
    except InputError as problem:
        return "", str(problem)
    parts, work = _sum(package.part_lines), _sum(package.work_lines)
    lacking = ""
    if package.unpriced:
        lacking = f"Without a price on the shelf, and not in it: {', '.join(package.unpriced)}."
    if not parts:
        return "", lacking or "Its parts have no prices on the shelf."
    if package.hours_unknown:
        lacking = f"{lacking} How long fitting takes is not told of: {', '.join(package.hours_unknown)}.".strip()
    told = [f"Its parts cost {_money(parts, terms)}."]
    if work:
        told.append(f"Fitting them takes {package.hours.normalize():f} h and costs {_money(work, terms)}.")
    least = "at least " if package.at_least else ""
    told.append(f"With {terms.tax_name} that is {least}{_money(package.gross, terms)}.")
    return " ".join(told), lacking


def _sum(lines: tuple[QuoteLine, ...]) -> Decimal:
    return sum((line.total for line in lines if line.total is not None), Decimal(0))


def _money(amount: Decimal, terms: Terms) -> str:
    return f"{rounded(amount):,.2f} {terms.currency}"
