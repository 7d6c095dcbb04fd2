"""`jounce sheet`: the shop's papers as PDF, one kind for each step of the work."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Annotated

import typer

from jounce.car.file.writing import write_whole
from jounce.case.case import Case, case_of_file
from jounce.checks.rules import NO_RULES, read_rules
from jounce.cli.answers import KEEPS_HELP, PHRASES_HELP, UNITS_HELP
from jounce.cli.in_book import opened_book
from jounce.cli.promising import keep_promises_of_file
from jounce.conventions.errors import InputError, at
from jounce.quote.quote import QuotedWork, priced
from jounce.quote.shop import read_shop
from jounce.sheets.catalogue import SheetKind, kind_of
from jounce.sheets.catalogue import sheet as printed
from jounce.sheets.envelope import envelope
from jounce.sheets.notice import despite_of
from jounce.sheets.offers import offer_as_planned, offer_of_package
from jounce.sheets.paperwork import PackageOffer, Paper, Paperwork, Printout
from jounce.shelf.file import read_shelf
from jounce.shelf.part import Part
from jounce.shelf.shelf import Shelf
from jounce.words.phrases import read_phrases

PartCodes = Annotated[list[str] | None, typer.Option("--part", help="code of a part, or CODE=2 for two lots of it")]
WorkHours = Annotated[
    list[str] | None, typer.Option("--work", help='work besides fitting, in every package: "alignment=1.5" hours')
]
Packages = Annotated[
    list[str] | None, typer.Option("--package", help='one of several packages: "better: CODE, CODE=2"')
]
Despite = Annotated[
    str, typer.Option("--despite", help="why it is printed although a check fails on which lives depend")
]
PaperWord = Annotated[str, typer.Option("--paper", help="a4 or letter")]

_ALL = "envelope"
_KIND_HELP = (
    "answer, baseline, quote, order, job-card, index, set-up, alignment, weights, travel, hand-over, proof, re-check; "
    f"{_ALL} for all of them in one PDF"
)
_PAPER: Mapping[str, Paper] = {"a4": "a4", "letter": "us-letter"}


def sheet(
    kind: Annotated[str, typer.Argument(help=_KIND_HELP, metavar="KIND")],
    file: Annotated[Path, typer.Argument(help="job file; for answer and baseline a car file will do", metavar="FILE")],
    out: Annotated[Path, typer.Option("--out", help="PDF file to write", metavar="PDF")],
    paper: PaperWord = "a4",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
    shop: Annotated[Path | None, typer.Option("--shop", help="shop file: letterhead, hourly rate, tax")] = None,
    shelf: Annotated[Path | None, typer.Option("--shelf", help="shelf file, for quote and order")] = None,
    part: PartCodes = None,
    work: WorkHours = None,
    phrases: Annotated[str, typer.Option("--phrases", help=PHRASES_HELP)] = "",
    package: Packages = None,
    rules: Annotated[Path | None, typer.Option("--rules", help="hold the planned car against local rules too")] = None,
    despite: Despite = "",
    by: Annotated[str, typer.Option("--by", help="who prints it, beside that reason")] = "",
    book: Annotated[str, typer.Option("--book", help=KEEPS_HELP)] = "",
) -> None:
    """Print a sheet of a car or a job: A4 or Letter, in any unit set."""
    priced_alone = kind != _ALL and kind_of(kind).priced
    chosen = paper_of(paper)
    terms = None if shop is None else read_shop(shop)
    words = read_phrases(phrases) if phrases else None
    look = Paperwork(units, chosen, terms, speaks=words, despite=despite_of(despite, by))
    case = case_of_file(file, NO_RULES if rules is None else read_rules(rules))
    opened = opened_book(book, by) if book else None
    with at(str(file)):
        wanted = (part or (), package or ()), work_of(work or ())
        if kind == _ALL:
            write_whole(out, _all_sheets(Printout(case, look), lambda: _offers(case, look, shelf, *wanted)))
        else:
            offers = _offers(case, look, shelf, *wanted) if priced_alone else ()
            write_whole(out, printed(kind, Printout(offers[0].case if offers else case, look, offers)))
    if opened is not None:
        keep_promises_of_file(opened, kind, case, file)
    typer.echo(f"The sheet is in {out}.", err=True)


def _all_sheets(out: Printout, offered: Callable[[], tuple[PackageOffer, ...]]) -> bytes:
    """Every sheet of a job in one PDF; those with prices where shop and shelf are named."""
    if out.case.job is None:
        raise InputError("An envelope is of a job", found="a car file", todo="Name a job file instead.")

    def of(_word: str, kind: SheetKind | None) -> Printout:
        if kind is None or not kind.priced:
            return out
        offers = offered()
        return Printout(offers[0].case, out.look, offers)

    return envelope(out, of)


def paper_of(word: str) -> Paper:
    """A paper by its word.

    Args:
        word: as on the command line

    Raises:
        InputError: there is no such paper
    """
    if word not in _PAPER:
        raise InputError("There is no such paper", found=f'--paper "{word}"', allowed=" or ".join(_PAPER))
    return _PAPER[word]


def _offers(
    case: Case,
    look: Paperwork,
    shelf: Path | None,
    asked: tuple[Sequence[str], Sequence[str]],
    work: Sequence[QuotedWork],
) -> tuple[PackageOffer, ...]:
    """What was asked for by parts and by packages, each worked out; where nothing was, the parts that the job names."""
    shop = look.shop
    if shop is None or shelf is None:
        lacking = "--shop shop.toml" if shop is None else "--shelf shelf.toml"
        raise InputError("Money needs the shop's file and the shelf", todo=f"Name it: {lacking}.")
    stock = read_shelf(shelf)
    wanted = [(name, [counted_part(stock, code) for code in codes]) for name, codes in packages_wanted(*asked)]
    if not wanted:
        return (offer_as_planned(stock, work, shop.quote, case, look.units),)
    packages = [priced(name, parts, work, shop.quote) for name, parts in wanted]
    return tuple(offer_of_package(package, case) for package in packages)


def packages_wanted(parts: Sequence[str], packages: Sequence[str]) -> list[tuple[str, list[str]]]:
    """Packages by their names and codes.

    Args:
        parts: codes of one package alone, as they were typed
        packages: each with its name, as they were typed

    Raises:
        InputError: one without a name or codes
    """
    named = [package.partition(":") for package in packages]
    wanted = [(name.strip(), [word.strip() for word in codes.split(",") if word.strip()]) for name, _, codes in named]
    if parts:
        wanted.insert(0, ("as asked", list(parts)))
    for name, codes in wanted:
        if not name or not codes:
            raise InputError(
                "A package has a name and codes",
                found=f'"{name}: {", ".join(codes)}"',
                allowed='"better: CODE, CODE=2"',
            )
    return wanted


def counted_part(shelf: Shelf, written: str) -> tuple[Part, int]:
    """A part with how many lots of it.

    Args:
        shelf: the shelf
        written: its code, or CODE=2

    Raises:
        InputError: no such part, or no count
    """
    code, equals, count = (word.strip() for word in written.partition("="))
    if equals and not (count.isascii() and count.isdigit()):
        raise InputError("The count is not a whole number", found=f'"{written}"', allowed="CODE=2")
    return shelf.part(code), int(count) if equals else 1


def work_of(written: Sequence[str]) -> list[QuotedWork]:
    """Work besides fitting.

    Args:
        written: each as "alignment=1.5"

    Raises:
        InputError: no name, or no hours
    """
    found = []
    for text in written:
        name, _, hours = (word.strip() for word in text.rpartition("="))
        try:
            number = Decimal(hours)
        except InvalidOperation:
            number = Decimal("NaN")
        if not name or not number.is_finite() or not 0 < number <= 200:
            raise InputError(
                "The work is not clear", found=f'--work "{text}"', allowed='"alignment=1.5", hours up to 200'
            )
        found.append(QuotedWork(name, number))
    return found
