"""What a quote offers: each package charged for what is in it, and worked out as a job of its own; prices of jobs."""

from __future__ import annotations

from collections.abc import Sequence

from jounce.case.beside import Beside, Variant
from jounce.case.case import Case
from jounce.conventions.errors import InputError, InputProblems, JounceError, at
from jounce.job.part_words import part_lines
from jounce.questions.side_by_side import VariantPrice, VariantPrices, both
from jounce.quote.parts_named import parts_of_shelf, without_code
from jounce.quote.quote import QuotedPackage, QuotedWork, priced
from jounce.quote.shop import Terms
from jounce.search.packaged import job_of_parts
from jounce.sheets.paperwork import PackageOffer
from jounce.shelf.shelf import Shelf

__all__ = ["offer_as_planned", "offer_of_package", "variant_prices"]


def offer_of_package(package: QuotedPackage, case: Case) -> PackageOffer:
    """A package of parts by their codes: its own change list, its own plan, its own checks.

    Args:
        package: parts and work, priced
        case: car, and the job whose wishes hold

    Raises:
        JounceError: a part that goes nowhere, or a plan that cannot be
    """
    with at(f"package {package.name}"):
        own = case.with_job(job_of_parts(case.change_list, case.car, package.parts))
        _ = own.plan
        return PackageOffer(package, own)


def offer_as_planned(
    stock: Shelf, work: Sequence[QuotedWork], terms: Terms, case: Case, units: str = "metric", name: str = "as planned"
) -> PackageOffer:
    """The parts of the change list: those with a code at the shelf's price, the others named and without one.

    Args:
        stock: the shelf
        work: work besides fitting them
        terms: hourly rate, tax, currency
        case: car and job
        units: unit set in which parts without a code are told
        name: what the package is called

    Raises:
        InputError: the job names no code, or a code whose part is another than the one that was worked out
    """
    job = case.change_list
    parts = parts_of_shelf(job, stock)
    if not parts:
        raise InputError(
            "Nothing is offered",
            found="no codes under [shelf] of the job",
            todo='Name parts there, or by --part CODE, or by --package "name: CODE, CODE=2"; in the browser, one code on '
            "a line.",
        )
    lines = part_lines(job, units, counted=False)
    others = [(lines[place], pieces) for place, pieces in without_code(job).items()]
    return PackageOffer(priced(name, parts, work, terms, others), case)


def variant_prices(found: Beside, stock: Shelf, terms: Terms) -> VariantPrices:
    """What the parts of each job and fitting them cost, with tax; why that is not known where it is not.

    Args:
        found: jobs beside each other
        stock: the shelf
        terms: hourly rate, tax, currency
    """
    told = [_price(one, stock, terms) for one in found.variants]
    letters: dict[str, list[str]] = {}
    for one, (_, why) in zip(found.variants, told, strict=True):
        letters.setdefault(why, []).append(one.letter)
    remarks = [f"To pay for {both(of)}: {why}" for why, of in letters.items() if why]
    return VariantPrices(terms.currency, tuple(price for price, _ in told), tuple(remarks))


def _price(one: Variant, stock: Shelf, terms: Terms) -> tuple[VariantPrice | None, str]:
    """The price, and what has to be said of it."""
    if one.refused:
        return None, ""
    try:
        if not parts_of_shelf(one.case.change_list, stock):
            return None, "not known, the job names no codes of the shelf."
        package = offer_as_planned(stock, (), terms, one.case).package
    except InputProblems as error:
        return None, f"not known. {' '.join(map(str, error.problems))}"
    except JounceError as error:
        return None, f"not known. {error}"
    price = VariantPrice(package.gross, package.at_least)
    if not package.at_least:
        return price, ""
    unknown = dict.fromkeys((*package.unpriced, *package.hours_unknown))
    named = ", ".join(unknown) if len(unknown) <= _NAMED else f"{len(unknown)} parts"
    return price, f"more than told, for price or fitting time of {named} is not known."


_NAMED = 3
