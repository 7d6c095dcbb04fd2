"""The demo car and its job as cases for sheets, worked out once."""

from __future__ import annotations

import datetime
import io
from copy import copy
from dataclasses import replace
from decimal import Decimal
from functools import cache
from importlib.resources import files

import pypdf

from jounce.car.file.reading import parse_car
from jounce.case.case import Case
from jounce.quote.quote import QuotedWork, priced
from jounce.quote.shop import parse_shop
from jounce.sheets.catalogue import SHEETS, sheet
from jounce.sheets.notice import Despite
from jounce.sheets.offers import offer_of_package
from jounce.sheets.paperwork import PackageOffer, Paperwork, Printout
from jounce.shelf.toml import parse_toml
from tests.job.test_plan import demo

REASON = Despite("to show what these parts would do", "A. Tester", datetime.date(2026, 3, 21))


def demo_text(name):
    return files("jounce.demo").joinpath(name).read_text("utf-8")


@cache
def shop():
    return parse_shop(demo_text("shop.toml"), "shop.toml")


@cache
def packages():
    shelf = parse_toml(demo_text("shelf.toml"), "shelf.toml").whole("shelf.toml")
    terms, hours = shop().quote, [QuotedWork("alignment", Decimal("1.5"))]
    return (
        priced("good", [(shelf.part("TB-21"), 1)], hours, terms),
        priced("better", [(shelf.part("TB-21"), 1), (shelf.part("P-61"), 2)], hours, terms),
    )


@cache
def demo_case() -> Case:
    job, car, _, _ = demo()
    return Case(car, job)


def job_case() -> Printout:
    return Printout(demo_case(), Paperwork(shop=shop()))


@cache
def offers() -> tuple[PackageOffer, ...]:
    return tuple(offer_of_package(package, demo_case()) for package in packages())


def priced_case() -> Printout:
    """Two packages of the shelf on the demo car; both fail, so that somebody has to say why they are printed."""
    return replace(job_case(), offers=offers(), look=replace(job_case().look, despite=REASON))


def case_for(word) -> Printout:
    return priced_case() if SHEETS[word].priced else job_case()


@cache
def car_case(name="brisk-14.toml") -> Printout:
    return Printout(Case(parse_car(demo_text(name), name)), Paperwork())


def looking(case, units, paper):
    return replace(case, look=replace(case.look, units=units, paper=paper))


def of_customer(out, customer):
    """The same job of another customer; what was worked out stays."""

    def renamed(case):
        job = case.change_list
        other = copy(case)
        head = job.job.model_copy(update={"customer": customer})
        object.__setattr__(other, "job", job.model_copy(update={"job": head}))
        return other

    for case in (out.case, *(one.case for one in out.offers)):
        _ = case.every_check, [state.feel for state in case.states]
    own = tuple(replace(one, case=renamed(one.case)) for one in out.offers)
    return replace(out, case=renamed(out.case), offers=own)


def pages(word, case):
    return pypdf.PdfReader(io.BytesIO(sheet(word, case))).pages


def text_of(word, case):
    """All words of a sheet, single spaces between."""
    return " ".join(" ".join(page.extract_text() for page in pages(word, case)).split())
