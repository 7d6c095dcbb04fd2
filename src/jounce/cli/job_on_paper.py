"""What `jounce job` writes for the eye, with the options --sheet, --reach and --book: read only when one is given."""

from __future__ import annotations

from pathlib import Path

import typer

from jounce.car.file.writing import write_whole
from jounce.car.mechanics.model import AXLES
from jounce.case.case import Case
from jounce.cli.in_book import opened_book
from jounce.cli.promising import keep_promises_of_file
from jounce.conventions.errors import InputError
from jounce.job.reach_map import reach_maps
from jounce.sheets.job_sheet import job_sheet
from jounce.sheets.notice import despite_of
from jounce.sheets.paperwork import Paperwork, Printout
from jounce.sheets.reach_figure import reach_figure
from jounce.words.phrases import read_phrases

__all__ = ["draw_reach", "keep_promises_of_file", "look", "opened_book", "write_sheet"]


def look(units: str, phrases: str, despite: str, by: str) -> Paperwork:
    """How a sheet is written.

    Args:
        units: unit set
        phrases: language or phrase file; English when empty
        despite: why it is printed although a check fails on which lives depend; empty for nothing
        by: who prints it
    """
    return Paperwork(units, speaks=read_phrases(phrases) if phrases else None, despite=despite_of(despite, by))


def write_sheet(path: Path, case: Case, how: Paperwork) -> None:
    """Write the two-page sheet.

    Args:
        path: PDF file
        case: car and job
        how: it is written
    """
    write_whole(path, job_sheet(Printout(case, how)))
    typer.echo(f"The sheet is in {path}.", err=True)


def draw_reach(path: Path, case: Case) -> None:
    """Draw what the top plates can give.

    Args:
        path: SVG file
        case: car and job

    Raises:
        InputError: the job has no top plates or upper joints whose slots are known
    """
    maps = next(
        filter(None, (reach_maps(case.planned.document, axle, case.change_list, case.plan) for axle in AXLES)), {}
    )
    if not maps:
        raise InputError(
            "There is nothing to draw",
            found="no top plates or upper joints whose slots are known",
            todo="Give change.front.top_plate, or change.front.upper_joint of wishbones, with its reach_… keys.",
        )
    write_whole(path, reach_figure(maps))
    typer.echo(f"The figure is in {path}.", err=True)
