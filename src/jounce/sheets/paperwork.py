"""What sheets are printed from: a case, how it comes onto paper, and what is offered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol

from jounce.case.case import Case, CaseState
from jounce.conventions.axes import End, Side
from jounce.job.document import JobDocument
from jounce.layouts.axle_input import SpringKind
from jounce.ledger.outcome import Outcome
from jounce.questions.rounds import JobRound
from jounce.quote.kept import QuoteHead
from jounce.quote.quote import QuotedPackage
from jounce.quote.shop import Shop
from jounce.sheets.lead_back import LeadBack
from jounce.sheets.notice import Despite, Judged

Paper = Literal["a4", "us-letter"]


class Translator(Protocol):
    """Says a text of the program in other words, see `jounce.words.phrases.Phrases`."""

    @property
    def language(self) -> str:
        """Code of the language."""

    @property
    def decimal(self) -> str:
        """Decimal sign of numbers."""

    def said(self, text: str) -> str:
        """A text in those words."""


@dataclass(frozen=True, slots=True)
class Paperwork:
    """How a sheet looks: units, paper, and the shop whose name it carries, None for plain paper.

    ``edition`` says from which versions of car and job it was printed, where a book keeps them: with it the same sheet
    can be printed again. ``speaks`` says the program's texts in the house's words; None for the program's own.
    ``despite`` is why it is printed although a check fails on which lives depend; None where nobody said so.
    ``lead_back`` is the code in its corner; None where the shop has no address that other machines find.
    """

    units: str = "metric"
    paper: Paper = "a4"
    shop: Shop | None = None
    edition: str = ""
    speaks: Translator | None = None
    despite: Despite | None = None
    lead_back: LeadBack | None = None

    @property
    def letterhead(self) -> list[str]:
        """Name of the shop and the lines below it; empty on plain paper."""
        return [] if self.shop is None else [self.shop.shop.name, *self.shop.shop.lines]


@dataclass(frozen=True, slots=True)
class PackageOffer:
    """A package with its own job: what is charged is what was worked out."""

    package: QuotedPackage
    case: Case


@dataclass(frozen=True, slots=True)
class FoundAfterwards:
    """What was measured on the finished car beside what was promised, and the rounds of correction."""

    outcomes: tuple[Outcome, ...] = ()
    rounds: tuple[JobRound, ...] = ()


@dataclass(frozen=True, slots=True)
class Printout:
    """What a sheet is printed from: a car, or a car and its job; how it looks; what a quote offers; what was found."""

    case: Case
    look: Paperwork
    offers: tuple[PackageOffer, ...] = ()
    quoted: QuoteHead | None = None
    afterwards: FoundAfterwards = FoundAfterwards()

    @property
    def units(self) -> str:
        """Unit set to show."""
        return self.look.units

    @property
    def states(self) -> dict[str, CaseState]:
        """The car's states by their titles in print."""
        return {f"as {state.title}": state for state in self.case.states}

    @property
    def lacks_bolt(self) -> bool:
        """Whether one of the car's torsion bars has no adjusting bolt by which it could be let down."""
        sides = [self.case.car.axle(end).side(side) for end in End for side in Side]
        bars = [bar for bar in (getattr(one, "torsion_bar", None) for one in sides) if bar is not None]
        return any(bar.adjuster is None for bar in bars)

    def sprung_by(self, kind: SpringKind) -> bool:
        """Whether the car has main springs of a kind, as found.

        Args:
            kind: of spring
        """
        return any(spring.kind == kind for model in self.case.found.models for spring in model.main.values())

    def of_offer(self, offer: PackageOffer) -> Printout:
        """The same with an offer's own job.

        Args:
            offer: one of the offers
        """
        return Printout(offer.case, self.look)

    def judged(self, *, priced: bool) -> list[Judged]:
        """The plans whose checks stand over a sheet.

        Args:
            priced: the sheet tells of the offers, not of the job
        """
        if priced:
            several = len(self.offers) > 1
            return [
                Judged(one.case.every_check, f"Package {one.package.name}" if several else "") for one in self.offers
            ]
        return [] if self.case.job is None else [Judged(self.case.every_check)]


def identity_of(job: JobDocument, look: Paperwork) -> str:
    """Which plan a sheet is of: the job's number, the book's versions or the file's revision, and its day.

    Args:
        job: the change list
        look: how the sheet looks
    """
    number = f"no. {job.job.number}" if job.job.number else ""
    day = str(job.job.date) if job.job.date else ""
    return " · ".join(filter(None, (number, look.edition or f"revision {job.job.revision}", day)))
