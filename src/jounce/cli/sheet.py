"""`jounce sheet`: the shop's papers as PDF, one kind for each step of the work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jounce.cli.answers import UNITS_HELP

if TYPE_CHECKING:
    from jounce.job.quote import Package, Work
    from jounce.job.shelf.part import Part
    from jounce.job.shelf.shelf import Shelf
    from jounce.job.shop import Shop
    from jounce.sheets.case import Case, Paperwork

_KIND_HELP = "answer, baseline, quote, order, job-card, index, set-up, alignment, weights, travel, hand-over, re-check"
_PAPER = ("a4", "letter")


def sheet(
    kind: Annotated[str, typer.Argument(help=_KIND_HELP, metavar="KIND")],
    file: Annotated[Path, typer.Argument(help="job file; for answer and baseline a car file will do", metavar="FILE")],
    out: Annotated[Path, typer.Option("--out", help="PDF file to write", metavar="PDF")],
    paper: Annotated[str, typer.Option("--paper", help="a4 or letter")] = "a4",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
    shop: Annotated[Path | None, typer.Option("--shop", help="shop file: letterhead, hourly rate, tax")] = None,
    shelf: Annotated[Path | None, typer.Option("--shelf", help="shelf file, for quote and order")] = None,
    part: Annotated[
        list[str] | None, typer.Option("--part", help="code of a part, or CODE=2 for two lots of it")
    ] = None,
    work: Annotated[
        list[str] | None, typer.Option("--work", help='work besides fitting, in every package: "alignment=1.5" hours')
    ] = None,
    phrases: Annotated[
        Path | None, typer.Option("--phrases", help="phrase file: the sheet in the house's words")
    ] = None,
    package: Annotated[
        list[str] | None, typer.Option("--package", help='one of several packages: "better: CODE, CODE=2"')
    ] = None,
) -> None:
    """Print a sheet of a car or a job: A4 or Letter, in any unit set."""
    from jounce.car.file import read_text
    from jounce.car.writing import write_whole
    from jounce.conventions.errors import InputError, at
    from jounce.job.phrases import parse_phrases
    from jounce.job.shop import read_shop
    from jounce.sheets.case import Paperwork
    from jounce.sheets.catalogue import kind_of
    from jounce.sheets.catalogue import sheet as printed

    asked = kind_of(kind)
    if paper not in _PAPER:
        raise InputError("There is no such paper", found=f'--paper "{paper}"', allowed=" or ".join(_PAPER))
    terms = None if shop is None else read_shop(shop)
    words = None if phrases is None else parse_phrases(read_text(phrases), str(phrases))
    look = Paperwork(units, "us-letter" if paper == "letter" else "a4", terms, speaks=words)
    packages: tuple[Package, ...] = ()
    if asked.priced:
        packages = tuple(_packages(terms, shelf, file, (part or (), package or ()), _work(work or ())))
    with at(str(file)):
        write_whole(out, printed(kind, _case(file, look, packages, of_job=asked.of_job)))
    typer.echo(f"The sheet is in {out}.", err=True)


def _case(file: Path, look: Paperwork, packages: tuple[Package, ...], *, of_job: bool) -> Case:
    from jounce.car.file import read_car, read_text, read_toml
    from jounce.conventions.errors import InputError
    from jounce.job.file import read_job
    from jounce.sheets.case import case_of_car, case_of_job

    if "job" in read_toml(read_text(file), str(file)):
        return case_of_job(*read_job(file), look, packages)
    if of_job:
        raise InputError("This sheet is of a job", found="a car file", todo="Name a job file instead.")
    return case_of_car(read_car(file), look)


def _packages(
    shop: Shop | None,
    shelf: Path | None,
    file: Path,
    asked: tuple[Sequence[str], Sequence[str]],
    work: Sequence[Work],
) -> Iterator[Package]:
    """What was asked for by parts and by packages; where nothing was, the parts that the job names."""
    from jounce.conventions.errors import InputError, at
    from jounce.job.quote import priced
    from jounce.job.shelf.file import read_shelf

    if shop is None or shelf is None:
        lacking = "--shop shop.toml" if shop is None else "--shelf shelf.toml"
        raise InputError("Money needs the shop's file and the shelf", todo=f"Name it: {lacking}.")
    stock = read_shelf(shelf)
    parts, packages = asked
    named = [package.partition(":") for package in packages]
    wanted = [(name.strip(), [word.strip() for word in codes.split(",") if word.strip()]) for name, _, codes in named]
    if parts:
        wanted.insert(0, ("as asked", list(parts)))
    if not wanted:
        yield _planned(file, stock, work, shop)
    for name, codes in wanted:
        if not name or not codes:
            raise InputError(
                "A package has a name and codes",
                found=f'"{name}: {", ".join(codes)}"',
                allowed='"better: CODE, CODE=2"',
            )
        with at(f"package {name}"):
            yield priced(name, [_part(stock, code) for code in codes], work, shop.quote)


def _planned(file: Path, stock: Shelf, work: Sequence[Work], shop: Shop) -> Package:
    """The parts that the job names by their codes."""
    from jounce.conventions.errors import InputError, at
    from jounce.job.file import read_job
    from jounce.job.parts_named import parts_of_shelf
    from jounce.job.quote import priced

    job, _ = read_job(file)
    with at(str(file)):
        parts = parts_of_shelf(job, stock)
        if not parts:
            raise InputError(
                "Nothing is offered",
                found="no codes under [shelf] of the job",
                todo='Name parts there, or by --part CODE, or by --package "name: CODE, CODE=2".',
            )
        return priced("as planned", parts, work, shop.quote)


def _part(shelf: Shelf, written: str) -> tuple[Part, int]:
    from jounce.conventions.errors import InputError

    code, equals, count = (word.strip() for word in written.partition("="))
    if equals and not (count.isascii() and count.isdigit()):
        raise InputError("The count is not a whole number", found=f'"{written}"', allowed="CODE=2")
    return shelf.part(code), int(count) if equals else 1


def _work(written: Sequence[str]) -> list[Work]:
    from decimal import Decimal, InvalidOperation

    from jounce.conventions.errors import InputError
    from jounce.job.quote import Work

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
        found.append(Work(name, number))
    return found
