"""The demo car and its job as cases for sheets, worked out once."""

from __future__ import annotations

import io
from dataclasses import replace
from decimal import Decimal
from functools import cache
from importlib.resources import files

import pypdf

from jounce.car.file import parse_car
from jounce.job.quote import Work, priced
from jounce.job.shelf.toml import parse_toml
from jounce.job.shop import parse_shop
from jounce.sheets.case import Case, JobCase, Paperwork, case_of_car, case_of_job
from jounce.sheets.catalogue import sheet
from tests.job.test_plan import demo


def demo_text(name):
    return files("jounce.demo").joinpath(name).read_text("utf-8")


@cache
def shop():
    return parse_shop(demo_text("shop.toml"), "shop.toml")


@cache
def packages():
    shelf = parse_toml(demo_text("shelf.toml"), "shelf.toml").whole("shelf.toml")
    terms, hours = shop().quote, [Work("alignment", Decimal("1.5"))]
    return (
        priced("good", [(shelf.part("TB-21"), 1)], hours, terms),
        priced("better", [(shelf.part("TB-21"), 1), (shelf.part("P-61"), 2)], hours, terms),
    )


@cache
def job_case() -> Case:
    job, car, _, _ = demo()
    return case_of_job(job, car, Paperwork(shop=shop()), packages())


@cache
def car_case(name="brisk-14.toml") -> Case:
    return case_of_car(parse_car(demo_text(name), name), Paperwork())


def looking(case, units, paper):
    return replace(case, look=Paperwork(units, paper, case.look.shop))


def of_customer(case, customer):
    """The same job of another customer; what was worked out stays."""
    work = case.work
    job = work.job.model_copy(update={"job": work.job.job.model_copy(update={"customer": customer})})
    return replace(case, work=JobCase(job, work.planned_car, work.plan, work.checks))


def pages(word, case):
    return pypdf.PdfReader(io.BytesIO(sheet(word, case))).pages


def text_of(word, case):
    """All words of a sheet, single spaces between."""
    return " ".join(" ".join(page.extract_text() for page in pages(word, case)).split())
