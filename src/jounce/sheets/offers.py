"""What a quote offers: each package charged for what is in it, and worked out as a job of its own."""

from __future__ import annotations

from collections.abc import Sequence

from jounce.car.file.document import CarDocument
from jounce.checks.rules import RuleSet
from jounce.conventions.errors import InputError, at
from jounce.job.document import JobDocument
from jounce.job.part_words import part_lines
from jounce.quote.parts_named import parts_of_shelf, without_code
from jounce.quote.quote import Package, Work, priced
from jounce.quote.shop import Terms
from jounce.search.packaged import job_of_parts
from jounce.sheets.case import JobCase, Offer, OnRoad, states_on_road, worked_out
from jounce.shelf.shelf import Shelf

__all__ = ["offer_as_planned", "offer_of_package"]


def offer_of_package(package: Package, job: JobDocument, car: CarDocument, rules: RuleSet | None = None) -> Offer:
    """A package of parts by their codes: its own change list, its own plan, its own checks.

    Args:
        package: parts and work, priced
        job: whose wishes hold
        car: the car as measured
        rules: local rules to hold it against, None where there are none

    Raises:
        JounceError: a part that goes nowhere, or a plan that cannot be
    """
    with at(f"package {package.name}"):
        own = worked_out(job_of_parts(job, car, package.parts), car, rules)
        return Offer(package, own, states_on_road(car, own.planned_car, own.job, own.plan))


def offer_as_planned(
    stock: Shelf,
    work: Sequence[Work],
    terms: Terms,
    planned: tuple[JobCase, OnRoad],
    units: str = "metric",
    name: str = "as planned",
) -> Offer:
    """The parts of the change list: those with a code at the shelf's price, the others named and without one.

    Args:
        stock: the shelf
        work: work besides fitting them
        terms: hourly rate, tax, currency
        planned: the job, worked out, and its two states
        units: unit set in which parts without a code are told
        name: what the package is called

    Raises:
        InputError: the job names no code, or a code whose part is another than the one that was worked out
    """
    worked, on_road = planned
    parts = parts_of_shelf(worked.job, stock)
    if not parts:
        raise InputError(
            "Nothing is offered",
            found="no codes under [shelf] of the job",
            todo='Name parts there, or by --part CODE, or by --package "name: CODE, CODE=2"; in the browser, one code on '
            "a line.",
        )
    lines = part_lines(worked.job, units, counted=False)
    others = [(lines[place], pieces) for place, pieces in without_code(worked.job).items()]
    return Offer(priced(name, parts, work, terms, others), worked, on_road)
