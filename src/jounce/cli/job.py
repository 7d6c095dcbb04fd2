"""`jounce job`: a change list worked out, as found against as planned."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from textwrap import fill
from typing import Annotated, Any

import typer

from jounce.behaviour.bands import Band
from jounce.car.file.document import CarDocument
from jounce.car.file.writing import write_whole
from jounce.case.case import Case
from jounce.case.notes import notes_on
from jounce.checks import Check, Verdict, check_values, worst
from jounce.checks.rules import NO_RULES, read_rules
from jounce.checks.side_effects import KnockOn
from jounce.cli.answers import KEEPS_HELP, PHRASES_HELP
from jounce.cli.feel_shown import show_feel
from jounce.cli.lazy import of_option
from jounce.cli.progress import shown_progress
from jounce.conventions.certainty import MEANING
from jounce.conventions.errors import InputError, at
from jounce.conventions.units import Kind, show, unit_of
from jounce.job.comparison import ComparedRow
from jounce.job.file import read_job
from jounce.job.plan import JobPlan
from jounce.job.setting_bands import setting_widths
from jounce.job.settings import settings_values
from jounce.job.wording import SURE, cautions_of, settings_of
from jounce.questions.bars_at_rest import bar_paragraphs, bars_at_rest, inner_bar_paragraphs


def job(
    job_file: Annotated[Path, typer.Argument(help="job file", metavar="JOB")],
    sheet: Annotated[str, typer.Option("--sheet", help="write the two-page sheet to this PDF file")] = "",
    rules: Annotated[
        str, typer.Option("--rules", help="check the planned car against the local rules of this file")
    ] = "",
    reach: Annotated[str, typer.Option("--reach", help="draw what the top plates can give into this SVG file")] = "",
    json_file: Annotated[str, typer.Option("--json", help="write SI values to this file, or - for the screen")] = "",
    units: Annotated[str, typer.Option("--units", help="metric, inch or kgf")] = "metric",
    despite: Annotated[
        str, typer.Option("--despite", help="why the sheet is printed although a check fails on which lives depend")
    ] = "",
    by: Annotated[str, typer.Option("--by", help="who prints it, beside that reason")] = "",
    phrases: Annotated[str, typer.Option("--phrases", help=f"the sheet in this {PHRASES_HELP}")] = "",
    book: Annotated[str, typer.Option("--book", help=f"{KEEPS_HELP} by its sheet")] = "",
    shelf: Annotated[
        str, typer.Option("--shelf", help="shelf file: which part reaches what an adjuster does not")
    ] = "",
) -> None:
    """Work out a change list: the car as found, as planned, the settings in the order of work, and the checks.

    Ends with code 1 when a check fails.
    """
    if book and not sheet:
        raise InputError("A job alone promises nothing", found="--book", todo="Print its sheet as well: --sheet PDF.")
    paper = of_option("job_on_paper") if sheet or reach else None
    opened = paper.opened_book(book, by) if paper and book else None
    document, car = read_job(job_file)
    case = Case(car, document, read_rules(rules) if rules else NO_RULES)
    with at(str(job_file)), shown_progress("working out the plan", steps=3) as progress:
        for step in (lambda: case.plan, lambda: case.found.bands, lambda: case.planned.bands):
            step()
            progress(1.0)
    if json_file:
        text = json.dumps(_values(case), indent=2, allow_nan=False)
        if json_file == "-":
            typer.echo(text)
        else:
            write_whole(Path(json_file), text + "\n")
    if paper and sheet:
        paper.write_sheet(Path(sheet), case, paper.look(units, phrases, despite, by))
        if opened is not None:
            paper.keep_promises_of_file(opened, "job", case, job_file)
    if paper and reach:
        paper.draw_reach(Path(reach), case)
    if json_file != "-":
        _print(case, units)
        if shelf:
            _print_offers(case, shelf)
        _print_knock_on(case.side_effects, units)
        _print_checks("Checks", case.checks, units)
        if case.rule_checks:
            _print_checks("Local rules as entered by the user of the file; no legal advice", case.rule_checks, units)
        show_feel(case, units)
        _print_cautions(case.plan)
    if worst(case.every_check) is Verdict.FAIL:
        raise typer.Exit(1)


def _values(case: Case) -> dict[str, Any]:
    """Everything in SI, for other programs."""
    plan, job = case.plan, case.change_list.job
    return {
        "job": job.name,
        "revision": job.revision,
        "unit_system": "SI",
        "quantities": {
            row.key: {
                "found": row.found,
                "planned": row.planned,
                "difference": row.difference,
                "found_plus_minus": row.found_band,
                "planned_plus_minus": row.planned_band,
            }
            for row in case.rows
        },
        "settings": {
            **{axle: settings_values(settings) for axle, settings in plan.settings.items()},
            "plus_minus": setting_widths(case.planned.bands),
        },
        "falls_short": [asdict(lack) | {"kind": lack.kind.name.lower()} for lack in plan.short],
        "wishes_at_odds": None if plan.at_odds is None else plan.at_odds.values(),
        "stops": {
            state: {axle: [asdict(met) for met in getattr(plan, state).stops[axle]] for axle in ("front", "rear")}
            for state in ("found", "planned")
        },
        "checks": [check_values(check) for check in case.checks],
        "local_rules": [check_values(check) for check in case.rule_checks],
        "knock_on": [asdict(one) for one in case.side_effects],
    }


def _print(case: Case, units: str) -> None:

    job, plan = case.change_list.job, case.plan
    typer.echo(f"{case.name}: {job.name} (revision {job.revision})")
    typer.echo("")
    _print_rows(case.rows, units)
    for sentence in notes_on(case):
        typer.echo(_wrapped(f"  {sentence}"))
    _print_settings(plan, units, case.planned.bands)
    typer.echo("\nTravel from where the planned car stands, both wheels of an axle together")
    for axle in ("front", "rear"):
        for way in ("bump", "droop"):
            met: dict[str, float] = {}
            for stop in plan.planned.stops[axle]:  # by travel, so the side that meets it first is told
                if stop.at == way:
                    met.setdefault(stop.name, stop.travel)
            text = ", ".join(f"{name} {_show(far, 'LENGTH', units)}" for name, far in met.items()) or "nothing known"
            typer.echo(_wrapped(f"  {axle} {way}: {text}"))
    _print_bars(case.planned.document, plan, units)


def _print_knock_on(moved: Sequence[KnockOn], units: str) -> None:
    """What else moves, under the change that moves it."""
    typer.echo("\nWhat else moves")
    cause = ""
    for one in moved:
        if one.cause != cause:
            cause = one.cause
            typer.echo(f"  {cause}")
        typer.echo(_wrapped(f"    {one.sentence(units)}", 6))


def _print_checks(title: str, checks: Sequence[Check], units: str) -> None:
    """Each with its margin; why and what to do where it fails."""
    typer.echo(f"\n{title}")
    for check in checks:
        margin = "" if check.margin is None else f" Margin {show(check.margin, check.kind, units, sign=True)}."
        text = f"  {check.verdict.value:8}{check.code}  {check.question} {check.said(units)}{margin}"
        if check.verdict is Verdict.FAIL:
            why = f" Why: {check.reason}." if check.reason else ""
            source = f" Limit: {check.source}." if check.source else ""
            text += f"{why}{source} {check.todo}".rstrip()
        typer.echo(_wrapped(text, 10))


def _print_cautions(plan: JobPlan) -> None:

    typer.echo("\nCautions")
    for line in cautions_of(plan):
        typer.echo(_wrapped(f"  {line}"))


def _print_bars(planned: CarDocument, plan: JobPlan, units: str) -> None:
    """Anti-roll bars where the planned car stands: the links are fitted there."""
    bars = bars_at_rest(planned, plan.planned.models, plan.planned.states)
    if bars:
        typer.echo("\nAnti-roll bars where the planned car stands, links as long as they were measured")
    for paragraph in (*bar_paragraphs(bars, units, indent=2), *inner_bar_paragraphs(planned, units, indent=2)):
        typer.echo(paragraph)


def _print_rows(rows: Sequence[ComparedRow], units: str) -> None:

    place = ""
    typer.echo(f"{MEANING}; as planned with the settings below kept.")
    typer.echo(f"{'':40}{'as found':>15}{'as planned':>15}{'change':>9}")
    for row in rows:
        here = " ".join(row.key.split(".")[:-1])
        if here != place:
            place = here
            typer.echo(place)
        label = f"  {row.label} [{unit_of(row.kind, units).symbol}]"
        found = _number(row.found, row.kind, units) + _band(row.found_band, row.kind, units)
        planned = _number(row.planned, row.kind, units) + _band(row.planned_band, row.kind, units)
        change = _number(row.difference, row.kind, units, sign=True)
        typer.echo(f"{label:40.40}{found:>15}{planned:>15}{change:>9}")


def _print_settings(plan: JobPlan, units: str, bands: Mapping[str, Band]) -> None:

    typer.echo("\nSettings, in the order of work")
    typer.echo(_wrapped(f"  {SURE}", 2))
    for number, step in enumerate(settings_of(plan, units, bands), start=1):
        typer.echo(_wrapped(f"  {number} {step}"))


def _print_offers(case: Case, shelf: str) -> None:
    """Parts of the shelf for wishes that an adjuster ends before."""
    tell = of_option("job_offers")
    lines = tell.offered(case, Path(shelf))
    if lines:
        typer.echo("\nParts of the shelf that would reach what is at its end")
    for line in lines:
        typer.echo(_wrapped(f"  {line}", 2))


def _show(value: float, kind: str, units: str, *, sign: bool = False) -> str:

    return show(value, Kind[kind], units, sign=sign)


def _band(band: float, kind: Kind, units: str) -> str:
    """The ± behind a number; nothing where it would print as zero."""
    text = _number(band, kind, units)
    return f" ±{text}" if any(digit in "123456789" for digit in text) else ""


def _number(value: float | None, kind: Kind, units: str, *, sign: bool = False) -> str:
    """A number without its unit, which stands in the label."""
    return "-" if value is None else show(value, kind, units, sign=sign).split(" ")[0].rstrip("°%")


def _wrapped(text: str, indent: int = 4) -> str:

    return fill(text, 80, subsequent_indent=" " * indent)
