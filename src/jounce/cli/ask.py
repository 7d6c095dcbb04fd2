"""`jounce ask`: a question in a person's own words, answered by the numbers of a car or a job."""

from __future__ import annotations

from pathlib import Path
from textwrap import fill
from typing import Annotated

import typer

from jounce.asked.answer import SpokenAnswer, answer_values, answered, message_of
from jounce.asked.kinds import KINDS
from jounce.case.case import Case, case_of_file
from jounce.checks.rules import NO_RULES, read_rules
from jounce.cli.answers import JSON_HELP, UNITS_HELP, write_values
from jounce.questions.titles import TITLES
from jounce.quote.shop import read_shop
from jounce.sheets.job_money import money_of_job
from jounce.shelf.file import read_shelf


def ask(
    question: Annotated[str, typer.Argument(help="the question, in quotation marks")],
    file: Annotated[Path, typer.Argument(help="car file, or job file", metavar="CAR|JOB")],
    kind: Annotated[
        str, typer.Option("--kind", help="what kind of question it is, where it was understood otherwise")
    ] = "",
    rules: Annotated[Path | None, typer.Option("--rules", help="the shop's own rules")] = None,
    shop: Annotated[
        Path | None, typer.Option("--shop", help="shop file: whose name stands below a message, and what work costs")
    ] = None,
    shelf: Annotated[Path | None, typer.Option("--shelf", help="shelf file: what the parts of a job cost")] = None,
    *,
    message: Annotated[bool, typer.Option("--message", help="print it to be pasted into a message")] = False,
    json_file: Annotated[str, typer.Option("--json", help=JSON_HELP)] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
) -> None:
    """Answer a question in your own words, in English or German, by the numbers of a car or a job.

    What is asked is put on the car for the length of the answer; no file is changed.
    """
    case = case_of_file(file, NO_RULES if rules is None else read_rules(rules))
    house = None if shop is None else read_shop(shop)
    stock = None if shelf is None else read_shelf(shelf)

    def priced(of: Case) -> tuple[str, str]:
        if stock is None or house is None:
            return "", "Name the shelf and the shop: --shelf shelf.toml --shop shop.toml."
        return money_of_job(of, stock, house.quote)

    told = answered(question, case, units, kind, priced=priced)
    if json_file:
        write_values(answer_values(told), json_file)
    if json_file == "-":
        return
    if message:
        typer.echo(message_of(told, units, "" if house is None else house.shop.name), nl=False)
    else:
        _print_answer(told, units)


def _print_answer(told: SpokenAnswer, units: str) -> None:
    if told.understood:
        _line(f"Understood: {told.understood}.")
    _line(told.verdict)
    for one in told.numbers:
        _line(one.said(units), "  ")
    _listed("Settings, in the order of work:", told.steps)
    _listed("Checks:", told.checks)
    _listed("It rests on:", told.rests)
    _listed("Surer by:", told.surer)
    _listed("Besides:", told.besides)
    _listed("Caution:", told.cautions)
    if told.page:
        _line(f"With its picture or curve on the workbench (`jounce serve`): {_page_named(told.page)}.")
    if told.near:
        typer.echo("Or did you mean:" if told.known else "Did you mean:")
        for kind in told.near:
            _line(f"{KINDS[kind]}: --kind {kind}", "  ")


def _page_named(page: str) -> str:
    """A page below that of the car or job, by its title and address."""
    word = page.partition("?")[0].removeprefix("ask/")
    return f'"{TITLES[word]}", {page}' if page.startswith("ask/") and word in TITLES else f"the page {page}"


def _listed(head: str, lines: tuple[str, ...]) -> None:
    if lines:
        typer.echo(head)
    for line in lines:
        _line(line, "- ")


def _line(text: str, first: str = "") -> None:
    typer.echo(fill(text, 80, initial_indent=first, subsequent_indent=" " * len(first)))
