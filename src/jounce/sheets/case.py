"""What sheets are printed from: a car as found, or a job with its plan; and how they come onto paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal, Protocol

from jounce.behaviour.bands import Band
from jounce.behaviour.road.corner import Cornering
from jounce.behaviour.road.feel import Feel
from jounce.behaviour.road.road_car import RoadCar
from jounce.car.file.document import CarDocument
from jounce.case.state import FoundState, PlannedState
from jounce.checks import Check, run_checks
from jounce.checks.limits import USUAL, Limits
from jounce.checks.rules import RuleSet, rule_checks
from jounce.conventions.axes import End, Side
from jounce.conventions.errors import InputError
from jounce.job.apply import planned_document, wishes_of
from jounce.job.document import JobDocument
from jounce.job.on_road import CarInState, felt
from jounce.job.plan import CarState, Plan, make_plan
from jounce.job.setting_bands import every_band
from jounce.quote.quote import Package
from jounce.quote.shop import Shop
from jounce.sheets.notice import Despite, Judged

Paper = Literal["a4", "us-letter"]


class Speaks(Protocol):
    """Says a text of the program in other words, see `jounce.job.phrases.Phrases`."""

    @property
    def language(self) -> str:
        """Code of the language."""

    def said(self, text: str) -> str:
        """A text in those words."""


@dataclass(frozen=True, slots=True)
class Paperwork:
    """How a sheet looks: units, paper, and the shop whose name it carries, None for plain paper.

    ``edition`` says from which versions of car and job it was printed, where a book keeps them: with it the same sheet
    can be printed again. ``speaks`` says the program's texts in the house's words; None for the program's own.
    ``despite`` is why it is printed although a check fails on which lives depend; None where nobody said so.
    """

    units: str = "metric"
    paper: Paper = "a4"
    shop: Shop | None = None
    edition: str = ""
    speaks: Speaks | None = None
    despite: Despite | None = None

    @property
    def letterhead(self) -> list[str]:
        """Name of the shop and the lines below it; empty on plain paper."""
        return [] if self.shop is None else [self.shop.shop.name, *self.shop.shop.lines]


@dataclass(frozen=True, slots=True)
class JobCase:
    """A job worked out: the change list, the car with the new parts, the plan, and what the checks say and hold to."""

    job: JobDocument
    planned_car: CarDocument
    plan: Plan
    checks: tuple[Check, ...]
    limits: Limits = USUAL


@dataclass(frozen=True)
class OnRoad:
    """The car's states on their road, by title; without slots, since what was worked out of them is kept."""

    states: Mapping[str, CarInState]

    @property
    def cars(self) -> Mapping[str, RoadCar]:
        """The cars by title."""
        return {title: state.road for title, state in self.states.items()}

    @cached_property
    def felt(self) -> Mapping[str, tuple[Feel, Cornering]]:
        """What a driver feels, and the sweep that it was read from; some seconds of work, done once."""
        return {title: felt(state) for title, state in self.states.items()}

    @cached_property
    def bands(self) -> Mapping[str, Mapping[str, Band]]:
        """How sure everything is that is told of each car, by title."""
        return {title: every_band(state.slopes) for title, state in self.states.items()}


@dataclass(frozen=True, slots=True)
class Offer:
    """A package with its own job: what is charged is what was worked out."""

    package: Package
    work: JobCase
    on_road: OnRoad


@dataclass(frozen=True, slots=True)
class Case:
    """A car as found, and the job if there is one; ``offers`` are what a quote offers, each with figures of its own."""

    car: CarDocument
    found: CarState
    work: JobCase | None
    look: Paperwork
    on_road: OnRoad
    offers: tuple[Offer, ...] = ()

    @property
    def units(self) -> str:
        """Unit set to show."""
        return self.look.units

    @property
    def states(self) -> dict[str, tuple[CarDocument, CarState]]:
        """The car's states by their titles: as found, and as planned where there is a job."""
        found = {"as found": (self.car, self.found)}
        if self.work is None:
            return found
        return found | {"as planned": (self.work.planned_car, self.work.plan.planned)}

    @property
    def lacks_bolt(self) -> bool:
        """Whether one of the car's torsion bars has no adjusting bolt by which it could be let down."""
        sides = [self.car.axle(end).side(side) for end in End for side in Side]
        bars = [bar for bar in (getattr(one, "torsion_bar", None) for one in sides) if bar is not None]
        return any(bar.adjuster is None for bar in bars)

    def of_offer(self, offer: Offer) -> Case:
        """The same car with an offer's own job.

        Args:
            offer: one of the offers
        """
        return replace(self, work=offer.work, on_road=offer.on_road, offers=())

    def judged(self, *, priced: bool) -> list[Judged]:
        """The plans whose checks stand over a sheet.

        Args:
            priced: the sheet tells of the offers, not of the job
        """
        if priced:
            several = len(self.offers) > 1
            return [Judged(one.work.checks, one.package.name if several else "") for one in self.offers]
        return [] if self.work is None else [Judged(self.work.checks)]


