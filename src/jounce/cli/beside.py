"""`jounce beside`: two to four jobs on one car, beside each other and the car as found."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from jounce.car.file.writing import write_whole
from jounce.case.beside import Beside, counted
from jounce.case.beside import beside as worked_out
from jounce.case.case import Case
from jounce.checks.rules import NO_RULES, RuleSet, read_rules
from jounce.cli.answers import CSV_HELP, JSON_HELP, UNITS_HELP, tell_all, write_rows, write_values
from jounce.cli.progress import shown_progress
from jounce.cli.sheet import paper_of
from jounce.conventions.errors import InputError
from jounce.job.file import read_job
from jounce.questions.question import table_lines
from jounce.questions.side_by_side import VariantPrices, beside_tables, beside_values
from jounce.quote.shop import Shop, read_shop
from jounce.sheets.catalogue import sheet_of_variants
from jounce.sheets.notice import despite_of
from jounce.sheets.offers import variant_prices
from jounce.sheets.paperwork import Paperwork
from jounce.shelf.file import read_shelf


def beside(
    job_files: Annotated[list[Path], typer.Argument(help="two to four job files of one car", metavar="JOB JOB...")],
    sheet: Annotated[Path | None, typer.Option("--sheet", help="write them on one page to this PDF file")] = None,
    csv_file: Annotated[str, typer.Option("--csv", help=CSV_HELP)] = "",
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
    rules: Annotated[Path | None, typer.Option("--rules", help="hold the planned cars against local rules too")] = None,
    shop: Annotated[Path | None, typer.Option("--shop", help="shop file: prices of work, letterhead")] = None,
    shelf: Annotated[Path | None, typer.Option("--shelf", help="shelf file: with --shop, what each job costs")] = None,
    paper: Annotated[str, typer.Option("--paper", help="paper of the sheet: a4 or letter")] = "a4",
    despite: Annotated[
        str, typer.Option("--despite", help="why the sheet is printed although a check fails on which lives depend")
    ] = "",
    by: Annotated[str, typer.Option("--by", help="who prints it, beside that reason")] = "",
) -> None:
    """Set two to four jobs on one car beside each other and the car as found: every number, what fails, what it costs.

    A job that cannot be says why, and leaves the others as they are.
    """
    terms = None if shop is None else read_shop(shop)
    look = Paperwork(units, paper_of(paper), terms, despite=despite_of(despite, by))
    found = _worked_out(job_files, NO_RULES if rules is None else read_rules(rules))
    prices = _prices(found, terms, shelf)
    if sheet is not None:
        write_whole(sheet, sheet_of_variants(found, look, prices))
        typer.echo(f"The sheet is in {sheet}.", err=True)
    tables = beside_tables(found, units, prices)
    if csv_file:
        write_rows(table_lines(tables, units), csv_file)
    if json_file:
        write_values(beside_values(found, prices), json_file)
    if not json_file and csv_file != "-":
        tell_all(tables, units)


def _worked_out(files: Sequence[Path], rules: RuleSet) -> Beside:
    """The jobs of some files; the car as found is worked out once."""
    counted(len(files))
    pairs = [read_job(path) for path in files]
    found = Case(pairs[0][1]).found
    cases = [Case(car, job, rules, found) for job, car in pairs]
    with shown_progress("working out the jobs") as progress:
        return worked_out(cases, [str(path) for path in files], progress)


def _prices(found: Beside, shop: Shop | None, shelf: Path | None) -> VariantPrices | None:
    """What each job costs, where the shelf was named."""
    if shelf is None:
        return None
    if shop is None:
        raise InputError("Money needs the shop's file and the shelf", todo="Name it: --shop shop.toml.")
    return variant_prices(found, read_shelf(shelf), shop.quote)
