"""`jounce photographs`: printed tiles, what photographs of them show, and pivots with their ± from them."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Annotated

import numpy as np
import typer

from jounce.car.file.reading import parse_car, read_text
from jounce.car.file.writing import write_new, write_whole
from jounce.cli.answers import PHRASES_HELP
from jounce.cli.sheet import paper_of
from jounce.conventions.errors import InputError, at
from jounce.numerics.arrays import Array
from jounce.photographs.answer import Photographed, looked_at
from jounce.photographs.answer import photographed as answered
from jounce.photographs.car_axes import CarPivot, in_car_axes
from jounce.photographs.into_car import BesideTape, beside_tape, with_photographed
from jounce.photographs.seen import SeenPhoto
from jounce.photographs.survey import parse_survey
from jounce.sheets.tile_kit import tile_kit
from jounce.words.phrases import read_phrases

photographs = typer.Typer(add_completion=False, no_args_is_help=True, help="Pivots from photographs of printed tiles.")

_Photos = Annotated[list[Path], typer.Argument(help="photographs as the telephone took them", metavar="PHOTO...")]


@photographs.command()
def tiles(
    out: Annotated[Path, typer.Option("--out", help="PDF file to write", metavar="PDF")],
    paper: Annotated[str, typer.Option("--paper", help="a4 or letter")] = "a4",
    control: Annotated[int, typer.Option("--control", help="how many control tiles")] = 20,
    pivots: Annotated[int, typer.Option("--pivots", help="how many pivot tiles")] = 18,
    *,
    pointer: Annotated[bool, typer.Option(help="the pointer's board too")] = True,
    phrases: Annotated[str, typer.Option("--phrases", help=PHRASES_HELP)] = "",
) -> None:
    """Print the tiles, with what to do and what to look out for."""
    words = read_phrases(phrases) if phrases else None
    write_whole(out, tile_kit(paper_of(paper), control, pivots, pointer=pointer, speaks=words))
    typer.echo(f"The tiles are in {out}.", err=True)


@photographs.command()
def look(photos: _Photos) -> None:
    """Say of each photograph which tiles it shows and whether it is fit for use."""
    for one in _seen(photos):
        typer.echo(f"{one.name}: {len(one.numbers)} tiles ({', '.join(map(str, one.numbers)) or 'none'})")
        for remark in one.remarks:
            typer.echo(f"  {remark}")


@photographs.command()
def pivots(
    survey: Annotated[Path, typer.Argument(help="what was stuck where: rulers, pivots, floor", metavar="SURVEY")],
    photos: _Photos,
    car: Annotated[Path | None, typer.Option("--car", help="car file beside which the pivots are set")] = None,
    new: Annotated[Path | None, typer.Option("--new", help="car file to write with them; never replaces one")] = None,
    date: Annotated[str, typer.Option("--date", help="when they were taken, as in 2026-03-14")] = "",
) -> None:
    """Work out every pivot with its ±; with --car beside what its file has, with --new into a new car file."""
    given = parse_survey(read_text(survey), str(survey))
    text = None if car is None else read_text(car)
    document = None if text is None else parse_car(text, str(car))
    if new is not None and text is None:
        raise InputError("There is no car to write anew", todo="Name its file with --car.", place="--new")
    found = answered(_seen(photos), given, _told)
    _tell(found)
    if found.pointer is not None:
        typer.echo(f"The pointer: {found.pointer.swings} stands in its mark, turned by "
                   f"{np.degrees(found.pointer.turned):.0f}° where it was turned least.")  # fmt: skip
    if document is None or text is None:
        return
    with at(str(survey)):
        beside = beside_tape(document, in_car_axes(found.net, given, found.pivots))
    _tell_beside(beside)
    if new is not None:
        with at(str(car)):
            written = with_photographed(text, beside, len(found.net.names), _day(date))
        write_new({new: written})
        good = sum(not one.pivot.why_not for one in beside)
        typer.echo(f"Wrote {new}: {good} points by photographs, what stood there before in each one's origin.")


def _seen(photos: list[Path]) -> tuple[SeenPhoto, ...]:
    return looked_at(((path.name, _read(path)) for path in photos), _told)


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as fault:
        raise InputError("This photograph cannot be read", todo=f"{fault.strerror}.", place=str(path)) from fault


def _told(step: str) -> None:
    typer.echo(step, err=True)


def _day(date: str) -> str:
    if not date:
        return ""
    try:
        return dt.date.fromisoformat(date).isoformat()
    except ValueError:
        raise InputError("This is no day", found=f'"{date}"', allowed="2026-03-14", place="--date") from None


def _tell(found: Photographed) -> None:
    net = found.net
    typer.echo(
        f"{len(net.names)} of {len(found.photos)} photographs, {len(net.numbers)} tiles, {net.adjusted.noise:.2f} px."
    )
    for one in found.pivots:
        if net.metric:
            told = f"± {1e3 * one.plus_minus:.2f} mm (95 %), in {one.photos} photographs"
        else:
            told = f"in {one.photos} photographs"
        typer.echo(f"{one.pivot.name}: {told}" + (f". {one.why_not}" if one.why_not else ""))
    if net.metric:
        for check in found.checks:
            a, b = check.check.pivots
            typer.echo(f"{a} to {b}: {1e3 * check.found:.1f} mm, {1e3 * check.check.length:.1f} mm measured")
    for remark in found.remarks:
        typer.echo(remark)


def _tell_beside(beside: tuple[BesideTape, ...]) -> None:
    for one in beside:
        pivot: CarPivot = one.pivot
        typer.echo(f"{pivot.point}: {_mm(pivot.place)} ± {1e3 * pivot.plus_minus:.2f} mm by photographs, "
                   f"{_mm(one.before)} ± {1e3 * one.before_plus_minus:.3g} mm in the file; "
                   f"largest difference {one.in_bands:.1f} times both ± together")  # fmt: skip
        if pivot.sides == 2:
            typer.echo(f"  right one mirrored less left one: {_mm(pivot.apart)} mm")
        if pivot.why_not:
            typer.echo(f"  not taken over: {pivot.why_not}")


def _mm(point: Array) -> str:
    return "[" + ", ".join(f"{1e3 * value:.1f}" for value in point.tolist()) + "]"