def case_of_car(car: CarDocument, look: Paperwork) -> Case:
    """A car alone.

    Args:
        car: the car as measured
        look: units, paper, shop
    """
    found = FoundState("found", car)
    return Case(car, found.standing, None, look, OnRoad({"as found": found.state}))


def worked_out(job: JobDocument, car: CarDocument, rules: RuleSet | None = None) -> JobCase:
    """A job worked out.

    Args:
        job: the change list
        car: the car as measured
        rules: local rules to hold it against, None where there are none

    Raises:
        Impossible: the plan cannot be
    """
    planned = planned_document(car, job)
    plan = make_plan(car, planned, wishes_of(car, job))
    if rules is None:
        return JobCase(job, planned, plan, tuple(run_checks(job, planned, plan)))
    checks = (*run_checks(job, planned, plan, rules.limits), *rule_checks(rules, planned, plan))
    return JobCase(job, planned, plan, checks, rules.limits)


def case_of_job(job: JobDocument, car: CarDocument, look: Paperwork, rules: RuleSet | None = None) -> Case:
    """A job with its car, worked out.

    Args:
        job: the change list
        car: the car as measured
        look: units, paper, shop
        rules: local rules to hold it against, None where there are none

    Raises:
        Impossible: the plan cannot be
    """
    work = worked_out(job, car, rules)
    return case_of_work(work, car, states_on_road(car, work.planned_car, work.job, work.plan), look)


def case_of_work(work: JobCase, car: CarDocument, on_road: OnRoad, look: Paperwork) -> Case:
    """A job that was worked out already.

    Args:
        work: what came out
        car: the car as measured
        on_road: its two states, from `states_on_road`
        look: units, paper, shop
    """
    return Case(car, work.plan.found, work, look, on_road)


def case_of_offers(offers: tuple[Offer, ...], car: CarDocument, look: Paperwork) -> Case:
    """What a quote is printed from.

    Args:
        offers: the packages with their jobs, one at least
        car: the car as measured
        look: units, paper, shop
    """
    first = offers[0]
    found = first.on_road.states["as found"]  # the same car for each: what it feels like is worked out once
    shared = tuple(replace(one, on_road=OnRoad({**one.on_road.states, "as found": found})) for one in offers)
    return Case(car, first.work.plan.found, first.work, look, shared[0].on_road, shared)


def identity_of(job: JobDocument, look: Paperwork) -> str:
    """Which plan a sheet is of: the job's number, the book's versions or the file's revision, and its day.

    Args:
        job: the change list
        look: how the sheet looks
    """
    number = f"no. {job.job.number}" if job.job.number else ""
    day = str(job.job.date) if job.job.date else ""
    return " · ".join(filter(None, (number, look.edition or f"revision {job.job.revision}", day)))


def states_on_road(car: CarDocument, planned: CarDocument, job: JobDocument, plan: Plan) -> OnRoad:
    """A plan's two cars on their road.

    Args:
        car: the car as measured
        planned: the same with the planned parts
        job: the change list
        plan: what came out
    """
    after = PlannedState("planned", planned, car, job, plan)
    return OnRoad({"as found": FoundState("found", car).state, "as planned": after.state})


def work_of(case: Case) -> JobCase:
    """The job worked out, for a sheet that cannot be without one.

    Args:
        case: car and job

    Raises:
        InputError: a car alone was given
    """
    if case.work is None:
        raise InputError("This sheet is of a job", found="a car file", todo="Name a job file instead.")
    return case.work
