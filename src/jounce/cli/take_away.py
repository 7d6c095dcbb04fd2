"""`jounce take-away`: a job as one file that opens on any phone without a network."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from jounce.car.file.writing import write_whole
from jounce.case.case import case_of_file
from jounce.checks.rules import NO_RULES, read_rules
from jounce.cli.answers import PHRASES_HELP, UNITS_HELP
from jounce.conventions.errors import InputError, at
from jounce.quote.shop import read_shop
from jounce.sheets.notice import despite_of
from jounce.sheets.paperwork import Paperwork
from jounce.web.take_away.content import TakeAwayWish
from jounce.web.take_away.file import take_away as made
from jounce.words.phrases import read_phrases


def take_away(
    file: Annotated[Path, typer.Argument(help="job file", metavar="JOB")],
    out: Annotated[Path, typer.Option("--out", help="HTML file to write", metavar="HTML")],
    title: Annotated[str, typer.Option("--title", help="what stands over it; the car's name when left out")] = "",
    units: Annotated[str, typer.Option("--units", help=UNITS_HELP)] = "metric",
    shop: Annotated[Path | None, typer.Option("--shop", help="shop file: the letterhead")] = None,
    phrases: Annotated[str, typer.Option("--phrases", help=PHRASES_HELP)] = "",
    rules: Annotated[Path | None, typer.Option("--rules", help="hold the planned car against local rules too")] = None,
    despite: Annotated[
        str, typer.Option("--despite", help="why it is made although a check fails on which lives depend")
    ] = "",
    by: Annotated[str, typer.Option("--by", help="who makes it, beside that reason")] = "",
) -> None:
    """Write a job as one file for its customer: the picture before and after, seven numbers, what was done, cautions."""
    terms = None if shop is None else read_shop(shop)
    words = read_phrases(phrases) if phrases else None
    look = Paperwork(units, "a4", terms, speaks=words, despite=despite_of(despite, by))
    case = case_of_file(file, NO_RULES if rules is None else read_rules(rules))
    with at(str(file)):
        if case.job is None:
            raise InputError("What is taken away is of a job", found="a car file", todo="Name a job file instead.")
        content = made(case, look, TakeAwayWish(title[:80]))
    write_whole(out, content)
    typer.echo(f"It is in {out}, {len(content) / 1000:.0f} kB: send it to any phone.", err=True)
